//! The whole page: one value, the worker's desk, and what is shown of them.

use std::rc::Rc;

use yew::prelude::*;

use super::desk::Desk;
use super::drop::DropArea;
use super::field::Field;
use super::{air, builds, clock, cursor, empty, handover, heat, keep, pulls, read, units};
use crate::screen::edit::Edit;
use crate::screen::state::{Event, Opened, Progress, Refusal, Screen};
use crate::screen::{Report, Units, report};

/// The page's one value as yew wants it.
#[derive(PartialEq)]
struct Shell(Screen);

impl Reducible for Shell {
    type Action = Event;

    fn reduce(self: Rc<Self>, event: Event) -> Rc<Self> {
        Rc::new(Shell(self.0.after(event)))
    }
}

/// What every part is given.
#[derive(Clone, PartialEq)]
pub struct Setting {
    pub desk: Desk,
    pub units: Units,
    pub opened: Rc<Opened>,
    pub onedit: Callback<Edit>,
}

#[component]
pub fn App() -> Html {
    let shell = use_reducer(|| Shell(Screen::Empty));
    let units = use_state(keep::units);
    let desk = use_memo((), |()| {
        let dispatch = shell.dispatcher();
        Desk::start(Callback::from(move |event| dispatch.dispatch(event)))
    });
    use_effect_with((), {
        let desk = desk.clone();
        move |()| desk.fetch_sample_when_idle()
    });
    let onunits = {
        let units = units.clone();
        Callback::from(move |chosen: Units| {
            keep::keep_units(&chosen);
            units.set(chosen);
        })
    };
    let onfiles = desk.reform_open();
    let cursors = use_memo((), |()| cursor::Cursors::default());
    let screen = &shell.0;
    html! {
        <ContextProvider<cursor::Cursors> context={(*cursors).clone()}>
        <DropArea onfiles={onfiles.clone()}>
            <header class="top">
                <a class="name" href="#page"><img src="mark.svg" alt="" width="28" height="28" />{ "Pullmark" }</a>
                <units::UnitsMenu units={*units} onchange={onunits} />
            </header>
            <div class="status" aria-live="polite">{ status(screen, &desk, shell.dispatcher()) }</div>
            if let Some(opened) = screen.opened() {
                <Sheet desk={(*desk).clone()} units={*units} opened={opened.clone()} onfiles={onfiles} />
            } else {
                <empty::Empty desk={(*desk).clone()} onfiles={onfiles} />
            }
        </DropArea>
        </ContextProvider<cursor::Cursors>>
    }
}

/// What is going on besides what is shown.
fn status(screen: &Screen, desk: &Desk, dispatch: UseReducerDispatcher<Shell>) -> Html {
    match screen {
        Screen::Empty | Screen::Shown(_) => html! {},
        Screen::Reading { progress, .. } => reading(progress, desk),
        Screen::Refused { refused, .. } => {
            let dismiss = Callback::from(move |_| dispatch.dispatch(Event::Dismissed));
            refusals(refused, dismiss)
        }
        Screen::Stopped { why, .. } => {
            let desk = desk.clone();
            let again = Callback::from(move |_| desk.restart());
            html! {
                <div class="notice bad" role="alert">
                    <p><b>{ "The work stopped. " }</b>{ why }</p>
                    <button type="button" onclick={again}>{ "Start again with the open logs" }</button>
                </div>
            }
        }
    }
}

fn reading(progress: &Progress, desk: &Desk) -> Html {
    let desk = desk.clone();
    let cancel = Callback::from(move |_| desk.cancel());
    let (value, max) = (progress.bytes_done.to_string(), progress.bytes_all.max(1).to_string());
    html! {
        <div class="notice" role="status">
            <p><b>{ &progress.file }</b>{ " " }<span class="figures">{ progress.text() }</span></p>
            <progress {value} {max} aria-label="Bytes read" />
            <button type="button" id="cancel" onclick={cancel}>{ "Cancel" }</button>
        </div>
    }
}

fn refusals(refused: &[Refusal], dismiss: Callback<MouseEvent>) -> Html {
    let line = |refusal: &Refusal| html! { <p>{ &refusal.why }</p> };
    html! {
        <div class="notice bad" role="alert" data-refused="true">
            <p><b>{ if refused.len() == 1 { "A file was not opened." } else { "Some files were not opened." } }</b></p>
            { for refused.iter().map(line) }
            <button type="button" onclick={dismiss}>{ "Understood" }</button>
        </div>
    }
}

#[derive(PartialEq, Properties)]
struct SheetProps {
    desk: Desk,
    units: Units,
    opened: Rc<Opened>,
    onfiles: Callback<Vec<(String, web_sys::Blob)>>,
}

/// The seven parts.
#[component]
fn Sheet(props: &SheetProps) -> Html {
    let made: Rc<Report> = use_memo((props.opened.clone(), props.units), |(opened, units)| {
        report(&opened.sheet, &opened.day, units)
    });
    let onedit = {
        let (desk, units) = (props.desk.clone(), props.units);
        Callback::from(move |edit: Edit| desk.edit(&units, &edit))
    };
    let setting = Setting {
        desk: props.desk.clone(),
        units: props.units,
        opened: props.opened.clone(),
        onedit,
    };
    html! {
        <main>
            <TitleBlock title={made.title.clone()} setting={setting.clone()} />
            <Contents report={made.clone()} />
            <read::ReadPart part={made.read.clone()} setting={setting.clone()} onfiles={props.onfiles.clone()} />
            <air::AirPart part={made.air.clone()} setting={setting.clone()} />
            <pulls::PullsPart part={made.pulls.clone()} setting={setting.clone()} />
            <clock::ClockPart part={made.clock.clone()} setting={setting.clone()} />
            <heat::HeatPart part={made.heat.clone()} setting={setting.clone()} />
            <builds::BuildsPart part={made.builds.clone()} setting={setting.clone()} />
            <handover::HandoverPart part={made.handover.clone()} {setting} />
        </main>
    }
}

#[derive(PartialEq, Properties)]
struct TitleProps {
    title: String,
    setting: Setting,
}

/// The sheet's title, which the reader can change.
#[component]
fn TitleBlock(props: &TitleProps) -> Html {
    let onchange = props.setting.onedit.reform(Edit::Title);
    html! {
        <div class="title">
            <p class="kicker">{ "Test sheet" }</p>
            <h1>{ &props.title }</h1>
            <details class="rename no-print">
                <summary>{ "Change the title" }</summary>
                <Field id="title" label="Title of this test day" inputmode="text" value={props.title.clone()} {onchange} />
            </details>
        </div>
    }
}

#[derive(PartialEq, Properties)]
struct ContentsProps {
    report: Rc<Report>,
}

/// The seven questions, so that the reader can go straight to one.
#[component]
fn Contents(props: &ContentsProps) -> Html {
    let report = &props.report;
    let parts = [
        ("read", &report.read.head),
        ("air", &report.air.head),
        ("pulls", &report.pulls.head),
        ("clock", &report.clock.head),
        ("heat", &report.heat.head),
        ("builds", &report.builds.head),
        ("handover", &report.handover.head),
    ];
    html! {
        <nav class="contents no-print" aria-label="The seven parts">
            <ol>
                { for parts.iter().map(|(key, head)| html! {
                    <li><a href={format!("#{key}")}>{ head.question }</a></li>
                }) }
            </ol>
        </nav>
    }
}
