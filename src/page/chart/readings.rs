//! The cursor's readings under a chart.

use yew::prelude::*;

use crate::chart::behind::value_at;
use crate::chart::{Axis, Chart, Panel};
use crate::screen::Units;

/// The cursor's readings as text; the line keeps its room when there are none.
pub fn readings(chart: &Chart, units: &Units, at: Option<f64>) -> Html {
    let Some(at) = at.filter(|_| !chart.panels().is_empty()) else {
        return html! { <p class="readings"></p> };
    };
    let symbol = if chart.x == Axis::SecondsOfLog { "" } else { chart.x.symbol(units) };
    let of_panel = |panel: &Panel| {
        panel
            .lines
            .iter()
            .filter_map(|line| Some((line.label.clone(), value_at(line, at)?)))
            .map(|(label, value)| {
                let name = [panel.title.as_str(), label.as_str()].join(" ");
                let value = format!("{} {}", chart.y.text(value, units), chart.y.symbol(units));
                html! { <span>{ name.trim() }{ " " }<b>{ value }</b></span> }
            })
            .collect::<Vec<_>>()
    };
    html! {
        <p class="readings" aria-live="polite">
            <b>{ format!("{} {symbol}", chart.x.text(at, units)) }</b>
            { for chart.panels().iter().flat_map(of_panel) }
        </p>
    }
}
