//! The page's side of the worker: asks, hears, keeps the file handles.
//!
//! In: files, edits and chart requests. Out: [`Event`]s for the page's one value, and
//! chart points to whoever asked for them.
//!
//! Invariants: handles are kept for as long as their logs are open, so that a new
//! worker can read them again; an edit is applied to the latest day, also while
//! the answer to the one before is still on its way.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use gloo::events::EventListener;
use gloo_worker::{Spawnable, WorkerBridge};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, BroadcastChannel};
use yew::Callback;

use super::keep;
use crate::chart::{Chart, ChartId};
use crate::day::Day;
use crate::screen::Units;
use crate::screen::edit::{self, Edit};
use crate::screen::state::{Event, Opened, RequestId};
use crate::sheet::Sheet;
use crate::worker::{Answer, Ask, Desk as Analyst, Handed, Structured, last_words_channel};

const SAMPLE: &str = "sample-day.zip";
/// How long a cancelled reading may take to say that it stopped.
const CANCEL_MS: u32 = 80;

/// A chart, or why there is none: no answer awaited any more, or nothing to draw.
pub type ChartHeard = Callback<Option<Rc<Chart>>>;

#[derive(Clone)]
pub struct Desk(Rc<Inner>);

struct Inner {
    bridge: RefCell<Option<Bridge>>,
    tell: Callback<Event>,
    next: Cell<u32>,
    /// Handles of what is open, and of what the open question hands over.
    files: RefCell<Vec<Handed>>,
    pending: RefCell<Option<Pending>>,
    charts: RefCell<BTreeMap<u32, ChartHeard>>,
    latest: RefCell<Option<Opened>>,
    latest_change: Cell<Option<RequestId>>,
    sample: RefCell<Option<Blob>>,
}

/// The worker with the channel of its last words.
struct Bridge {
    worker: WorkerBridge<Analyst>,
    _last_words: Option<(BroadcastChannel, EventListener)>,
}

/// The open question that hands files over.
struct Pending {
    id: RequestId,
    files: Vec<Handed>,
    began_ms: f64,
    refused: Vec<u32>,
}

impl PartialEq for Desk {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Desk {
    pub fn start(tell: Callback<Event>) -> Desk {
        let desk = Desk(Rc::new(Inner {
            bridge: RefCell::default(),
            tell,
            next: Cell::new(1),
            files: RefCell::default(),
            pending: RefCell::default(),
            charts: RefCell::default(),
            latest: RefCell::default(),
            latest_change: Cell::default(),
            sample: RefCell::default(),
        }));
        desk.spawn();
        desk
    }

    /// Hands files to the worker.
    pub fn open(&self, files: Vec<(String, Blob)>) {
        if files.is_empty() {
            return;
        }
        let handed: Vec<Handed> =
            files.into_iter().map(|(path, blob)| self.handed(path, blob)).collect();
        self.ask_open(handed);
    }

    pub fn reform_open(&self) -> Callback<Vec<(String, Blob)>> {
        let desk = self.clone();
        Callback::from(move |files| desk.open(files))
    }

    /// Stops the reading. A worker in the middle of its work hears nothing, so one
    /// that has not answered soon is left to itself and another takes over.
    pub fn cancel(&self) {
        self.send(Ask::Cancel);
        let awaited = self.0.pending.borrow().as_ref().map(|pending| pending.id);
        let desk = self.clone();
        let give_up = move || {
            let still = desk.0.pending.borrow().as_ref().map(|pending| pending.id);
            if awaited.is_some() && still == awaited {
                desk.restart();
            }
        };
        gloo::timers::callback::Timeout::new(CANCEL_MS, give_up).forget();
    }

    /// Changes the day. The sheet follows when the worker has made it anew.
    pub fn edit(&self, units: &Units, change: &Edit) {
        let day = {
            let mut latest = self.0.latest.borrow_mut();
            let Some(opened) = latest.as_mut() else { return };
            edit::apply(&mut opened.day, &opened.sheet, units, change);
            keep::keep_corrections(&edit::remember(&keep::corrections(), &opened.day));
            opened.day.to_json()
        };
        self.set_day(day);
    }

