//! The page: one document, read from top to bottom. Start at [`app`].
//!
//! In: the reader's files and clicks. Out: questions to the worker, and the seven
//! parts of the [`crate::screen::Report`] as HTML.
//!
//! Invariants: no mathematics and no wording of findings here; nothing is sent
//! anywhere; no inline style, for the page's policy forbids it.

mod air;
mod app;
mod builds;
mod chart;
mod clock;
mod cursor;
mod desk;
mod drop;
mod empty;
mod field;
mod fold;
mod handover;
mod heat;
mod keep;
mod print;
mod pulls;
mod read;
mod save;
mod table;
mod units;

use wasm_bindgen::prelude::wasm_bindgen;

/// Starts the page's half; called by `start.js`.
#[wasm_bindgen]
pub fn start_page() {
    console_error_panic_hook::set_once();
    if let Some(root) = gloo::utils::document().get_element_by_id("page") {
        yew::Renderer::<app::App>::with_root(root).render();
    }
}
