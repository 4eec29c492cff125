//! A temperature channel made ready for reading: single spikes out, and how far one
//! reading can be trusted.
//!
//! In: a [`Channel`]. Out: [`Thermometer`], which gives levels and values with a
//! standard deviation. Never: a value read across a hole in the record, or beyond it.

use crate::log::{Channel, Log, Role, Series};
use crate::math::robust;

/// What a temperature channel can tell.
#[derive(Debug, Clone)]
pub struct Thermometer {
    series: Series,
    /// Step of the values, °C; 0 when they are not stepped.
    step_c: f64,
    /// Noise of one reading, without the step's share.
    noise_c: f64,
    median_interval_s: f64,
}

/// A temperature with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    pub c: f64,
    pub sd_c: f64,
}

/// A step is a whole number of these at most: coarser is not a sensor's resolution.
const COARSEST_STEP_C: f64 = 1.0;
/// Channels that show no step still resolve no better (common practice, no source).
const FINEST_SD_C: f64 = 0.03;
/// Fewer steps than this do not carry a fit by themselves.
const FEWEST_STEPS: usize = 8;
/// A step tells its temperature to this share of itself: the noise that rides on it.
const STEP_EDGE: f64 = 0.15;
/// 1/√12: standard deviation of a uniform share.
const MOMENT_SHARE: f64 = 0.288_675;
/// Delay of sensor and bus that nothing tells (common practice, no source).
const DELAY_SD_S: f64 = 0.1;
/// A climb is taken over this time.
const CLIMB_S: f64 = 1.0;
/// Readings count as one record up to this many usual intervals.
const HOLE_INTERVALS: f64 = 3.0;
const SHORTEST_HOLE_S: f64 = 2.0;

impl Thermometer {
    /// The log's thermometer in a role; `None` when it has no reading there.
    pub fn of(log: &Log, role: Role) -> Option<Self> {
        let channel = log.channel(role).filter(|channel| !channel.series.is_empty())?;
        let step_c = step(channel);
        let floor = (0.5 * step_c).max(0.3);
        let value = robust::hampel(&channel.series.value, 2, 4.0, floor);
        let intervals: Vec<f64> =
            channel.series.time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
        Some(Thermometer {
            noise_c: noise(&value),
            series: Series { time_s: channel.series.time_s.clone(), value },
            step_c,
            median_interval_s: robust::median(&intervals).unwrap_or(f64::INFINITY),
        })
    }

    pub fn series(&self) -> &Series {
        &self.series
    }

    pub fn step_c(&self) -> f64 {
        self.step_c
    }

    /// Standard deviation of one reading: noise, and the width of a step.
    pub fn reading_sd_c(&self) -> f64 {
        self.floored(self.noise_c)
    }

    /// Standard deviation of a mean of readings; a step does not average away, since
    /// it reads the same all along.
    pub fn mean_sd_c(&self, count: usize) -> f64 {
        self.floored(self.noise_c / (count.max(1) as f64).sqrt())
    }

    fn floored(&self, noise_c: f64) -> f64 {
        let step = self.step_c / 12f64.sqrt();
        (noise_c * noise_c + step * step).sqrt().max(FINEST_SD_C)
    }

    /// The steady level over the last `reach_s` before a time, and at least the last
    /// reading that is not too old.
    pub fn level_before(&self, time_s: f64, reach_s: f64) -> Option<Reading> {
        let reach_s = reach_s.max(1.5 * self.median_interval_s);
        let (_, values) = self.series.between(time_s - reach_s, time_s);
        let c = match robust::median(values) {
            Some(c) => c,
            // The record begins at the start itself.
            None => self.at(time_s)?.c,
        };
        // A median is 1.25 times as uncertain as a mean. Where the level climbs, the median is
        // that of a moment somewhere in the reach.
        let still = 1.25 * self.mean_sd_c(values.len());
        let climbed = self.climb_c_per_s(time_s) * MOMENT_SHARE * reach_s;
        Some(Reading { c, sd_c: libm::hypot(still, climbed) })
    }

