//! What lies over a chart: the cursor with its readings, a selection, the edges of
//! pulls; and the hands on it: pointer, wheel, pinch, keys.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use gloo::events::{EventListener, EventListenerOptions};
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent, WheelEvent};
use yew::prelude::*;

use super::super::cursor::{Cursors, Scale};
use crate::chart::behind::value_at;
use crate::chart::view::{self, View};
use crate::chart::{Chart, Frame};

#[derive(PartialEq, Properties)]
pub struct OverProps {
    pub chart: Rc<Chart>,
    pub frames: Vec<Frame>,
    pub size: (f64, f64),
    /// Where the shared cursor stands.
    pub at: Option<f64>,
    pub scale: Scale,
    pub title: String,
    pub onview: Callback<Option<View>>,
    pub ondrag: Option<Callback<(usize, f64, f64)>>,
}

/// What the hands are doing.
#[derive(Default)]
struct Hands {
    /// Pointers that are down, by their number, at their x.
    down: BTreeMap<i32, f64>,
    began_px: Option<f64>,
    edge: Option<Edge>,
}

/// A pull's edge in the hand.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Edge {
    band: usize,
    is_end: bool,
    at: f64,
}

/// A drag shorter than this is a click.
const CLICK_PX: f64 = 6.0;

#[component]
pub fn Over(props: &OverProps) -> Html {
    let svg = use_node_ref();
    let hands = use_mut_ref(Hands::default);
    let selected = use_state_eq(|| None::<(f64, f64)>);
    let moving = use_state_eq(|| None::<Edge>);
    let cursors = use_context::<Cursors>().unwrap_or_default();
    use_wheel(&svg, props);
    let (w, h) = props.size;
    let hand = Hand {
        svg: svg.clone(),
        props_chart: props.chart.clone(),
        frames: props.frames.clone(),
        scale: props.scale,
        onview: props.onview.clone(),
        ondrag: props.ondrag.clone(),
        hands,
        selected: selected.clone(),
        moving: moving.clone(),
        cursors,
    };
    let on = |act: fn(&Hand, &PointerEvent)| {
        let hand = hand.clone();
        Callback::from(move |event: PointerEvent| act(&hand, &event))
    };
    let onkeydown = {
        let (hand, at) = (hand.clone(), props.at);
        Callback::from(move |event: KeyboardEvent| hand.key(&event, at))
    };
    let label =
        format!("{}. Arrow keys move the cursor, plus and minus zoom, 0 shows all.", props.title);
    html! {
        <svg ref={svg} class="over" viewBox={format!("0 0 {w} {h}")} tabindex="0" role="img" aria-label={label}
            onpointermove={on(Hand::moved)} onpointerdown={on(Hand::pressed)} onpointerup={on(Hand::released)}
            onpointercancel={on(Hand::dropped)} onpointerleave={on(Hand::left)} {onkeydown}>
            { selection(*selected, &props.frames) }
            { cursor(props) }
            { edges(props, &hand, *moving) }
        </svg>
    }
}

fn selection(selected: Option<(f64, f64)>, frames: &[Frame]) -> Html {
    let Some((from, to)) = selected else { return html! {} };
    let part = |frame: &Frame| {
        let (left, right) = (frame.px(from.min(to)), frame.px(from.max(to)));
        html! { <rect class="picked" x={left.to_string()} y={frame.top.to_string()}
        width={(right - left).to_string()} height={(frame.bottom - frame.top).to_string()} /> }
    };
    frames.iter().map(part).collect()
}

/// An upright at the cursor, and a dot on every line it crosses.
fn cursor(props: &OverProps) -> Html {
    let Some(at) = props.at else { return html! {} };
    let inside = |frame: &&Frame| frame.x.0 <= at && at <= frame.x.1;
    let upright = |frame: &Frame| {
        let x = frame.px(at).to_string();
        html! { <line class="cursor" x1={x.clone()} x2={x} y1={frame.top.to_string()} y2={frame.bottom.to_string()} /> }
    };
    let dots = props.frames.iter().zip(props.chart.panels()).filter(|(f, _)| inside(f)).flat_map(|(frame, panel)| {
        let values = panel.lines.iter().filter_map(move |line| value_at(line, at));
        values.map(move |y| html! {
            <circle class="dot" cx={frame.px(at).to_string()} cy={frame.py(y).to_string()} r="3.5" />
        })
    });
    html! { <>{ for props.frames.iter().filter(inside).map(upright) }{ for dots }</> }
}

