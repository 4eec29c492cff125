//! One cursor for all charts of the same x: where it points on one, it reads on all.

use std::cell::RefCell;
use std::rc::Rc;

use yew::Callback;

/// Charts with equal scales share a cursor: an axis, and the log it belongs to.
pub type Scale = (crate::chart::Axis, Option<usize>);

/// Where the cursor is, `None` when it left.
pub type Pointed = Option<(Scale, f64)>;

/// The charts that listen. Cheap to clone; all clones are one.
#[derive(Clone, Default)]
pub struct Cursors(Rc<RefCell<Listeners>>);

#[derive(Default)]
struct Listeners {
    next: u32,
    all: Vec<(u32, Callback<Pointed>)>,
}

impl PartialEq for Cursors {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Cursors {
    /// Listens until the returned value is dropped.
    pub fn listen(&self, heard: Callback<Pointed>) -> Listening {
        let mut listeners = self.0.borrow_mut();
        let id = listeners.next;
        listeners.next += 1;
        listeners.all.push((id, heard));
        Listening { id, cursors: self.clone() }
    }

    pub fn point(&self, at: Pointed) {
        let all: Vec<_> = self.0.borrow().all.iter().map(|(_, heard)| heard.clone()).collect();
        all.iter().for_each(|heard| heard.emit(at));
    }
}

pub struct Listening {
    id: u32,
    cursors: Cursors,
}

impl Drop for Listening {
    fn drop(&mut self) {
        self.cursors.0.borrow_mut().all.retain(|(id, _)| *id != self.id);
    }
}
