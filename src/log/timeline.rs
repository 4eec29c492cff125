//! The times of records made strictly usable: jumps, repeats, joined recordings.
//!
//! In: seconds per record as written, and the line of each. Out: seconds from the
//! first record kept, NaN for records left out, and one problem for each thing
//! that was not as it should be. Never fewer than the longest rising piece.

use super::limits::TIME_LIMIT_S;
use super::{Problem, summer_time, swapped};

/// Repaired times, one a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Seconds from the first record kept; NaN for records left out.
    pub time_s: Vec<f64>,
    /// Records in order of time, when the file has them out of order.
    pub order: Option<Vec<usize>>,
    /// The written seconds of the first record kept.
    pub first_s: f64,
    pub problems: Vec<Problem>,
}

/// Where records stand in the file, for people: `line 12`, `record 12`.
#[derive(Debug, Clone, Copy)]
pub struct Places<'a> {
    pub word: &'static str,
    /// One number a record.
    pub at: &'a [u32],
}

impl Places<'_> {
    pub fn of(&self, record: usize) -> String {
        format!("{} {}", self.word, self.at.get(record).copied().unwrap_or(0))
    }
}

/// A pause in which a car is driven on as if nothing were: longer, and the clock was set.
const LONGEST_PAUSE_S: f64 = 2.0 * 86_400.0;
/// Records this far from their place are put in order whatever their steps.
const LARGEST_DISORDER_S: f64 = 1.0;

/// Said of a file whose records were turned round.
pub fn newest_first() -> Problem {
    let text = "The file has its newest record first; the records were turned round.".to_owned();
    Problem { code: "newest_first", text }
}

/// Records that have the time of the one before them.
pub fn repeats(count: usize, first: &str) -> Problem {
    let text = match count {
        1 => format!(
            "The record in {first} has the time of the record before it; the first of two readings \
             at one time was kept."
        ),
        all => format!(
            "{all} records have the time of the record before them; the first of two readings at \
             one time was kept. The first is in {first}."
        ),
    };
    Problem { code: "clock_repeat", text }
}

impl Timeline {
    /// Records later than every one before, and the report of those that are not.
    pub fn rising(&self, places: Places) -> (usize, Option<Problem>) {
        let (mut last, mut rising, mut back) = (f64::NEG_INFINITY, 0, Vec::new());
        for (place, &t) in self.time_s.iter().enumerate().filter(|(_, t)| t.is_finite()) {
            if t > last {
                (last, rising) = (t, rising + 1);
            } else {
                back.push(self.order.as_ref().map_or(place, |order| order[place]));
            }
        }
        let first = back.iter().min().map(|&first| places.of(first));
        (rising, first.map(|first| repeats(back.len(), &first)))
    }
}

/// Repairs times. `wall_clock` allows the hour of summer time.
pub fn repair(mut time: Vec<f64>, places: Places, wall_clock: bool) -> Option<Timeline> {
    if is_falling(&time) {
        return turned(time, places, wall_clock);
    }
    if let Some(found) = swapped::order(&time, LARGEST_DISORDER_S) {
        return put_back(&time, &found, places, wall_clock);
    }
    let mut problems = Vec::new();
    time.iter_mut().filter(|t| t.abs() > TIME_LIMIT_S).for_each(|t| *t = f64::NAN);
    report_missing(&time, places, &mut problems);
    spread_repeats(&mut time, &mut problems);
    drop_glitches(&mut time, places, &mut problems);
    if wall_clock {
        summer_time::undo(&mut time, places, &mut problems);
    }
    let order = match sorted(&mut time, places, &mut problems) {
        Some(order) => {
            // What was put in order may still hold a clock that was set, years on.
            let at: Vec<u32> =
                order.iter().filter_map(|&record| places.at.get(record)).copied().collect();
            lay_pieces(&mut time, Places { word: places.word, at: &at }, false, &mut problems);
            Some(order)
        }
        None => lay_pieces(&mut time, places, wall_clock, &mut problems),
    };
    let first_s = time.iter().copied().find(|t| t.is_finite())?;
    time.iter_mut().for_each(|t| *t -= first_s);
    Some(Timeline { time_s: time, order, first_s, problems })
}

/// Nearly every record older than the one before.
fn is_falling(time: &[f64]) -> bool {
    let steps = || time.windows(2).map(|pair| pair[1] - pair[0]);
    let back = steps().filter(|step| *step < 0.0).count();
    back > 1 && back * 5 > steps().filter(|step| *step != 0.0).count() * 4
}

fn turned(mut time: Vec<f64>, places: Places, wall_clock: bool) -> Option<Timeline> {
    let records = time.len();
    time.reverse();
    let at: Vec<u32> = places.at.iter().rev().copied().collect();
    let mut timeline = repair(time, Places { word: places.word, at: &at }, wall_clock)?;
    let order = timeline.order.unwrap_or_else(|| (0..records).collect());
    timeline.order = Some(order.into_iter().map(|place| records - 1 - place).collect());
    timeline.problems.insert(0, newest_first());
    Some(timeline)
}

