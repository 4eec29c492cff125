//! Recovery: how charge air comes back between a peak and the next pull.
//!
//! In: a [`Thermometer`], the lift and the peak, where the next pull starts, and the
//! road speed where the log has it. Out: a [`Recovery`], or one sentence why none.
//!
//! Method: Newton cooling, T = level + amplitude exp(−t/tau), by [`fit_settling`] with
//! the interval of tau from its profile. Right after the lift the air falls to the
//! cooler's metal within seconds, and the sensor with it: that fast stage is fitted
//! beside, so that tau is the cooler's own. Standing and driving cool differently, so
//! where the speed tells them apart the longest stretch of one kind is fitted alone, and
//! a mix of both is not.
//! While the car drives, charge air settles a few kelvin above ambient, which is used
//! with its doubt where ambient air is known: a minute of record alone seldom tells
//! both a level and a time constant.
//!
//! Never: a time constant from a record much shorter than it, or from a fall of a few
//! steps. It is then "at least", or only a rate.

use super::channel::Thermometer;
use crate::log::Series;
use crate::math::decay::Decay;
use crate::math::fit::fit_line;
use crate::math::settle::{Prior, Stages, fit_settling};
use crate::math::student::t95;

/// Newton cooling after a pull: T(t) = settles_at + amplitude exp(−(t − from)/tau).
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// The stretch that was fitted.
    pub from_s: f64,
    pub to_s: f64,
    pub while_car: WhileCar,
    /// `None` when the log stops too early for a time constant.
    pub tau_s: Option<f64>,
    pub tau_low_s: Option<f64>,
    /// `None` when the interval is open upwards ("at least").
    pub tau_high_s: Option<f64>,
    pub settles_at_c: Option<f64>,
    /// Half of the 95 % interval of `settles_at_c`.
    pub settles_plus_minus_c: Option<f64>,
    /// Charge air 60 s after the lift: read, or from the fit where the log is shorter.
    pub after_60s_c: Option<f64>,
    /// Time from the lift until within 2 °F of the pull's start: read, or from the fit;
    /// `None` if never.
    pub back_after_s: Option<f64>,
    /// `after_60s_c` and `back_after_s` lie beyond the record.
    pub after_60s_is_fit: bool,
    pub back_is_fit: bool,
    /// Amplitude of the fit, °C above `settles_at_c` at `from_s`.
    pub amplitude_c: Option<f64>,
    /// How fast charge air fell over the first seconds, K/s; known without a tau.
    pub falls_k_per_s: Option<f64>,
    /// Why there is no time constant, in one sentence, when there is none.
    pub no_tau: Option<String>,
    /// The level was held near ambient air, because the record alone does not tell it.
    pub leans_on_ambient: bool,
    /// The fit behind `tau_s`, for the ladder.
    pub fit: Option<Decay>,
}

/// What the car did meanwhile: the flow over the cooler depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhileCar {
    Stood,
    Drove,
    /// Both, in stretches too short to fit alone.
    Mixed,
    /// No speed in the log.
    Unknown,
}

/// What is asked about one pull.
pub struct Question<'a> {
    pub thermometer: &'a Thermometer,
    pub speed: Option<&'a Series>,
    pub lift_s: f64,
    pub peak_s: f64,
    /// Next pull's start or the log's end.
    pub until_s: f64,
    pub start_c: f64,
    pub ambient_c: Option<f64>,
    /// A coolant loop carries the heat: charge air settles at its temperature.
    pub has_loop: bool,
}

