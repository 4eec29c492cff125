//! Findings: everything the rooms say of the opened logs, still as domain values.
//!
//! In: the logs, the day, and which is which. Out: [`Findings`], logs in the day's
//! order and those it does not name after them. A log that no outing names has its
//! pulls found and judged all the same, but enters no comparison.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::conditions::{self, Conditions};
use super::place::{self, Named};
use super::{Drive, OpenLog, correct, drives, facts};
use crate::compare::{self, Comparison, Run};
use crate::day::{Day, Outing, PullCorrection};
use crate::heat::{self, Heat, Ladder};
use crate::launch::{self, Car, Launch, Limits};
use crate::log::align::{Alignment, By};
use crate::log::correct::Correction;
use crate::log::{self, Log, Problem, align};
use crate::pull::{self, Pull};

/// Everything found.
#[derive(Debug, Clone)]
pub struct Findings {
    pub logs: Vec<LogFindings>,
    /// One a build of the day, in its order.
    pub builds: Vec<BuildFindings>,
    pub comparisons: Vec<Comparison>,
    /// What is odd about the day itself rather than about one log.
    pub problems: Vec<Problem>,
}

/// What was found in one log. The lists of pulls are of one length, a pull each.
#[derive(Debug, Clone)]
pub struct LogFindings {
    /// As the day names it, or else as it was opened.
    pub path: String,
    /// With the reader's corrections applied, and the channels of the logs that recorded the
    /// same drive.
    pub log: Arc<Log>,
    /// Of its channels the first so many are its own.
    pub own_channels: usize,
    /// The drive that it is a part of, an index into [`Findings::logs`]; it has no pulls then.
    pub drive: Option<Drive>,
    /// What is odd about how the log stands in the day; its own are in the log.
    pub problems: Vec<Problem>,
    /// Where in the day the log stands; neither for a log that the day does not name.
    pub build: Option<usize>,
    pub outing: Option<usize>,
    pub pulls: Vec<Pull>,
    /// The starts as first found, which corrections are kept by.
    pub found_starts_s: Vec<f64>,
    pub launches: Vec<Launch>,
    pub heats: Vec<Option<Heat>>,
    /// Why the reader set a pull aside. It is shown and not compared.
    pub set_aside: Vec<Option<String>>,
    /// Place in its outing over all its logs, from 1; set-aside pulls count, since
    /// they heated the car. `None` for a log in no outing.
    pub number_in_outing: Vec<Option<u32>>,
    pub ladder: Option<Ladder>,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct BuildFindings {
    pub outings: Vec<OutingFindings>,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct OutingFindings {
    pub conditions: Conditions,
    /// Named by the day and not open, as the day file writes them.
    pub missing_logs: Vec<String>,
}

/// Everything found in the opened logs under the day's word.
pub(super) fn find(
    opened: &[OpenLog],
    drives: &[Option<Drive>],
    day: &Day,
    named: &[Named],
) -> Findings {
    let mut problems = Vec::new();
    let car = day.vehicle.as_ref().map(|v| facts::car(v, &mut problems)).unwrap_or_default();
    let limits = facts::limits(day.limits.as_ref(), &mut problems);
    let tolerances = facts::tolerances(day.tolerances.as_ref(), &mut problems);
    let marks_mps = facts::speed_marks(&day.speed_marks_mps, &mut problems);
    let order = in_day_order(opened.len(), named);
    let paths: Vec<&str> = opened.iter().map(|open| open.path.as_str()).collect();
    let written = written_paths(&order, &paths);
    let drives = drives::said(drives, day, &written, |index| {
        let (_, row) = order.iter().find(|(at, _)| *at == index)?;
        row.map(|row| (row.place.build, row.place.outing))
    });
    let recordings = recordings(opened, &drives, day);
    let place = |index: usize| order.iter().position(|(at, _)| *at == index);
    let mut logs: Vec<LogFindings> = order
        .iter()
        .filter_map(|&(index, row)| {
            let (open, recording) = opened.get(index).zip(recordings.get(index))?;
            let drive = drives.get(index).copied().flatten();
            let drive = drive.and_then(|drive| Some(Drive { of: place(drive.of)?, ..drive }));
            let recording = Recording { drive, ..recording.clone() };
            let mut found = find_in_log(open, recording, row, day, &car, &limits, &marks_mps);
            found.problems.extend(place::doubt(named, &paths, index));
            Some(found)
        })
        .collect();
    lose(&mut logs);
    number_in_outings(&mut logs);
    let builds = builds(day, opened, named, &logs);
    for outing in builds.iter().flat_map(|build| &build.outings) {
        problems.extend(outing.conditions.problems.iter().cloned());
    }
    let comparisons =
        compare::builds_within(builds.len(), &runs(&logs, &builds), &marks_mps, &tolerances);
    Findings { logs, builds, comparisons, problems }
}

/// Holds every launch that spun against the others of its build, or of its log where that
/// belongs to none. Pulls that were set aside do not count.
fn lose(logs: &mut [LogFindings]) {
    let mut told = Vec::new();
    for (at, log) in logs.iter().enumerate() {
        let same = |other: &&LogFindings| match log.build {
            Some(_) => other.build == log.build,
            None => std::ptr::eq(*other, log),
        };
        let others: Vec<&Launch> = logs
            .iter()
            .filter(same)
            .flat_map(|other| other.launches.iter().zip(&other.set_aside))
            .filter(|(_, why)| why.is_none())
            .map(|(launch, _)| launch)
            .collect();
        for (place, launch) in log.launches.iter().enumerate() {
            told.push((at, place, launch::slip::time_lost(launch, &others)));
        }
    }
    for (at, place, lost) in told {
        for (spin, lost) in logs[at].launches[place].spin.iter_mut().zip(lost) {
            spin.time_lost = lost;
        }
    }
}

/// Opened logs by the day's order, then the rest as opened.
fn in_day_order(opened: usize, named: &[Named]) -> Vec<(usize, Option<&Named>)> {
    let placed = named.iter().filter_map(|row| Some((row.open?, Some(row))));
    let is_placed = |index: &usize| named.iter().any(|row| row.open == Some(*index));
    placed.chain((0..opened).filter(|i| !is_placed(i)).map(|i| (i, None))).collect()
}

/// How the day writes each opened log, or else how it was opened.
fn written_paths<'a>(order: &[(usize, Option<&'a Named>)], paths: &[&'a str]) -> Vec<&'a str> {
    let mut written = paths.to_vec();
    for (index, row) in order {
        if let (Some(own), Some(row)) = (written.get_mut(*index), row) {
            *own = &row.written;
        }
    }
    written
}

/// A log under the reader's word, with what others recorded of its drive.
#[derive(Clone)]
struct Recording {
    log: Arc<Log>,
    own_channels: usize,
    drive: Option<Drive>,
}

fn recordings(opened: &[OpenLog], drives: &[Option<Drive>], day: &Day) -> Vec<Recording> {
    let logs: Vec<Arc<Log>> = opened.iter().map(|open| corrected(&open.log, day)).collect();
    let whole = |index: usize| {
        let mut log = Arc::clone(&logs[index]);
        let of_drive = || {
            let parts = logs.iter().zip(drives);
            parts.filter_map(|(part, drive)| {
                Some((part, drive.filter(|d| d.of == index)?.alignment))
            })
        };
        let is_next = |(_, alignment): &(_, Alignment)| alignment.by == By::Follows;
        let mut next: Vec<_> = of_drive().filter(is_next).collect();
        next.sort_by(|a, b| a.1.shift_s.total_cmp(&b.1.shift_s));
        for (part, alignment) in next {
            log = Arc::new(align::followed_by(Arc::unwrap_or_clone(log), part, alignment.shift_s));
        }
        for (part, alignment) in of_drive().filter(|part| !is_next(part)) {
            log =
                Arc::new(align::laid_together(Arc::unwrap_or_clone(log), part, alignment.shift_s));
        }
        Recording { log, own_channels: logs[index].channels.len(), drive: None }
    };
    (0..logs.len()).map(whole).collect()
}

fn find_in_log(
    open: &OpenLog,
    Recording { log, own_channels, drive }: Recording,
    row: Option<&Named>,
    day: &Day,
    car: &Car,
    limits: &Limits,
    marks_mps: &[f64],
) -> LogFindings {
    let path = row.map_or(&open.path, |row| &row.written).clone();
    let said: Vec<&PullCorrection> =
        day.pull_corrections.iter().filter(|said| said.log == path).collect();
    let correct::Corrected { pulls, found_starts_s, set_aside, mut problems } =
        correct::pulls(&log, if drive.is_some() { Vec::new() } else { pull::find(&log) }, &said);
    problems.extend(open.again.iter().map(|again| opened_twice(again)));
    let launches = launch::judge(&log, &pulls, car, limits);
    let motions: Vec<_> = launches.iter().map(|launch| launch.motion.as_ref()).collect();
    let ambient_c = row.and_then(|row| typed_ambient_c(day, row));
    let heats = heat::over_pulls(&log, &pulls, &motions, marks_mps, ambient_c);
    let ladder = heat::ladder(&pulls, &heats);
    let number_in_outing = vec![None; pulls.len()];
    LogFindings {
        path,
        log,
        own_channels,
        drive,
        problems,
        build: row.map(|row| row.place.build),
        outing: row.map(|row| row.place.outing),
        pulls,
        found_starts_s,
        launches,
        heats,
        set_aside,
        number_in_outing,
        ladder,
    }
}

fn typed_ambient_c(day: &Day, row: &Named) -> Option<f64> {
    day.builds.get(row.place.build)?.outings.get(row.place.outing)?.ambient_c
}

/// The log with the reader's word on its channels; the same one where there is none.
fn corrected(log: &Arc<Log>, day: &Day) -> Arc<Log> {
    let own = day.channel_corrections.iter().filter(|said| said.header_key == log.header_key);
    let said: Vec<Correction> = own.map(facts::correction).collect();
    if said.is_empty() { Arc::clone(log) } else { Arc::new(log::correct::corrected(log, &said)) }
}

fn opened_twice(again: &str) -> Problem {
    let text = format!("{again} holds the same recording; it was kept once and counts once.");
    Problem { code: "opened_twice", text }
}

/// Numbers the pulls of every outing over all its logs, in the order they were driven.
fn number_in_outings(logs: &mut [LogFindings]) {
    let mut outings: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (index, log) in logs.iter().enumerate() {
        if let (Some(build), Some(outing)) = (log.build, log.outing) {
            outings.entry((build, outing)).or_default().push(index);
        }
    }
    for mut members in outings.into_values() {
        // They stand in the day's order; where every log tells its clock, that is better.
        let began_s = |index: &usize| logs[*index].log.began_unix_s;
        if members.iter().all(|index| began_s(index).is_some()) {
            members.sort_by(|a, b| began_s(a).partial_cmp(&began_s(b)).unwrap_or(Ordering::Equal));
        }
        let mut number = 0;
        for index in members {
            for place in &mut logs[index].number_in_outing {
                number += 1;
                *place = Some(number);
            }
        }
    }
}

fn builds(
    day: &Day,
    opened: &[OpenLog],
    named: &[Named],
    logs: &[LogFindings],
) -> Vec<BuildFindings> {
    let outing = |build: usize, outing: usize, said: &Outing| {
        let own = logs.iter().filter(|l| (l.build, l.outing) == (Some(build), Some(outing)));
        let own: Vec<&Log> = own.map(|found| &*found.log).collect();
        let here = |row: &&Named| (row.place.build, row.place.outing) == (build, outing);
        let missing = named.iter().filter(|row| row.open.is_none()).filter(here);
        let again = |row: &&Named| opened.iter().any(|open| open.again.contains(&row.path));
        OutingFindings {
            conditions: conditions::of(said, &own),
            missing_logs: missing
                .filter(|row| !again(row))
                .map(|row| row.written.clone())
                .collect(),
        }
    };
    day.builds
        .iter()
        .enumerate()
        .map(|(b, build)| BuildFindings {
            outings: build.outings.iter().enumerate().map(|(o, said)| outing(b, o, said)).collect(),
        })
        .collect()
}

/// The pulls that count, as the comparison sees them.
fn runs(logs: &[LogFindings], builds: &[BuildFindings]) -> Vec<Run> {
    let mut runs = Vec::new();
    for log in logs {
        let (Some(build), Some(outing)) = (log.build, log.outing) else { continue };
        let found = builds.get(build).and_then(|build| build.outings.get(outing));
        let Some(found) = found else { continue };
        for index in 0..log.pulls.len() {
            if log.set_aside[index].is_none() {
                runs.extend(run(log, index, (build, outing), &found.conditions));
            }
        }
    }
    runs
}

fn run(
    log: &LogFindings,
    index: usize,
    (build, outing): (usize, usize),
    conditions: &Conditions,
) -> Option<Run> {
    let number = (*log.number_in_outing.get(index)?)?;
    let heat = log.heats.get(index)?.as_ref();
    Some(Run::of((build, outing, number), conditions.air, log.launches.get(index)?, heat))
}
