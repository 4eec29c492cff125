//! Handmade charts, drawn as SVG text: what a reader must find in each.

use super::*;
use crate::unit::MPS_PER_MPH;
use crate::unit::reader::Units;

/// A spinning launch: the logged speed runs ahead of the car, then comes back.
pub fn spun() -> Chart {
    let ground = |t: f64| (7.0 * t - 0.12 * t * t).max(0.0);
    let logged =
        |t: f64| ground(t) + if t > 0.1 && t < 2.6 { 9.0 * libm::sin(t * 1.25) } else { 0.0 };
    let line = |label: &str, ink, stroke, f: &dyn Fn(f64) -> f64| Line {
        label: label.to_owned(),
        ink,
        stroke,
        points: (-5..60).map(|n| f64::from(n) * 0.1).map(|t| (t, f(t))).collect(),
    };
    let y = 60.0 * MPS_PER_MPH;
    let panel = Panel {
        lines: vec![
            line("logged speed", Ink::Suspect, Stroke::Line(2), &logged),
            line("accelerometer", Ink::Quiet, Stroke::Line(1), &|t| ground(t) * 1.01),
            line("over the ground", Ink::Plain, Stroke::Line(4), &ground),
        ],
        bands: vec![Band { from: 0.1, to: 2.6, label: "tyre slip 41 %".to_owned(), warns: true }],
        levels: vec![y],
        spots: vec![
            Spot { x: 2.21, y, label: "logged 2.21 s".to_owned(), ink: Ink::Suspect },
            Spot { x: 4.12, y, label: "ground 4.12 s".to_owned(), ink: Ink::Plain },
        ],
        ceiling: Some(12.9),
        ..Panel::default()
    };
    Chart {
        id: ChartId::Witnesses { log: 0, pull: 0 },
        x: Axis::SecondsFromStart,
        y: Axis::Speed,
        whole: (-0.5, 6.0),
        shown: (-0.5, 6.0),
        body: Body::Panels(vec![panel]),
    }
}

/// Four builds of three pulls each, charge air against speed.
pub fn heat() -> Chart {
    let pull = |build: usize, n: u8| Line {
        label: n.to_string(),
        ink: Ink::Build(build),
        stroke: Stroke::Line(n),
        points: (0..40)
            .map(|i| {
                let rise = [6.0, 24.0, 19.0, 10.0][build];
                (f64::from(i), 58.0 + f64::from(n) * 2.5 + f64::from(i * i) / 1600.0 * rise)
            })
            .collect(),
    };
    let names = ["Stock", "Overheating", "Front cooler", "Both coolers"];
    let panel = |build: usize| Panel {
        title: names[build].to_owned(),
        lines: (1..=3).map(|n| pull(build, n)).collect(),
        ..Panel::default()
    };
    Chart {
        id: ChartId::HeatOverSpeed,
        x: Axis::Speed,
        y: Axis::Temperature,
        whole: (0.0, 39.0),
        shown: (0.0, 39.0),
        body: Body::Panels((0..4).map(panel).collect()),
    }
}

pub fn differences() -> Chart {
    let row = |build: usize, measure: &str, value: f64, half: f64, verdict: &str| Interval {
        pair: format!("Build {} minus Stock", build + 1),
        measure: measure.to_owned(),
        speed_mps: (measure == "charge air at").then_some(80.0 * MPS_PER_MPH),
        build,
        value,
        low: Some(value - half),
        high: Some(value + half),
        verdict: verdict.to_owned(),
    };
    Chart {
        id: ChartId::Builds { seconds: false },
        x: Axis::TemperatureDifference,
        y: Axis::PullNumber,
        whole: (0.0, 1.0),
        shown: (0.0, 1.0),
        body: Body::Rows(vec![
            row(1, "rise", 16.7, 2.1, "real"),
            row(2, "charge air at", -1.2, 3.4, "not shown"),
            row(3, "rise", -7.9, 1.8, "real"),
        ]),
    }
}

