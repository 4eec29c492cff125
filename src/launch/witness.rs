//! The witnesses of a log's motion, brought to one clock and one sign.
//!
//! In: a [`Log`], its pulls, the [`Car`]. Out: [`Witnesses`]: the logged speed, one
//! ground speed that no driven wheel can falsify, the accelerometer freed of its
//! reading at rest, the engine speed; each shifted onto one clock.
//!
//! Invariants: nothing here decides whom to believe.

use super::lag::{self, Lag};
use super::{Car, Drive};
use crate::log::{Channel, Log, Role, Series};
use crate::pull::Pull;

/// Which channel stands for the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroundKind {
    Satellite,
    /// Speed from positions: no Doppler quality.
    Positions,
    Undriven,
    /// The slower of two axles of a car whose driven axle is not known.
    SlowerAxle,
}

impl GroundKind {
    /// The house's word for it.
    pub fn witness(self) -> super::Witness {
        match self {
            GroundKind::Satellite | GroundKind::Positions => super::Witness::SatelliteSpeed,
            GroundKind::Undriven | GroundKind::SlowerAxle => super::Witness::UndrivenWheel,
        }
    }
}

/// A ground speed that no spinning wheel can falsify.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    pub kind: GroundKind,
    pub series: Series,
}

/// Forward acceleration, freed of its reading at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Accelerometer {
    pub series: Series,
    /// Standard deviation of the reading at rest that was taken out, m/s².
    pub bias_sd_mps2: f64,
    /// That reading, its sign turned as that of the series.
    pub rest_mps2: f64,
}

/// The witnesses of one log.
#[derive(Debug, Clone, PartialEq)]
pub struct Witnesses {
    /// The speed the car logged, whatever it was taken from.
    pub logged: Option<Series>,
    pub logged_step_mps: f64,
    pub ground: Option<Ground>,
    pub accelerometer: Option<Accelerometer>,
    pub engine: Option<Series>,
    /// Rows come unevenly, or now and then show a reading once more: they hold readings of
    /// any age up to an interval.
    pub off_beat: bool,
    /// How well the lags of logged and ground speed are known, behind the clock that all
    /// share.
    pub lag_sd_s: [f64; 2],
}

/// The keeper of the clock.
const ON_TIME: Lag = Lag { s: 0.0, sd_s: 0.0 };

/// An accelerometer read less often misses what it would have to integrate.
const FEWEST_HZ: f64 = 5.0;
/// Mean acceleration below which the first seconds of a pull are none.
const LEAST_PUSH_MPS2: f64 = 0.8;
/// So many repeats among lively readings are no chance, nor is such unevenness; a leap is
/// longer than this.
const OFF_BEAT: f64 = 0.03;
const LEAP_STEPS: f64 = 4.0;
/// Slower is standing, for readings of any kind.
pub const STANDSTILL_MPS: f64 = 0.45;

impl Witnesses {
    /// Gathers the witnesses of a log. `pulls` say where lags can be told.
    pub fn gather(log: &Log, pulls: &[Pull], car: &Car) -> Witnesses {
        let logged = logged(log);
        let spans: Vec<(f64, f64)> =
            pulls.iter().map(|pull| (pull.start_s - 1.0, pull.end_s + 3.0)).collect();
        let ground = ground(log, car, logged.is_some());
        let guide = logged.as_ref().or(ground.as_ref().map(|(_, series)| series)).cloned();
        let accelerometer = log
            .series(Role::LongitudinalAcceleration)
            .zip(guide.as_ref())
            .and_then(|(series, guide)| accelerometer(series, guide, pulls));
        // The clock that all share is the accelerometer's, else the ground speed's.
        let lag_of = |speed: &Series| match (&accelerometer, &ground) {
            (Some(sensor), _) => {
                let lag = lag::of_acceleration(speed, &sensor.series, &spans);
                Lag { s: -lag.s, ..lag }
            }
            (None, Some((_, ground))) if logged.is_some() => lag::of_speed(ground, speed, &spans),
            _ => ON_TIME,
        };
        let logged_lag = logged.as_ref().map_or(ON_TIME, &lag_of);
        let ground_lag = match (&accelerometer, &ground) {
            (Some(_), Some((_, series))) => lag_of(series),
            _ => ON_TIME,
        };
        // It is set to the guiding speed's, which is the log's own.
        let own_s = if logged.is_some() { logged_lag.s } else { ground_lag.s };
        let ground = ground
            .map(|(kind, series)| Ground { kind, series: shifted(&series, ground_lag.s - own_s) });
        let accelerometer = accelerometer
            .map(|sensor| Accelerometer { series: shifted(&sensor.series, -own_s), ..sensor });
        let speeds = [logged.as_ref(), ground.as_ref().map(|ground| &ground.series)];
        let felt = accelerometer.as_ref().map(|sensor| &sensor.series);
        let off_beat = speeds.into_iter().chain([felt]).flatten().any(is_off_beat);
        Witnesses {
            off_beat,
            logged_step_mps: step(log.channel(Role::VehicleSpeed)),
            logged,
            ground,
            accelerometer,
            engine: log.series(Role::EngineSpeed).cloned(),
            lag_sd_s: [logged_lag.sd_s, ground_lag.sd_s],
        }
    }

