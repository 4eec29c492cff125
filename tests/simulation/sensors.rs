//! Sensors: what of the truth reaches the logger, late, rounded, and somewhat wrong.
//!
//! In: a [`Trace`]. Out: a [`Signal`] per sensor, readings against the instant at which
//! the logger got them. Faults here are those of ordinary hardware; a lying channel name
//! is the recorder's business.

use super::charge::lagged;
use super::motion::{Moment, STEP_S, Trace};
use super::random::Chance;
use super::vehicle::GRAVITY_MPS2;

/// What is sensed, in SI units with degrees Celsius, kPa, percent and rpm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    DrivenWheel,
    Ground,
    EngineSpeed,
    Throttle,
    Gear,
    Acceleration,
    FilterAir,
    ChargeAir,
    Ambient,
    EngineCoolant,
    ChargeCoolant,
    Manifold,
    Barometer,
    Humidity,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensor {
    pub source: Source,
    /// Between two readings, and when the first comes.
    pub period_s: f64,
    pub first_s: f64,
    /// How old the truth is when its reading arrives.
    pub latency_s: f64,
    /// First-order lag of the sensor itself.
    pub lag_s: f64,
    /// Reading over truth.
    pub scale: f64,
    pub offset: f64,
    /// White, standard deviation.
    pub noise: f64,
    /// Further noise that comes with motion, standard deviation at 30 m/s.
    pub shake: f64,
    /// Readings closer to zero than this are zero.
    pub dead_zone: f64,
    /// Readings are multiples of this.
    pub step: f64,
    /// Slow error beside the white one: standard deviation, over [`WANDER_S`].
    pub wander: f64,
    /// Share of readings that are the one before once more.
    pub hangs: f64,
    /// Of an accelerometer: how the body it is fixed to pitches.
    pub pitch: Option<Pitch>,
}

/// A body on its springs: how far it squats, and how it swings there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch {
    /// Angle at a steady 1 g, rad.
    pub rad_per_g: f64,
    pub natural_hz: f64,
    pub damping: f64,
}

/// How long a slow error lasts, as a receiver's does.
const WANDER_S: f64 = 2.0;

impl Sensor {
    /// A flawless sensor at this rate.
    pub fn new(source: Source, rate_hz: f64) -> Self {
        Self {
            source,
            period_s: 1.0 / rate_hz,
            first_s: 0.0,
            latency_s: 0.0,
            lag_s: 0.0,
            scale: 1.0,
            offset: 0.0,
            noise: 0.0,
            shake: 0.0,
            dead_zone: 0.0,
            step: 0.0,
            wander: 0.0,
            hangs: 0.0,
            pitch: None,
        }
    }
}

/// Readings against when they came.
#[derive(Debug, Clone, PartialEq)]
pub struct Signal {
    pub time_s: Vec<f64>,
    pub value: Vec<f64>,
}

impl Signal {
    /// The newest reading at a time and whether it came after `since_s`.
    pub fn newest(&self, at_s: f64, since_s: f64) -> Option<(f64, bool)> {
        let after = self.time_s.partition_point(|&t| t <= at_s + 1e-9);
        let last = after.checked_sub(1)?;
        Some((self.value[last], self.time_s[last] > since_s + 1e-9))
    }
}

