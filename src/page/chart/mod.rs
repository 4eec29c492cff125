//! A chart: its title, the drawing with its cursor, the tools, the table behind it.
//!
//! In: a [`Figure`] and the setting. Out: points asked of the worker for the width
//! at hand, drawn on a canvas; pointer, wheel, pinch and keys change which part is
//! shown. Nothing is asked for while the chart is folded away.

mod behind;
mod canvas;
mod over;
mod readings;
mod tools;

use std::rc::Rc;

use web_sys::{HtmlCanvasElement, HtmlElement};
use yew::prelude::*;

use super::app::Setting;
use super::cursor::{Cursors, Pointed, Scale};
use crate::chart::view::View;
use crate::chart::{Chart, ChartId, Frame, height};
use crate::screen::Figure;
use over::Over;
use tools::Tools;

#[derive(PartialEq, Properties)]
pub struct ChartProps {
    pub figure: Figure,
    pub setting: Setting,
    /// (band, from, to) when the reader drags a band's edge.
    #[prop_or_default]
    pub ondrag: Option<Callback<(usize, f64, f64)>>,
}

/// What the worker has said so far.
#[derive(Clone, PartialEq)]
enum Heard {
    Nothing,
    NoChart,
    Chart(Rc<Chart>),
}

#[component]
pub fn ChartView(props: &ChartProps) -> Html {
    let host = use_node_ref();
    let canvas = use_node_ref();
    let width = use_width(&host);
    let dark = use_dark();
    let view = use_state(|| None::<View>);
    let heard = use_heard(props, width, *view);
    let frames = use_state(Vec::<Frame>::new);
    let pointed = use_pointed();
    use_effect_with((heard.clone(), width as i32, dark, props.setting.units), {
        let (canvas, frames, units) = (canvas.clone(), frames.clone(), props.setting.units);
        move |(heard, ..)| {
            let element = canvas.cast::<HtmlCanvasElement>();
            if let (Heard::Chart(chart), Some(element)) = (heard, element) {
                frames.set(canvas::paint(&element, chart, width, dark, units, None));
            }
        }
    });
    let scale = match &heard {
        Heard::Chart(chart) => Some(scale_of(chart)),
        _ => None,
    };
    let at = (*pointed).filter(|(other, _)| Some(*other) == scale).map(|(_, x)| x);
    let onview = Callback::from({
        let view = view.clone();
        move |to: Option<View>| view.set(to)
    });
    let figure = &props.figure;
    html! {
        <figure class="chart" data-chart={format!("{:?}", figure.id)}>
            <figcaption><b>{ &figure.title }</b><span>{ &figure.note }</span></figcaption>
            <div class="plot" ref={host}>
                <canvas ref={canvas} hidden={scale.is_none()} aria-hidden="true"></canvas>
                if heard == Heard::NoChart { <p class="aside">{ "The log has nothing to draw here." }</p> }
                if let (Heard::Chart(chart), Some(scale)) = (&heard, scale) {
                    <Over chart={chart.clone()} frames={(*frames).clone()} size={(width, height(chart, width))}
                        {at} {scale} onview={onview.clone()}
                        title={figure.title.clone()} ondrag={props.ondrag.clone()} />
                }
            </div>
            if let Heard::Chart(chart) = &heard {
                { readings::readings(chart, &props.setting.units, at) }
                <Tools chart={chart.clone()} units={props.setting.units} zoomed={view.is_some()} {onview}
                    title={figure.title.clone()} />
            }
        </figure>
    }
}

/// Charts on one scale share the cursor: those of one log, or all of one kind of x.
fn scale_of(chart: &Chart) -> Scale {
    let log = match chart.id {
        ChartId::Strip { log } => Some(log),
        _ => None,
    };
    (chart.x, log)
}

/// Asks the worker whenever the sheet, the width or the view has changed.
#[hook]
fn use_heard(props: &ChartProps, width: f64, view: Option<View>) -> Heard {
    let heard = use_state_eq(|| Heard::Nothing);
    let opened = Rc::as_ptr(&props.setting.opened) as usize;
    use_effect_with((opened, props.figure.id, width as u32, view), {
        let (heard, desk) = (heard.clone(), props.setting.desk.clone());
        move |&(_, id, width_px, view): &(usize, ChartId, u32, Option<View>)| {
            if width_px > 0 {
                let answer = Callback::from(move |chart: Option<Rc<Chart>>| {
                    heard.set(chart.map_or(Heard::NoChart, Heard::Chart));
                });
                desk.chart(id, width_px, view, answer);
            }
        }
    });
    (*heard).clone()
}

/// The width of an element as it changes; zero while it is not shown.
#[hook]
fn use_width(host: &NodeRef) -> f64 {
    let width = use_state_eq(|| 0.0_f64);
    use_effect_with(host.clone(), {
        let width = width.clone();
        move |host: &NodeRef| {
            let element = host.cast::<HtmlElement>();
            let watch =
                element.and_then(|element| canvas::Watch::new(element, move |w| width.set(w)));
            move || drop(watch)
        }
    });
    *width
}

/// Whether the reader's system is dark, as it changes.
#[hook]
fn use_dark() -> bool {
    let query = use_memo((), |()| {
        gloo::utils::window().match_media("(prefers-color-scheme: dark)").ok().flatten()
    });
    let dark =
        use_state_eq(|| query.as_ref().as_ref().is_some_and(web_sys::MediaQueryList::matches));
    use_effect_with((), {
        let (dark, query) = (dark.clone(), query.clone());
        move |()| {
            let listener = (*query).clone().map(|query| {
                let now = query.clone();
                gloo::events::EventListener::new(&query, "change", move |_| dark.set(now.matches()))
            });
            move || drop(listener)
        }
    });
    *dark
}

/// Where the shared cursor is.
#[hook]
fn use_pointed() -> UseStateHandle<Pointed> {
    let pointed = use_state_eq(|| None);
    let cursors = use_context::<Cursors>().unwrap_or_default();
    use_effect_with(cursors, {
        let pointed = pointed.clone();
        move |cursors: &Cursors| {
            let listening = cursors.listen(Callback::from(move |at| pointed.set(at)));
            move || drop(listening)
        }
    });
    pointed
}
