//! The page's one value and the closed list of what can happen to it.
//!
//! In: a [`Screen`] and an [`Event`]. Out: the next [`Screen`]. Answers to
//! questions that are no longer awaited change nothing, and no event takes away
//! what is already open: a refused file stands beside it.

use std::rc::Rc;

use serde::{Deserialize, Serialize};

use crate::day::Day;
use crate::sheet::Sheet;

/// Rises with every question, so that a late answer is told from the awaited one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct RequestId(pub u32);

/// What is open: a sheet and the day it was made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    pub sheet: Sheet,
    pub day: Day,
}

/// What the page shows.
#[derive(Debug, Clone, PartialEq)]
pub enum Screen {
    Empty,
    Reading {
        request: RequestId,
        progress: Progress,
        refused: Vec<Refusal>,
        kept: Option<Rc<Opened>>,
    },
    Refused {
        refused: Vec<Refusal>,
        kept: Option<Rc<Opened>>,
    },
    Shown(Rc<Opened>),
    /// The worker stopped; what it had shown is kept.
    Stopped {
        why: String,
        kept: Option<Rc<Opened>>,
    },
}

/// How far the reading is.
#[derive(Debug, Clone, PartialEq)]
pub struct Progress {
    pub file: String,
    pub bytes_done: u64,
    pub bytes_all: u64,
    /// `None` until enough was read to tell.
    pub seconds_left: Option<f64>,
    /// All bytes are in; the findings are being made.
    pub working: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    pub file: String,
    /// Says which file, where, and what to do.
    pub why: String,
}

/// What can happen. Closed: a new happening is a new line here.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    Began {
        request: RequestId,
        file: String,
        bytes_all: u64,
    },
    Read {
        request: RequestId,
        file: String,
        bytes_done: u64,
        bytes_all: u64,
        elapsed_s: f64,
    },
    Working {
        request: RequestId,
    },
    Refused {
        request: RequestId,
        refusal: Refusal,
    },
    Done {
        request: RequestId,
        opened: Opened,
    },
    /// Nothing came of it: cancelled, or every file was refused.
    Ended {
        request: RequestId,
    },
    /// The sheet of a changed day; shown without a reading state.
    Changed {
        opened: Opened,
    },
    Died {
        why: String,
    },
    Dismissed,
    Closed,
}

impl Screen {
    /// What is open, whatever else is going on.
    pub fn opened(&self) -> Option<&Rc<Opened>> {
        match self {
            Screen::Empty => None,
            Screen::Shown(opened) => Some(opened),
            Screen::Reading { kept, .. }
            | Screen::Refused { kept, .. }
            | Screen::Stopped { kept, .. } => kept.as_ref(),
        }
    }

    /// The next state.
    pub fn after(&self, event: Event) -> Screen {
        let kept = self.opened().cloned();
        match event {
            Event::Began { request, file, bytes_all } => Screen::Reading {
                request,
                progress: Progress::begin(file, bytes_all),
                refused: Vec::new(),
                kept,
            },
            Event::Changed { opened } => self.with(Rc::new(opened)),
            Event::Died { why } => Screen::Stopped { why, kept },
            Event::Dismissed => resting(kept),
            Event::Closed => Screen::Empty,
            awaited => self.heard(awaited),
        }
    }

    /// Answers to a question: only the awaited one counts.
    fn heard(&self, event: Event) -> Screen {
        let Screen::Reading { request: awaited, progress, refused, kept } = self else {
            return self.clone();
        };
        if event.request() != Some(*awaited) {
            return self.clone();
        }
        let reading = |progress: Progress, refused: Vec<Refusal>| Screen::Reading {
            request: *awaited,
            progress,
            refused,
            kept: kept.clone(),
        };
        match event {
            Event::Read { file, bytes_done, bytes_all, elapsed_s, .. } => {
                let progress = Progress::of(file, bytes_done, bytes_all, elapsed_s);
                reading(progress, refused.clone())
            }
            Event::Working { .. } => {
                reading(Progress { working: true, ..progress.clone() }, refused.clone())
            }
            Event::Refused { refusal, .. } => {
                let mut all = refused.clone();
                all.push(refusal);
                reading(progress.clone(), all)
            }
            Event::Done { opened, .. } => settled(refused.clone(), Some(Rc::new(opened))),
            Event::Ended { .. } => settled(refused.clone(), kept.clone()),
            _ => self.clone(),
        }
    }

    fn with(&self, opened: Rc<Opened>) -> Screen {
        let mut next = self.clone();
        match &mut next {
            Screen::Empty | Screen::Shown(_) => return Screen::Shown(opened),
            Screen::Reading { kept, .. }
            | Screen::Refused { kept, .. }
            | Screen::Stopped { kept, .. } => *kept = Some(opened),
        }
        next
    }
}

