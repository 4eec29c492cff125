//! Word lists made ready: alternatives that a name is searched for, some thousand a header.
//!
//! In: a list as the rules write it, `speed|=spd|vel`. Out: a [`Wanted`], made once a
//! list and thread. A part that cannot be in a name is passed over by one look at the
//! pairs of letters that both have, before any letter is compared.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// One list of alternatives.
pub struct Wanted {
    /// These must be words of their own, or the whole name.
    pub words: BTreeSet<&'static str>,
    /// These may stand anywhere, each with its pairs.
    pub within: Vec<(Pairs, &'static str)>,
}

/// Which pairs of neighbouring bytes a text has, each as one of 64 bits. A text within
/// another has no bit that the other lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Pairs(u64);

/// Up to so many letters, an alternative must be a word of its own.
const ABBREVIATION: usize = 3;

thread_local! {
    /// By where each list stands: lists are part of the program and never move.
    static READY: RefCell<BTreeMap<(*const u8, usize), Rc<Wanted>>> = RefCell::default();
}

/// The list, made ready.
pub fn of(list: &'static str) -> Rc<Wanted> {
    READY.with_borrow_mut(|ready| {
        let key = (list.as_ptr(), list.len());
        Rc::clone(ready.entry(key).or_insert_with(|| Rc::new(Wanted::of(list))))
    })
}

impl Wanted {
    fn of(list: &'static str) -> Wanted {
        let mut wanted = Wanted { words: BTreeSet::new(), within: Vec::new() };
        for part in list.split('|') {
            match part.strip_prefix('=') {
                Some(word) => _ = wanted.words.insert(word),
                None if part.is_ascii() && part.len() <= ABBREVIATION => {
                    wanted.words.insert(part);
                }
                None => wanted.within.push((Pairs::of(part), part)),
            }
        }
        wanted
    }
}

impl Pairs {
    pub fn of(text: &str) -> Pairs {
        let bit = |pair: [u8; 2]| 1u64 << (pair[0].wrapping_mul(31).wrapping_add(pair[1]) & 63);
        Pairs(text.as_bytes().array_windows().fold(0, |pairs, pair| pairs | bit(*pair)))
    }

    /// Whether a text of these pairs could stand within one of those.
    pub fn can_be_in(self, other: Pairs) -> bool {
        self.0 & !other.0 == 0
    }
}
