//! Part 4: the marks of every pull, and the case for or against its clock.

use yew::prelude::*;

use super::app::Setting;
use super::chart::ChartView;
use super::fold::{Part, notes, said, sign, tone_class};
use super::table::TableView;
use crate::screen::clock::{Clock, PullClock};

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
            if let Some(figure) = &part.launches {
                <ChartView figure={figure.clone()} setting={props.setting.clone()} />
            }
            <TableView table={part.overview.clone()} />
            { for part.pulls.iter().map(|pull| html! {
                <Case key={format!("{}-{}", pull.log, pull.number)} pull={pull.clone()} setting={props.setting.clone()} />
            }) }
        </Part>
    }
}

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
        </details>
    }
}
