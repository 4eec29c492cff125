//! What this device remembers: the units, and the corrections by header.
//!
//! A browser that keeps nothing (private windows, storage switched off) costs the
//! reader the memory and nothing else.

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::day::ChannelCorrection;
use crate::screen::Units;

const UNITS: &str = "pullmark.units";
const CORRECTIONS: &str = "pullmark.corrections";

pub fn units() -> Units {
    let language = gloo::utils::window().navigator().language().unwrap_or_default();
    kept(UNITS).unwrap_or_else(|| Units::for_locale(&language))
}

pub fn keep_units(units: &Units) {
    keep(UNITS, units);
}

pub fn corrections() -> Vec<ChannelCorrection> {
    kept(CORRECTIONS).unwrap_or_default()
}

pub fn keep_corrections(corrections: &Vec<ChannelCorrection>) {
    keep(CORRECTIONS, corrections);
}

fn storage() -> Option<web_sys::Storage> {
    gloo::utils::window().local_storage().ok().flatten()
}

fn kept<T: DeserializeOwned>(key: &str) -> Option<T> {
    let text = storage()?.get_item(key).ok().flatten()?;
    serde_json::from_str(&text).ok()
}

fn keep(key: &str, value: &impl Serialize) {
    if let (Some(storage), Ok(text)) = (storage(), serde_json::to_string(value)) {
        // Full or forbidden storage: the page works on without its memory.
        let _ = storage.set_item(key, &text);
    }
}
