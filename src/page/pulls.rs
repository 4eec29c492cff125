//! Part 3: each log's strip, its pulls, and what a reader can change of them.

use web_sys::{HtmlFormElement, SubmitEvent};
use yew::prelude::*;

use super::app::Setting;
use super::chart::ChartView;
use super::field::{Choice, Field};
use super::fold::Part;
use super::table::TableView;
use crate::screen::edit::{Edit, typed_number};
use crate::screen::pulls::{LogPulls, PullView, Pulls};

#[derive(PartialEq, Properties)]
pub struct PullsProps {
    pub part: Pulls,
    pub setting: Setting,
}

#[component]
pub fn PullsPart(props: &PullsProps) -> Html {
    let setting = &props.setting;
    html! {
        <Part name="pulls" number=3 head={props.part.head.clone()}>
            { for props.part.logs.iter().map(|log| of_log(log, setting)) }
            { builds(setting) }
        </Part>
    }
}

fn of_log(log: &LogPulls, setting: &Setting) -> Html {
    let pulls: Vec<usize> = log.pulls.iter().map(|pull| pull.at).collect();
    let ondrag = setting.onedit.reform(move |(band, from_s, to_s): (usize, f64, f64)| match pulls
        .get(band)
    {
        Some(&pull) => Edit::Edges { pull, from_s, to_s },
        None => Edit::Edges { pull: usize::MAX, from_s, to_s },
    });
    html! {
        <div class="log-pulls" data-log={log.log.to_string()}>
            <ChartView figure={log.figure.clone()} setting={setting.clone()} {ondrag} />
            <TableView table={log.table.clone()} />
            <details class="item no-print">
                <summary><b>{ "Change the pulls of " }{ &log.name }</b></summary>
                { place(log, setting) }
                { for log.pulls.iter().map(|pull| change(pull, setting)) }
                { add(log.log, setting) }
            </details>
        </div>
    }
}

/// Which build and outing the log belongs to.
fn place(log: &LogPulls, setting: &Setting) -> Html {
    let mut options = vec![(String::new(), "no build".to_owned())];
    for (b, build) in setting.opened.day.builds.iter().enumerate() {
        for o in 0..build.outings.len() {
            let many = build.outings.len() > 1;
            let text =
                if many { format!("{}, outing {}", build.name, o + 1) } else { build.name.clone() };
            options.push((format!("{b} {o}"), text));
        }
    }
    let chosen = log.build.zip(log.outing).map_or_else(String::new, |(b, o)| format!("{b} {o}"));
    let at = log.log;
    let onedit = setting.onedit.clone();
    let onchange = Callback::from(move |value: String| {
        let place =
            value.split_once(' ').and_then(|(b, o)| Some((b.parse().ok()?, o.parse().ok()?)));
        if let Some((build, outing)) = place {
            onedit.emit(Edit::PutLog { log: at, build, outing });
        }
    });
    html! { <div class="fields"><Choice label="This log is of" {options} {chosen} {onchange} /></div> }
}

fn change(pull: &PullView, setting: &Setting) -> Html {
    let at = pull.at;
    let (from_s, to_s) = (pull.start_s, pull.end_s);
    let seconds = |value: f64| format!("{value:.2}");
    let edges = |edge: fn(f64, f64, f64) -> (f64, f64)| {
        let onedit = setting.onedit.clone();
        Callback::from(move |typed: String| {
            if let Some(value) = typed_number(&typed) {
                let (from_s, to_s) = edge(value, from_s, to_s);
                onedit.emit(Edit::Edges { pull: at, from_s, to_s });
            }
        })
    };
    html! {
        <fieldset class="fields">
            <legend>{ format!("Pull {}", pull.number) }</legend>
            <Field label="Starts at" unit="s of the log" value={seconds(from_s)}
                onchange={edges(|value, _, to| (value, to))} />
            <Field label="Lift at" unit="s of the log" value={seconds(to_s)}
                onchange={edges(|value, from, _| (from, value))} />
            { aside(pull, setting) }
        </fieldset>
    }
}

fn aside(pull: &PullView, setting: &Setting) -> Html {
    let at = pull.at;
    match &pull.set_aside {
        Some(why) => {
            let back = setting.onedit.reform(move |_| Edit::TakeBack { pull: at });
            html! {
                <p>{ "Set aside: " }{ why }{ " " }<button type="button" onclick={back}>{ "Count it again" }</button></p>
            }
        }
        None => {
            let onchange = setting.onedit.reform(move |why| Edit::SetAside { pull: at, why });
            html! { <Field label="Set aside, because" inputmode="text" value={String::new()} {onchange} /> }
        }
    }
}

/// Two fields and a button, since half an edge is no pull.
fn add(log: usize, setting: &Setting) -> Html {
    let onedit = setting.onedit.clone();
    let onsubmit = Callback::from(move |event: SubmitEvent| {
        event.prevent_default();
        let form: HtmlFormElement = event.target_unchecked_into();
        let typed = |name| form_text(&form, name).as_deref().and_then(typed_number);
        if let (Some(from_s), Some(to_s)) = (typed("from"), typed("to")) {
            onedit.emit(Edit::AddPull { log, from_s, to_s });
            form.reset();
        }
    });
    html! {
        <form class="fields" {onsubmit}>
            <label class="field"><span class="field-label">{ "A missed pull: from" }</span>
                <span class="field-box"><input name="from" type="text" inputmode="decimal" required={true} /><span class="field-unit">{ "s" }</span></span></label>
            <label class="field"><span class="field-label">{ "to" }</span>
                <span class="field-box"><input name="to" type="text" inputmode="decimal" required={true} /><span class="field-unit">{ "s" }</span></span></label>
            <button type="submit">{ "Add the pull" }</button>
        </form>
    }
}

fn form_text(form: &HtmlFormElement, name: &str) -> Option<String> {
    web_sys::FormData::new_with_form(form).ok()?.get(name).as_string()
}

/// The builds by name, and new ones.
fn builds(setting: &Setting) -> Html {
    let rename =
        |build: usize| setting.onedit.reform(move |name| Edit::RenameBuild { build, name });
    let add = setting.onedit.reform(|_| Edit::AddBuild { name: String::new() });
    let outing = |build: usize| setting.onedit.reform(move |_| Edit::AddOuting { build });
    html! {
        <details class="item no-print">
            <summary><b>{ "Builds" }</b><span class="aside">{ "a build is one state of the car; put each log to its own" }</span></summary>
            { for setting.opened.day.builds.iter().enumerate().map(|(b, build)| html! {
                <div class="fields">
                    <Field label={format!("Build {}", b + 1)} inputmode="text" value={build.name.clone()} onchange={rename(b)} />
                    <button type="button" onclick={outing(b)}>{ "Add an outing" }</button>
                </div>
            }) }
            <button type="button" id="add-build" onclick={add}>{ "Add a build" }</button>
        </details>
    }
}