/// Handles at the edges of pulls, for the hand and for the arrow keys.
fn edges(props: &OverProps, hand: &Hand, moving: Option<Edge>) -> Html {
    let (Some(frame), Some(panel)) = (props.frames.first(), props.chart.panels().first()) else {
        return html! {};
    };
    if props.ondrag.is_none() {
        return html! {};
    }
    let handle = |(band, is_end, at): (usize, bool, f64)| {
        let held = moving.filter(|edge| (edge.band, edge.is_end) == (band, is_end));
        let edge = Edge { band, is_end, at };
        let x = frame.px(held.map_or(at, |held| held.at)).to_string();
        let hand = hand.clone();
        let onkeydown = Callback::from(move |event: KeyboardEvent| hand.nudge(&event, edge));
        let what = if is_end { "lift" } else { "start" };
        html! {
            <line class={classes!("edge", held.map(|_| "held"))} x1={x.clone()} x2={x}
                y1={frame.top.to_string()} y2={frame.bottom.to_string()}
                data-band={band.to_string()} data-end={is_end.to_string()} tabindex="0" role="slider"
                aria-label={format!("{what} of pull {}", band + 1)} aria-valuenow={format!("{at:.1}")} {onkeydown} />
        }
    };
    let all =
        panel.bands.iter().enumerate().flat_map(|(n, b)| [(n, false, b.from), (n, true, b.to)]);
    all.filter(|(_, _, at)| frame.x.0 <= *at && *at <= frame.x.1).map(handle).collect()
}

/// Everything a hand needs to act.
#[derive(Clone)]
struct Hand {
    /// Events are heard at the page's root, so their own target does not tell.
    svg: NodeRef,
    props_chart: Rc<Chart>,
    frames: Vec<Frame>,
    scale: Scale,
    onview: Callback<Option<View>>,
    ondrag: Option<Callback<(usize, f64, f64)>>,
    hands: Rc<RefCell<Hands>>,
    selected: UseStateHandle<Option<(f64, f64)>>,
    moving: UseStateHandle<Option<Edge>>,
    cursors: Cursors,
}

impl Hand {
    /// The panel under a place, or the nearest one.
    fn frame(&self, (x, y): (f64, f64)) -> Option<&Frame> {
        let away = |f: &&Frame| {
            let dx = (f.left - x).max(x - f.right).max(0.0);
            let dy = (f.top - y).max(y - f.bottom).max(0.0);
            ((dx + dy) * 10.0) as i64
        };
        self.frames.iter().min_by_key(away)
    }

    fn value(&self, event: &PointerEvent) -> Option<(f64, f64)> {
        let bounds = self.svg.cast::<Element>()?.get_bounding_client_rect();
        let px = f64::from(event.client_x()) - bounds.left();
        let py = f64::from(event.client_y()) - bounds.top();
        Some((px, self.frame((px, py))?.x_at(px)))
    }

    fn moved(&self, event: &PointerEvent) {
        let Some((px, value)) = self.value(event) else { return };
        self.cursors.point(Some((self.scale, value)));
        let mut hands = self.hands.borrow_mut();
        if let Some(edge) = &mut hands.edge {
            edge.at = value;
            self.moving.set(Some(*edge));
            return;
        }
        if hands.down.len() == 2 {
            drop(hands);
            return self.pinched(event.pointer_id(), px);
        }
        let began = hands.began_px.filter(|began| (px - began).abs() > CLICK_PX);
        if let (Some(began), Some(frame)) = (began, self.frame((px, 0.0))) {
            self.selected.set(Some((frame.x_at(began), value)));
        }
    }

    fn pressed(&self, event: &PointerEvent) {
        let Some((px, value)) = self.value(event) else { return };
        if let Some(target) = event.target().and_then(|t| t.dyn_into::<Element>().ok()) {
            let number = |name: &str| target.get_attribute(name);
            let band = number("data-band").and_then(|band| band.parse().ok());
            if let Some(band) = band {
                let is_end = number("data-end").as_deref() == Some("true");
                self.hands.borrow_mut().edge = Some(Edge { band, is_end, at: value });
            }
        }
        if let Some(host) = self.svg.cast::<Element>() {
            // Some pointers cannot be captured; the drag then ends at the border.
            let _ = host.set_pointer_capture(event.pointer_id());
        }
        let mut hands = self.hands.borrow_mut();
        hands.down.insert(event.pointer_id(), px);
        hands.began_px = (event.pointer_type() == "mouse" && hands.edge.is_none()).then_some(px);
    }

    fn released(&self, event: &PointerEvent) {
        let edge = {
            let mut hands = self.hands.borrow_mut();
            hands.down.remove(&event.pointer_id());
            hands.began_px = None;
            hands.edge.take()
        };
        if let Some(edge) = edge {
            self.moving.set(None);
            self.settle(edge);
        } else if let Some((from, to)) = *self.selected {
            self.onview.emit(Some(view::between(from, to, self.props_chart.whole)));
        }
        self.selected.set(None);
    }

