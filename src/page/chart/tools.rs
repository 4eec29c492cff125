//! Under a chart: show all, save as SVG or PNG, and the numbers behind it.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Blob, HtmlElement};
use yew::prelude::*;

use super::super::save;
use super::{behind, canvas};
use crate::chart::view::View;
use crate::chart::{Chart, Look, height, svg};
use crate::screen::Units;

/// The width of a saved picture, in points; enough for half a printed page.
const SAVED_WIDTH: f64 = 860.0;

#[derive(PartialEq, Properties)]
pub struct ToolsProps {
    pub chart: Rc<Chart>,
    pub units: Units,
    pub title: String,
    pub zoomed: bool,
    pub onview: Callback<Option<View>>,
}

#[component]
pub fn Tools(props: &ToolsProps) -> Html {
    let open = use_state(|| false);
    let reset = props.onview.reform(|_: MouseEvent| None);
    let ontoggle = {
        let open = open.clone();
        Callback::from(move |event: web_sys::Event| {
            let element: HtmlElement = event.target_unchecked_into();
            open.set(element.has_attribute("open"));
        })
    };
    let saves = |act: fn(&Chart, Units, &str)| {
        let (chart, units, title) = (props.chart.clone(), props.units, props.title.clone());
        Callback::from(move |_: MouseEvent| act(&chart, units, &title))
    };
    html! {
        <div class="tools no-print">
            if props.zoomed { <button type="button" onclick={reset}>{ "Show all" }</button> }
            <button type="button" onclick={saves(save_svg)}>{ "Save as SVG" }</button>
            <button type="button" onclick={saves(save_png)}>{ "Save as PNG" }</button>
            <details {ontoggle}>
                <summary>{ "The numbers behind it" }</summary>
                if *open { { behind::tables(&props.chart, &props.units) } }
            </details>
        </div>
    }
}

fn file_name(title: &str, tail: &str) -> String {
    let kept: String = title.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let parts: Vec<&str> = kept.split('-').filter(|part| !part.is_empty()).take(8).collect();
    format!("{}.{tail}", parts.join("-").to_lowercase())
}

/// Always on white paper: a saved picture goes into a document.
fn save_svg(chart: &Chart, units: Units, title: &str) {
    let (width, height) = (SAVED_WIDTH, height(chart, SAVED_WIDTH) + 34.0);
    let look =
        Look { width, height, scale: 2.0, dark: false, units, title: Some(title.to_owned()) };
    save::text(&file_name(title, "svg"), "image/svg+xml", &svg(chart, &look));
}

fn save_png(chart: &Chart, units: Units, title: &str) {
    let Some(canvas) = canvas::loose() else { return };
    canvas::paint(&canvas, chart, SAVED_WIDTH, false, units, Some(title.to_owned()));
    let name = file_name(title, "png");
    let taken = Closure::once_into_js(move |blob: Option<Blob>| save::offer(&name, blob));
    // A canvas that is too large gives no picture, and none is offered.
    let _ = canvas.to_blob(taken.unchecked_ref());
}
