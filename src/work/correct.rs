//! The reader's corrections to the pulls of one log.
//!
//! In: the pulls as found and what the reader said of them. Out: the pulls as the
//! reader wants them, numbered anew, and for each why it is set aside, if it is.
//!
//! A pull that is set aside stays in its place and keeps its number, since it
//! heated the car for those after it. A correction that fits nothing is said, and
//! never dropped in silence.

use crate::day::{PullChange, PullCorrection};
use crate::log::{Log, Problem, Role, Series};
use crate::pull::{Cut, Effort, Kind, Pull};

/// How far a found start may move, between versions of the method, and still be
/// the pull that a correction was made for.
const SAME_PULL_S: f64 = 1.0;
/// Below this a car counts as at rest: half of what a wheel-speed sensor can tell.
const AT_REST_MPS: f64 = 0.5;

/// Pulls with the reader's word on them. The first three lists are of one length.
#[derive(Debug, Default)]
pub struct Corrected {
    pub pulls: Vec<Pull>,
    /// The starts that corrections know the pulls by.
    pub found_starts_s: Vec<f64>,
    pub set_aside: Vec<Option<String>>,
    pub problems: Vec<Problem>,
}

struct Entry {
    /// The start that corrections know it by.
    found_s: f64,
    pull: Pull,
    set_aside: Option<String>,
}

/// The pulls after the corrections, in order of time and apart.
pub fn pulls(log: &Log, found: Vec<Pull>, corrections: &[&PullCorrection]) -> Corrected {
    let mut entries: Vec<Entry> = found
        .into_iter()
        .map(|pull| Entry { found_s: pull.start_s, pull, set_aside: None })
        .collect();
    let mut problems = Vec::new();
    let (added, rest): (Vec<&PullCorrection>, Vec<&PullCorrection>) =
        corrections.iter().partition(|one| matches!(one.change, PullChange::Added { .. }));
    for correction in added.into_iter().chain(rest) {
        if let Err(problem) = apply(log, &mut entries, correction) {
            problems.push(problem);
        }
    }
    put_in_order(&mut entries);
    let mut corrected = Corrected { problems, ..Corrected::default() };
    for entry in entries {
        corrected.pulls.push(entry.pull);
        corrected.found_starts_s.push(entry.found_s);
        corrected.set_aside.push(entry.set_aside);
    }
    corrected
}

fn apply(log: &Log, entries: &mut Vec<Entry>, said: &PullCorrection) -> Result<(), Problem> {
    match &said.change {
        PullChange::Added { from_s, to_s } => {
            let pull = drawn(log, *from_s, *to_s, "added by the reader")?;
            entries.retain(|e| e.pull.end_s <= pull.start_s || e.pull.start_s >= pull.end_s);
            entries.push(Entry { found_s: said.start_s, pull, set_aside: None });
        }
        PullChange::Edges { from_s, to_s } => {
            let pull = drawn(log, *from_s, *to_s, "edges set by the reader")?;
            let entry = meant(entries, said.start_s)?;
            entry.pull = Pull { effort: entry.pull.effort, ..pull };
        }
        PullChange::SetAside { why } => {
            let why = if why.trim().is_empty() { "no reason given" } else { why.trim() };
            meant(entries, said.start_s)?.set_aside = Some(why.to_owned());
        }
    }
    Ok(())
}

/// The pull a correction was made for: the nearest start, if it is near enough.
fn meant(entries: &mut [Entry], start_s: f64) -> Result<&mut Entry, Problem> {
    let off = |entry: &Entry| (entry.found_s - start_s).abs();
    entries
        .iter_mut()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .filter(|entry| off(entry) <= SAME_PULL_S)
        .ok_or_else(|| Problem {
            code: "correction_fits_no_pull",
            text: format!(
                "A correction kept for the pull at {start_s:.1} s fits no pull found now; it is \
                 kept but has no effect. Make it again, or take it out of the day file."
            ),
        })
}

/// A pull with the reader's edges, cut to the record.
fn drawn(log: &Log, from_s: f64, to_s: f64, how: &str) -> Result<Pull, Problem> {
    let (start_s, end_s) = (from_s.max(0.0), to_s.min(log.span_s));
    if !from_s.is_finite() || !to_s.is_finite() || start_s >= end_s {
        return Err(Problem {
            code: "correction_outside_log",
            text: format!(
                "A correction asks for a pull from {from_s:.1} s to {to_s:.1} s, but the log runs \
                 from 0 s to {:.1} s. Set the edges inside it, the earlier first.",
                log.span_s
            ),
        });
    }
    let cut = Cut { at_start: from_s < 0.0, at_end: to_s > log.span_s };
    let (kind, how) = (kind_at(log, start_s), how.to_owned());
    Ok(Pull { number: 0, kind, start_s, end_s, effort: Effort::Unknown, cut, how })
}