/// Back at the start's level: within 2 °F of it (common practice, no source).
pub const BACK_WITHIN_C: f64 = 2.0 / 1.8;
/// Below these the record says nothing of a curve.
const SHORTEST_S: f64 = 10.0;
const FEWEST_READINGS: usize = 8;
/// Ten minutes after a pull the afternoon has taken over.
const LONGEST_S: f64 = 600.0;
/// A stretch of one kind is fitted alone from here on.
const SHORTEST_STRETCH_S: f64 = 20.0;
/// A free level needs a record this many time constants long: at this length the
/// uncertainty of tau is 25 times that of one reading over the amplitude.
const FEWEST_TAUS: f64 = 1.5;
/// With the level held near ambient a shorter one will do.
const FEWEST_TAUS_HELD: f64 = 0.4;
/// An interval wider than this ratio tells nothing worth a figure.
const WIDEST: f64 = 6.0;
/// Air-temperature sensors take up to 15 s to follow (data sheets of open-basket ones): a
/// single stage quicker than most of that is the sensor's, or the air's, not the cooler's.
const QUICK_S: f64 = 12.0;
/// What the sensor still shows of the pull has mostly gone this long after the lift: a slow
/// sensor in the stream lags by a few seconds.
const SENSOR_S: f64 = 6.0;
/// Charge air of a car that rolls settles this far above ambient, give or take (common
/// practice, no source).
const ABOVE_AMBIENT_C: f64 = 2.5;
const ABOVE_AMBIENT_SD_C: f64 = 3.0;
/// A fall of fewer steps, or smaller, is no curve (common practice, no source).
const FEWEST_STEPS: f64 = 5.0;
const SMALLEST_FALL_C: f64 = 2.0;
/// A fit needs no more readings than this; averages keep what the rest would add.
const MOST_READINGS: usize = 120;
/// Slower than this the car stands.
const STANDING_MPS: f64 = 1.0;
/// Speeds this close to each other, as a share of the fastest or in m/s, cool alike.
const STEADY: f64 = 0.4;
const STEADY_MPS: f64 = 2.0;

