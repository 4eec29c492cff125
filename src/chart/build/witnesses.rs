//! The witnesses of one pull drawn over each other: the case for or against a time.
//!
//! The logged speed is the suspect; the ground speed is the heavy line; spin is
//! shaded; the corner that no tyre reaches is hatched; and both times to the mark are
//! named at their crossings, so that the reader sees why one of them cannot be.

use super::Site;
use crate::chart::{Axis, Band, Chart, ChartId, Ink, Line, Panel, Spot, Stroke, thin};
use crate::launch::{
    Car, Drive, Launch, MARKS, MarkKind, MarkTime, Motion, Spin, SpinKind, Tyres, Witness, grip,
};
use crate::pull::{Kind, Pull};

/// Seen before the start and after the last thing of interest.
const BEFORE_S: f64 = 0.5;
const AFTER_S: f64 = 1.5;

pub fn witnesses(site: &Site, log: usize, pull: usize) -> Option<Chart> {
    let found = site.findings.logs.get(log)?;
    let (car, launch) = (found.pulls.get(pull)?, found.launches.get(pull)?);
    let start_s = launch.motion.as_ref().map_or(car.start_s, |motion| motion.start_s);
    let mark = deciding(launch);
    let whole = (-BEFORE_S, car.end_s - start_s + AFTER_S);
    let opening = (-BEFORE_S, interest_s(car, launch, mark, start_s));
    let shown = site.view.unwrap_or(opening);
    let mut lines: Vec<Line> = launch
        .witnesses
        .iter()
        .map(|trace| witness(trace, start_s, shown, site.width_px))
        .collect();
    lines.extend(launch.motion.as_ref().map(|m| ground(m, start_s, shown, site.width_px)));
    if lines.iter().all(|line| line.points.is_empty()) {
        return None;
    }
    let panel = Panel {
        lines,
        bands: bands(launch, start_s),
        levels: mark.and_then(|mark| speed_of(mark.mark)).into_iter().collect(),
        spots: mark.map(spots).unwrap_or_default(),
        ceiling: (car.kind == Kind::Standing).then(|| ceiling(site)),
        ..Panel::default()
    };
    let id = ChartId::Witnesses { log, pull };
    let axes = (Axis::SecondsFromStart, Axis::Speed);
    let mut chart = site.chart(id, axes, whole, vec![panel]);
    chart.shown = shown;
    Some(chart)
}

/// Up to a little after the mark, the spin, and what the logged speed claims.
fn interest_s(pull: &Pull, launch: &Launch, mark: Option<&MarkTime>, start_s: f64) -> f64 {
    let spin = launch.spin.iter().map(|spin| spin.to_s - start_s);
    let times = mark.into_iter().flat_map(|mark| [mark.time_s, mark.logged_time_s]).flatten();
    let last = spin.chain(times).fold(0.0, f64::max);
    let end = pull.end_s - start_s + AFTER_S;
    if last > 0.0 { (last + AFTER_S).min(end) } else { end }
}

/// The mark that carries the verdict: 0-60 mph, or the longest reached below it.
fn deciding(launch: &Launch) -> Option<&MarkTime> {
    let find = |code: &str| launch.marks.iter().find(|mark| mark.mark == code);
    find("0-60mph").or_else(|| find("0-30mph"))
}

fn speed_of(code: &str) -> Option<f64> {
    MARKS.iter().find(|(known, _)| *known == code).and_then(|(_, kind)| match kind {
        MarkKind::Speed { mps } => Some(*mps),
        _ => None,
    })
}

fn spots(mark: &MarkTime) -> Vec<Spot> {
    let Some(y) = speed_of(mark.mark) else { return Vec::new() };
    let spot = |x: f64, who: &str, ink| Spot { x, y, label: format!("{who} {x:.2} s"), ink };
    let logged = mark.logged_time_s.map(|x| spot(x, "logged", Ink::Suspect));
    let ground = mark.time_s.map(|x| spot(x, "ground", Ink::Plain));
    logged.into_iter().chain(ground).collect()
}

/// One band a stretch; stretches of one kind that overlap become one, under the
/// larger slip.
fn bands(launch: &Launch, start_s: f64) -> Vec<Band> {
    let mut merged: Vec<Spin> = Vec::new();
    for spin in &launch.spin {
        match merged
            .iter_mut()
            .find(|m| m.kind == spin.kind && m.to_s >= spin.from_s && spin.to_s >= m.from_s)
        {
            Some(known) => {
                known.from_s = known.from_s.min(spin.from_s);
                known.to_s = known.to_s.max(spin.to_s);
                known.peak_slip = known.peak_slip.max(spin.peak_slip);
            }
            None => merged.push(spin.clone()),
        }
    }
    let band = |spin: &Spin| Band {
        from: spin.from_s - start_s,
        to: spin.to_s - start_s,
        label: format!("{} {:.0} %", kind(spin.kind), spin.peak_slip * 100.0),
        warns: spin.kind == SpinKind::Tyre,
    };
    merged.iter().map(band).collect()
}

fn kind(kind: SpinKind) -> &'static str {
    match kind {
        SpinKind::Tyre => "tyre slip",
        SpinKind::Converter => "converter slip",
        SpinKind::Clutch => "clutch slip",
        SpinKind::Unknown => "slip",
    }
}

fn witness(
    trace: &crate::launch::WitnessTrace,
    start_s: f64,
    shown: (f64, f64),
    width_px: u32,
) -> Line {
    let (label, ink) = match trace.witness {
        Witness::LoggedSpeed => ("logged speed", Ink::Suspect),
        Witness::EngineThroughGear => ("engine × gear", Ink::Quiet),
        Witness::Accelerometer => ("accelerometer", Ink::Quiet),
        Witness::SatelliteSpeed => ("satellite", Ink::Quiet),
        Witness::UndrivenWheel => ("undriven wheel", Ink::Quiet),
    };
    let stroke = match trace.witness {
        Witness::EngineThroughGear => Stroke::Dashed,
        Witness::LoggedSpeed => Stroke::Line(2),
        _ => Stroke::Line(1),
    };
    let points = from_start(&trace.time_s, &trace.speed_mps, start_s);
    Line { label: label.to_owned(), ink, stroke, points: thin::columns(&points, shown, width_px) }
}

fn ground(motion: &Motion, start_s: f64, shown: (f64, f64), width_px: u32) -> Line {
    let points = from_start(&motion.time_s, &motion.speed_mps, start_s);
    Line {
        label: "over the ground".to_owned(),
        ink: Ink::Plain,
        stroke: Stroke::Line(4),
        points: thin::columns(&points, shown, width_px),
    }
}

pub(super) fn from_start(time_s: &[f64], value: &[f64], start_s: f64) -> Vec<(f64, f64)> {
    let relative: Vec<f64> = time_s.iter().map(|t| t - start_s).collect();
    thin::with_gaps(&relative, value, 2.0)
}

/// What the tyres of this car could give at the very best, m/s².
fn ceiling(site: &Site) -> f64 {
    let vehicle = site.day.vehicle.as_ref();
    let drive = vehicle.and_then(|v| v.drive.as_deref()).and_then(|code| match code {
        "front" => Some(Drive::Front),
        "rear" => Some(Drive::Rear),
        _ => None,
    });
    let tyres = vehicle.and_then(|v| v.tyres.as_deref()).and_then(|code| match code {
        "semi-slick" => Some(Tyres::SemiSlick),
        "drag" => Some(Tyres::Drag),
        _ => None,
    });
    grip::limit_mps2(&Car { drive, tyres, ..Car::default() })
}
