//! Every launch over the ground, from its own time zero: over time, or over the distance
//! gone, where a late start does not shift the lines.

use super::{Site, reach, weight};
use crate::chart::{Axis, Chart, ChartId, Line, Panel, Stroke, thin};
use crate::launch::{Motion, Verdict};
use crate::pull::Kind;
use crate::unit::MPS_PER_MPH;
use crate::work::LogFindings;

/// More lines than this are told apart only in panels of their own.
const MOST_TOGETHER: usize = 9;

/// A record silent for longer is a gap in the line.
const GAP_S: f64 = 2.0;

pub fn launches(site: &Site, id: ChartId) -> Option<Chart> {
    let far = id == ChartId::LaunchesOverDistance;
    let levels = vec![60.0 * MPS_PER_MPH];
    let of_logs: Vec<(String, Vec<Line>)> = site
        .findings
        .logs
        .iter()
        .map(|found| (site.title(found), of_log(site, found, far).collect()))
        .filter(|(_, lines): &(String, Vec<Line>)| !lines.is_empty())
        .collect();
    let together = of_logs.iter().map(|(_, lines)| lines.len()).sum::<usize>() <= MOST_TOGETHER;
    let panels = if together {
        let lines = of_logs.into_iter().flat_map(|(title, lines)| named(site, &title, lines));
        vec![Panel { lines: lines.collect(), levels, ..Panel::default() }]
    } else {
        let panel =
            |(title, lines)| Panel { title, lines, levels: levels.clone(), ..Panel::default() };
        of_logs.into_iter().map(panel).collect()
    };
    let (_, most) = reach(&panels)?;
    let x = if far { Axis::DistanceFromStart } else { Axis::SecondsFromStart };
    Some(site.chart(id, (x, Axis::Speed), (0.0, most), panels))
}

/// In one panel a number alone does not tell whose pull it is.
fn named(site: &Site, title: &str, lines: Vec<Line>) -> Vec<Line> {
    let many = site.findings.logs.len() > 1;
    let name =
        |number: &str| if many { format!("{title} {number}") } else { format!("pull {number}") };
    lines.into_iter().map(|line| Line { label: name(&line.label), ..line }).collect()
}

/// A launch whose time is void is dashed: no one takes it for one that stands.
fn of_log<'a>(
    site: &'a Site,
    found: &'a LogFindings,
    far: bool,
) -> impl Iterator<Item = Line> + 'a {
    let pulls = found.pulls.iter().zip(&found.launches).zip(&found.set_aside);
    let counted = pulls.filter(|((pull, _), aside)| pull.kind == Kind::Standing && aside.is_none());
    counted.filter_map(move |((pull, launch), _)| {
        let points = points(launch.motion.as_ref()?, pull.end_s, far);
        let whole = (0.0, points.last()?.0);
        Some(Line {
            label: pull.number.to_string(),
            ink: site.ink(found),
            stroke: match launch.verdict {
                Verdict::Void => Stroke::Dashed,
                _ => Stroke::Line(weight(pull.number)),
            },
            points: thin::columns(&points, site.shown(whole), site.width_px),
        })
    })
}

/// Speed from first motion to the lift, over seconds or metres.
fn points(motion: &Motion, end_s: f64, far: bool) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut last_s = motion.start_s;
    for (i, &t) in motion.time_s.iter().enumerate() {
        if t < motion.start_s || t > end_s {
            continue;
        }
        let x = if far { motion.distance_m[i] } else { t - motion.start_s };
        // Noise at rest may step back by a hair; a line over distance never does.
        let x = points.last().map_or(x.max(0.0), |last| x.max(last.0));
        if t - last_s > GAP_S {
            points.push((x, f64::NAN));
        }
        points.push((x, motion.speed_mps[i]));
        last_s = t;
    }
    points
}
