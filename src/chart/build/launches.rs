//! Every launch over the ground, from its own time zero.

use super::witnesses::from_start;
use super::{Site, reach, weight};
use crate::chart::{Axis, Chart, ChartId, Line, Panel, Stroke, thin};
use crate::launch::Verdict;
use crate::pull::Kind;
use crate::unit::MPS_PER_MPH;
use crate::work::LogFindings;

/// More lines than this are told apart only in panels of their own.
const MOST_TOGETHER: usize = 9;

pub fn launches(site: &Site) -> Option<Chart> {
    let levels = vec![60.0 * MPS_PER_MPH];
    let of_logs: Vec<(String, Vec<Line>)> = site
        .findings
        .logs
        .iter()
        .map(|found| (site.title(found), of_log(site, found).collect()))
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
    let axes = (Axis::SecondsFromStart, Axis::Speed);
    Some(site.chart(ChartId::Launches, axes, (0.0, most), panels))
}

/// In one panel a number alone does not tell whose pull it is.
fn named(site: &Site, title: &str, lines: Vec<Line>) -> Vec<Line> {
    let many = site.findings.logs.len() > 1;
    let name =
        |number: &str| if many { format!("{title} {number}") } else { format!("pull {number}") };
    lines.into_iter().map(|line| Line { label: name(&line.label), ..line }).collect()
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
            label: pull.number.to_string(),
            ink: site.ink(found),
            stroke: match launch.verdict {
                Verdict::Void => Stroke::Faint,
                _ => Stroke::Line(weight(pull.number)),
            },
            points: thin::columns(&points, site.shown(whole), site.width_px),
        })
    })
}