fn settled(refused: Vec<Refusal>, kept: Option<Rc<Opened>>) -> Screen {
    if refused.is_empty() { resting(kept) } else { Screen::Refused { refused, kept } }
}

fn resting(kept: Option<Rc<Opened>>) -> Screen {
    kept.map_or(Screen::Empty, Screen::Shown)
}

impl Event {
    fn request(&self) -> Option<RequestId> {
        match self {
            Event::Began { request, .. }
            | Event::Read { request, .. }
            | Event::Working { request }
            | Event::Refused { request, .. }
            | Event::Done { request, .. }
            | Event::Ended { request } => Some(*request),
            Event::Changed { .. } | Event::Died { .. } | Event::Dismissed | Event::Closed => None,
        }
    }
}

impl Progress {
    fn begin(file: String, bytes_all: u64) -> Self {
        Progress { file, bytes_done: 0, bytes_all, seconds_left: None, working: false }
    }

    /// Time left is told from the pace so far, after a first fifth of a second.
    fn of(file: String, bytes_done: u64, bytes_all: u64, elapsed_s: f64) -> Self {
        let told = elapsed_s > 0.2 && bytes_done > 0;
        let left = bytes_all.saturating_sub(bytes_done) as f64;
        let seconds_left = told.then(|| elapsed_s * left / bytes_done as f64);
        Progress { file, bytes_done, bytes_all, seconds_left, working: false }
    }

    /// "12.4 of 30.1 MB, about 3 s left".
    pub fn text(&self) -> String {
        let mb = |bytes: u64| bytes as f64 / 1e6;
        if self.working {
            return "All read. Working out the findings…".to_owned();
        }
        let left =
            self.seconds_left.map_or(String::new(), |s| format!(", about {:.0} s left", s.ceil()));
        format!("{:.1} of {:.1} MB{left}", mb(self.bytes_done), mb(self.bytes_all))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIRST: RequestId = RequestId(1);

    fn opened() -> Opened {
        Opened { sheet: super::super::tests::sheet(), day: Day::empty() }
    }

    fn reading(kept: Option<Rc<Opened>>) -> Screen {
        let screen = kept.map_or(Screen::Empty, Screen::Shown);
        screen.after(Event::Began { request: FIRST, file: "a.csv".into(), bytes_all: 10 })
    }

    #[test]
    fn a_refused_file_takes_nothing_away_that_is_open() {
        let open = Rc::new(opened());
        let refusal = Refusal { file: "a.csv".into(), why: "a.csv is empty.".into() };
        let screen = reading(Some(open.clone()))
            .after(Event::Refused { request: FIRST, refusal: refusal.clone() })
            .after(Event::Ended { request: FIRST });
        assert_eq!(screen, Screen::Refused { refused: vec![refusal], kept: Some(open.clone()) });
        assert_eq!(screen.after(Event::Dismissed), Screen::Shown(open));
    }

    #[test]
    fn a_late_answer_changes_nothing() {
        let screen = reading(None);
        let late = Event::Done { request: RequestId(0), opened: opened() };
        assert_eq!(screen.after(late), screen);
        let done = Screen::Empty.after(Event::Working { request: FIRST });
        assert_eq!(done, Screen::Empty);
    }

    #[test]
    fn a_dead_worker_leaves_the_sheet_and_a_sentence() {
        let open = Rc::new(opened());
        let screen = reading(Some(open.clone())).after(Event::Died { why: "memory".into() });
        assert_eq!(screen.opened(), Some(&open));
        assert!(matches!(screen, Screen::Stopped { .. }));
    }

    #[test]
    fn files_that_open_beside_a_refused_one_are_shown_with_the_refusal() {
        let refusal = Refusal { file: "b.csv".into(), why: "b.csv is empty.".into() };
        let screen = reading(None)
            .after(Event::Refused { request: FIRST, refusal })
            .after(Event::Done { request: FIRST, opened: opened() });
        let Screen::Refused { refused, kept } = screen else { panic!("not refused: {screen:?}") };
        assert_eq!((refused.len(), kept.is_some()), (1, true));
    }

    #[test]
    fn cancelling_comes_back_to_what_was_shown() {
        assert_eq!(reading(None).after(Event::Ended { request: FIRST }), Screen::Empty);
    }

    #[test]
    fn time_left_is_told_only_once_there_is_a_pace() {
        let early = Progress::of("a".into(), 1_000_000, 10_000_000, 0.1);
        assert_eq!(early.text(), "1.0 of 10.0 MB");
        let later = Progress::of("a".into(), 5_000_000, 10_000_000, 2.0);
        assert_eq!(later.text(), "5.0 of 10.0 MB, about 2 s left");
    }
}