/// Records that stand a few places from where they belong are put there.
fn put_back(
    time: &[f64],
    found: &swapped::Order,
    places: Places,
    wall_clock: bool,
) -> Option<Timeline> {
    let at = |record: &usize| places.at.get(*record).copied().unwrap_or(0);
    let lines: Vec<u32> = found.order.iter().map(at).collect();
    let in_order = found.order.iter().map(|&record| time[record]).collect();
    let mut timeline = repair(in_order, Places { word: places.word, at: &lines }, wall_clock)?;
    let order = timeline.order.unwrap_or_else(|| (0..time.len()).collect());
    timeline.order = Some(order.into_iter().map(|place| found.order[place]).collect());
    let first = places.of(found.first);
    let text = match found.moved {
        1 => format!(
            "The record in {first} stands out of order; it was put where it belongs in time."
        ),
        all => format!(
            "{all} records stand out of order, the first in {first}; each was put where it belongs in \
             time, as no other was there."
        ),
    };
    timeline.problems.insert(0, Problem { code: "clock_unordered", text });
    Some(timeline)
}

fn report_missing(time: &[f64], places: Places, problems: &mut Vec<Problem>) {
    let missing = time.iter().filter(|t| !t.is_finite()).count();
    if let Some(first) = time.iter().position(|t| !t.is_finite()) {
        let at = places.of(first);
        let text = match missing {
            1 => format!("The record in {at} has no time and was left out."),
            all => format!("{all} records have no time and were left out, the first in {at}."),
        };
        problems.push(Problem { code: "time_missing", text });
    }
}

/// Whole-second stamps on faster records: the records of one stamp are laid evenly
/// between it and the next.
fn spread_repeats(time: &mut [f64], problems: &mut Vec<Problem>) {
    let finite = time.iter().filter(|t| t.is_finite()).count();
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for at in 0..time.len() {
        match runs.last_mut() {
            Some((from, count)) if time[*from] == time[at] => *count += 1,
            _ if time[at].is_finite() => runs.push((at, 1)),
            _ => return,
        }
    }
    if runs.len() < 3 || finite < runs.len() * 3 / 2 {
        return;
    }
    let stamps: Vec<f64> = runs.iter().map(|&(from, _)| time[from]).collect();
    let mut steps: Vec<f64> = stamps.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    let step = steps[steps.len() / 2];
    let mut counts: Vec<usize> = runs.iter().map(|&(_, count)| count).collect();
    counts.sort_unstable();
    let usual = counts[counts.len() / 2];
    if step <= 0.0 || usual < 2 {
        return;
    }
    for (index, &(from, count)) in runs.iter().enumerate() {
        let next = stamps.get(index + 1).map_or(step, |next| next - stamps[index]);
        // A pause follows this stamp: its records keep their usual pace.
        let lasts = if (0.0..1.5 * step).contains(&next) { next } else { step };
        let each = if index == 0 { lasts / usual.max(count) as f64 } else { lasts / count as f64 };
        // The first stamp was cut at its start, so its records stand at its end.
        let shift = if index == 0 { lasts - each * count as f64 } else { 0.0 };
        for offset in 0..count {
            time[from + offset] = stamps[index] + shift + offset as f64 * each;
        }
    }
    let text = format!(
        "The clock only steps by {step:.3} s while about {usual} records share a step; they were laid \
         evenly between the steps, so times are good to about {step:.1} s only."
    );
    problems.push(Problem { code: "clock_coarse", text });
}

/// One to three records with a time out of line between neighbours in line.
fn drop_glitches(time: &mut [f64], places: Places, problems: &mut Vec<Problem>) {
    let mut dropped: Vec<usize> = Vec::new();
    let mut kept: Vec<usize> = Vec::new();
    let mut at = 0;
    while at < time.len() {
        let wild = wild_ahead(time, &kept, at);
        if wild > 0 {
            dropped.extend(at..at + wild);
            at += wild;
            continue;
        }
        for _ in 0..wild_behind(time, &kept, at) {
            dropped.extend(kept.pop());
        }
        if time[at].is_finite() {
            kept.push(at);
        }
        at += 1;
    }
    dropped.sort_unstable();
    let Some(&first) = dropped.first() else { return };
    for &at in &dropped {
        time[at] = f64::NAN;
    }
    let at = places.of(first);
    let text = match dropped.len() {
        1 => format!("The record in {at} has a time far out of line and was left out."),
        all => {
            format!("{all} records with a time far out of line were left out, the first in {at}.")
        }
    };
    problems.push(Problem { code: "clock_glitch", text });
}

/// Longest run of records that is taken for a glitch and not for a new start.
const LONGEST_GLITCH: usize = 3;
/// Where the time goes on after a glitch: within a minute of where it was.
const GOES_ON_S: f64 = 60.0;

/// How many records from here on are out of line, the next one being in line again.
fn wild_ahead(time: &[f64], kept: &[usize], at: usize) -> usize {
    let Some(before) = kept.last().map(|&last| time[last]) else { return 0 };
    let jumps = time[at] - before > LONGEST_PAUSE_S || before - time[at] > 1.0;
    let in_line = |t: f64| t >= before && t - before < GOES_ON_S;
    let back = (1..=LONGEST_GLITCH).find(|ahead| time.get(at + ahead).is_some_and(|&t| in_line(t)));
    if jumps { back.unwrap_or(0) } else { 0 }
}

