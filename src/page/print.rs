//! Printing: what belongs on the paper open, every chart drawn, then the browser's own print.
//!
//! In short what is folded stays off the paper: answers, charts and tables, for a customer.
//! Whole, everything is opened: every launch and every method, for an engineer.
//!
//! A chart that is folded away has no width and so was never drawn; it must be given
//! the time to be. What was folded is folded again afterwards.

use gloo::timers::future::TimeoutFuture;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::Element;

use super::desk::Desk;

/// Long enough for the browser to lay out what was just opened.
const LAID_OUT_MS: u32 = 250;
/// How often to look, and after how many looks to print what there is.
const LOOK_MS: u32 = 100;
const LOOKS: u32 = 100;

/// How much goes on the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    Short,
    Whole,
}

/// On the page's root while it prints in short; the style sheet leaves the folds out then.
const SHORT: &str = "data-print-short";

pub fn print(desk: &Desk, extent: Extent) {
    let desk = desk.clone();
    spawn_local(async move {
        let root = gloo::utils::document_element();
        let opened = match extent {
            Extent::Whole => open_all(),
            Extent::Short => {
                let _ = root.set_attribute(SHORT, "");
                Vec::new()
            }
        };
        TimeoutFuture::new(LAID_OUT_MS).await;
        for _ in 0..LOOKS {
            if !desk.awaits_charts() {
                break;
            }
            TimeoutFuture::new(LOOK_MS).await;
        }
        TimeoutFuture::new(LAID_OUT_MS).await;
        // A browser that cannot print shows so itself.
        let _ = gloo::utils::window().print();
        let _ = root.remove_attribute(SHORT);
        for element in opened {
            let _ = element.remove_attribute("open");
        }
    });
}

/// Opens every fold, and says which were closed.
fn open_all() -> Vec<Element> {
    let Ok(closed) = gloo::utils::document().query_selector_all("main details:not([open])") else {
        return Vec::new();
    };
    let folds = (0..closed.length()).filter_map(|at| closed.item(at)?.dyn_into::<Element>().ok());
    let folds: Vec<Element> =
        folds.filter(|fold| fold.closest(".no-print").ok().flatten().is_none()).collect();
    for fold in &folds {
        let _ = fold.set_attribute("open", "");
    }
    folds
}
