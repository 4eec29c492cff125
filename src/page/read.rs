//! Part 1: each log as found, its channels, and the corrections in place.

use yew::prelude::*;

use super::app::Setting;
use super::drop::{OnFiles, Pick};
use super::field::{Choice, Field};
use super::fold::{Part, notes};
use crate::log::Role;
use crate::screen::edit::Edit;
use crate::screen::labels;
use crate::screen::read::{ChannelView, DriveView, LogView, Read};
use crate::unit::UNITS;

#[derive(PartialEq, Properties)]
pub struct ReadProps {
    pub part: Read,
    pub setting: Setting,
    pub onfiles: OnFiles,
}

#[component]
pub fn ReadPart(props: &ReadProps) -> Html {
    let desk = props.setting.desk.clone();
    let close = Callback::from(move |_| desk.close());
    html! {
        <Part name="read" number=1 head={props.part.head.clone()}>
            <div class="logs">
                { for props.part.logs.iter().map(|view| log(view, &props.setting)) }
            </div>
            <div class="ways no-print">
                <Pick onfiles={props.onfiles.clone()} label="Add logs or a day file" />
                <button type="button" id="close" onclick={close}>{ "Put everything away" }</button>
            </div>
        </Part>
    }
}

fn log(view: &LogView, setting: &Setting) -> Html {
    html! {
        <details class="item" data-log={view.log.to_string()}>
            <summary>
                <b>{ &view.name }</b>
                <span class="aside">{ &view.in_use }</span>
                if !view.problems.is_empty() {
                    <span class="aside doubt">{ format!("{} odd", view.problems.len()) }</span>
                }
            </summary>
            <dl class="facts">
                { for view.facts.iter().map(|(what, found)| html! { <><dt>{ what }</dt><dd>{ found }</dd></> }) }
            </dl>
            { notes(&view.problems) }
            { for view.drive.iter().map(|drive| whose_drive(view.log, drive, setting)) }
            { channels(view, setting) }
        </details>
    }
}

fn whose_drive(log: usize, drive: &DriveView, setting: &Setting) -> Html {
    let mut options = vec![(String::new(), "none: a drive of its own".to_owned())];
    options.extend(drive.choices.iter().map(|(of, name)| (of.to_string(), name.clone())));
    let chosen = drive.of.map_or_else(String::new, |of| of.to_string());
    let onof = setting.onedit.reform(move |of: String| Edit::DriveOf { log, of: of.parse().ok() });
    let onshift = setting.onedit.reform(move |typed| Edit::DriveShift { log, typed });
    html! {
        <>
            if !drive.said.is_empty() { <p>{ &drive.said }</p> }
            <fieldset class="fields no-print">
                <legend>{ "One drive, several logs" }</legend>
                <Choice label="Recorded the drive of" {options} {chosen} onchange={onof} />
                if drive.of.is_some() {
                    <Field label="Added to its times" unit="s" value={drive.shift_s.clone()} onchange={onshift} />
                }
            </fieldset>
        </>
    }
}

fn channels(view: &LogView, setting: &Setting) -> Html {
    let caption = format!(
        "The channels of {}. What you correct is kept for logs with this header.",
        view.name
    );
    let heads = ["Channel", "Role", "Unit", "Rate", "Range", "How it was recognised"];
    html! {
        <>
        <p class="caption" aria-hidden="true">{ &caption }</p>
        <div class="scroll" tabindex="0" role="region" aria-label={caption.clone()}>
            <table class="channels">
                <caption class="unseen">{ &caption }</caption>
                <thead><tr>{ for heads.iter().map(|head| html! { <th scope="col">{ *head }</th> }) }</tr></thead>
                <tbody>{ for view.channels.iter().map(|row| channel(view.log, row, setting)) }</tbody>
            </table>
        </div>
        </>
    }
}

fn channel(log: usize, row: &ChannelView, setting: &Setting) -> Html {
    html! {
        <tr class={row.role.is_none().then_some("pale")} data-channel={row.name.clone()}>
            <th scope="row">
                { &row.name }
                if !row.tag.is_empty() { <span class="tag">{ row.tag }</span> }
            </th>
            <td>{ role_choice(log, row, setting) }</td>
            <td>{ unit_choice(log, row, setting) }</td>
            <td class="number">{ &row.rate }</td>
            <td class="number">{ &row.range }</td>
            <td class="reason">{ &row.how }</td>
        </tr>
    }
}

fn role_choice(log: usize, row: &ChannelView, setting: &Setting) -> Html {
    let mut options = vec![(String::new(), "not used".to_owned())];
    options.extend(Role::ALL.iter().map(|(_, code)| ((*code).to_owned(), labels::role(code))));
    let channel = row.name.clone();
    let onchange = setting.onedit.reform(move |code: String| Edit::Role {
        log,
        channel: channel.clone(),
        role: (!code.is_empty()).then_some(code),
    });
    let chosen = row.role.clone().unwrap_or_default();
    html! { <Choice label={format!("Role of {}", row.name)} hide_label={true} {options} {chosen} {onchange} /> }
}

fn unit_choice(log: usize, row: &ChannelView, setting: &Setting) -> Html {
    let chosen = row.unit.clone().unwrap_or_default();
    let mut options: Vec<(String, String)> = vec![(String::new(), "–".to_owned())];
    if !chosen.is_empty() && !UNITS.iter().any(|unit| unit.symbol == chosen) {
        options.push((chosen.clone(), chosen.clone()));
    }
    options.extend(UNITS.iter().map(|unit| (unit.symbol.to_owned(), unit.symbol.to_owned())));
    let channel = row.name.clone();
    let onchange = setting.onedit.reform(move |unit: String| Edit::Unit {
        log,
        channel: channel.clone(),
        unit,
    });
    html! { <Choice label={format!("Unit of {}", row.name)} hide_label={true} {options} {chosen} {onchange} /> }
}
