//! Builds side by side: where each pull ended, and what the differences are worth.

use super::Site;
use crate::chart::{Axis, Body, Chart, ChartId, Interval, Line, Panel, Stroke};
use crate::compare::{Comparison, Measure, Worth};
use crate::work::LogFindings;

pub fn marks(site: &Site) -> Option<Chart> {
    let line = |found: &LogFindings| {
        let points: Vec<(f64, f64)> = (0..found.pulls.len())
            .filter(|at| found.set_aside.get(*at).is_none_or(Option::is_none))
            .filter_map(|at| {
                let heat = found.heats.get(at)?.as_ref()?;
                Some((f64::from(found.pulls[at].number), heat.end_c))
            })
            .collect();
        let path = Line {
            label: site.title(found),
            ink: site.ink(found),
            stroke: Stroke::Line(2),
            points: points.clone(),
        };
        let dots = Line { label: String::new(), stroke: Stroke::Dots, points, ..path.clone() };
        (!path.points.is_empty()).then_some([path, dots])
    };
    let lines: Vec<Line> = site.findings.logs.iter().filter_map(line).flatten().collect();
    let most = lines.iter().flat_map(|line| &line.points).map(|p| p.0).fold(0.0, f64::max);
    if most < 1.0 {
        return None;
    }
    let panels = vec![Panel { lines, ..Panel::default() }];
    let axes = (Axis::PullNumber, Axis::Temperature);
    Some(site.chart(ChartId::BuildMarks, axes, (0.7, most + 0.3), panels))
}

pub fn intervals(site: &Site, seconds: bool) -> Option<Chart> {
    let rows: Vec<Interval> = site
        .findings
        .comparisons
        .iter()
        .filter(|row| in_seconds(row.measure) == seconds && leads(site, row))
        .filter_map(|row| interval(site, row))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let x = if seconds { Axis::SecondsDifference } else { Axis::TemperatureDifference };
    let id = ChartId::Builds { seconds };
    let whole = (0.0, 1.0);
    Some(Chart { id, x, y: Axis::PullNumber, whole, shown: whole, body: Body::Rows(rows) })
}

/// One row says what ten would repeat: of all speeds the highest, of all times 0-60 mph.
/// The table has the rest.
fn leads(site: &Site, row: &Comparison) -> bool {
    let same_pair = |other: &&Comparison| (other.from, other.to) == (row.from, row.to);
    match row.measure {
        Measure::ChargeRise | Measure::RecoveryTau => true,
        // Neither degrees nor seconds: in words and in the table.
        Measure::ChargeStart | Measure::WheelPower { .. } => false,
        Measure::TimeToMark { mark } => mark == "0-60mph",
        Measure::ChargeAtMark { speed_mps } => {
            let own = &site.day.speed_marks_mps;
            let is_own = |mps: f64| own.iter().any(|own| (own - mps).abs() < 0.01);
            let faster = |other: &Comparison| matches!(other.measure, Measure::ChargeAtMark { speed_mps: s } if s > speed_mps && (own.is_empty() || is_own(s)));
            (own.is_empty() || is_own(speed_mps))
                && !site.findings.comparisons.iter().filter(same_pair).any(faster)
        }
    }
}

fn in_seconds(measure: Measure) -> bool {
    matches!(measure, Measure::RecoveryTau | Measure::TimeToMark { .. })
}

fn interval(site: &Site, row: &Comparison) -> Option<Interval> {
    let (measure, speed_mps) = match row.measure {
        Measure::ChargeRise => ("rise", None),
        Measure::ChargeAtMark { speed_mps } => ("charge air at", Some(speed_mps)),
        Measure::ChargeStart => ("charge air at the start", None),
        Measure::RecoveryTau => ("recovery time constant", None),
        Measure::TimeToMark { mark } => (mark, None),
        Measure::WheelPower { speed_mps } => ("power at the wheels at", Some(speed_mps)),
    };
    Some(Interval {
        pair: format!("{} minus {}", site.build_name(row.to), site.build_name(row.from)),
        measure: measure.to_owned(),
        speed_mps,
        build: row.to,
        value: row.difference?,
        low: row.low,
        high: row.high,
        verdict: match row.worth {
            Worth::Real => "real",
            Worth::NotShown => "not shown",
            Worth::CannotCompare => "cannot compare",
        }
        .to_owned(),
    })
}