impl Question<'_> {
    pub fn answer(&self) -> Result<Recovery, String> {
        let (t, y) = self.thermometer.series().between(self.peak_s, self.to_s());
        let span_s = span(t);
        if t.len() < FEWEST_READINGS || span_s < SHORTEST_S {
            return Err(format!(
                "Only {span_s:.0} s of charge air follow the pull before the next one or the end \
                 of the log: too short to see a recovery. Keep logging for a minute or more after \
                 each lift."
            ));
        }
        let mut recovery = self.readings(t, y);
        match self.fit() {
            Ok(told) => self.take(&mut recovery, told),
            Err(why) => {
                recovery.tau_low_s = why.at_least_s;
                recovery.no_tau = Some(why.text);
            }
        }
        Ok(recovery)
    }

    /// What the readings alone tell.
    fn readings(&self, t: &[f64], y: &[f64]) -> Recovery {
        let early = t.partition_point(|t| *t <= self.peak_s + SHORTEST_S);
        let falls = fit_line(&t[..early], &y[..early]).map(|line| -line.slope);
        let kinds = self.stretches();
        Recovery {
            from_s: t.first().copied().unwrap_or(self.peak_s),
            to_s: t.last().copied().unwrap_or(self.peak_s),
            while_car: if kinds.len() == 1 { kinds[0].while_car } else { WhileCar::Mixed },
            tau_s: None,
            tau_low_s: None,
            tau_high_s: None,
            settles_at_c: None,
            settles_plus_minus_c: None,
            after_60s_c: self.read_60s_after(),
            back_after_s: self.back(t, y),
            after_60s_is_fit: false,
            back_is_fit: false,
            amplitude_c: None,
            falls_k_per_s: falls.filter(|falls| *falls > 0.0),
            no_tau: None,
            leans_on_ambient: false,
            fit: None,
        }
    }

    fn read_60s_after(&self) -> Option<f64> {
        let then_s = self.lift_s + 60.0;
        (then_s <= self.until_s).then(|| self.thermometer.at(then_s)).flatten().map(|at| at.c)
    }

    fn back(&self, t: &[f64], y: &[f64]) -> Option<f64> {
        let place = y.iter().position(|c| *c <= self.start_c + BACK_WITHIN_C)?;
        Some(t[place] - self.lift_s)
    }

    /// The first stretch, longest first, that tells a time constant. The whole serves where
    /// it is of one kind: two time constants in turn, fitted as one, give neither.
    fn fit(&self) -> Result<Told, NoTau> {
        let mut stretches = self.stretches();
        let whole = Stretch {
            while_car: if stretches.len() == 1 { stretches[0].while_car } else { WhileCar::Mixed },
            from_s: self.peak_s,
            to_s: self.to_s(),
        };
        stretches.retain(|stretch| stretch.lasts_s() >= SHORTEST_STRETCH_S);
        stretches.sort_by(|a, b| b.lasts_s().total_cmp(&a.lasts_s()));
        let alone = stretches.iter().find_map(|stretch| self.fit_stretch(stretch).ok());
        match alone {
            Some(told) => Ok(told),
            None if whole.while_car == WhileCar::Mixed => Err(NoTau::mixed(self.ambient_c)),
            None => self.fit_stretch(&whole),
        }
    }

    fn fit_stretch(&self, stretch: &Stretch) -> Result<Told, NoTau> {
        let from_s = stretch.from_s.max(self.lift_s + SENSOR_S);
        let (t, y) = self.thermometer.series().between(from_s, stretch.to_s);
        if t.len() < FEWEST_READINGS {
            return Err(NoTau::told("Too few readings of charge air follow the pull.".to_owned()));
        }
        let edge = (t.len() / 10).clamp(1, 10);
        let fell_c = mean(&y[..edge]) - mean(&y[y.len() - edge..]);
        let least_c = (FEWEST_STEPS * self.thermometer.step_c()).max(SMALLEST_FALL_C);
        if fell_c < least_c {
            return Err(NoTau::flat(fell_c, least_c));
        }
        let (t, y, sd_c) = self.thermometer.for_fit(t, y, MOST_READINGS);
        let prior = self.prior(stretch);
        let fit = |stages| fit_settling(&t, &y, stages, prior, sd_c).filter(|f| f.amplitude > 0.0);
        let best = fit(Stages::AsNeeded);
        let quick = best.as_ref().is_some_and(|best| best.tau < QUICK_S);
        let best = if quick {
            fit(Stages::Two)
        } else {
            best.map(|one| either(one, fit(Stages::TwoUpTo(SENSOR_S))))
        };
        match best {
            Some(fit) if tells(&fit, prior.is_some()) => {
                let leans_on_ambient = fit.span_in_taus() < FEWEST_TAUS;
                Ok(Told { while_car: stretch.while_car, fit, leans_on_ambient })
            }
            _ if quick => Err(NoTau::quick()),
            best => Err(NoTau::early(best.and_then(|fit| fit.tau_low))),
        }
    }

    /// Where the air would settle, while the car rolls in air that is known.
    fn prior(&self, stretch: &Stretch) -> Option<Prior> {
        let level = self.ambient_c? + ABOVE_AMBIENT_C;
        let rolls = stretch.while_car == WhileCar::Drove && !self.has_loop;
        rolls.then_some(Prior { level, sd: ABOVE_AMBIENT_SD_C })
    }

    fn take(&self, recovery: &mut Recovery, told: Told) {
        let Told { while_car, fit, leans_on_ambient } = told;
        let factor = t95((fit.effective_n - 3.0).max(1.0));
        recovery.from_s = fit.origin;
        recovery.to_s = fit.origin + fit.span;
        recovery.while_car = while_car;
        recovery.leans_on_ambient = leans_on_ambient;
        (recovery.tau_s, recovery.tau_low_s) = (Some(fit.tau), fit.tau_low);
        recovery.tau_high_s = fit.tau_high;
        recovery.settles_at_c = Some(fit.level);
        recovery.settles_plus_minus_c = factor.map(|factor| factor * fit.level_se);
        recovery.amplitude_c = Some(fit.amplitude);
        if recovery.after_60s_c.is_none() {
            recovery.after_60s_c = Some(fit.at(self.lift_s + 60.0));
            recovery.after_60s_is_fit = true;
        }
        if recovery.back_after_s.is_none() {
            recovery.back_after_s =
                fit.time_at(self.start_c + BACK_WITHIN_C).map(|at| at - self.lift_s);
            recovery.back_is_fit = recovery.back_after_s.is_some();
        }
        recovery.fit = Some(fit);
    }

    /// The recovery in stretches of one kind: standing, or driving at about one speed.
    fn stretches(&self) -> Vec<Stretch> {
        let whole = |while_car| Stretch { while_car, from_s: self.peak_s, to_s: self.to_s() };
        let Some(speed) = self.speed else { return vec![whole(WhileCar::Unknown)] };
        let (t, v) = speed.between(self.peak_s, self.to_s());
        let mut stretches: Vec<Stretch> = Vec::new();
        let (mut slowest, mut fastest) = (0.0_f64, 0.0_f64);
        for (&t, &v) in t.iter().zip(v) {
            let while_car = if v < STANDING_MPS { WhileCar::Stood } else { WhileCar::Drove };
            let (low, high) = (slowest.min(v), fastest.max(v));
            let steady = high - low <= (STEADY * high).max(STEADY_MPS);
            match stretches.last_mut() {
                Some(last)
                    if last.while_car == while_car && (steady || while_car == WhileCar::Stood) =>
                {
                    last.to_s = t;
                    (slowest, fastest) = (low, high);
                }
                _ => {
                    stretches.push(Stretch { while_car, from_s: t, to_s: t });
                    (slowest, fastest) = (v, v);
                }
            }
        }
        if stretches.is_empty() { vec![whole(WhileCar::Unknown)] } else { stretches }
    }

    /// The end of what is one record: a hole in it, the next pull, or the longest time.
    fn to_s(&self) -> f64 {
        self.thermometer.unbroken_until(self.peak_s, self.until_s.min(self.peak_s + LONGEST_S))
    }
}

