//! Wheelspin in the logged speed: stretches in which it runs ahead of the ground.
//!
//! In: the logged speed and, where there is one, a motion made without it. Out:
//! [`Excess`] stretches. Without another witness only physics is left: no car out-
//! accelerates its tyres, and no car slows down with the foot on the floor.
//!
//! Never: an excess smaller than scale, creep and noise together can explain.

use super::estimate::{Branch, Point};
use crate::log::Series;
use crate::pull::{Effort, Pull};
use crate::unit::STANDARD_GRAVITY;

/// A stretch in which the logged speed is not the car's.
#[derive(Debug, Clone, PartialEq)]
pub struct Excess {
    pub from_s: f64,
    pub to_s: f64,
    /// Slip as a share of ground speed, where that is known well enough to say.
    pub peak_slip: f64,
    pub evidence: String,
}

/// Shorter stretches are bumps, rounding, and the blip of a shift.
const SHORTEST_S: f64 = 0.25;
const FEWEST: usize = 2;
/// A stretch lasts until the wheel is less ahead than this share of what began it.
const STILL_AHEAD: f64 = 0.7;
/// The slope of the logged speed is taken over this window.
const SLOPE_S: f64 = 0.25;
/// A fall by this much with the foot down is a wheel that finds its grip.
const FALL_MPS: f64 = 1.5;
/// A torque cut slows the car by no more than this; a wheel that grips falls faster.
const FALL_MPS2: f64 = 4.0;

/// Logged speed against a motion from other witnesses, which it must pass by
/// `sureness` deviations.
pub fn against_ground(
    logged: &Series,
    ground: &Branch,
    pull: &Pull,
    step_mps: f64,
    sureness: f64,
) -> Vec<Excess> {
    let (time_s, value) = logged.between(pull.start_s - 0.2, pull.end_s);
    let excess: Vec<(f64, f64, f64)> = time_s
        .iter()
        .zip(value)
        .filter_map(|(&t, &z)| {
            let point = at(ground, t)?;
            let ahead = z - point.speed_mps;
            Some((
                t,
                ahead / tolerance(&point, step_mps, sureness),
                ahead / point.speed_mps.max(2.0),
            ))
        })
        .collect();
    let lasts = |first: usize, last: usize| excess[last].0 - excess[first].0 >= SHORTEST_S;
    runs(&excess, lasts, |&(_, over, _)| over > 1.0, |&(_, over, _)| over > STILL_AHEAD)
        .into_iter()
        .map(|(first, last)| {
            let stretch = &excess[first..=last];
            let peak_slip = stretch.iter().map(|&(_, _, slip)| slip).fold(0.0, f64::max);
            let (from_s, to_s) = (stretch[0].0, stretch[stretch.len() - 1].0);
            Excess {
                from_s,
                to_s,
                peak_slip,
                evidence: format!(
                    "From {from_s:.2} s to {to_s:.2} s of the log the logged speed runs up to \
                     {:.0} % ahead of the speed over the ground.",
                    100.0 * peak_slip
                ),
            }
        })
        .filter(|excess| excess.peak_slip >= 0.05)
        .collect()
}

/// What scale, creep, timing and noise together can put between the two speeds.
fn tolerance(point: &Point, step_mps: f64, sureness: f64) -> f64 {
    let v = point.speed_mps.max(0.0);
    let g = (point.accel_mps2 / STANDARD_GRAVITY).max(0.0);
    let sd = libm::sqrt(
        point.speed_sd_mps * point.speed_sd_mps
            + (0.01 * v) * (0.01 * v)
            + (0.025 * g * v) * (0.025 * g * v)
            + (0.03 * point.accel_mps2) * (0.03 * point.accel_mps2),
    );
    0.25 + step_mps + 0.025 * g * v + sureness * sd
}

fn at(branch: &Branch, time_s: f64) -> Option<Point> {
    let points = &branch.points;
    let after = points.partition_point(|p| p.time_s < time_s);
    let first = points.first()?;
    if time_s <= first.time_s {
        return Some(Point { time_s, ..*first });
    }
    let (a, b) = (points.get(after.checked_sub(1)?)?, points.get(after)?);
    let share = (time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9);
    let mix = |a: f64, b: f64| a + share * (b - a);
    Some(Point {
        time_s,
        distance_m: mix(a.distance_m, b.distance_m),
        speed_mps: mix(a.speed_mps, b.speed_mps),
        accel_mps2: mix(a.accel_mps2, b.accel_mps2),
        distance_sd_m: mix(a.distance_sd_m, b.distance_sd_m),
        speed_sd_mps: mix(a.speed_sd_mps, b.speed_sd_mps),
    })
}

