//! What really happened in each pull, read off the trace and never off a sensor.
//!
//! In: a [`Trace`]. Out: [`PullTruth`]s, times in s of the trace. First motion is where
//! the ground speed passes 0.05 m/s; a mark that was not reached before the lift is absent.

use std::collections::BTreeMap;

use serde::Serialize;

use super::driveline::Coupling;
use super::motion::{Car, Moment, STEP_S, Trace};
use super::tyre::slip_ratio;

pub const FIRST_MOTION_MPS: f64 = 0.05;
pub const ROLLOUT_M: f64 = 0.3048;

const MPS_PER_MPH: f64 = 0.447_04;
const SPEED_MARKS: [(&str, f64); 5] = [
    ("0-30mph", 30.0 * MPS_PER_MPH),
    ("0-60mph", 60.0 * MPS_PER_MPH),
    ("0-100kmh", 100.0 / 3.6),
    ("0-100mph", 100.0 * MPS_PER_MPH),
    ("0-200kmh", 200.0 / 3.6),
];
const DISTANCE_MARKS: [(&str, f64); 5] = [
    ("60ft", 18.288),
    ("330ft", 100.584),
    ("1/8mi", 201.168),
    ("1000ft", 304.8),
    ("1/4mi", 402.336),
];

/// A tyre slips beyond the peak of the dry curve; slower than 3 m/s by a slip speed.
const TYRE_SLIP: f64 = 0.20;
const SLOW_MPS: f64 = 3.0;
/// The engine turns faster than the gearbox's input by this share.
const COUPLING_SLIP: f64 = 0.05;
/// Shorter slips are left out, shorter pauses bridged.
const LEAST_S: f64 = 0.1;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slip {
    pub from_s: f64,
    pub to_s: f64,
    pub kind: &'static str,
    pub peak_slip: f64,
}

/// Charge air over a pull, as it is and as the logged sensor would show it without steps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeatTruth {
    pub start_c: f64,
    pub end_c: f64,
    pub rise_c: f64,
    pub sensor_start_c: f64,
    pub sensor_end_c: f64,
    pub sensor_peak_c: f64,
    pub sensor_rise_c: f64,
    pub inlet_start_c: f64,
    /// Of the cooler at the mean conductance between this lift and the next start.
    pub tau_s: Option<f64>,
    /// The charge air 60 s after the lift, or `None` where the log ends or pulls before.
    pub after_60s_c: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PullTruth {
    pub start_s: f64,
    pub lift_s: f64,
    pub lift_mps: f64,
    pub peak_accel_mps2: f64,
    pub marks: BTreeMap<&'static str, f64>,
    pub rollout_marks: BTreeMap<&'static str, f64>,
    pub slip: Vec<Slip>,
    pub shifts_s: Vec<f64>,
    pub heat: HeatTruth,
}

/// The truth of every pull of a drive; `sensor_tau_s` is the charge-air sensor's lag.
pub fn pulls(trace: &Trace, car: &Car, sensor_tau_s: f64) -> Vec<PullTruth> {
    let sensed = sensed(trace, sensor_tau_s);
    let starts: Vec<usize> =
        trace.pulls.iter().map(|&(released, lift)| first_motion(trace, released, lift)).collect();
    (0..starts.len()).map(|at| pull(trace, car, &starts, at, &sensed)).collect()
}

fn pull(trace: &Trace, car: &Car, starts: &[usize], at: usize, sensed: &[f64]) -> PullTruth {
    let (start, lift) = (starts[at], trace.pulls[at].1);
    let moments = &trace.moments[start..=lift];
    let start_s = crossing(&trace.moments, start, FIRST_MOTION_MPS, |m| m.ground_mps);
    let left_m = moments[0].travelled_m;
    let rollout_s = reached(moments, left_m + ROLLOUT_M, |m| m.travelled_m);
    let marks = marks(moments, start, left_m, start_s);
    let rolled = rollout_s.map(|s| s + start as f64 * STEP_S - start_s);
    PullTruth {
        start_s: tidy(start_s),
        lift_s: tidy(lift as f64 * STEP_S),
        lift_mps: tidy(trace.moments[lift].ground_mps),
        peak_accel_mps2: tidy(moments.iter().map(|m| m.accel_mps2).fold(0.0, f64::max)),
        rollout_marks: marks
            .iter()
            .filter_map(|(&mark, &s)| Some((mark, tidy(s - rolled?))))
            .filter(|&(_, s)| s > 0.0)
            .collect(),
        marks,
        slip: slips(moments, start, car),
        shifts_s: shifts(moments, start),
        heat: heat(trace, car, (start, lift), starts.get(at + 1).copied(), sensed),
    }
}

/// Four digits after the point: a tenth of a millisecond.
pub fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

fn first_motion(trace: &Trace, released: usize, lift: usize) -> usize {
    let moving = |m: &Moment| m.ground_mps >= FIRST_MOTION_MPS;
    trace.moments[released..lift].iter().position(moving).map_or(released, |at| released + at)
}

/// Where a quantity passes a level between moment `at - 1` and `at`.
fn crossing(moments: &[Moment], at: usize, level: f64, of: impl Fn(&Moment) -> f64) -> f64 {
    let before = of(&moments[at.saturating_sub(1)]);
    let rise = of(&moments[at]) - before;
    let share = if rise > 0.0 { (level - before) / rise } else { 1.0 };
    (at as f64 - 1.0 + share) * STEP_S
}

