//! Pulls: the stretches of a log in which the car was pulled, from rest or rolling.
//!
//! In: a [`Log`]. Out: [`Pull`]s in order of time, numbered from 1, apart.
//!
//! Method: where the log tells the driver's foot, a pull is a stretch of wide-open
//! throttle with rising speed ([`throttle`]). Where it does not, or the throttle was
//! never wide open, a pull is a start from standstill that reaches 30 mph, or a
//! hard rolling acceleration, found from speed alone ([`starts`]).
//!
//! Invariants: pulls lie inside the log, in order, and apart. Nothing here judges
//! whether a time can be believed; that is the launch room's work.

mod starts;
mod throttle;

use crate::log::{Log, Role, Series};

/// One pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// From 1 within its log.
    pub number: u32,
    pub kind: Kind,
    /// First motion (standing) or throttle opening (rolling).
    pub start_s: f64,
    /// The lift, or the last record where the log ends inside.
    pub end_s: f64,
    pub effort: Effort,
    /// The record begins after the start, or ends before the lift.
    pub cut: Cut,
    /// How the edges were found, one line for "how it was worked out".
    pub how: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Standing,
    Rolling,
}

/// Whether the log shows that the throttle was held wide open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effort {
    Full,
    /// The highest opening reached, in percent as logged.
    Part {
        opening_percent: f64,
    },
    /// No throttle or pedal in the log.
    Unknown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cut {
    pub at_start: bool,
    pub at_end: bool,
}

/// A stretch of the log before it has a number.
#[derive(Debug, Clone, PartialEq)]
struct Stretch {
    kind: Kind,
    start_s: f64,
    end_s: f64,
    cut: Cut,
    how: String,
}

/// Slower than this the car counts as standing: 1 mph, or a receiver's noise.
const STANDSTILL_MPS: f64 = 0.447_04;

/// The speed that tells the pulls: as logged by the car, else another witness.
pub fn guiding_speed(log: &Log) -> Option<&Series> {
    const ORDER: [Role; 5] = [
        Role::VehicleSpeed,
        Role::SatelliteSpeed,
        Role::UndrivenWheelSpeed,
        Role::WheelSpeedRearLeft,
        Role::WheelSpeedFrontLeft,
    ];
    ORDER.iter().filter_map(|&role| log.series(role)).find(|series| series.len() >= 3)
}

/// Finds the pulls of a log.
pub fn find(log: &Log) -> Vec<Pull> {
    let Some(speed) = guiding_speed(log) else { return Vec::new() };
    let foot = throttle::foot(log, speed);
    let wide_open = foot.as_ref().map(|foot| throttle::pulls(foot, speed)).unwrap_or_default();
    let stretches = if wide_open.is_empty() { starts::pulls(speed) } else { wide_open };
    let effort_of =
        |stretch: &Stretch| foot.as_ref().map_or(Effort::Unknown, |f| f.effort(stretch));
    (1..)
        .zip(stretches)
        .map(|(number, stretch)| Pull {
            number,
            effort: effort_of(&stretch),
            kind: stretch.kind,
            start_s: stretch.start_s,
            end_s: stretch.end_s,
            cut: stretch.cut,
            how: stretch.how,
        })
        .collect()
}

/// Median interval between readings; the longest hole that is no gap is a few of these.
fn median_step(series: &Series) -> f64 {
    let mut steps: Vec<f64> = series.time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied().unwrap_or(1.0)
}

/// A step longer than this is a hole in the record, over which nobody knows the car, however
/// seldom it was written.
fn longest_step(series: &Series) -> f64 {
    (5.0 * median_step(series)).clamp(3.0, LONGEST_STEP_S)
}

const LONGEST_STEP_S: f64 = 10.0;

/// First motion in readings `rest..`: from the last one at standstill to the first
/// moving one, read back along the rise that follows.
fn first_motion(speed: &Series, rest: usize) -> f64 {
    let (t, v) = (&speed.time_s, &speed.value);
    let (Some(&t1), Some(&v1)) = (t.get(rest + 1), v.get(rest + 1)) else { return t[rest] };
    let (Some(&t2), Some(&v2)) = (t.get(rest + 2), v.get(rest + 2)) else { return t[rest] };
    if v2 <= v1 {
        return t[rest];
    }
    (t1 - v1 * (t2 - t1) / (v2 - v1)).clamp(t[rest], t1)
}

#[cfg(test)]
mod tests;
