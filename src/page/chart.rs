//! A chart: its title, the drawing, and the table behind it.

use yew::prelude::*;

use super::app::Setting;
use crate::screen::Figure;

#[derive(PartialEq, Properties)]
pub struct ChartProps {
    pub figure: Figure,
    pub setting: Setting,
    /// (band, from, to) when the reader drags a band's edge.
    #[prop_or_default]
    pub ondrag: Option<Callback<(usize, f64, f64)>>,
}

#[component]
pub fn ChartView(props: &ChartProps) -> Html {
    html! {
        <figure class="chart">
            <figcaption><b>{ &props.figure.title }</b><span>{ &props.figure.note }</span></figcaption>
        </figure>
    }
}
