//! Which opened logs recorded one drive, and where each lies on the other's clock.
//!
//! In: the logs as opened, and the day's word on them. Out: for each log the [`Drive`] that
//! it is a part of, if any. A part has no pulls of its own: its channels go to the log of
//! the engine.
//!
//! Never: a log that is part of two drives, or of one that is a part itself.

use std::cmp::Ordering;

use super::{OpenLog, paths};
use crate::day::{Day, DriveCorrection};
use crate::log::Log;
use crate::log::align::{self, Alignment, By};

/// The drive that a log is a part of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drive {
    /// The engine's log: an index into the same list.
    pub of: usize,
    pub alignment: Alignment,
}

/// What the logs themselves show: for each the engine's log that it agrees with best.
pub fn found(logs: &[OpenLog]) -> Vec<Option<Drive>> {
    let mut drives: Vec<Option<Drive>> =
        logs.iter().map(|open| drive_of(&open.log, logs)).collect();
    // Where no log is an engine's, a receiver's may have been cut.
    let any_engine = logs.iter().any(|open| align::has_engine(&open.log));
    let is_whole = |at: &usize| !any_engine || align::has_engine(&logs[*at].log);
    let mut in_time: Vec<usize> = (0..logs.len()).filter(is_whole).collect();
    let began_s = |at: &usize| {
        let log = &logs[*at].log;
        [log.began_unix_s, log.clock_began_s].map(|began| began.unwrap_or(f64::INFINITY))
    };
    in_time.sort_by(|a, b| began_s(a).iter().partial_cmp(&began_s(b)).unwrap_or(Ordering::Equal));
    for &at in &in_time {
        let Some((before, mut alignment)) = goes_on_from(logs, &in_time, at) else { continue };
        // The third file of a drive follows the first one, by way of the second.
        let first = drives[before].map_or(before, |drive| drive.of);
        alignment.shift_s += drives[before].map_or(0.0, |drive| drive.alignment.shift_s);
        drives[at] = Some(Drive { of: first, alignment });
    }
    // What was recorded beside a later file of a drive is laid beside the first one.
    for at in 0..drives.len() {
        let Some(drive) = drives[at] else { continue };
        if let Some(onward) = drives[drive.of] {
            let shift_s = drive.alignment.shift_s + onward.alignment.shift_s;
            let alignment = Alignment { shift_s, ..drive.alignment };
            drives[at] = Some(Drive { of: onward.of, alignment });
        }
    }
    drives
}

/// The log that another goes on from; of several the one whose name is most alike, and none
/// where two are equally so.
fn goes_on_from(logs: &[OpenLog], among: &[usize], at: usize) -> Option<(usize, Alignment)> {
    let alike = |other: &usize| {
        let (own, other) = (paths::stem(&logs[at].path), paths::stem(&logs[*other].path));
        own.bytes().zip(other.bytes()).take_while(|(a, b)| a == b).count()
    };
    let follows = |&other: &usize| {
        let found = (other != at).then(|| align::follows(&logs[other].log, &logs[at].log))??;
        Some((alike(&other), other, found))
    };
    let mut found: Vec<_> = among.iter().filter_map(follows).collect();
    found.sort_by_key(|(alike, ..)| std::cmp::Reverse(*alike));
    match found[..] {
        [(best, ..), (next, ..), ..] if best == next => None,
        [(_, other, alignment), ..] => Some((other, alignment)),
        [] => None,
    }
}

fn drive_of(part: &Log, logs: &[OpenLog]) -> Option<Drive> {
    if align::has_engine(part) {
        return None;
    }
    let engines = logs.iter().enumerate().filter(|(_, open)| align::has_engine(&open.log));
    let drives = engines
        .filter_map(|(of, open)| Some(Drive { of, alignment: align::align(&open.log, part)? }));
    // Clocks alone are the weakest word, and may fit several.
    let rank = |drive: &Drive| drive.alignment.agreement.unwrap_or(0.0);
    drives.max_by(|a, b| rank(a).total_cmp(&rank(b)))
}

/// What was found, under the day's word: logs of different outings are no one drive, and
/// what the reader said goes before what was found.
pub fn said(
    found: &[Option<Drive>],
    day: &Day,
    paths: &[&str],
    outing_of: impl Fn(usize) -> Option<(usize, usize)>,
) -> Vec<Option<Drive>> {
    let apart = |a: usize, b: usize| {
        outing_of(a).zip(outing_of(b)).is_some_and(|(own, other)| own != other)
    };
    let by_word: Vec<Option<Drive>> = found
        .iter()
        .enumerate()
        .map(|(at, drive)| match day.drive_corrections.iter().find(|said| said.log == paths[at]) {
            Some(said) => by_hand(said, *drive, paths).filter(|drive| drive.of != at),
            None => drive.filter(|drive| !apart(at, drive.of)),
        })
        .collect();
    let is_part = |of: usize| by_word.get(of).is_none_or(|drive| drive.is_some());
    by_word.iter().map(|drive| drive.filter(|drive| !is_part(drive.of))).collect()
}

fn by_hand(said: &DriveCorrection, found: Option<Drive>, paths: &[&str]) -> Option<Drive> {
    let of = paths.iter().position(|path| Some(*path) == said.of.as_deref())?;
    let found = found.filter(|drive| drive.of == of);
    match (said.shift_s.filter(|shift_s| shift_s.is_finite()), found) {
        (None, Some(found)) => Some(found),
        (shift_s, _) => Some(Drive {
            of,
            alignment: Alignment {
                shift_s: shift_s.unwrap_or(0.0),
                sd_s: None,
                agreement: None,
                by: By::Hand,
            },
        }),
    }
}
