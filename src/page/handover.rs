//! Part 7: print, save, share, and the facts of the car.

use yew::prelude::*;

use super::app::Setting;
use super::field::{Choice, Field};
use super::fold::Part;
use super::print::Extent;
use super::{print, save};
use crate::screen::edit::{CarField, Edit};
use crate::screen::handover::{CarView, Handover};
use crate::screen::limits::{Group, LimitView};

#[derive(PartialEq, Properties)]
pub struct HandoverProps {
    pub part: Handover,
    pub setting: Setting,
}

#[component]
pub fn HandoverPart(props: &HandoverProps) -> Html {
    let part = &props.part;
    html! {
        <Part name="handover" number=7 head={part.head.clone()}>
            { saving(part, &props.setting) }
            { car(&part.car, &props.setting) }
            { limits(&part.limits, &props.setting) }
            <details class="item no-print">
                <summary><b>{ "A note to send along" }</b></summary>
                <textarea class="share" readonly={true} rows="4" aria-label="A note to send along" value={part.share_note.clone()} />
            </details>
        </Part>
    }
}

fn saving(part: &Handover, setting: &Setting) -> Html {
    let stem = part.file_stem.clone();
    let saves = |tail: &'static str, kind: &'static str, text: fn(&Setting) -> String| {
        let (stem, setting) = (stem.clone(), setting.clone());
        Callback::from(move |_: MouseEvent| {
            save::text(&format!("{stem}.{tail}"), kind, &text(&setting))
        })
    };
    let day = saves("day.json", "application/json", |setting| {
        setting.desk.day().unwrap_or_else(|| setting.opened.day.clone()).to_json()
    });
    let json = saves("sheet.json", "application/json", |setting| setting.opened.sheet.to_json());
    let csv = saves("sheet.csv", "text/csv", |setting| setting.opened.sheet.to_csv());
    let desk = setting.desk.clone();
    let print = |extent| {
        let desk = desk.clone();
        Callback::from(move |_| print::print(&desk, extent))
    };
    html! {
        <ul class="saves no-print">
            <li><button type="button" class="primary" id="print" onclick={print(Extent::Short)}>{ "Print the sheet" }</button>
                <span>{ "Answers, charts and tables. A4 or Letter; also the way to a PDF." }</span></li>
            <li><button type="button" id="print-whole" onclick={print(Extent::Whole)}>{ "Print all the evidence" }</button>
                <span>{ "Every launch, every reason, every method besides." }</span></li>
            <li><button type="button" id="save-day" onclick={day}>{ "Save the day file" }</button>
                <span>{ "Builds, air and corrections. Opens again beside its logs." }</span></li>
            <li><button type="button" id="save-json" onclick={json}>{ "Save the sheet as JSON" }</button>
                <span>{ "Every number, in SI, for other programs." }</span></li>
            <li><button type="button" id="save-csv" onclick={csv}>{ "Save the numbers as CSV" }</button>
                <span>{ "One value a row, for a spreadsheet." }</span></li>
        </ul>
    }
}

fn car(view: &CarView, setting: &Setting) -> Html {
    let typed = |which| setting.onedit.reform(move |typed| Edit::Car { which, typed });
    let options = |codes: &[(&str, &str)]| {
        let known = codes.iter().map(|(code, text)| ((*code).to_owned(), (*text).to_owned()));
        std::iter::once((String::new(), "not said".to_owned())).chain(known).collect::<Vec<_>>()
    };
    html! {
        <details class="item no-print">
            <summary><b>{ "The car" }</b><span class="aside">{ "never needed; what you know sharpens the verdicts" }</span></summary>
            <div class="fields">
                <Field label="Mass with driver" unit="kg" value={view.mass_kg.clone()} onchange={typed(CarField::Mass)} />
                <Choice label="Driven wheels" chosen={view.drive.clone()} onchange={typed(CarField::Drive)}
                    options={options(&[("front", "front"), ("rear", "rear"), ("all", "all")])} />
                <Choice label="Tyres" chosen={view.tyres.clone()} onchange={typed(CarField::Tyres)}
                    options={options(&[("road", "road"), ("semi-slick", "semi-slick"), ("drag", "drag")])} />
                <Choice label="Transmission" chosen={view.transmission.clone()} onchange={typed(CarField::Transmission)}
                    options={options(&[("manual", "manual"), ("dual-clutch", "dual clutch"), ("torque-converter", "torque converter")])} />
            </div>
        </details>
    }
}

fn limits(groups: &[Group], setting: &Setting) -> Html {
    let field = |view: &LimitView| {
        let which = view.which;
        let onchange = setting.onedit.reform(move |typed| Edit::Limit { which, typed });
        html! { <Field label={view.label} unit={view.unit.clone()} value={view.value.clone()} {onchange} /> }
    };
    let group = |group: &Group| {
        html! {
            <fieldset class="fields">
                <legend>{ group.title }</legend>
                { for group.fields.iter().map(field) }
            </fieldset>
        }
    };
    html! {
        <details class="item no-print">
            <summary><b>{ "What counts" }</b><span class="aside">{ "the limits behind the verdicts; clear a field to return to its default" }</span></summary>
            { for groups.iter().map(group) }
        </details>
    }
}
