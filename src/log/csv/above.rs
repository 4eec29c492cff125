//! The row above the names that says what they are of: `Vehicle, , Engine` over
//! `Speed, Gear, Speed`.
//!
//! In: the names, their units, and the row above. Out: names with their group in front,
//! where a name says too little by itself: it stands there twice, or means nothing that
//! it means with its group. A blank cell goes on with the group to its left.

use std::collections::BTreeMap;

use super::header::{self, Heading};
use crate::log::{plain, roles};

/// Fewest groups that make a row one of groups: two may be a word and its answer.
const FEWEST: usize = 2;

/// Puts its group in front of every name that needs it.
pub fn put(header: &mut [String], units: &[String], above: &[String]) {
    let written = || above.iter().enumerate().filter(|(_, cell)| !plain::cell(cell).is_empty());
    // "Driver, Somebody" fills the first two cells and no other.
    let is_groups = written().count() >= FEWEST && written().any(|(column, _)| column > 1);
    if !is_groups || above.len() > header.len() {
        return;
    }
    let unit = |column: usize| units.get(column).map_or("", String::as_str);
    let bare: Vec<Heading> =
        (0..header.len()).map(|column| header::heading(&header[column], unit(column))).collect();
    // Counted once: a table may have a hundred thousand names.
    let mut named: BTreeMap<&[String], usize> = BTreeMap::new();
    for heading in &bare {
        *named.entry(heading.words.words.as_slice()).or_default() += 1;
    }
    let mut group = "";
    for (column, name) in header.iter_mut().enumerate() {
        let begins = above.get(column).map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
        group = begins.unwrap_or(group);
        let own = &bare[column];
        if group.is_empty() || own.is_nameless {
            continue;
        }
        let full = format!("{group} {}", name.trim_start());
        let says_more = || !is_known(own) && has_role(&header::heading(&full, unit(column)));
        let has_twins = named.get(own.words.words.as_slice()).is_some_and(|count| *count > 1);
        if has_twins || says_more() {
            *name = full;
        }
    }
}

fn is_known(heading: &Heading) -> bool {
    header::is_time(&heading.words) || has_role(heading)
}

fn has_role(heading: &Heading) -> bool {
    roles::named(&heading.words, heading.unit.map(|unit| unit.quantity)).is_some()
}