    fn dropped(&self, event: &PointerEvent) {
        let mut hands = self.hands.borrow_mut();
        hands.down.remove(&event.pointer_id());
        (hands.began_px, hands.edge) = (None, None);
        self.selected.set(None);
        self.moving.set(None);
    }

    fn left(&self, event: &PointerEvent) {
        if self.hands.borrow().down.is_empty() {
            self.cursors.point(None);
        }
        let _ = event;
    }

    /// Two fingers: the span between them scales the view about their middle.
    fn pinched(&self, id: i32, px: f64) {
        let mut hands = self.hands.borrow_mut();
        let spread = |down: &BTreeMap<i32, f64>| {
            let (least, most) =
                down.values().fold((f64::MAX, f64::MIN), |(l, m), x| (l.min(*x), m.max(*x)));
            ((most - least).max(1.0), (most + least) / 2.0)
        };
        let (before, _) = spread(&hands.down);
        hands.down.insert(id, px);
        let (after, middle) = spread(&hands.down);
        if let Some(frame) = self.frame((middle, 0.0)) {
            let chart = &self.props_chart;
            self.onview.emit(Some(view::zoomed(
                chart.shown,
                chart.whole,
                frame.x_at(middle),
                before / after,
            )));
        }
    }

    fn key(&self, event: &KeyboardEvent, at: Option<f64>) {
        let chart = &self.props_chart;
        let (from, to) = chart.shown;
        let middle = at.filter(|at| from <= *at && *at <= to).unwrap_or((from + to) / 2.0);
        let step = (to - from) / if event.shift_key() { 10.0 } else { 100.0 };
        match event.key().as_str() {
            "ArrowRight" => self.walk(middle + step),
            "ArrowLeft" => self.walk(middle - step),
            "Home" => self.walk(chart.whole.0),
            "End" => self.walk(chart.whole.1),
            "+" | "=" => {
                self.onview.emit(Some(view::zoomed(chart.shown, chart.whole, middle, 0.5)))
            }
            "-" => self.onview.emit(Some(view::zoomed(chart.shown, chart.whole, middle, 2.0))),
            "0" => self.onview.emit(None),
            "Escape" => self.cursors.point(None),
            _ => return,
        }
        event.prevent_default();
    }

    /// The cursor by key; the view follows it.
    fn walk(&self, to: f64) {
        let chart = &self.props_chart;
        let to = to.clamp(chart.whole.0, chart.whole.1);
        self.cursors.point(Some((self.scale, to)));
        let shown = view::showing(chart.shown, chart.whole, to);
        if shown != chart.shown {
            self.onview.emit(Some(shown));
        }
    }

    /// An edge by key: a tenth of a second, with shift a whole one.
    fn nudge(&self, event: &KeyboardEvent, edge: Edge) {
        let by = if event.shift_key() { 1.0 } else { 0.1 };
        let at = match event.key().as_str() {
            "ArrowRight" => edge.at + by,
            "ArrowLeft" => edge.at - by,
            _ => return,
        };
        event.prevent_default();
        event.stop_propagation();
        self.settle(Edge { at, ..edge });
    }

    fn settle(&self, edge: Edge) {
        let band = self.props_chart.panels().first().and_then(|panel| panel.bands.get(edge.band));
        if let (Some(band), Some(ondrag)) = (band, &self.ondrag) {
            let (from, to) = if edge.is_end { (band.from, edge.at) } else { (edge.at, band.to) };
            if from < to {
                ondrag.emit((edge.band, from, to));
            }
        }
    }
}

/// The wheel zooms a chart that has the focus, or with Ctrl held (a pinch on a
/// touchpad comes as that); else the page scrolls as it should.
#[hook]
fn use_wheel(svg: &NodeRef, props: &OverProps) {
    let (chart, frames, onview) = (props.chart.clone(), props.frames.clone(), props.onview.clone());
    let shown = (chart.shown.0.to_bits(), chart.shown.1.to_bits(), frames.len());
    use_effect_with((svg.cast::<Element>(), shown), move |(element, _)| {
        let listener = element.clone().map(|element| {
            let options = EventListenerOptions::enable_prevent_default();
            let host = element.clone();
            EventListener::new_with_options(&element, "wheel", options, move |event| {
                let Some(wheel) = event.dyn_ref::<WheelEvent>() else { return };
                let focused = gloo::utils::document().active_element().as_ref() == Some(&host);
                let Some(frame) = frames.first().filter(|_| focused || wheel.ctrl_key()) else {
                    return;
                };
                event.prevent_default();
                let px = f64::from(wheel.client_x()) - host.get_bounding_client_rect().left();
                let factor = if wheel.delta_y() > 0.0 { 1.15 } else { 1.0 / 1.15 };
                onview.emit(Some(view::zoomed(chart.shown, chart.whole, frame.x_at(px), factor)));
            })
        });
        move || drop(listener)
    });
}
