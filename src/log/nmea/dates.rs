//! The date of every epoch of a receiver.
//!
//! In: epochs with their time of day, some with a date. Out: each with its midnight, and
//! whether any date is known. The time of day runs on over a date that is wrong: one from
//! before the receiver had its week, or one that stays behind when midnight has passed.

use super::Epoch;
use crate::log::clock::DAY_S;

/// From one epoch to the next of one stretch, at most.
const GOES_ON_S: f64 = 60.0;

/// Dates for epochs that have none: from the same burst, else the newest date,
/// one day on when the clock has gone through midnight since. Whether any is known.
pub fn fill(epochs: &mut [Epoch]) -> bool {
    let Some(first) = epochs.iter().find_map(|epoch| epoch.midnight_s) else {
        // Without any date only midnight can be seen.
        let (mut days, mut last) = (0.0, 0.0);
        for epoch in epochs {
            if last - epoch.of_day_s > DAY_S / 2.0 {
                days += DAY_S;
            }
            last = epoch.of_day_s;
            epoch.midnight_s = Some(days);
        }
        return false;
    };
    let (mut midnight, mut written, mut last) = (first, first, f64::NEG_INFINITY);
    for epoch in epochs.iter_mut() {
        let through_midnight = last - epoch.of_day_s > DAY_S / 2.0;
        match epoch.midnight_s {
            // The date of before midnight, written on behind it.
            Some(own) if through_midnight && own == written => midnight = own + DAY_S,
            Some(own) if own != written => midnight = own,
            None if through_midnight => midnight += DAY_S,
            _ => {}
        }
        written = epoch.midnight_s.unwrap_or(written);
        last = epoch.of_day_s;
        epoch.midnight_s = Some(midnight);
    }
    later_knows_better(epochs);
    true
}

/// A receiver that has just been switched on writes a date of its own until it knows:
/// (two digits of a year may make it a later one): where the date alone jumps and the time of day goes on, the later one is right.
fn later_knows_better(epochs: &mut [Epoch]) {
    let written: Vec<f64> = epochs.iter().map(|epoch| epoch.midnight_s.unwrap_or(0.0)).collect();
    let mut days = 0.0;
    for at in (1..epochs.len()).rev() {
        let on_s = epochs[at].of_day_s - epochs[at - 1].of_day_s;
        let jump = written[at] - written[at - 1];
        if jump.abs() > 1.5 * DAY_S && (0.0..GOES_ON_S).contains(&on_s) {
            days += jump;
        }
        epochs[at - 1].midnight_s = Some(written[at - 1] + days);
    }
}