/// Runs of at least [`FEWEST`] readings that pass `strong` and last long enough, grown
/// while `weak` holds.
fn runs<T>(
    rows: &[T],
    lasts: impl Fn(usize, usize) -> bool,
    strong: impl Fn(&T) -> bool,
    weak: impl Fn(&T) -> bool,
) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    let mut i = 0;
    while i < rows.len() {
        let end = (i..rows.len()).find(|&k| !strong(&rows[k])).unwrap_or(rows.len());
        if end - i >= FEWEST && lasts(i, end - 1) {
            let earliest = found.last().map_or(0, |last| last.1 + 1);
            let mut first = i;
            while first > earliest && weak(&rows[first - 1]) {
                first -= 1;
            }
            let last = (end..rows.len()).find(|&k| !weak(&rows[k])).unwrap_or(rows.len()) - 1;
            match found.last_mut() {
                Some(previous) if first <= previous.1 + 1 => previous.1 = last,
                _ => found.push((first, last)),
            }
            i = last + 1;
        } else {
            i = end.max(i) + 1;
        }
    }
    found
}

/// Logged speed against what tyres can give, where nothing else witnesses.
///
/// `grip_mps2` is the acceleration beyond which the speed cannot be the car's.
pub fn against_physics(logged: &Series, pull: &Pull, grip_mps2: f64, step_mps: f64) -> Vec<Excess> {
    let (time_s, value) = logged.between(pull.start_s - 0.2, pull.end_s);
    let mut found: Vec<Excess> = beyond_grip(time_s, value, grip_mps2, step_mps);
    if pull.effort == Effort::Full {
        found.extend(falls(time_s, value, grip_mps2, step_mps));
    }
    found.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    found
}

/// Stretches that begin where the slope passes the grip, and last until the speed is
/// back within reach of a car that pulled at that grip all along.
fn beyond_grip(time_s: &[f64], value: &[f64], grip_mps2: f64, step_mps: f64) -> Vec<Excess> {
    let mut found = Vec::new();
    let mut i = 0;
    while i < time_s.len() {
        let Some((k, slope)) = slope(time_s, value, i) else { break };
        // Rounding lets a slope appear steeper by a step over the window.
        let window = time_s[k] - time_s[i];
        if slope - step_mps / window <= grip_mps2 || k - i < FEWEST {
            i += 1;
            continue;
        }
        let reach = |t: f64| value[i] + grip_mps2 / 1.2 * (t - time_s[i]);
        let back = (k..time_s.len()).find(|&j| value[j] <= reach(time_s[j]));
        let last = back.unwrap_or(time_s.len() - 1);
        let peak_slip =
            (i..=last).map(|j| value[j] / reach(time_s[j]).max(2.0) - 1.0).fold(0.0, f64::max);
        found.push(Excess {
            from_s: time_s[i],
            to_s: time_s[last],
            peak_slip,
            evidence: format!(
                "From {:.2} s of the log the logged speed rises at {:.2} g, more than the {:.2} g \
                 that tyres can give.",
                time_s[i],
                slope / STANDARD_GRAVITY,
                grip_mps2 / STANDARD_GRAVITY
            ),
        });
        i = last + 1;
    }
    found
}

/// Mean slope from a reading to the first at least [`SLOPE_S`] later.
fn slope(time_s: &[f64], value: &[f64], from: usize) -> Option<(usize, f64)> {
    let to = (from + 1..time_s.len()).find(|&k| time_s[k] - time_s[from] >= SLOPE_S)?;
    Some((to, (value[to] - value[from]) / (time_s[to] - time_s[from])))
}

/// Stretches that end where the logged speed fell with the foot down: the wheel found
/// its grip there, and ran ahead of a line drawn back from that point.
fn falls(time_s: &[f64], value: &[f64], grip_mps2: f64, step_mps: f64) -> Vec<Excess> {
    let mut found = Vec::new();
    let mut top = 0;
    for i in 1..time_s.len() {
        if value[i] >= value[top] {
            top = i;
            continue;
        }
        let least = FALL_MPS.max(2.0 * step_mps).max(0.04 * value[top]);
        let turned = value.get(i + 1).is_none_or(|&next| next > value[i]);
        let fell = value[top] - value[i];
        let quick = fell > FALL_MPS2 * (time_s[i] - time_s[top]);
        if fell < least || !turned || !quick {
            continue;
        }
        let after = slope(time_s, value, i).map_or(3.0, |(_, slope)| slope);
        let pace = after.clamp(1.0, grip_mps2);
        let line = |t: f64| value[i] - pace * (time_s[i] - t);
        let first = (0..=top)
            .rev()
            .take_while(|&j| value[j] > 1.03 * line(time_s[j]) + step_mps)
            .last()
            .unwrap_or(top);
        let peak_slip =
            (first..=i).map(|j| value[j] / line(time_s[j]).max(2.0) - 1.0).fold(0.0, f64::max);
        found.push(Excess {
            from_s: time_s[first],
            to_s: time_s[i],
            peak_slip,
            evidence: format!(
                "From {:.2} s to {:.2} s of the log the logged speed falls by {:.1} mph with the \
                 throttle wide open: a spinning wheel found its grip.",
                time_s[top],
                time_s[i],
                (value[top] - value[i]) / crate::unit::MPS_PER_MPH
            ),
        });
        top = i;
    }
    found
}
