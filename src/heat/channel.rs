//! A temperature channel made ready for reading: single spikes out, repeats of a held
//! reading out, and how far one reading can be trusted.
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
    /// Between rows of the log: a reading is up to this old when it is written.
    row_s: f64,
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
/// 1/√12 and 1/√3: standard deviation of a uniform share about its middle and its end.
const ABOUT_MIDDLE: f64 = 0.288_675;
const ABOUT_END: f64 = 0.577_35;
/// Delay of sensor and bus beside the speed's, which nothing tells (common practice, no
/// source: up to 0.3 s, and always late).
const DELAY_SD_S: f64 = 0.16;
/// A climb is taken over this time.
const CLIMB_S: f64 = 1.0;
/// Readings further apart than this may bend between them.
const BENDS_S: f64 = 0.3;
/// Fewer leaps of several steps do not show that readings are held.
const FEWEST_LEAPS: usize = 4;
/// Readings count as one record up to this many usual intervals.
const HOLE_INTERVALS: f64 = 3.0;
const SHORTEST_HOLE_S: f64 = 2.0;

impl Thermometer {
    /// The log's thermometer in a role; `None` when it has no reading there.
    pub fn of(log: &Log, role: Role) -> Option<Self> {
        let channel = log.channel(role).filter(|channel| !channel.series.is_empty())?;
        let step_c = step(channel);
        let floor = (0.5 * step_c).max(0.3);
        let row_s = usual_interval_s(&channel.series);
        let series = match held_s(&channel.series, step_c) {
            Some(held_s) if held_s > 1.5 * row_s => fresh(&channel.series, held_s),
            _ => channel.series.clone(),
        };
        let value = robust::hampel(&series.value, 2, 4.0, floor);
        Some(Thermometer {
            noise_c: noise(&value),
            median_interval_s: usual_interval_s(&series),
            series: Series { time_s: series.time_s, value },
            step_c,
            row_s,
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
        // A median is 1.25 times as uncertain as a mean. Where the level climbs, it is that of a
        // moment somewhere in the reach, and late.
        let still = self.floored(1.25 * self.noise_c / (values.len().max(1) as f64).sqrt());
        let moment_s = libm::hypot(ABOUT_MIDDLE * reach_s, DELAY_SD_S);
        Some(Reading { c, sd_c: libm::hypot(still, self.climb_c_per_s(time_s) * moment_s) })
    }

    /// The value at a start: the level before it, where nothing happened yet, up to the line
    /// that joins the readings beside it, where boost built against the brakes warmed it
    /// already. Seldom read, a sensor does not tell the two apart.
    pub fn at_start(&self, start_s: f64, reach_s: f64) -> Option<Reading> {
        let level = self.level_before(start_s, reach_s)?;
        let climbed_c = self.series.at(start_s).map_or(0.0, |c| (c - level.c).max(0.0));
        let sd_c = libm::hypot(level.sd_c, ABOUT_MIDDLE * climbed_c);
        Some(Reading { c: level.c + 0.5 * climbed_c, sd_c })
    }

    /// What not knowing the moment makes of a value that climbs: the row a reading waited
    /// for, and a sensor's and a bus's delay.
    pub fn moment_sd_c(&self, time_s: f64) -> f64 {
        self.climb_c_per_s(time_s) * libm::hypot(ABOUT_END * self.row_s, DELAY_SD_S)
    }

    /// The same between pulls: delay and the mean wait are alike in all of them, and what is
    /// left of the wait lies about its middle.
    pub fn own_sd_c(&self, time_s: f64) -> f64 {
        let by_row = self.climb_c_per_s(time_s) * ABOUT_MIDDLE * self.row_s;
        libm::hypot(self.reading_sd_c(), by_row)
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

    /// The value between the readings beside a time; `None` in a hole or outside.
    ///
    /// Where they are far apart the value may bend between them. One that bends to one side
    /// lies between the straight line that joins them and the nearer of the two that carry
    /// on from either side: its middle is taken, and the distance is doubt.
    pub fn at(&self, time_s: f64) -> Option<Reading> {
        let straight_c = self.series.at(time_s)?;
        let t = &self.series.time_s;
        let after = self.series.first_at(time_s);
        let before = after.saturating_sub(1);
        if t[after] == time_s {
            return Some(Reading { c: straight_c, sd_c: self.reading_sd_c() });
        }
        let hole_s = t[after] - t[before];
        if hole_s > self.longest_hole_s() {
            return None;
        }
        let (on_c, back_c) = (
            self.carried(before, before.checked_sub(1), time_s),
            self.carried(after, Some(after + 1), time_s),
        );
        let bend_c = match (on_c, back_c) {
            (Some(on_c), Some(back_c)) if hole_s > BENDS_S => {
                nearer(on_c - straight_c, back_c - straight_c)
            }
            _ => 0.0,
        };
        Some(self.bent(straight_c, bend_c))
    }

    /// The line through two readings carried on to a time.
    fn carried(&self, over: usize, through: Option<usize>, time_s: f64) -> Option<f64> {
        let (t, y) = (&self.series.time_s, &self.series.value);
        let (from_s, from_c) = (*t.get(through?)?, *y.get(through?)?);
        Some(y[over] + (y[over] - from_c) / (t[over] - from_s) * (time_s - t[over]))
    }

    fn bent(&self, straight_c: f64, bend_c: f64) -> Reading {
        let sd_c = libm::hypot(self.reading_sd_c(), ABOUT_MIDDLE * bend_c);
        Reading { c: straight_c + 0.5 * bend_c, sd_c }
    }

    /// The value at a lift: up to there it climbed on, and then it turned, so it lies between
    /// the line carried on and the one that joins the readings beside it.
    pub fn at_lift(&self, lift_s: f64) -> Option<Reading> {
        let Some(at) = self.at(lift_s) else { return self.at_or_last(lift_s) };
        let straight_c = self.series.at(lift_s)?;
        let after = self.series.first_at(lift_s);
        let (t, Some(before)) = (&self.series.time_s, after.checked_sub(1)) else {
            return Some(at);
        };
        if t[after] == lift_s || t[after] - t[before] <= BENDS_S {
            return Some(at);
        }
        let on_c = self.carried(before, before.checked_sub(1), lift_s);
        Some(on_c.map_or(at, |on_c| self.bent(straight_c, on_c - straight_c)))
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

    /// The last reading from a time on, up to another, that no hole parts from it.
    pub fn unbroken_until(&self, from_s: f64, until_s: f64) -> f64 {
        let (t, _) = self.series.between(from_s, until_s);
        let hole = t.windows(2).find(|pair| pair[1] - pair[0] > self.longest_hole_s());
        hole.map_or(until_s, |pair| pair[0])
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

/// The smaller of two that agree on a side, else none.
fn nearer(a: f64, b: f64) -> f64 {
    if a * b <= 0.0 { 0.0 } else { a.signum() * a.abs().min(b.abs()) }
}

fn usual_interval_s(series: &Series) -> f64 {
    let intervals: Vec<f64> = series.time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    robust::median(&intervals).unwrap_or(f64::INFINITY)
}

/// How long a reading is held over rows that repeat it; `None` when nothing shows it. A
/// value that leaps by several steps was not read in the rows before, or it would have been
/// caught on the way: the time since its last change is how long it was held.
fn held_s(series: &Series, step_c: f64) -> Option<f64> {
    let (t, y) = (&series.time_s, &series.value);
    let mut changed_s = *t.first()?;
    let mut held: Vec<f64> = Vec::new();
    for i in 1..t.len() {
        if y[i] != y[i - 1] {
            if (y[i] - y[i - 1]).abs() > 1.5 * step_c {
                held.push(t[i] - changed_s);
            }
            changed_s = t[i];
        }
    }
    held.sort_by(f64::total_cmp);
    (held.len() >= FEWEST_LEAPS).then(|| held[held.len() / 4])
}

/// The first of every run, and one more for every time a reading is held.
fn fresh(series: &Series, held_s: f64) -> Series {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    for (&t, &y) in series.time_s.iter().zip(&series.value) {
        if kept.last().is_none_or(|(since, value)| *value != y || t - since >= 0.99 * held_s) {
            kept.push((t, y));
        }
    }
    let (time_s, value): (Vec<f64>, Vec<f64>) = kept.into_iter().unzip();
    Series { time_s: time_s.into(), value }
}

/// Noise of single readings, from how far each lies off the middle of its neighbours:
/// a slope leaves that alone. Of three readings' variances one and a half remain.
fn noise(values: &[f64]) -> f64 {
    let off: Vec<f64> =
        values.windows(3).map(|w| (w[1] - 0.5 * (w[0] + w[2])) / 1.5_f64.sqrt()).collect();
    robust::spread(&off).unwrap_or(0.0)
}