/// A time constant that was told.
struct Told {
    while_car: WhileCar,
    fit: Decay,
    leans_on_ambient: bool,
}

/// One stage, where a fast one before it cannot be shown: the interval is that of either, for
/// what cannot be shown may be there all the same.
fn either(one: Decay, two: Option<Decay>) -> Decay {
    let Some(two) = two.filter(|_| one.fast.is_none()) else { return one };
    let tau_low = one.tau_low.zip(two.tau_low).map(|(a, b)| a.min(b));
    let tau_high = one.tau_high.zip(two.tau_high).map(|(a, b)| a.max(b));
    let wider = tau_low.zip(tau_high).map_or(0.0, |(low, high)| (high - low) / 4.0);
    Decay { tau_low, tau_high, tau_se: one.tau_se.max(wider), ..one }
}

/// Whether a fit bounds its time constant; with the level held a shorter record does.
fn tells(fit: &Decay, held: bool) -> bool {
    let least = if held { FEWEST_TAUS_HELD } else { FEWEST_TAUS };
    let ratio = fit.tau_high.zip(fit.tau_low).map(|(high, low)| high / low);
    fit.span_in_taus() >= least && ratio.is_some_and(|ratio| ratio <= WIDEST)
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    while_car: WhileCar,
    from_s: f64,
    to_s: f64,
}

impl Stretch {
    fn lasts_s(&self) -> f64 {
        self.to_s - self.from_s
    }
}

/// Why a stretch tells no time constant, and how long it is at least.
struct NoTau {
    text: String,
    at_least_s: Option<f64>,
}

impl NoTau {
    fn told(text: String) -> Self {
        NoTau { text, at_least_s: None }
    }

    fn early(at_least_s: Option<f64>) -> Self {
        let text = "The log stops too early for a time constant: charge air was still falling, and \
                    where it would settle cannot be told. Keep logging for two or three minutes \
                    after a lift.";
        NoTau { text: text.to_owned(), at_least_s }
    }

    fn mixed(ambient_c: Option<f64>) -> Self {
        let wants_ambient = match ambient_c {
            Some(_) => "",
            None => " Type in the day's temperature, and a shorter stretch will do.",
        };
        NoTau::told(format!(
            "The car stood and rolled, or changed its speed, too often to tell a time constant: \
             air over the cooler differs, and so does how soon it cools. Keep to one of them for \
             a minute or more after a lift.{wants_ambient}"
        ))
    }

    fn quick() -> Self {
        let text = "Charge air fell to its level within seconds, as fast as a sensor follows: what \
                    the cooler still had to give is too small, or the record too short, to time.";
        NoTau::told(text.to_owned())
    }

    fn flat(fell_c: f64, least_c: f64) -> Self {
        if fell_c <= 0.0 {
            let text = "Charge air did not fall after the lift: the car's own heat kept it up.";
            return NoTau::told(text.to_owned());
        }
        NoTau::told(format!(
            "Charge air fell by {fell_c:.1} K only; a time constant needs {least_c:.1} K or more \
             with this sensor's steps."
        ))
    }
}

fn span(t: &[f64]) -> f64 {
    t.last().zip(t.first()).map_or(0.0, |(last, first)| last - first)
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
