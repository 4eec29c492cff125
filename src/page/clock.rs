//! Part 4: the marks of every pull, and the case for or against its clock.

use yew::prelude::*;

use super::app::Setting;
use super::chart::ChartView;
use super::field::Choice;
use super::fold::{Part, notes, said, sign, tone_class};
use super::table::TableView;
use crate::screen::clock::{Clock, PullClock};
use crate::screen::{Figure, Table};

#[derive(PartialEq, Properties)]
pub struct ClockProps {
    pub part: Clock,
    pub setting: Setting,
}

#[component]
pub fn ClockPart(props: &ClockProps) -> Html {
    let part = &props.part;
    html! {
        <Part name="clock" number=4 head={part.head.clone()}>
            if let Some(figures) = &part.launches {
                <Overlaid figures={figures.clone()} setting={props.setting.clone()} />
            }
            <TableView table={part.overview.clone()} />
            { table(part.compared.table.as_ref()) }
            { for part.compared.said.iter().map(said) }
            { table(part.compared.traps.as_ref()) }
            { table(part.compared.rules.as_ref()) }
            { table(part.compared.power.as_ref()) }
            { for part.pulls.iter().map(|pull| html! {
                <Case key={format!("{}-{}", pull.log, pull.number)} pull={pull.clone()} setting={props.setting.clone()} />
            }) }
        </Part>
    }
}

fn table(table: Option<&Table>) -> Html {
    table.map_or_else(Html::default, |table| html! { <TableView table={table.clone()} /> })
}

#[derive(PartialEq, Properties)]
struct OverlaidProps {
    /// Over time and over distance.
    figures: [Figure; 2],
    setting: Setting,
}

/// All launches over each other, along time or distance as the reader chooses.
#[component]
fn Overlaid(props: &OverlaidProps) -> Html {
    let far = use_state(|| false);
    let options = OVER.map(|text| (text.to_owned(), text.to_owned())).to_vec();
    let chosen = OVER[usize::from(*far)];
    let onchange = {
        let far = far.clone();
        Callback::from(move |text: String| far.set(text == OVER[1]))
    };
    let figure = props.figures[usize::from(*far)].clone();
    html! {
        <>
            <div class="drawn-over no-print"><Choice label="Launches drawn" {options} {chosen} {onchange} /></div>
            <ChartView key={chosen} {figure} setting={props.setting.clone()} />
        </>
    }
}

const OVER: [&str; 2] = ["over time", "over distance"];

#[derive(PartialEq, Properties)]
struct CaseProps {
    pull: PullClock,
    setting: Setting,
}

/// One pull's case: verdict, reasons, the witnesses drawn, every mark.
#[component]
fn Case(props: &CaseProps) -> Html {
    let pull = &props.pull;
    let tone = pull.verdict.tone;
    html! {
        <details class="item case" open={pull.open} data-log={pull.log.to_string()} data-pull={pull.number.to_string()}>
            <summary>
                <b>{ &pull.name }</b>
                <span class={classes!("aside", tone_class(tone))}>{ sign(tone) }{ &pull.word }</span>
            </summary>
            { said(&pull.verdict) }
            { notes(&pull.reasons) }
            <ChartView figure={pull.figure.clone()} setting={props.setting.clone()} />
            if !pull.spin.is_empty() {
                <ul class="notes">{ for pull.spin.iter().map(|text| html! { <li>{ text }</li> }) }</ul>
            }
            <TableView table={pull.marks.clone()} />
            if let Some(push) = &pull.push { <p class="aside">{ push }</p> }
        </details>
    }
}