/// How many records just before here are out of line, this one being in line again.
fn wild_behind(time: &[f64], kept: &[usize], at: usize) -> usize {
    let back = |depth: usize| kept.len().checked_sub(depth + 1).map(|place| time[kept[place]]);
    if !back(0).is_some_and(|last| last - time[at] > 1.0) {
        return 0;
    }
    let in_line = |t: f64| time[at] > t && time[at] - t < GOES_ON_S;
    (1..=LONGEST_GLITCH).find(|&depth| back(depth).is_some_and(in_line)).unwrap_or(0)
}

/// Small steps back are records written out of order: they are put in order.
fn sorted(time: &mut [f64], places: Places, problems: &mut Vec<Problem>) -> Option<Vec<usize>> {
    let mut highest = f64::MIN;
    let mut back = 0;
    let mut first = None;
    for (at, &t) in time.iter().enumerate().filter(|(_, t)| t.is_finite()) {
        if t < highest {
            if highest - t > LARGEST_DISORDER_S {
                return None;
            }
            back += 1;
            first.get_or_insert(at);
        }
        highest = highest.max(t);
    }
    let first = first?;
    let at = places.of(first);
    let text = match back {
        1 => format!(
            "The record in {at} stands up to {LARGEST_DISORDER_S:.0} s out of order; it was put in order of time."
        ),
        all => format!(
            "{all} records stand up to {LARGEST_DISORDER_S:.0} s out of order, the first in {at}; they \
             were put in order of time."
        ),
    };
    problems.push(Problem { code: "clock_unordered", text });
    let mut order: Vec<usize> = (0..time.len()).collect();
    order.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
    let by_time: Vec<f64> = order.iter().map(|&at| time[at]).collect();
    time.copy_from_slice(&by_time);
    Some(order)
}

/// Where one recording ends and another begins in the same file.
const PAUSE_BETWEEN_S: f64 = 600.0;

/// Recordings joined in one file. Where clocks tell when each began and they do not
/// overlap, they are put in order of time; else they are laid one after another
/// with a pause between that nothing can be read across.
fn lay_pieces(
    time: &mut [f64],
    places: Places,
    wall_clock: bool,
    problems: &mut Vec<Problem>,
) -> Option<Vec<usize>> {
    let pieces = pieces(time);
    if pieces.len() < 2 {
        return None;
    }
    let mut by_start = pieces.clone();
    by_start.sort_by(|a, b| time[a.first].total_cmp(&time[b.first]));
    let apart = |pair: &[Piece]| {
        let pause = time[pair[1].first] - time[pair[0].last];
        pause > 0.0 && pause < LONGEST_PAUSE_S
    };
    if wall_clock && by_start.windows(2).all(apart) {
        report_pieces(&pieces, time, places, "They were put in order of time.", problems);
        let mut order: Vec<usize> = (0..time.len()).filter(|&at| time[at].is_finite()).collect();
        order.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
        order.extend((0..time.len()).filter(|&at| !time[at].is_finite()));
        let by_time: Vec<f64> = order.iter().map(|&at| time[at]).collect();
        time.copy_from_slice(&by_time);
        return Some(order);
    }
    let how = "They were laid one after another with 600 s between; how long the pause really was \
               is not known.";
    report_pieces(&pieces, time, places, how, problems);
    let mut next_s = None;
    for piece in &pieces {
        let shift = next_s.map_or(0.0, |next| next - time[piece.first]);
        let inside = &mut time[piece.first..=piece.last];
        inside.iter_mut().for_each(|t| *t += shift);
        next_s = Some(time[piece.last] + PAUSE_BETWEEN_S);
    }
    None
}

/// Records from first to last over which the time only rises.
#[derive(Debug, Clone, Copy)]
struct Piece {
    first: usize,
    last: usize,
}

fn pieces(time: &[f64]) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut before = f64::NAN;
    for (at, &t) in time.iter().enumerate().filter(|(_, t)| t.is_finite()) {
        match pieces.last_mut() {
            Some(piece) if t >= before && t - before <= LONGEST_PAUSE_S => piece.last = at,
            _ => pieces.push(Piece { first: at, last: at }),
        }
        before = t;
    }
    pieces
}

fn report_pieces(
    pieces: &[Piece],
    time: &[f64],
    places: Places,
    how: &str,
    problems: &mut Vec<Problem>,
) {
    let Some([one, two]) = pieces.first_chunk() else { return };
    let (before, after) = (time[one.last], time[two.first]);
    let way = if after < before { "back" } else { "on" };
    let text = format!(
        "At {} the time jumps {way} from {before:.3} s to {after:.3} s; the file holds {} recordings, \
         the longest of {} records. {how} Split the file there if they do not belong together.",
        places.of(two.first),
        pieces.len(),
        pieces.iter().map(|piece| piece.last - piece.first + 1).max().unwrap_or(0)
    );
    problems.push(Problem { code: "pieces", text });
}
