//! The desk at which the worker works: one question after the other.
//!
//! In: an [`Ask`]. Out: its [`Answer`]s. Reading runs beside the desk and reports
//! back to it, so that a cancel or a chart is heard while a file is being read.

use std::cell::Cell;
use std::rc::Rc;

use gloo_worker::{HandlerId, Worker, WorkerScope};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::spawn_local;

use super::reading::{self, Stop};
use super::{Answer, Ask, Handed};
use crate::day::Day;
use crate::screen::state::{Refusal, RequestId};
use crate::work::{Findings, Opened, Work};

pub struct Desk {
    work: Work,
    /// Made once a sheet, kept for its charts.
    findings: Option<Findings>,
    /// Rises with every cancel; a reading begun under an older number stops.
    cancels: Rc<Cell<u32>>,
}

/// What a reading reports to the desk.
pub enum Message {
    /// `begun` is the number of cancels under which the reading began.
    Opened {
        begun: u32,
        opened: Opened,
    },
    Refused {
        to: HandlerId,
        id: RequestId,
        file: Handed,
        why: String,
    },
    AllRead {
        to: HandlerId,
        id: RequestId,
    },
    Cancelled {
        to: HandlerId,
        id: RequestId,
    },
}

impl Worker for Desk {
    type Message = Message;
    type Input = Ask;
    type Output = Answer;

    fn create(_scope: &WorkerScope<Self>) -> Self {
        Desk { work: Work::new(), findings: None, cancels: Rc::default() }
    }

    fn update(&mut self, scope: &WorkerScope<Self>, message: Message) {
        match message {
            // A cancel that came while the file was worked through is still in time.
            Message::Opened { begun, .. } if self.cancels.get() != begun => {}
            Message::Opened { opened, .. } => self.work.keep_all(opened),
            Message::Refused { to, id, file, why } => refuse(scope, to, id, file, why),
            Message::AllRead { to, id } => self.show(scope, to, id),
            Message::Cancelled { to, id } => self.show(scope, to, id),
        }
    }

    fn received(&mut self, scope: &WorkerScope<Self>, ask: Ask, to: HandlerId) {
        match ask {
            Ask::Open { id, files } => {
                spawn_local(read_all(scope.clone(), self.cancels.clone(), to, id, files));
            }
            Ask::Cancel => self.cancels.set(self.cancels.get() + 1),
            Ask::SetDay { id, day } => {
                // The page sends what it was given, changed: it is a day.
                if let Ok(day) = Day::from_json("the day", &day) {
                    self.work.set_day(day);
                }
                self.show(scope, to, id);
            }
            Ask::Chart { id, chart, width_px, view } => {
                let findings = self.findings.get_or_insert_with(|| self.work.findings());
                let day = self.work.day();
                let chart = crate::chart::build(&day, findings, chart, width_px, view);
                scope.respond(to, Answer::Chart { id, chart: chart.map(Box::new) });
            }
            Ask::Close => {
                self.cancels.set(self.cancels.get() + 1);
                self.work = Work::new();
                self.findings = None;
            }
        }
    }
}

impl Desk {
    /// Says what is open now, or that nothing is.
    fn show(&mut self, scope: &WorkerScope<Self>, to: HandlerId, id: RequestId) {
        self.findings = None;
        let day = self.work.day();
        let mut outings = day.builds.iter().flat_map(|build| &build.outings);
        if self.work.logs().is_empty() && outings.all(|outing| outing.logs.is_empty()) {
            return scope.respond(to, Answer::Ended { id });
        }
        let findings = self.findings.insert(self.work.findings());
        let sheet = Box::new(crate::sheet::make::sheet(&day, findings));
        scope.respond(to, Answer::Shown { id, sheet, day: day.to_json() });
    }
}

fn refuse(scope: &WorkerScope<Desk>, to: HandlerId, id: RequestId, file: Handed, why: String) {
    let refusal = Refusal { file: file.path, why };
    scope.respond(to, Answer::Refused { id, number: file.number, refusal });
}

/// Reads the files of one question in turn.
async fn read_all(
    scope: WorkerScope<Desk>,
    cancels: Rc<Cell<u32>>,
    to: HandlerId,
    id: RequestId,
    files: Vec<Handed>,
) {
    let begun = cancels.get();
    let bytes_all: f64 = files.iter().map(|file| file.bytes).sum();
    let mut before = 0.0;
    for file in files {
        let tell = |done: f64| {
            let bytes_done = before + done;
            scope.respond(to, Answer::Read { id, file: file.path.clone(), bytes_done, bytes_all });
            if bytes_done >= bytes_all {
                scope.respond(to, Answer::Working { id });
            }
            cancels.get() == begun
        };
        let size = file.bytes;
        match reading::open(&file.path, &file.blob, tell).await {
            Ok(opened) => scope.send_message(Message::Opened { begun, opened }),
            Err(Stop::Cancelled) => return scope.send_message(Message::Cancelled { to, id }),
            Err(Stop::Refused(error)) => {
                let why = error.to_string();
                scope.send_message(Message::Refused { to, id, file, why });
            }
            Err(Stop::Unreadable(error)) => {
                let why = unreadable(&file.path, &error);
                scope.send_message(Message::Refused { to, id, file, why });
            }
        }
        before += size;
    }
    scope.send_message(Message::AllRead { to, id });
}

/// The browser's reason is an `Error` as a rule, but may be anything.
fn unreadable(path: &str, error: &JsValue) -> String {
    let why = error.dyn_ref::<js_sys::Error>().map(|e| String::from(e.message()));
    let why = why.or_else(|| error.as_string()).unwrap_or_else(|| "no reason was given".to_owned());
    format!(
        "{path} could not be read: {why}. If it was moved or changed since it was picked, pick it again."
    )
}
