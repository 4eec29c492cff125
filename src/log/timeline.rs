//! The times of records made strictly usable: jumps, repeats, joined recordings.
//!
//! In: seconds per record as written, and the line of each. Out: seconds from the
//! first record kept, NaN for records left out, and one problem for each thing
//! that was not as it should be. Never fewer than the longest rising piece.

use super::Problem;

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

/// A pause in which a car is driven on as if nothing were: longer, and the clock was set.
const LONGEST_PAUSE_S: f64 = 2.0 * 86_400.0;
const HOUR_S: f64 = 3600.0;

/// Repairs times. `wall_clock` allows the hour of summer time.
pub fn repair(mut time: Vec<f64>, lines: &[u32], wall_clock: bool) -> Option<Timeline> {
    let mut problems = Vec::new();
    report_missing(&time, lines, &mut problems);
    spread_repeats(&mut time, &mut problems);
    drop_glitches(&mut time, lines, &mut problems);
    if wall_clock {
        undo_summer_time(&mut time, lines, &mut problems);
    }
    let order = sorted(&mut time, lines, &mut problems);
    keep_longest(&mut time, lines, &mut problems);
    let first_s = time.iter().copied().find(|t| t.is_finite())?;
    time.iter_mut().for_each(|t| *t -= first_s);
    Some(Timeline { time_s: time, order, first_s, problems })
}

fn line(lines: &[u32], record: usize) -> u32 {
    lines.get(record).copied().unwrap_or(0)
}

fn report_missing(time: &[f64], lines: &[u32], problems: &mut Vec<Problem>) {
    let missing = time.iter().filter(|t| !t.is_finite()).count();
    if let Some(first) = time.iter().position(|t| !t.is_finite()) {
        let at = line(lines, first);
        let text =
            format!("{missing} records have no time and were left out, the first in line {at}.");
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
fn drop_glitches(time: &mut [f64], lines: &[u32], problems: &mut Vec<Problem>) {
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
    let text = format!(
        "{} records with a time far out of line were left out, the first in line {}.",
        dropped.len(),
        line(lines, first)
    );
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

/// The clock set back (or on) by one hour in the night of the change.
fn undo_summer_time(time: &mut [f64], lines: &[u32], problems: &mut Vec<Problem>) {
    let mut last = f64::NAN;
    let mut shift = 0.0;
    for (at, t) in time.iter_mut().enumerate() {
        let step = *t + shift - last;
        if (step + HOUR_S).abs() < 5.0 {
            shift += HOUR_S;
            let at = line(lines, at);
            let text = format!(
                "Line {at}: the clock goes back by one hour, as when summer time ends; the hour was taken out."
            );
            problems.push(Problem { code: "summer_time", text });
        }
        *t += shift;
        if t.is_finite() {
            last = *t;
        }
    }
}

/// Small steps back are records written out of order: they are put in order.
fn sorted(time: &mut [f64], lines: &[u32], problems: &mut Vec<Problem>) -> Option<Vec<usize>> {
    const LARGEST_DISORDER_S: f64 = 1.0;
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
    let text = format!(
        "{back} records stand up to {LARGEST_DISORDER_S:.0} s out of order, the first in line {}; they were put in order of time.",
        line(lines, first)
    );
    problems.push(Problem { code: "clock_unordered", text });
    let mut order: Vec<usize> = (0..time.len()).collect();
    order.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
    let by_time: Vec<f64> = order.iter().map(|&at| time[at]).collect();
    time.copy_from_slice(&by_time);
    Some(order)
}

/// Two recordings in one file: the longer is kept, the other named by its lines.
fn keep_longest(time: &mut [f64], lines: &[u32], problems: &mut Vec<Problem>) {
    let mut pieces: Vec<(usize, usize)> = Vec::new();
    let mut last = None;
    for (at, &t) in time.iter().enumerate().filter(|(_, t)| t.is_finite()) {
        match (last, pieces.last_mut()) {
            (Some(last), Some(piece)) if t >= last && t - last <= LONGEST_PAUSE_S => piece.1 = at,
            _ => pieces.push((at, at)),
        }
        last = Some(t);
    }
    if pieces.len() < 2 {
        return;
    }
    let longest = pieces
        .iter()
        .copied()
        .enumerate()
        .max_by_key(|(index, (from, to))| (to - from, usize::MAX - index));
    let Some((_, kept)) = longest else { return };
    for pair in pieces.windows(2).take(3) {
        let (before, after) = (time[pair[0].1], time[pair[1].0]);
        let way = if after < before { "back" } else { "on" };
        let text = format!(
            "Line {}: the time goes {way} from {before:.3} s to {after:.3} s, as when two recordings are joined. \
             Lines {} to {} were read; split the file there to read the rest.",
            line(lines, pair[1].0),
            line(lines, kept.0),
            line(lines, kept.1)
        );
        problems.push(Problem { code: "clock_back", text });
    }
    for (at, t) in time.iter_mut().enumerate() {
        if at < kept.0 || at > kept.1 {
            *t = f64::NAN;
        }
    }
}
