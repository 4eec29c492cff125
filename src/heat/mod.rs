//! Heat carried: charge air over a pull, its recovery, the ladder of starts.
//!
//! In: a [`Log`], its pulls and their ground motion. Out: one [`Heat`] a pull that
//! has charge air, and the [`Ladder`] of the log.
//!
//! Method: the start is a robust level just before the launch; values at speeds are
//! read where the *ground* first passed them, linear between fresh readings; every
//! value carries a standard deviation that a stepped sensor cannot talk small.
//!
//! Never: inlet air in place of charge air, a value beyond the end of a pull, or one
//! across a hole in the record. A log without charge air has no heat at all.
//!
//! Start at [`over_pulls`].

mod channel;
pub mod hardware;
pub mod ladder;
pub mod lag;
pub mod recovery;

pub use channel::{Reading, Thermometer};
pub use hardware::Hardware;
pub use ladder::{Cooling, Ladder, Wait, ladder};
pub use lag::Lag;
pub use recovery::{Recovery, WhileCar};

use crate::launch::Motion;
use crate::log::{Log, Role};
use crate::math::robust;
use crate::pull::{self, Kind, Pull};
use crate::unit::{MPS_PER_KMH, MPS_PER_MPH};

/// Charge air over one pull, degrees Celsius.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    /// Robust level just before the start.
    pub start_c: f64,
    pub start_sd_c: f64,
    /// At the lift.
    pub end_c: f64,
    pub end_sd_c: f64,
    /// The highest reading from the lift until it falls for good, or the next pull.
    pub peak_c: f64,
    /// How long after the lift the peak was read: a sign of sensor lag.
    pub peak_after_s: f64,
    /// `end_c` minus `start_c`.
    pub rise_c: f64,
    pub rise_sd_c: f64,
    /// Of the start and the lift against those of other pulls, without what the sensor's
    /// delay does to all of them alike.
    pub start_own_sd_c: f64,
    pub end_own_sd_c: f64,
    /// The rise over the time from start to lift.
    pub rise_k_per_s: Option<f64>,
    /// The rise over the kinetic energy gained, K per kJ/kg of car: pulls to different
    /// speeds can be compared by it.
    pub rise_k_per_kjpkg: Option<f64>,
    pub inlet_start_c: Option<f64>,
    pub inlet_end_c: Option<f64>,
    /// Charge air where the ground speed first passed each mark.
    pub at: Vec<SpeedReading>,
    pub recovery: Option<Recovery>,
    /// Why there is no recovery, in one sentence, when there is none.
    pub no_recovery: Option<String>,
    /// How far the charge-air sensor lags, if the pull tells.
    pub lag: Option<Lag>,
    /// What compressor, cooler and coolant did, where channels allow.
    pub hardware: Hardware,
    /// Charge air against ground speed, for the chart: (m/s, °C) in time order.
    pub trace: Vec<(f64, f64)>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedReading {
    pub speed_mps: f64,
    pub charge_c: f64,
    pub sd_c: f64,
    /// Against other pulls, without what the sensor's delay does to all of them alike.
    pub own_sd_c: f64,
    /// Since the pull's start.
    pub since_start_s: f64,
}

/// Speeds read in every pull that reaches them (the reader's own come on top).
pub const SPEED_MARKS_MPS: [f64; 11] = [
    40.0 * MPS_PER_MPH,
    60.0 * MPS_PER_MPH,
    80.0 * MPS_PER_MPH,
    90.0 * MPS_PER_MPH,
    100.0 * MPS_PER_MPH,
    110.0 * MPS_PER_MPH,
    120.0 * MPS_PER_MPH,
    60.0 * MPS_PER_KMH,
    100.0 * MPS_PER_KMH,
    130.0 * MPS_PER_KMH,
    160.0 * MPS_PER_KMH,
];

/// The level before a start is that of the last second: boost that builds against the
/// brakes heats the charge before the car moves, and belongs to the start.
const BEFORE_S: f64 = 1.0;
/// Charge air has fallen for good when it has stayed this far below its peak this long.
const FALLEN_C: f64 = 1.0;
const FALLEN_S: f64 = 4.0;
/// A peak this long after the lift is no longer the pull's.
const LATEST_PEAK_S: f64 = 30.0;
/// A ground speed less sure than this share gives no reading at speed.
const LEAST_SURE_SPEED: f64 = 0.05;
/// Points of the trace: more than any chart has pixels for one pull.
const TRACE_STEP_MPS: f64 = 0.2;