    /// Asks for the points that a chart can show at a width.
    pub fn chart(
        &self,
        chart: ChartId,
        width_px: u32,
        view: Option<(f64, f64)>,
        heard: ChartHeard,
    ) {
        let id = self.number();
        self.0.charts.borrow_mut().insert(id.0, heard);
        self.send(Ask::Chart { id, chart, width_px, view });
    }

    /// The latest day, with changes whose sheet is still being made; `None` while
    /// nothing is open.
    pub fn day(&self) -> Option<Day> {
        self.0.latest.borrow().as_ref().map(|opened| opened.day.clone())
    }

    /// Whether some chart's points are still on their way.
    pub fn awaits_charts(&self) -> bool {
        !self.0.charts.borrow().is_empty()
    }

    /// Puts everything away.
    pub fn close(&self) {
        self.send(Ask::Close);
        self.0.files.borrow_mut().clear();
        self.0.pending.take();
        self.0.latest.take();
        self.0.tell.emit(Event::Closed);
    }

    /// A new worker with the logs that were open; the files of the question at which
    /// the old one stopped are left out, for they may stop the next one too.
    pub fn restart(&self) {
        self.0.pending.take();
        self.spawn();
        let files = self.0.files.take();
        let day = self.0.latest.borrow().as_ref().map(|opened| opened.day.to_json());
        self.0.tell.emit(Event::Dismissed);
        if files.is_empty() {
            return;
        }
        self.ask_open(files);
        if let Some(day) = day {
            self.set_day(day);
        }
    }

    /// Loads the sample in idle time, so that nothing is requested later.
    pub fn fetch_sample_when_idle(&self) {
        let desk = self.clone();
        gloo::timers::callback::Timeout::new(300, move || spawn_local(desk.fetch_sample()))
            .forget();
    }

    /// Opens the sample day; asks for it if the idle time has not come yet.
    pub fn open_sample(&self) {
        let desk = self.clone();
        spawn_local(async move {
            if desk.0.sample.borrow().is_none() {
                desk.clone().fetch_sample().await;
            }
            let sample = desk.0.sample.borrow().clone();
            match sample {
                Some(blob) => desk.open(vec![(SAMPLE.to_owned(), blob)]),
                None => desk.0.tell.emit(Event::Died {
                    why: "The sample day could not be loaded with the page. Load the page again."
                        .to_owned(),
                }),
            }
        });
    }

    async fn fetch_sample(self) {
        if self.0.sample.borrow().is_some() {
            return;
        }
        if let Ok(blob) = fetch_blob(SAMPLE).await {
            *self.0.sample.borrow_mut() = Some(blob);
        }
    }

    fn spawn(&self) {
        let key = format!("{}-{}", js_sys::Date::now(), self.number().0);
        let desk = self.clone();
        let last_words = BroadcastChannel::new(&last_words_channel(&key)).ok().map(|channel| {
            let listener = EventListener::new(&channel, "message", move |_| desk.died());
            (channel, listener)
        });
        let desk = self.clone();
        let worker = Analyst::spawner()
            .encoding::<Structured>()
            .callback(move |answer| desk.hear(answer))
            .with_loader(true)
            .spawn(&format!("./worker.js?{key}"));
        *self.0.bridge.borrow_mut() = Some(Bridge { worker, _last_words: last_words });
    }

    fn died(&self) {
        self.0.charts.borrow_mut().clear();
        let file =
            self.0.pending.borrow().as_ref().and_then(|p| p.files.last().map(|f| f.path.clone()));
        let at = file.map_or(String::new(), |file| format!(" while reading {file}"));
        let why = format!(
            "It ended without an answer{at}; this is a fault of the program or a want of memory, \
             not of yours. What is shown is kept."
        );
        self.0.tell.emit(Event::Died { why });
    }

    fn number(&self) -> RequestId {
        let id = self.0.next.get();
        self.0.next.set(id + 1);
        RequestId(id)
    }

    fn handed(&self, path: String, blob: Blob) -> Handed {
        let path = self.unlike(path);
        Handed { number: self.number().0, path, bytes: blob.size(), blob: blob.into() }
    }

