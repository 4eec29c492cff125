//! The hour that a wall clock goes back or on.
//!
//! In: seconds of a clock that no zone was written with. Out: the same without the jump,
//! and a sentence on each. A pause of an hour anywhere else stays one.

use super::Problem;
use super::clock::HOUR_S;
use super::timeline::Places;

/// The clock set back (or on) by one hour in the night of the change.
pub fn undo(time: &mut [f64], places: Places, problems: &mut Vec<Problem>) {
    let (mut last, mut last_written) = (f64::NAN, f64::NAN);
    let mut shift = 0.0;
    for (at, t) in time.iter_mut().enumerate() {
        let step = *t + shift - last;
        let turn = if (step + HOUR_S).abs() < NEAR_HOUR_S {
            Some((HOUR_S, "back by one hour, as when summer time ends"))
        } else if skips_the_hour(last_written, *t) {
            Some((-HOUR_S, "on by one hour, as when summer time begins"))
        } else {
            None
        };
        if let Some((by, how)) = turn {
            shift += by;
            let at = places.of(at);
            let text = format!("At {at} the clock goes {how}; the hour was taken out.");
            problems.push(Problem { code: "summer_time", text });
        }
        if t.is_finite() {
            last_written = *t;
        }
        *t += shift;
        if t.is_finite() {
            last = *t;
        }
    }
}

/// How far the hour of summer time may be off: two records of a slow log.
const NEAR_HOUR_S: f64 = 5.0;

/// From just before a full hour to just behind the next: a pause that begins and ends so
/// is none.
fn skips_the_hour(before: f64, behind: f64) -> bool {
    let hours = |t: f64| (t / HOUR_S).floor();
    hours(behind) - hours(before) == 2.0
        && before.rem_euclid(HOUR_S) > HOUR_S - NEAR_HOUR_S
        && behind.rem_euclid(HOUR_S) < NEAR_HOUR_S
}
