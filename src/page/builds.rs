//! Part 6: build against build.

use yew::prelude::*;

use super::app::Setting;
use super::chart::ChartView;
use super::fold::{Part, notes, said};
use super::table::TableView;
use crate::screen::builds::{Builds, Pair};

#[derive(PartialEq, Properties)]
pub struct BuildsProps {
    pub part: Builds,
    pub setting: Setting,
}

#[component]
pub fn BuildsPart(props: &BuildsProps) -> Html {
    let part = &props.part;
    let figures = part.marks.iter().chain(&part.figures);
    html! {
        <Part name="builds" number=6 head={part.head.clone()}>
            { for figures.map(|figure| html! {
                <ChartView figure={figure.clone()} setting={props.setting.clone()} />
            }) }
            { for part.pairs.iter().map(pair) }
            if !part.readings.is_empty() {
                <details class="item">
                    <summary><b>{ "Reading by reading" }</b><span class="aside">{ "pull numbers down, builds across, as read" }</span></summary>
                    { for part.readings.iter().map(|table| html! { <TableView table={table.clone()} /> }) }
                </details>
            }
        </Part>
    }
}

fn pair(pair: &Pair) -> Html {
    html! {
        <details class="item">
            <summary><b>{ &pair.title }</b></summary>
            { for pair.sentences.iter().map(said) }
            <TableView table={pair.table.clone()} />
            { notes(&pair.reasons) }
        </details>
    }
}