/// Reads a whole drive.
pub fn read(sensor: &Sensor, trace: &Trace, chance: &mut Chance) -> Signal {
    let lagging = (sensor.lag_s > 0.0 || sensor.pitch.is_some()).then(|| follow(sensor, trace));
    let kept = libm::exp(-sensor.period_s / WANDER_S);
    let mut wandered = if sensor.wander > 0.0 { sensor.wander * chance.normal() } else { 0.0 };
    let mut signal = Signal { time_s: Vec::new(), value: Vec::new() };
    let count = ((trace.span_s() - sensor.first_s) / sensor.period_s) as usize;
    for k in 0..=count {
        let time_s = sensor.first_s + k as f64 * sensor.period_s;
        let seen_s = time_s - sensor.latency_s;
        let truth = match &lagging {
            Some(values) => {
                let at = (seen_s / STEP_S).max(0.0) as usize;
                values[at.min(values.len() - 1)]
            }
            None => truth(sensor.source, trace, seen_s),
        };
        let speed = trace.at(seen_s, |m| m.ground_mps);
        let mut value = flawed(sensor, truth + wandered, speed, chance);
        if sensor.wander > 0.0 {
            let fresh = sensor.wander * (1.0 - kept * kept).sqrt();
            wandered = kept * wandered + fresh * chance.normal();
        }
        if sensor.hangs > 0.0 && chance.happens(sensor.hangs) {
            value = signal.value.last().copied().unwrap_or(value);
        }
        signal.time_s.push(time_s);
        signal.value.push(value);
    }
    signal
}

fn flawed(sensor: &Sensor, truth: f64, speed_mps: f64, chance: &mut Chance) -> f64 {
    let noise = sensor.noise + sensor.shake * (speed_mps / 30.0).min(1.5);
    let noise = if noise > 0.0 { noise * chance.normal() } else { 0.0 };
    let read = truth * sensor.scale + sensor.offset + noise;
    let read = if is_speed(sensor.source) { read.max(0.0) } else { read };
    if read.abs() < sensor.dead_zone {
        0.0
    } else if sensor.step > 0.0 {
        (read / sensor.step).round() * sensor.step
    } else {
        read
    }
}

fn is_speed(source: Source) -> bool {
    matches!(source, Source::DrivenWheel | Source::Ground)
}

/// The lagging sensor's own value at every moment of the trace.
fn follow(sensor: &Sensor, trace: &Trace) -> Vec<f64> {
    let mut now: Option<f64> = None;
    let mut body = (0.0, 0.0);
    let step = |at: usize| {
        let mut towards = truth(sensor.source, trace, at as f64 * STEP_S);
        if let Some(pitch) = sensor.pitch {
            body = pitch.swing(body, trace.moments[at].accel_mps2);
            towards += GRAVITY_MPS2 * body.0;
        }
        let value = now.map_or(towards, |before| lagged(before, towards, sensor.lag_s, STEP_S));
        now = Some(value);
        value
    };
    (0..trace.moments.len()).map(step).collect()
}

impl Pitch {
    /// One step of angle and its rate, as a damped spring under the car's acceleration.
    fn swing(self, (angle, rate): (f64, f64), accel_mps2: f64) -> (f64, f64) {
        let natural = std::f64::consts::TAU * self.natural_hz;
        let rest = self.rad_per_g * accel_mps2 / GRAVITY_MPS2;
        let pull = natural * natural * (rest - angle) - 2.0 * self.damping * natural * rate;
        let rate = rate + pull * STEP_S;
        (angle + rate * STEP_S, rate)
    }
}

fn truth(source: Source, trace: &Trace, time_s: f64) -> f64 {
    let of: fn(&Moment) -> f64 = match source {
        Source::DrivenWheel => |m| m.wheel_mps,
        Source::Ground => |m| m.ground_mps,
        Source::EngineSpeed => |m| m.rpm,
        Source::Throttle => |m| m.pedal * 100.0,
        Source::Gear => |m| m.gear,
        Source::Acceleration => |m| m.accel_mps2,
        Source::FilterAir => |m| m.heat.filter_c,
        Source::ChargeAir => |m| m.heat.charge_c,
        Source::EngineCoolant => |m| m.coolant_c,
        Source::ChargeCoolant => |m| m.heat.coolant_c,
        Source::Manifold => |m| m.manifold_kpa,
        Source::Ambient => return trace.air.ambient_c,
        Source::Barometer => return trace.air.pressure_kpa,
        Source::Humidity => return trace.air.humidity_percent,
    };
    let value = trace.at(time_s, of);
    match source {
        // An accelerometer cannot tell the slope from a push.
        Source::Acceleration => value + GRAVITY_MPS2 * trace.slope,
        Source::Gear => value.floor(),
        _ => value,
    }
}
