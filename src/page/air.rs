//! Part 2: the air of each outing, typed in the reader's units.

use yew::prelude::*;

use super::app::Setting;
use super::field::Field;
use super::fold::Part;
use super::table::TableView;
use crate::screen::air::{Air, OutingView};
use crate::screen::edit::{AirField, Edit};

#[derive(PartialEq, Properties)]
pub struct AirProps {
    pub part: Air,
    pub setting: Setting,
}

#[component]
pub fn AirPart(props: &AirProps) -> Html {
    let part = &props.part;
    html! {
        <Part name="air" number=2 head={part.head.clone()}>
            <TableView table={part.table.clone()} />
            <details class="item no-print">
                <summary><b>{ "Type the air" }</b><span class="aside">{ "from your own thermometer or a weather station" }</span></summary>
                { for part.outings.iter().map(|view| outing(view, &props.setting)) }
            </details>
            if let Some(factors) = &part.factors {
                <details class="item">
                    <summary><b>{ "Correction factors" }</b><span class="aside">{ "shown, never applied" }</span></summary>
                    <TableView table={factors.clone()} />
                </details>
            }
        </Part>
    }
}

fn outing(view: &OutingView, setting: &Setting) -> Html {
    let units = setting.units;
    let (build, outing) = (view.build, view.outing);
    let typed =
        |which| setting.onedit.reform(move |typed| Edit::Air { build, outing, which, typed });
    html! {
        <fieldset class="fields">
            <legend>{ &view.name }</legend>
            <Field label="Temperature" unit={units.temperature.symbol()}
                value={view.temperature.clone()} onchange={typed(AirField::Temperature)} />
            <Field label="Relative humidity" unit="%"
                value={view.humidity.clone()} onchange={typed(AirField::Humidity)} />
            <Field label="Pressure, at the place itself" unit={units.pressure.symbol()}
                value={view.pressure.clone()} onchange={typed(AirField::Pressure)} />
            <Field label="Or altitude" unit={units.length.symbol()}
                value={view.altitude.clone()} onchange={typed(AirField::Altitude)} />
            <Field label="Date" inputmode="text"
                value={view.date.clone()} onchange={typed(AirField::Date)} />
            if !view.missing_logs.is_empty() {
                <p class="doubt">{ format!("Not opened yet: {}", view.missing_logs.join(", ")) }</p>
            }
        </fieldset>
    }
}