    /// What not knowing the moment to better than an interval, and a sensor's and a bus's
    /// delay, makes of a value that climbs.
    pub fn moment_sd_c(&self, time_s: f64) -> f64 {
        let moment_s = libm::hypot(MOMENT_SHARE * self.median_interval_s, DELAY_SD_S);
        self.climb_c_per_s(time_s) * moment_s
    }

    /// How fast the value moves around a time, K/s.
    fn climb_c_per_s(&self, time_s: f64) -> f64 {
        let beside = |dt: f64| self.at(time_s + dt).map(|reading| reading.c);
        let (before, after) = (beside(-CLIMB_S), beside(0.0));
        before.zip(after).map_or(0.0, |(before, after)| (after - before).abs() / CLIMB_S)
    }

    /// Readings made ready for a fit: times, values, and the standard deviation of one.
    ///
    /// A stepped sensor tells most by *when* it steps: half way between two values it
    /// was right to a fraction of a step, and its plateaus only repeat that. Where the
    /// values rest in between, the steps are taken; else averages of equally many.
    pub fn for_fit(&self, t: &[f64], y: &[f64], most: usize) -> (Vec<f64>, Vec<f64>, f64) {
        let steps: Vec<(f64, f64)> = (1..t.len())
            .filter(|i| y[*i] != y[*i - 1])
            .map(|i| (0.5 * (t[i] + t[i - 1]), 0.5 * (y[i] + y[i - 1])))
            .collect();
        if self.step_c > 0.0 && steps.len() >= FEWEST_STEPS && steps.len() * 3 < t.len() {
            let (t, y) = steps.into_iter().unzip();
            return (t, y, (STEP_EDGE * self.step_c).max(FINEST_SD_C));
        }
        let each = t.len().div_ceil(most).max(1);
        let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
        (
            t.chunks(each).map(mean).collect(),
            y.chunks(each).map(mean).collect(),
            self.mean_sd_c(each),
        )
    }

    /// Linear between the readings beside a time; `None` in a hole or outside.
    pub fn at(&self, time_s: f64) -> Option<Reading> {
        let c = self.series.at(time_s)?;
        let after = self.series.first_at(time_s);
        let before = after.saturating_sub(1);
        let hole_s = self.series.time_s[after] - self.series.time_s[before];
        let here = self.series.time_s[after] == time_s;
        (here || hole_s <= self.longest_hole_s()).then(|| Reading { c, sd_c: self.reading_sd_c() })
    }

    /// The value at a time, or the last reading before it where the record ends there.
    pub fn at_or_last(&self, time_s: f64) -> Option<Reading> {
        self.at(time_s).or_else(|| {
            let last = self.series.first_at(time_s).checked_sub(1)?;
            let age_s = time_s - self.series.time_s[last];
            (age_s <= self.longest_hole_s())
                .then(|| Reading { c: self.series.value[last], sd_c: self.reading_sd_c() })
        })
    }

    fn longest_hole_s(&self) -> f64 {
        (HOLE_INTERVALS * self.median_interval_s).max(SHORTEST_HOLE_S)
    }
}

/// The step of the values: the log's own finding, or the smallest change where there
/// are too few changes for it.
fn step(channel: &Channel) -> f64 {
    if let Some(step) = channel.resolution {
        return step.min(COARSEST_STEP_C);
    }
    let changes = channel.series.value.windows(2).map(|pair| (pair[1] - pair[0]).abs());
    let changes: Vec<f64> = changes.filter(|change| *change > 1e-9).collect();
    let smallest = changes.iter().copied().fold(COARSEST_STEP_C, f64::min);
    if changes.len() < 8 { smallest } else { 0.0 }
}

/// Noise of single readings, from how far each lies off the middle of its neighbours:
/// a slope leaves that alone. Of three readings' variances one and a half remain.
fn noise(values: &[f64]) -> f64 {
    let off: Vec<f64> =
        values.windows(3).map(|w| (w[1] - 0.5 * (w[0] + w[2])) / 1.5_f64.sqrt()).collect();
    robust::spread(&off).unwrap_or(0.0)
}
