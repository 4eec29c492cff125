//! For measuring: the worker's reading without its page, see `tests/bench`.

use serde_json::json;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::Blob;

use super::reading::{self, Stop};
use super::{loading, warm};
use crate::work::Opening;

/// Starts what the worker starts with, from the address of `loader.js`.
#[wasm_bindgen]
pub fn measure_start(loader: &str) {
    loading::start(loader);
}

/// Does what the worker does before its first file.
#[wasm_bindgen]
pub async fn measure_warm() {
    warm::up().await;
}

/// Reads a file as the worker does, to its columns of numbers or on to its log, and
/// says how many numbers it holds beside the clock, and their sum.
#[wasm_bindgen]
pub async fn measure_reading(file: JsValue, to_log: bool) -> Result<String, JsValue> {
    let found = if to_log { to_the_log(&file).await } else { to_columns(&file).await };
    found.map(|(count, sum)| json!({ "count": count, "sum": sum }).to_string()).map_err(|stop| {
        match stop {
            Stop::Cancelled => JsValue::from_str("cancelled"),
            Stop::Unreadable(why) => why,
            Stop::Refused(error) => JsValue::from_str(&error.to_string()),
        }
    })
}

async fn to_columns(file: &JsValue) -> Result<(u64, f64), Stop> {
    let none = || Stop::Unreadable(JsValue::from_str("no table"));
    let blob: &Blob = file.dyn_ref().ok_or_else(none)?;
    let mut opening = Opening::new("measured.csv", Some(blob.size() as u64));
    reading::feed(&mut opening, blob, &|_| true).await?;
    opening.cells().ok_or_else(none)
}

async fn to_the_log(file: &JsValue) -> Result<(u64, f64), Stop> {
    let opened = reading::open("measured.csv", file, |_| true).await?;
    let recorded = || {
        let channels = opened.logs().flat_map(|log| &log.channels);
        channels.filter(|channel| !channel.derived).flat_map(|channel| &channel.series.value)
    };
    Ok((recorded().count() as u64, recorded().sum()))
}
