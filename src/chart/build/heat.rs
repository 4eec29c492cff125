//! Charge air: against road speed, from pull to pull, and after the lift.

use super::{Site, reach, weight};
use crate::chart::{Axis, Chart, ChartId, Line, Panel, Stroke, thin};
use crate::heat::{Ladder, Recovery};
use crate::log::Role;
use crate::work::LogFindings;

/// Seen before the lift, so that the turn can be seen.
const BEFORE_LIFT_S: f64 = 5.0;
/// Points of a drawn fit.
const FIT_POINTS: usize = 60;

pub fn over_speed(site: &Site) -> Option<Chart> {
    let panels = panels(site, |site, found| {
        counted(found)
            .filter_map(|at| {
                let heat = found.heats.get(at)?.as_ref()?;
                (heat.trace.len() > 1).then(|| Line {
                    label: found.pulls[at].number.to_string(),
                    ink: site.ink(found),
                    stroke: Stroke::Line(weight(found.pulls[at].number)),
                    points: sparse(&heat.trace, site.width_px),
                })
            })
            .collect()
    });
    let (_, most) = reach(&panels)?;
    let axes = (Axis::Speed, Axis::Temperature);
    Some(site.chart(ChartId::HeatOverSpeed, axes, (0.0, most), panels))
}

pub fn ladder(site: &Site) -> Option<Chart> {
    let panels = panels(site, |site, found| {
        found.ladder.as_ref().map(|ladder| rungs(site, found, ladder)).unwrap_or_default()
    });
    let rungs = |found: &LogFindings| {
        found.ladder.as_ref().map_or(0, |ladder| ladder.starts_c.len() + ladder.forecast_c.len())
    };
    let most = site.findings.logs.iter().map(rungs).max().filter(|most| *most > 0)?;
    let whole = (0.4, most as f64 + 0.6);
    let axes = (Axis::PullNumber, Axis::Temperature);
    Some(site.chart(ChartId::Ladder, axes, whole, panels))
}

/// A bar a pull from start to end, a dot at its start, and the forecast dashed.
fn rungs(site: &Site, found: &LogFindings, ladder: &Ladder) -> Vec<Line> {
    let ink = site.ink(found);
    let pairs = ladder.starts_c.iter().zip(&ladder.ends_c).enumerate();
    let mut lines: Vec<Line> = pairs
        .map(|(at, (&start, &end))| Line {
            label: String::new(),
            ink,
            stroke: Stroke::Bar,
            points: vec![(at as f64 + 1.0, start), (at as f64 + 1.0, end)],
        })
        .collect();
    let first = ladder.starts_c.len();
    let last_start = ladder.starts_c.last().map(|&c| (first as f64, c));
    let forecast: Vec<(f64, f64)> = last_start
        .into_iter()
        .chain(ladder.forecast_c.iter().enumerate().map(|(n, &c)| ((first + n + 1) as f64, c)))
        .collect();
    let starts: Vec<(f64, f64)> =
        ladder.starts_c.iter().enumerate().map(|(at, &c)| (at as f64 + 1.0, c)).collect();
    lines.push(Line { label: String::new(), ink, stroke: Stroke::Dots, points: starts });
    if forecast.len() > 1 {
        lines.push(Line { label: String::new(), ink, stroke: Stroke::Dashed, points: forecast });
    }
    lines
}

pub fn recovery(site: &Site) -> Option<Chart> {
    let panels = panels(site, |site, found| {
        counted(found).flat_map(|at| after_lift(site, found, at)).collect()
    });
    let whole = reach(&panels)?;
    let axes = (Axis::SecondsFromLift, Axis::Temperature);
    Some(site.chart(ChartId::Recovery, axes, (whole.0.max(-BEFORE_LIFT_S), whole.1), panels))
}

fn after_lift(site: &Site, found: &LogFindings, at: usize) -> Vec<Line> {
    let Some(recovery) = found.heats.get(at).and_then(|heat| heat.as_ref()?.recovery.as_ref())
    else {
        return Vec::new();
    };
    let Some(series) = found.log.series(Role::ChargeAir) else { return Vec::new() };
    let pull = &found.pulls[at];
    let until_s = recovery.to_s.max(pull.end_s + 10.0);
    let (time_s, value) = series.between(pull.end_s - BEFORE_LIFT_S, until_s);
    let relative: Vec<f64> = time_s.iter().map(|t| t - pull.end_s).collect();
    let points = thin::with_gaps(&relative, value, 10.0);
    let whole = (-BEFORE_LIFT_S, until_s - pull.end_s);
    let record = Line {
        label: pull.number.to_string(),
        ink: site.ink(found),
        stroke: Stroke::Line(weight(pull.number)),
        points: thin::columns(&points, site.shown(whole), site.width_px),
    };
    std::iter::once(record).chain(fit(recovery, pull.end_s)).collect()
}

/// The fitted cooling over the stretch it was fitted to.
fn fit(recovery: &Recovery, lift_s: f64) -> Option<Line> {
    let (tau_s, level_c) = (recovery.tau_s?, recovery.settles_at_c?);
    let amplitude_c = recovery.amplitude_c?;
    let span_s = recovery.to_s - recovery.from_s;
    let points = (0..=FIT_POINTS).map(|n| {
        let t = span_s * n as f64 / FIT_POINTS as f64;
        (recovery.from_s - lift_s + t, level_c + amplitude_c * libm::exp(-t / tau_s))
    });
    Some(Line {
        label: String::new(),
        ink: crate::chart::Ink::Plain,
        stroke: Stroke::Dashed,
        points: points.collect(),
    })
}

/// Pulls that were not set aside, by their place.
fn counted(found: &LogFindings) -> impl Iterator<Item = usize> + '_ {
    (0..found.pulls.len()).filter(|at| found.set_aside.get(*at).is_none_or(Option::is_none))
}

/// A panel a log that has something to show.
fn panels(site: &Site, lines: impl Fn(&Site, &LogFindings) -> Vec<Line>) -> Vec<Panel> {
    let panel = |found: &LogFindings| {
        let lines = lines(site, found);
        (!lines.is_empty()).then(|| Panel { title: site.title(found), lines, ..Panel::default() })
    };
    site.findings.logs.iter().filter_map(panel).collect()
}

/// Charge air against speed does not run along x: every nth point, and the last.
fn sparse(trace: &[(f64, f64)], width_px: u32) -> Vec<(f64, f64)> {
    let step = (trace.len() / (2 * width_px.max(1) as usize)).max(1);
    let mut points: Vec<(f64, f64)> = trace.iter().copied().step_by(step).collect();
    if points.last() != trace.last() {
        points.extend(trace.last());
    }
    points
}
