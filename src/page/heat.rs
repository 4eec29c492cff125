//! Part 5: charge air over each pull, the ladder, the recovery.

use yew::prelude::*;

use super::app::Setting;
use super::chart::ChartView;
use super::fold::{Part, notes};
use super::table::TableView;
use crate::screen::heat::{Beside, Heat};
use crate::screen::{Figure, Table};

#[derive(PartialEq, Properties)]
pub struct HeatProps {
    pub part: Heat,
    pub setting: Setting,
}

#[component]
pub fn HeatPart(props: &HeatProps) -> Html {
    let part = &props.part;
    let evidence = |figure: &Option<Figure>, table: &Option<Table>| {
        html! {
            <>
                if let Some(figure) = figure {
                    <ChartView figure={figure.clone()} setting={props.setting.clone()} />
                }
                if let Some(table) = table {
                    <TableView table={table.clone()} />
                }
            </>
        }
    };
    html! {
        <Part name="heat" number=5 head={part.head.clone()}>
            { evidence(&part.over_speed, &part.pulls) }
            { evidence(&part.ladder_figure, &part.ladders) }
            { evidence(&part.recovery_figure, &part.recoveries) }
            { notes(&part.untold) }
            { for part.besides.iter().map(beside) }
        </Part>
    }
}

fn beside(beside: &Beside) -> Html {
    html! {
        <details class="item">
            <summary><b>{ beside.title }</b></summary>
            <p>{ &beside.note }</p>
            <TableView table={beside.table.clone()} />
        </details>
    }
}
