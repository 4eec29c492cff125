//! Every launch over the ground, from its own time zero.

use super::witnesses::from_start;
use super::{Site, reach, weight};
use crate::chart::{Axis, Chart, ChartId, Line, Panel, Stroke, thin};
use crate::launch::Verdict;
use crate::pull::Kind;
use crate::unit::MPS_PER_MPH;
use crate::work::LogFindings;

pub fn launches(site: &Site) -> Option<Chart> {
    let lines: Vec<Line> =
        site.findings.logs.iter().flat_map(|found| of_log(site, found)).collect();
    let panels = vec![Panel { lines, levels: vec![60.0 * MPS_PER_MPH], ..Panel::default() }];
    let (_, most) = reach(&panels)?;
    let axes = (Axis::SecondsFromStart, Axis::Speed);
    Some(site.chart(ChartId::Launches, axes, (0.0, most), panels))
}

fn of_log<'a>(site: &'a Site, found: &'a LogFindings) -> impl Iterator<Item = Line> + 'a {
    let pulls = found.pulls.iter().zip(&found.launches).zip(&found.set_aside);
    let counted = pulls.filter(|((pull, _), aside)| pull.kind == Kind::Standing && aside.is_none());
    counted.filter_map(move |((pull, launch), _)| {
        let motion = launch.motion.as_ref()?;
        let end_s = pull.end_s.min(*motion.time_s.last()?);
        let points: Vec<(f64, f64)> = from_start(&motion.time_s, &motion.speed_mps, motion.start_s)
            .into_iter()
            .filter(|p| p.0 >= 0.0 && p.0 <= end_s - motion.start_s)
            .collect();
        let whole = (0.0, end_s - motion.start_s);
        Some(Line {
            label: label(site, found, pull.number),
            ink: site.ink(found),
            stroke: match launch.verdict {
                Verdict::Void => Stroke::Faint,
                _ => Stroke::Line(weight(pull.number)),
            },
            points: thin::columns(&points, site.shown(whole), site.width_px),
        })
    })
}

/// The build where it tells them apart; the number always.
fn label(site: &Site, found: &LogFindings, number: u32) -> String {
    if site.findings.logs.len() > 1 {
        return format!("{} {number}", site.title(found));
    }
    format!("pull {number}")
}