/// From rest if a speed that the log has is at rest within half a second of the edge.
fn kind_at(log: &Log, start_s: f64) -> Kind {
    let at_rest = |series: &Series| {
        let (_, near) = series.between(start_s - 0.5, start_s + 0.5);
        near.iter().any(|&speed| speed < AT_REST_MPS)
    };
    let speeds = [Role::VehicleSpeed, Role::SatelliteSpeed, Role::UndrivenWheelSpeed];
    match speeds.iter().find_map(|&role| log.series(role)) {
        Some(series) if at_rest(series) => Kind::Standing,
        _ => Kind::Rolling,
    }
}

/// Sorts, numbers from 1, and ends a pull where the next begins.
fn put_in_order(entries: &mut Vec<Entry>) {
    entries.sort_by(|a, b| a.pull.start_s.total_cmp(&b.pull.start_s));
    entries.dedup_by(|later, earlier| later.pull.start_s <= earlier.pull.start_s);
    for index in 1..entries.len() {
        let next_s = entries[index].pull.start_s;
        let before = &mut entries[index - 1].pull;
        before.end_s = before.end_s.min(next_s);
    }
    for (number, entry) in (1..).zip(entries.iter_mut()) {
        entry.pull.number = number;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::{Channel, Form};
    use std::sync::Arc;

    /// At rest until 20 s, then 1 m/s faster every second.
    fn log() -> Log {
        let time_s: Arc<[f64]> = (0..100).map(f64::from).collect();
        let value = time_s.iter().map(|&t| (t - 20.0).max(0.0)).collect();
        let speed = Channel {
            name: "speed".to_owned(),
            role: Some(Role::VehicleSpeed),
            unit: None,
            how: String::new(),
            derived: false,
            series: Series { time_s, value },
            rate_hz: Some(1.0),
            resolution: None,
        };
        Log {
            name: "a.csv".to_owned(),
            form: Form::Csv,
            span_s: 99.0,
            rows: 100,
            began_unix_s: None,
            clock_began_s: None,
            channels: vec![speed],
            problems: Vec::new(),
            header_key: String::new(),
            form_found: String::new(),
        }
    }

    fn pull(number: u32, start_s: f64, end_s: f64) -> Pull {
        let (kind, effort, cut) = (Kind::Standing, Effort::Full, Cut::default());
        Pull { number, kind, start_s, end_s, effort, cut, how: "found".to_owned() }
    }

    fn said(start_s: f64, change: PullChange) -> PullCorrection {
        PullCorrection { log: "a.csv".to_owned(), start_s, change }
    }

    fn edges_of(corrected: &Corrected) -> Vec<(u32, f64, f64)> {
        corrected.pulls.iter().map(|p| (p.number, p.start_s, p.end_s)).collect()
    }

    #[test]
    fn a_pull_set_aside_keeps_its_place_and_number() {
        let aside = said(40.3, PullChange::SetAside { why: "missed a gear".to_owned() });
        let found = vec![pull(1, 20.0, 30.0), pull(2, 40.0, 50.0), pull(3, 60.0, 70.0)];
        let corrected = pulls(&log(), found, &[&aside]);
        let expected = [(1, 20.0, 30.0), (2, 40.0, 50.0), (3, 60.0, 70.0)];
        assert_eq!(edges_of(&corrected), expected);
        assert_eq!(corrected.set_aside, [None, Some("missed a gear".to_owned()), None]);
    }

    #[test]
    fn an_added_pull_takes_the_place_of_what_it_covers_and_is_numbered_by_time() {
        let added = said(20.0, PullChange::Added { from_s: 20.0, to_s: 45.0 });
        let found = vec![pull(1, 22.0, 30.0), pull(2, 60.0, 70.0)];
        let corrected = pulls(&log(), found, &[&added]);
        assert_eq!(edges_of(&corrected), [(1, 20.0, 45.0), (2, 60.0, 70.0)]);
        assert_eq!(corrected.pulls[0].kind, Kind::Standing);
        assert_eq!(corrected.pulls[0].effort, Effort::Unknown);
    }

    #[test]
    fn moved_edges_stay_apart_from_the_next_pull_and_tell_rest_from_rolling() {
        let moved = said(20.0, PullChange::Edges { from_s: 25.0, to_s: 65.0 });
        let found = vec![pull(1, 20.0, 30.0), pull(2, 60.0, 70.0)];
        let corrected = pulls(&log(), found, &[&moved]);
        assert_eq!(edges_of(&corrected), [(1, 25.0, 60.0), (2, 60.0, 70.0)]);
        assert_eq!(corrected.pulls[0].kind, Kind::Rolling);
        assert_eq!(corrected.pulls[0].effort, Effort::Full);
    }

    #[test]
    fn a_correction_that_fits_nothing_is_said_and_changes_nothing() {
        let lost = said(48.0, PullChange::SetAside { why: String::new() });
        let outside = said(200.0, PullChange::Added { from_s: 200.0, to_s: 210.0 });
        let found = vec![pull(1, 20.0, 30.0)];
        let corrected = pulls(&log(), found, &[&lost, &outside]);
        let codes: Vec<_> = corrected.problems.iter().map(|p| p.code).collect();
        assert_eq!(codes, ["correction_outside_log", "correction_fits_no_pull"]);
        assert_eq!(edges_of(&corrected), [(1, 20.0, 30.0)]);
    }
}