/// Seconds from the first moment until a quantity reaches a level.
fn reached(moments: &[Moment], level: f64, of: impl Fn(&Moment) -> f64) -> Option<f64> {
    let at = moments.iter().position(|m| of(m) >= level)?;
    Some(crossing(moments, at, level, of))
}

fn marks(
    moments: &[Moment],
    start: usize,
    left_m: f64,
    start_s: f64,
) -> BTreeMap<&'static str, f64> {
    let offset_s = start as f64 * STEP_S - start_s;
    let by_speed =
        SPEED_MARKS.iter().map(|&(mark, mps)| (mark, reached(moments, mps, |m| m.ground_mps)));
    let by_way = DISTANCE_MARKS
        .iter()
        .map(|&(mark, m)| (mark, reached(moments, left_m + m, |now| now.travelled_m)));
    by_speed.chain(by_way).filter_map(|(mark, s)| Some((mark, tidy(s? + offset_s)))).collect()
}

/// Tyre slip as a ratio, or 0 where it is within what a tyre does in full health.
fn tyre_slip(m: &Moment) -> f64 {
    let slip = slip_ratio(m.wheel_mps, m.ground_mps);
    let least = if m.ground_mps < SLOW_MPS {
        TYRE_SLIP * SLOW_MPS / m.ground_mps.max(2.0)
    } else {
        TYRE_SLIP
    };
    if slip > least { (m.wheel_mps - m.ground_mps) / m.ground_mps.max(SLOW_MPS) } else { 0.0 }
}

fn coupling_slip(m: &Moment) -> f64 {
    let slip = 1.0 - m.input_rpm / m.rpm.max(1.0);
    if slip > COUPLING_SLIP && !m.shifting { slip } else { 0.0 }
}

fn slips(moments: &[Moment], start: usize, car: &Car) -> Vec<Slip> {
    let coupling = match car.gearbox.coupling {
        Coupling::Converter { .. } => "converter",
        _ => "clutch",
    };
    let mut all = intervals(moments, start, "tyre", tyre_slip);
    all.extend(intervals(moments, start, coupling, coupling_slip));
    all.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    all
}

fn intervals(
    moments: &[Moment],
    start: usize,
    kind: &'static str,
    of: fn(&Moment) -> f64,
) -> Vec<Slip> {
    let mut found: Vec<Slip> = Vec::new();
    for (at, moment) in moments.iter().enumerate() {
        let slip = of(moment);
        if slip <= 0.0 {
            continue;
        }
        let now_s = (start + at) as f64 * STEP_S;
        match found.last_mut() {
            Some(last) if now_s - last.to_s < LEAST_S => {
                last.to_s = now_s;
                last.peak_slip = last.peak_slip.max(slip);
            }
            _ => found.push(Slip { from_s: now_s, to_s: now_s, kind, peak_slip: slip }),
        }
    }
    found.retain(|slip| slip.to_s - slip.from_s >= LEAST_S);
    for slip in &mut found {
        (slip.from_s, slip.to_s, slip.peak_slip) =
            (tidy(slip.from_s), tidy(slip.to_s), tidy(slip.peak_slip));
    }
    found
}

fn shifts(moments: &[Moment], start: usize) -> Vec<f64> {
    let starts = |pair: &[Moment]| !pair[0].shifting && pair[1].shifting;
    (1..)
        .zip(moments.windows(2))
        .filter(|(_, pair)| starts(pair))
        .map(|(at, _)| tidy((start + at) as f64 * STEP_S))
        .collect()
}

/// The charge air as a first-order sensor follows it.
pub fn sensed(trace: &Trace, tau_s: f64) -> Vec<f64> {
    let mut now = trace.moments.first().map_or(0.0, |m| m.heat.charge_c);
    let follow = |m: &Moment| {
        now = super::charge::lagged(now, m.heat.charge_c, tau_s, STEP_S);
        now
    };
    trace.moments.iter().map(follow).collect()
}

fn heat(
    trace: &Trace,
    car: &Car,
    (start, lift): (usize, usize),
    next: Option<usize>,
    sensed: &[f64],
) -> HeatTruth {
    let charge = |at: usize| trace.moments[at].heat.charge_c;
    let until = next.unwrap_or(trace.moments.len());
    let after = lift + (60.0 / STEP_S) as usize;
    let peak = sensed[start..(lift + 15_000).min(until)].iter().copied().fold(f64::MIN, f64::max);
    HeatTruth {
        start_c: tidy(charge(start)),
        end_c: tidy(charge(lift)),
        rise_c: tidy(charge(lift) - charge(start)),
        sensor_start_c: tidy(sensed[start]),
        sensor_end_c: tidy(sensed[lift]),
        sensor_peak_c: tidy(peak),
        sensor_rise_c: tidy(sensed[lift] - sensed[start]),
        inlet_start_c: tidy(trace.moments[start].heat.filter_c),
        tau_s: mean_tau_s(&trace.moments[lift..until], car),
        after_60s_c: (after < until).then(|| tidy(charge(after))),
    }
}

fn mean_tau_s(moments: &[Moment], car: &Car) -> Option<f64> {
    let all: f64 = moments.iter().map(|m| 1.0 / car.cooling.tau_s(m.ground_mps)).sum();
    (!moments.is_empty()).then(|| tidy(moments.len() as f64 / all))
}