    /// The speed that covers the log best: as logged, else over the ground.
    pub fn guide(&self) -> Option<&Series> {
        self.logged.as_ref().or(self.ground.as_ref().map(|ground| &ground.series))
    }
}

/// The speed the car logged; the faster axle's wheels where that is all there is.
fn logged(log: &Log) -> Option<Series> {
    log.series(Role::VehicleSpeed).cloned().or_else(|| {
        let front = axle(log, Role::WheelSpeedFrontLeft, Role::WheelSpeedFrontRight);
        let rear = axle(log, Role::WheelSpeedRearLeft, Role::WheelSpeedRearRight);
        match (front, rear) {
            (Some(front), Some(rear)) => Some(combine(&front, &rear, f64::max)),
            (front, rear) => front.or(rear),
        }
    })
}

/// The best ground witness. A satellite speed that is all the log has still counts.
fn ground(log: &Log, car: &Car, has_logged: bool) -> Option<(GroundKind, Series)> {
    if let Some(channel) = log.channel(Role::SatelliteSpeed).filter(|c| !c.series.is_empty()) {
        let kind = if channel.derived { GroundKind::Positions } else { GroundKind::Satellite };
        return Some((kind, channel.series.clone()));
    }
    if let Some(series) = log.series(Role::UndrivenWheelSpeed) {
        return Some((GroundKind::Undriven, series.clone()));
    }
    let front = axle(log, Role::WheelSpeedFrontLeft, Role::WheelSpeedFrontRight);
    let rear = axle(log, Role::WheelSpeedRearLeft, Role::WheelSpeedRearRight);
    match (car.drive, front, rear) {
        (Some(Drive::Front), _, Some(rear)) => Some((GroundKind::Undriven, rear)),
        (Some(Drive::Rear), Some(front), _) => Some((GroundKind::Undriven, front)),
        (None, Some(front), Some(rear)) if has_logged => {
            Some((GroundKind::SlowerAxle, combine(&front, &rear, f64::min)))
        }
        _ => None,
    }
}

/// Mean of an axle's two wheels, or the one that was logged.
fn axle(log: &Log, left: Role, right: Role) -> Option<Series> {
    match (log.series(left), log.series(right)) {
        (Some(left), Some(right)) => Some(combine(left, right, |a, b| 0.5 * (a + b))),
        (left, right) => left.or(right).cloned(),
    }
}

/// `a` with `b` interpolated at its times.
fn combine(a: &Series, b: &Series, join: impl Fn(f64, f64) -> f64) -> Series {
    let joined: Vec<(f64, f64)> = a
        .time_s
        .iter()
        .zip(&a.value)
        .filter_map(|(&t, &value)| Some((t, join(value, b.at(t)?))))
        .collect();
    Series {
        time_s: joined.iter().map(|&(t, _)| t).collect(),
        value: joined.into_iter().map(|(_, value)| value).collect(),
    }
}