pub fn look(chart: &Chart, width: f64) -> Look {
    let height = height(chart, width);
    Look { width, height, scale: 1.0, dark: false, units: Units::US, title: None }
}

/// The texts of a drawing, in the order drawn.
fn texts(svg: &str) -> Vec<String> {
    let inner = svg.split("<text").skip(1).filter_map(|rest| rest.split_once('>'));
    let texts = inner.filter_map(|(_, rest)| rest.split("</text>").next());
    texts.map(|text| text.trim().to_owned()).collect()
}

#[test]
fn the_case_against_a_spun_launch_can_be_read_off_the_drawing() {
    let chart = spun();
    let drawn = texts(&svg(&chart, &look(&chart, 720.0)));
    for needed in [
        "logged speed",
        "over the ground",
        "tyre slip 41 %",
        "logged 2.21 s",
        "ground 4.12 s",
        "60",
        "beyond tyres",
        "over 1.32 g",
        "speed, mph",
        "seconds from first motion",
    ] {
        assert!(drawn.iter().any(|text| text == needed), "{needed} is missing in {drawn:?}");
    }
}

#[test]
fn every_panel_is_named_and_shares_one_scale() {
    let chart = heat();
    let mut text = String::new();
    let look = look(&chart, 1000.0);
    let frames = {
        let mut backend = plotters::prelude::SVGBackend::with_string(&mut text, (1000, 400));
        draw(&mut backend, &chart, &look).expect("a text takes everything")
    };
    assert_eq!(frames.len(), 4);
    assert!(frames.iter().all(|frame| frame.y == frames[0].y && frame.x == frames[0].x));
    let drawn = texts(&text);
    for name in ["Stock", "Overheating", "Front cooler", "Both coolers"] {
        assert!(drawn.iter().any(|text| text == name), "{name} is missing");
    }
}

/// The narrowest phone: nothing is written outside the paper.
#[test]
fn nothing_is_drawn_outside_a_narrow_chart() {
    for chart in [spun(), heat(), differences()] {
        let look = look(&chart, 328.0);
        let drawn = svg(&chart, &look);
        let xs = drawn.split("<text x=\"").skip(1).filter_map(|rest| rest.split('"').next());
        for x in xs.filter_map(|x| x.parse::<f64>().ok()) {
            assert!((0.0..=328.0).contains(&x), "text at {x} in {:?}", chart.id);
        }
    }
}

#[test]
fn a_gap_in_the_record_is_a_gap_in_the_line() {
    let mut chart = spun();
    let Body::Panels(panels) = &mut chart.body else { panic!("panels") };
    panels[0] = Panel { lines: vec![panels[0].lines[2].clone()], ..Panel::default() };
    let whole = svg(&chart, &look(&chart, 720.0)).matches("<polyline").count();
    let Body::Panels(panels) = &mut chart.body else { panic!("panels") };
    panels[0].lines[0].points[30].1 = f64::NAN;
    let torn = svg(&chart, &look(&chart, 720.0)).matches("<polyline").count();
    assert_eq!((whole, torn), (1, 2));
}

#[test]
fn an_interval_is_read_with_its_verdict() {
    let chart = differences();
    let drawn = texts(&svg(&chart, &look(&chart, 720.0)));
    assert!(drawn.contains(&"charge air at 80 mph: Build 3 minus Stock".to_owned()), "{drawn:?}");
    assert!(drawn.contains(&"−2.2 °F, not shown".to_owned()), "{drawn:?}");
}

/// A frame's two ways are one: what is under the pixel of a value is that value.
#[test]
fn pixels_and_values_go_both_ways() {
    let frame =
        Frame { left: 40.0, top: 0.0, right: 240.0, bottom: 100.0, x: (-1.0, 3.0), y: (0.0, 10.0) };
    for x in [-1.0, 0.0, 2.5, 3.0] {
        assert!((frame.x_at(frame.px(x)) - x).abs() < 1e-12);
    }
    assert_eq!((frame.py(0.0), frame.py(10.0)), (100.0, 0.0));
}