/// One entry a pull, `None` where the log has no charge air over it.
///
/// `motions[i]` belongs to `pulls[i]`; a pull without believable motion has no
/// readings at speeds. `marks_mps` are read in addition to [`SPEED_MARKS_MPS`].
/// `ambient_c` is what the reader typed; without it the log's own channel serves.
pub fn over_pulls(
    log: &Log,
    pulls: &[Pull],
    motions: &[Option<&Motion>],
    marks_mps: &[f64],
    ambient_c: Option<f64>,
) -> Vec<Option<Heat>> {
    let Some(charge) = Thermometer::of(log, Role::ChargeAir) else {
        return pulls.iter().map(|_| None).collect();
    };
    let logged = || log.series(Role::AmbientAir).and_then(|air| robust::median(&air.value));
    let inlet = Thermometer::of(log, Role::InletAir);
    let gauges = Gauges { log, charge, inlet, ambient_c: ambient_c.or_else(logged) };
    let over = |(place, pull): (usize, &Pull)| {
        let until_s = pulls.get(place + 1).map_or(f64::INFINITY, |next| next.start_s);
        let motion = motions.get(place).copied().flatten();
        gauges.over(pull, until_s, motion, marks_mps)
    };
    let mut heats: Vec<Option<Heat>> = pulls.iter().enumerate().map(over).collect();
    hardware::against_first(&mut heats);
    heats
}

/// The thermometers of one log.
struct Gauges<'a> {
    log: &'a Log,
    charge: Thermometer,
    inlet: Option<Thermometer>,
    ambient_c: Option<f64>,
}