/// Takes out the reading at rest and turns a reversed sensor round. Every pull begins
/// by speeding up: that gives the sign, where a spinning wheel would give nonsense.
fn accelerometer(raw: &Series, guide: &Series, pulls: &[Pull]) -> Option<Accelerometer> {
    if raw.len() < 10 || median_step(raw) > 1.0 / FEWEST_HZ {
        return None;
    }
    let (bias, bias_sd_mps2) = at_rest(raw, guide).unwrap_or((0.0, 0.5));
    let early: Vec<f64> = pulls
        .iter()
        .flat_map(|pull| raw.between(pull.start_s + 0.2, (pull.start_s + 2.5).min(pull.end_s)).1)
        .map(|value| value - bias)
        .collect();
    let mean = early.iter().sum::<f64>() / early.len().max(1) as f64;
    // A channel that shows nothing while the car speeds up is no witness of it.
    if early.is_empty() || mean.abs() < LEAST_PUSH_MPS2 {
        return None;
    }
    let value = raw.value.iter().map(|value| (value - bias) * mean.signum()).collect();
    let rest_mps2 = bias * mean.signum();
    let series = Series { time_s: raw.time_s.clone(), value };
    Some(Accelerometer { series, bias_sd_mps2, rest_mps2 })
}

fn is_off_beat(series: &Series) -> bool {
    repeats(&series.value) > OFF_BEAT || unevenness(series) > OFF_BEAT
}

/// Median departure of an interval from the usual one, as a share of it: rows that come when
/// they please hold readings of any age.
fn unevenness(series: &Series) -> f64 {
    let usual_s = median_step(series);
    let mut apart: Vec<f64> =
        series.time_s.windows(2).map(|pair| (pair[1] - pair[0] - usual_s).abs()).collect();
    apart.sort_by(f64::total_cmp);
    apart.get(apart.len() / 2).map_or(0.0, |apart_s| apart_s / usual_s)
}

/// Share of readings that repeat the one before, in a channel that leaps from reading to
/// reading all around them.
fn repeats(value: &[f64]) -> f64 {
    let steps = value.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    let step = steps.filter(|&s| s > 1e-9).fold(f64::INFINITY, f64::min);
    let leaps = |pair: &[f64]| (pair[1] - pair[0]).abs() > LEAP_STEPS * step;
    let lively = value.windows(4).filter(|w| leaps(&w[0..2]) && leaps(&w[2..4]));
    let (all, same) =
        lively.fold((0_u32, 0_u32), |(all, same), w| (all + 1, same + u32::from(w[1] == w[2])));
    f64::from(same) / f64::from(all.max(1))
}

/// Median reading while the car stands, with the uncertainty it leaves.
fn at_rest(raw: &Series, guide: &Series) -> Option<(f64, f64)> {
    let mut still: Vec<f64> = raw
        .time_s
        .iter()
        .zip(&raw.value)
        .filter(|&(&t, _)| stands_around(guide, t))
        .map(|(_, &value)| value)
        .collect();
    if still.len() < 5 {
        return None;
    }
    still.sort_by(f64::total_cmp);
    let median = still[still.len() / 2];
    let spread = still[still.len() * 84 / 100] - still[still.len() * 16 / 100];
    let noise = 0.5 * spread / libm::sqrt(still.len() as f64);
    // The launch spot's slope and the body's rest attitude differ a little from spot to spot.
    Some((median, libm::hypot(noise, 0.05)))
}

/// The car stands from half a second before to half a second after.
fn stands_around(guide: &Series, time_s: f64) -> bool {
    [-0.5, 0.0, 0.5].iter().all(|&dt| guide.at(time_s + dt).is_some_and(|v| v <= STANDSTILL_MPS))
}

fn shifted(series: &Series, lag_s: f64) -> Series {
    if lag_s == 0.0 {
        return series.clone();
    }
    Series {
        time_s: series.time_s.iter().map(|t| t - lag_s).collect(),
        value: series.value.clone(),
    }
}

fn step(channel: Option<&Channel>) -> f64 {
    channel.and_then(|channel| channel.resolution).unwrap_or(0.0)
}

fn median_step(series: &Series) -> f64 {
    let mut steps: Vec<f64> = series.time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied().unwrap_or(f64::INFINITY)
}