    /// Two logs of one name from two folders are the normal case: the second gets
    /// a number, so that corrections find the right one.
    fn unlike(&self, path: String) -> String {
        let files = self.0.files.borrow();
        let taken = |path: &str| files.iter().any(|file| file.path == path);
        if !taken(&path) || path.ends_with(".json") {
            return path;
        }
        let (stem, tail) = path.rsplit_once('.').unwrap_or((&path, ""));
        let numbered = (2..).map(|n| format!("{stem} ({n}).{tail}")).find(|name| !taken(name));
        numbered.unwrap_or(path)
    }

    fn ask_open(&self, files: Vec<Handed>) {
        let id = self.number();
        let bytes_all = files.iter().map(|file| file.bytes).sum::<f64>() as u64;
        let file = files.first().map_or(String::new(), |file| file.path.clone());
        self.0.tell.emit(Event::Began { request: id, file, bytes_all });
        let pending = Pending {
            id,
            files: files.clone(),
            began_ms: js_sys::Date::now(),
            refused: Vec::new(),
        };
        *self.0.pending.borrow_mut() = Some(pending);
        self.send(Ask::Open { id, files });
    }

    fn set_day(&self, day: String) {
        let id = self.number();
        self.0.latest_change.set(Some(id));
        self.send(Ask::SetDay { id, day });
    }

    fn send(&self, ask: Ask) {
        if let Some(bridge) = self.0.bridge.borrow().as_ref() {
            bridge.worker.send(ask);
        }
    }

    fn hear(&self, answer: Answer) {
        match answer {
            Answer::Read { id, file, bytes_done, bytes_all } => {
                let began = self.0.pending.borrow().as_ref().map_or(0.0, |p| p.began_ms);
                self.0.tell.emit(Event::Read {
                    request: id,
                    file,
                    bytes_done: bytes_done as u64,
                    bytes_all: bytes_all as u64,
                    elapsed_s: (js_sys::Date::now() - began) / 1e3,
                });
            }
            Answer::Working { id } => self.0.tell.emit(Event::Working { request: id }),
            Answer::Refused { id, number, refusal } => {
                if let Some(pending) = self.0.pending.borrow_mut().as_mut() {
                    pending.refused.push(number);
                }
                self.0.tell.emit(Event::Refused { request: id, refusal });
            }
            Answer::Shown { id, sheet, day } => self.shown(id, *sheet, &day),
            Answer::Ended { id } => {
                self.settle(id);
                self.0.tell.emit(Event::Ended { request: id });
            }
            Answer::Chart { id, chart } => {
                let heard = self.0.charts.borrow_mut().remove(&id.0);
                if let Some(heard) = heard {
                    heard.emit(chart.map(|chart| Rc::from(*chart)));
                }
            }
        }
    }

    fn shown(&self, id: RequestId, sheet: Sheet, day: &str) {
        let opening = self.settle(id);
        if !opening && self.0.latest_change.get() != Some(id) {
            return;
        }
        // The worker sends the day it was given, or one it made: it is a day.
        let Ok(mut day) = Day::from_json("the day", day) else { return };
        let recalled = edit::recall(&mut day, &sheet, &keep::corrections());
        let opened = Opened { sheet, day };
        *self.0.latest.borrow_mut() = Some(opened.clone());
        if recalled {
            self.set_day(opened.day.to_json());
        }
        self.0.tell.emit(match opening {
            true => Event::Done { request: id, opened },
            false => Event::Changed { opened },
        });
    }

    /// Ends the open question; says whether it was this one.
    fn settle(&self, id: RequestId) -> bool {
        let mut pending = self.0.pending.borrow_mut();
        if pending.as_ref().map(|pending| pending.id) != Some(id) {
            return false;
        }
        if let Some(pending) = pending.take() {
            let open = pending.files.into_iter().filter(|f| !pending.refused.contains(&f.number));
            self.0.files.borrow_mut().extend(open);
        }
        true
    }
}

async fn fetch_blob(address: &str) -> Result<Blob, JsValue> {
    let response = JsFuture::from(gloo::utils::window().fetch_with_str(address)).await?;
    let response: web_sys::Response = response.dyn_into()?;
    if !response.ok() {
        return Err(JsValue::from_str("not there"));
    }
    JsFuture::from(response.blob()?).await?.dyn_into()
}