impl Gauges<'_> {
    fn over(
        &self,
        pull: &Pull,
        until_s: f64,
        motion: Option<&Motion>,
        marks_mps: &[f64],
    ) -> Option<Heat> {
        let start = self.charge.at_start(pull.start_s, BEFORE_S)?;
        let end = self.charge.at_lift(pull.end_s)?;
        let end_sd_c = libm::hypot(end.sd_c, self.charge.moment_sd_c(pull.end_s));
        let (peak_s, peak_c) = self.peak(pull.end_s, end.c, until_s);
        let (recovery, no_recovery) = match self.recovery(pull, peak_s, until_s, start.c) {
            Ok(recovery) => (Some(recovery), None),
            Err(why) => (None, Some(why)),
        };
        let inlet = |time_s: f64| self.inlet.as_ref()?.at_or_last(time_s);
        let rise_c = end.c - start.c;
        Some(Heat {
            start_c: start.c,
            start_sd_c: start.sd_c,
            end_c: end.c,
            end_sd_c,
            peak_c,
            peak_after_s: peak_s - pull.end_s,
            rise_c,
            rise_sd_c: libm::hypot(start.sd_c, end_sd_c),
            start_own_sd_c: self.charge.own_sd_c(pull.start_s),
            end_own_sd_c: self.charge.own_sd_c(pull.end_s),
            rise_k_per_s: positive(pull.end_s - pull.start_s).map(|lasts| rise_c / lasts),
            rise_k_per_kjpkg: motion
                .and_then(|motion| energy_kjpkg(pull, motion))
                .map(|gained| rise_c / gained),
            inlet_start_c: self
                .inlet
                .as_ref()
                .and_then(|inlet| inlet.level_before(pull.start_s, BEFORE_S))
                .map(|inlet| inlet.c),
            inlet_end_c: inlet(pull.end_s).map(|inlet| inlet.c),
            at: motion.map(|motion| self.at_speeds(pull, motion, marks_mps)).unwrap_or_default(),
            recovery,
            no_recovery,
            lag: lag::estimate(&self.charge, pull, start.c, end.c),
            hardware: Hardware::over(self.log, pull, end.c),
            trace: motion.map(|motion| self.trace(pull, motion)).unwrap_or_default(),
        })
    }

    /// Time and value of the highest reading from the lift on, until it has fallen for
    /// good. A stepped sensor holds its peak: the middle of that time counts.
    fn peak(&self, lift_s: f64, lift_c: f64, until_s: f64) -> (f64, f64) {
        let until_s = until_s.min(lift_s + LATEST_PEAK_S);
        let (t, y) = self.charge.series().between(lift_s, until_s);
        let drop_c = FALLEN_C.max(2.0 * self.charge.step_c());
        let (mut peak_s, mut peak_c, mut fallen_since) = (lift_s, lift_c, None);
        let mut held_s = lift_s;
        for (&t, &c) in t.iter().zip(y) {
            if c > peak_c {
                (peak_s, held_s, peak_c, fallen_since) = (t, t, c, None);
            } else if c == peak_c && fallen_since.is_none() {
                held_s = t;
            } else if c <= peak_c - drop_c {
                let since = *fallen_since.get_or_insert(t);
                if t - since >= FALLEN_S {
                    break;
                }
            }
        }
        (0.5 * (peak_s + held_s), peak_c)
    }

    fn recovery(
        &self,
        pull: &Pull,
        peak_s: f64,
        until_s: f64,
        start_c: f64,
    ) -> Result<Recovery, String> {
        let question = recovery::Question {
            thermometer: &self.charge,
            speed: pull::guiding_speed(self.log),
            lift_s: pull.end_s,
            peak_s,
            until_s,
            start_c,
            ambient_c: self.ambient_c,
            has_loop: self.log.series(Role::ChargeCoolant).is_some(),
        };
        question.answer()
    }

    fn at_speeds(&self, pull: &Pull, motion: &Motion, marks_mps: &[f64]) -> Vec<SpeedReading> {
        let mut speeds: Vec<f64> = SPEED_MARKS_MPS.iter().chain(marks_mps).copied().collect();
        speeds.sort_by(f64::total_cmp);
        speeds.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        speeds.iter().filter_map(|speed| self.at_speed(pull, motion, *speed)).collect()
    }

    fn at_speed(&self, pull: &Pull, motion: &Motion, speed_mps: f64) -> Option<SpeedReading> {
        let time_s = motion.time_at_speed(speed_mps)?;
        let place = motion.time_s.partition_point(|t| *t < time_s);
        let speed_sd = motion.speed_sd_mps.get(place).copied().unwrap_or(f64::INFINITY);
        if time_s > pull.end_s || speed_sd > LEAST_SURE_SPEED * speed_mps {
            return None;
        }
        let reading = self.charge.at(time_s)?;
        // A speed told too early or too late reads the charge too early or too late.
        let accel = motion.accel_mps2.get(place).copied().unwrap_or(0.0);
        let late_s = positive(accel).map_or(0.0, |accel| speed_sd / accel);
        let climbs = (self.charge.at(time_s + 0.5).unwrap_or(reading).c
            - self.charge.at(time_s - 0.5).unwrap_or(reading).c)
            .abs();
        let by_speed = climbs * late_s;
        let moment = self.charge.moment_sd_c(time_s);
        let sd_c = libm::hypot(libm::hypot(reading.sd_c, by_speed), moment);
        let since_start_s = time_s - motion.start_s;
        let own_sd_c = self.charge.own_sd_c(time_s);
        Some(SpeedReading { speed_mps, charge_c: reading.c, sd_c, own_sd_c, since_start_s })
    }

    fn trace(&self, pull: &Pull, motion: &Motion) -> Vec<(f64, f64)> {
        let mut trace: Vec<(f64, f64)> = Vec::new();
        let mut fastest = f64::NEG_INFINITY;
        for (&t, &speed) in motion.time_s.iter().zip(&motion.speed_mps) {
            let within = (pull.start_s..=pull.end_s).contains(&t);
            if !within || speed < fastest + TRACE_STEP_MPS {
                continue;
            }
            fastest = speed;
            trace.extend(self.charge.at(t).map(|reading| (speed, reading.c)));
        }
        trace
    }
}

fn positive(value: f64) -> Option<f64> {
    (value > 0.0).then_some(value)
}

/// Kinetic energy gained from the pull's start to its lift, kJ per kg of car. `None`
/// when the motion does not reach to both, or hardly any was gained.
fn energy_kjpkg(pull: &Pull, motion: &Motion) -> Option<f64> {
    if motion.ends_untold {
        return None;
    }
    let from = match pull.kind {
        Kind::Standing => 0.0,
        Kind::Rolling => motion.speed_at(pull.start_s.max(*motion.time_s.first()?))?,
    };
    let to = motion.speed_at(pull.end_s.min(*motion.time_s.last()?))?;
    let gained = 0.5 * (to * to - from * from) / 1000.0;
    (gained > 0.05).then_some(gained)
}

#[cfg(test)]
mod tests;
