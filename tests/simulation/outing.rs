//! One outing: a car driven on a day and recorded by a logger, with the truth beside it.
//!
//! In: an [`Outing`] as a scenario describes it. Out: the log's text, and the truth on the
//! log's own clock, which counts from its first row.

use serde::Serialize;

use super::driver::{Act, Manner};
use super::motion::{Car, Drive, Mood, drive};
use super::random::Chance;
use super::recorder::{Column, Dialect, Rows, record};
use super::sensors::{Sensor, Source, read};
use super::truth::{PullTruth, pulls, tidy};
use super::vehicle::Air;

#[derive(Debug, Clone)]
pub struct Outing {
    pub file: &'static str,
    pub seed: u64,
    pub car: Car,
    pub air: Air,
    pub manner: Manner,
    pub pulls: usize,
    pub lift_mps: f64,
    pub channels: Vec<(Column, Sensor)>,
    pub dialect: Dialect,
    pub rate_hz: f64,
    pub jitter_s: f64,
    pub lost: f64,
}

/// What really happened, on the log's clock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutingTruth {
    pub log: &'static str,
    pub ambient_c: f64,
    pub relative_humidity_percent: f64,
    pub pressure_kpa: f64,
    pub charge_sensor_lag_s: f64,
    pub pulls: Vec<PullTruth>,
}

impl Outing {
    /// Drives and records.
    pub fn run(&self) -> (String, OutingTruth) {
        let mut chance = Chance::new(self.seed);
        let trace = drive(&self.car, &self.plan(&mut chance));
        let sense = |&(ref column, sensor): &(Column, Sensor)| {
            (column.clone(), read(&sensor, &trace, &mut chance))
        };
        let signals: Vec<_> = self.channels.iter().map(sense).collect();
        let rows = Rows {
            rate_hz: self.rate_hz,
            jitter_s: self.jitter_s,
            lost: self.lost,
            from_s: 6.0,
            to_s: trace.span_s() - 1.0,
        };
        let recording = record(&signals, &self.dialect, &rows, &mut chance);
        let lag_s = self.charge_lag_s();
        let mut pulls = pulls(&trace, &self.car, lag_s);
        pulls.iter_mut().for_each(|pull| on_clock(pull, recording.first_row_s));
        let truth = OutingTruth {
            log: self.file,
            ambient_c: self.air.ambient_c,
            relative_humidity_percent: self.air.humidity_percent,
            pressure_kpa: self.air.pressure_kpa,
            charge_sensor_lag_s: lag_s,
            pulls,
        };
        (recording.text, truth)
    }

    fn charge_lag_s(&self) -> f64 {
        let charge = self.channels.iter().find(|(_, sensor)| sensor.source == Source::ChargeAir);
        charge.map_or(0.0, |(_, sensor)| sensor.lag_s)
    }

    fn plan(&self, chance: &mut Chance) -> Drive {
        Drive {
            acts: test_drive(self.pulls, self.lift_mps, chance),
            manner: self.manner,
            air: self.air,
            slope: 0.0,
            warm_k: 9.0,
            moods: (0..self.pulls).map(|_| mood(chance)).collect(),
        }
    }
}

/// Grip and torque vary by a percent or two, the foot and the wind by more.
pub(super) fn mood(chance: &mut Chance) -> Mood {
    let mut about = |spread: f64| 1.0 + spread * chance.normal().clamp(-2.0, 2.0);
    Mood { grip: about(0.015), torque: about(0.008), engage: about(0.1), wind: about(0.08) }
}

/// Pulls a good minute apart: stand, pull, roll out, brake, drive back slowly, stand.
fn test_drive(pulls: usize, to_mps: f64, chance: &mut Chance) -> Vec<Act> {
    let stop = Act::Brake { mps2: 2.2, to_mps: 0.01 };
    let mut acts = vec![Act::Cruise { mps: 13.0, lasts_s: 14.0 }, stop];
    for _ in 0..pulls {
        acts.extend([
            Act::Wait { lasts_s: chance.between(8.0, 13.0) },
            Act::Pull { to_mps: to_mps + chance.between(-0.5, 0.5) },
            Act::Coast { lasts_s: chance.between(1.0, 2.2) },
            Act::Brake { mps2: chance.between(2.6, 3.6), to_mps: 13.5 },
            Act::Cruise { mps: chance.between(11.5, 13.5), lasts_s: chance.between(25.0, 30.0) },
            stop,
        ]);
    }
    acts.push(Act::Wait { lasts_s: 8.0 });
    acts
}

pub(super) fn on_clock(pull: &mut PullTruth, first_row_s: f64) {
    let shift = |time_s: &mut f64| *time_s = tidy(*time_s - first_row_s);
    shift(&mut pull.start_s);
    shift(&mut pull.lift_s);
    pull.shifts_s.iter_mut().for_each(shift);
    for slip in &mut pull.slip {
        shift(&mut slip.from_s);
        shift(&mut slip.to_s);
    }
}
