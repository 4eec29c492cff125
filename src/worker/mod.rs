//! The worker: owns the logs and the analysis, answers the page.
//!
//! In: [`Ask`]s, with files handed over as handles and never as copies. Out:
//! [`Answer`]s that carry the number of the question. Both lists are closed.
//!
//! Invariants: a file is read in slices and never held as a whole where it is a table,
//! see [`reading`], and a cancel is heard between two of them; a file that is refused changes nothing that is open; a panic says so
//! before the worker stops, see [`start_worker`].

mod desk;
mod loading;
mod measure;
mod reading;
mod warm;

use gloo_worker::{Codec, Registrable};
use serde::{Deserialize, Serialize};
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::chart::{Chart, ChartId};
use crate::screen::state::{Refusal, RequestId};
use crate::sheet::Sheet;
pub use desk::Desk;

/// One file, told apart by its number: two logs of one name are the normal case.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Handed {
    pub number: u32,
    /// As the day file may name it.
    pub path: String,
    pub bytes: f64,
    /// The browser's own handle (`Blob` or `File`), passed on without a copy.
    #[serde(with = "serde_wasm_bindgen::preserve")]
    pub blob: JsValue,
}

/// What the page asks. Closed: a new kind of work is a new line here.
#[derive(Debug, Serialize, Deserialize)]
pub enum Ask {
    Open {
        id: RequestId,
        files: Vec<Handed>,
    },
    Cancel,
    /// The day as text, so that fields of later versions pass through unharmed.
    SetDay {
        id: RequestId,
        day: String,
    },
    Chart {
        id: RequestId,
        chart: ChartId,
        width_px: u32,
        view: Option<(f64, f64)>,
    },
    /// Forget everything that is open.
    Close,
}

/// What the worker says: to an open, any number of the first three, then exactly one
/// of `Shown` and `Ended`.
#[derive(Debug, Serialize, Deserialize)]
pub enum Answer {
    Read { id: RequestId, file: String, bytes_done: f64, bytes_all: f64 },
    Working { id: RequestId },
    Refused { id: RequestId, number: u32, refusal: Refusal },
    Shown { id: RequestId, sheet: Box<Sheet>, day: String },
    Ended { id: RequestId },
    Chart { id: RequestId, chart: Option<Box<Chart>> },
}

/// Messages as structured JavaScript values: a file's handle crosses as itself.
pub struct Structured;

impl Codec for Structured {
    fn encode<I: Serialize>(input: I) -> JsValue {
        // A message of ours that does not serialise is a fault of ours, not of a file.
        serde_wasm_bindgen::to_value(&input).expect("messages are plain values")
    }

    fn decode<O: for<'de> Deserialize<'de>>(input: JsValue) -> O {
        serde_wasm_bindgen::from_value(input).expect("both sides are one build")
    }
}

/// What the page listens on for this worker's last words; see `worker.js`.
pub fn last_words_channel(key: &str) -> String {
    format!("pullmark-last-words-{key}")
}

/// Starts the worker's half; called by `worker.js` with the address of `loader.js`.
#[wasm_bindgen]
pub fn start_worker(loader: &str) {
    console_error_panic_hook::set_once();
    loading::start(loader);
    Desk::registrar().encoding::<Structured>().register();
    wasm_bindgen_futures::spawn_local(warm::up());
}
