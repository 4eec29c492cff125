//! From findings to a chart's values.
//!
//! In: the [`Day`], the [`Findings`], which chart, how wide, which part of it.
//! Out: a [`Chart`], or `None` where there is nothing to draw.

mod builds;
mod heat;
mod launches;
mod strip;
mod witnesses;

use super::{Axis, Body, Chart, ChartId, Ink, Panel};
use crate::day::Day;
use crate::work::{Findings, LogFindings};

/// Where to build: what was found, how wide it is shown, and which part.
struct Site<'a> {
    day: &'a Day,
    findings: &'a Findings,
    width_px: u32,
    view: Option<(f64, f64)>,
}

/// The chart's values, thinned to what a width can show.
pub fn build(
    day: &Day,
    findings: &Findings,
    id: ChartId,
    width_px: u32,
    view: Option<(f64, f64)>,
) -> Option<Chart> {
    let site = Site { day, findings, width_px, view };
    match id {
        ChartId::Strip { log } => strip::strip(&site, log),
        ChartId::Witnesses { log, pull } => witnesses::witnesses(&site, log, pull),
        ChartId::Launches | ChartId::LaunchesOverDistance => launches::launches(&site, id),
        ChartId::HeatOverSpeed => heat::over_speed(&site),
        ChartId::Ladder => heat::ladder(&site),
        ChartId::Recovery => heat::recovery(&site),
        ChartId::BuildMarks => builds::marks(&site),
        ChartId::Builds { seconds } => builds::intervals(&site, seconds),
    }
}

impl Site<'_> {
    /// A chart over a whole range of x, showing the asked part of it.
    fn chart(
        &self,
        id: ChartId,
        (x, y): (Axis, Axis),
        whole: (f64, f64),
        panels: Vec<Panel>,
    ) -> Chart {
        let shown = self.view.unwrap_or(whole);
        Chart { id, x, y, whole, shown, body: Body::Panels(panels) }
    }

    fn shown(&self, whole: (f64, f64)) -> (f64, f64) {
        self.view.unwrap_or(whole)
    }

    fn build_name(&self, build: usize) -> String {
        let named = self.day.builds.get(build).map(|build| build.name.clone());
        named.unwrap_or_else(|| format!("Build {}", build + 1))
    }

    /// What a log's panel is called: its build, or its own name where that tells
    /// it from the build's other logs.
    fn title(&self, found: &LogFindings) -> String {
        let build = found.build;
        let alone = self.findings.logs.iter().filter(|log| log.build == build).count() == 1;
        match build {
            Some(build) if alone && self.day.builds.len() > 1 => self.build_name(build),
            _ => found.log.name.clone(),
        }
    }

    fn ink(&self, found: &LogFindings) -> Ink {
        match found.build {
            Some(build) if self.day.builds.len() > 1 => Ink::Build(build),
            _ => Ink::Plain,
        }
    }
}

/// Each later pull is drawn heavier, up to the heaviest.
fn weight(number: u32) -> u8 {
    u8::try_from(number.min(4)).unwrap_or(4)
}

/// Least and most x of all points; `None` without any.
fn reach(panels: &[Panel]) -> Option<(f64, f64)> {
    let points = panels.iter().flat_map(|panel| &panel.lines).flat_map(|line| &line.points);
    let (least, most) = points
        .filter(|p| p.0.is_finite() && p.1.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), p| (l.min(p.0), m.max(p.0)));
    (least < most).then_some((least, most))
}
