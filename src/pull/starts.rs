//! Pulls by speed alone, for logs that do not tell the driver's foot.
//!
//! In: the guiding speed. Out: starts from standstill that reach 30 mph, and hard
//! rolling accelerations. Where some starts are hard, gentle ones are no pulls.

use super::{Cut, Kind, STANDSTILL_MPS, Stretch, first_motion, longest_step};
use crate::log::Series;
use crate::unit::{MPS_PER_MPH, STANDARD_GRAVITY};

const REACHES_MPS: f64 = 30.0 * MPS_PER_MPH;
/// Mean acceleration to 30 mph from which a start looks like a pull.
const HARD_MPS2: f64 = 0.35 * STANDARD_GRAVITY;
/// Beside hard starts, those below this share of the hardest are driving.
const HARD_SHARE: f64 = 0.5;
/// A rolling pull gains this much at this mean rate, without a pause.
const ROLLING_GAIN_MPS: f64 = 10.0;
const ROLLING_MPS2: f64 = 0.2 * STANDARD_GRAVITY;

/// Pulls by speed alone.
pub fn pulls(speed: &Series) -> Vec<Stretch> {
    let standing = standing(speed);
    let hardest = standing.iter().map(|&(_, mean)| mean).fold(0.0, f64::max);
    let least = if hardest >= HARD_MPS2 { HARD_SHARE * hardest } else { 0.0 };
    let mut found: Vec<Stretch> =
        standing.into_iter().filter(|&(_, mean)| mean >= least).map(|(start, _)| start).collect();
    let rolling: Vec<Stretch> = rolling(speed)
        .into_iter()
        .filter(|new| found.iter().all(|old| new.start_s >= old.end_s || new.end_s <= old.start_s))
        .collect();
    found.extend(rolling);
    found.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    found
}

/// Every start from standstill that reaches 30 mph, with its mean acceleration there.
fn standing(speed: &Series) -> Vec<(Stretch, f64)> {
    let longest = longest_step(speed);
    let mut found = Vec::new();
    let mut rest: Option<usize> = None;
    let mut i = 0;
    while i < speed.len() {
        if i > 0 && speed.time_s[i] - speed.time_s[i - 1] > longest {
            rest = None;
        }
        if speed.value[i] <= STANDSTILL_MPS {
            rest = Some(i);
        } else if let Some(from) = rest.filter(|_| speed.value[i] >= REACHES_MPS) {
            let start_s = first_motion(speed, from);
            let mean = speed.value[i] / (speed.time_s[i] - start_s).max(1e-3);
            let top = top_after(speed, i, longest);
            found.push((stretch(speed, Kind::Standing, start_s, top), mean));
            rest = None;
            i = top;
        }
        i += 1;
    }
    found
}

/// Hard accelerations that did not begin at rest.
fn rolling(speed: &Series) -> Vec<Stretch> {
    let longest = longest_step(speed);
    let mut found = Vec::new();
    let mut i = 0;
    while i + 1 < speed.len() {
        let top = steady_rise(speed, i, longest);
        let gain = speed.value[top] - speed.value[i];
        let lasts = speed.time_s[top] - speed.time_s[i];
        if gain >= ROLLING_GAIN_MPS && gain >= ROLLING_MPS2 * lasts {
            if speed.value[i] > STANDSTILL_MPS {
                found.push(stretch(speed, Kind::Rolling, speed.time_s[i], top));
            }
            i = top;
        } else {
            i += 1;
        }
    }
    found
}

/// Index to which the speed rises from `from` at no less than half the hard rate.
fn steady_rise(speed: &Series, from: usize, longest: f64) -> usize {
    let mut top = from;
    for i in from + 1..speed.len() {
        let step = speed.time_s[i] - speed.time_s[i - 1];
        let since_top = speed.time_s[i] - speed.time_s[top];
        if step > longest || speed.value[i] < speed.value[top] - 1.0 {
            break;
        }
        if speed.value[i] >= speed.value[top] + 0.5 * ROLLING_MPS2 * since_top {
            top = i;
        } else if since_top > 1.0_f64.max(2.0 * step) {
            break;
        }
    }
    top
}

/// Index of the top of the rise that goes on at `from`: until speed falls or rests.
fn top_after(speed: &Series, from: usize, longest: f64) -> usize {
    let mut top = from;
    for i in from + 1..speed.len() {
        let falls = speed.value[i] < speed.value[top] - 1.0_f64.max(0.03 * speed.value[top]);
        let stale = speed.time_s[i] - speed.time_s[top] > 3.0_f64.max(longest);
        if falls || stale || speed.time_s[i] - speed.time_s[i - 1] > longest {
            break;
        }
        if speed.value[i] > speed.value[top] {
            top = i;
        }
    }
    top
}

fn stretch(speed: &Series, kind: Kind, start_s: f64, top: usize) -> Stretch {
    let at_start = kind == Kind::Rolling && speed.time_s.first() == Some(&start_s);
    Stretch {
        kind,
        start_s,
        end_s: speed.time_s[top],
        cut: Cut { at_start, at_end: top + 1 == speed.len() },
        how: "Found from speed alone: the log does not show a wide-open throttle.".to_owned(),
    }
}
