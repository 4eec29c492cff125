//! The readings of one pull, as the estimate takes them: one list over all witnesses,
//! each reading with its source and noise.
//!
//! In: the [`Witnesses`] of the log, one [`Pull`], stretches not to believe. Out:
//! [`Samples`]. Fast channels are averaged to [`MOST_HZ`]: their noise is not
//! independent from reading to reading, and believing it were would promise too much.

use super::estimate::N;
use super::witness::{GroundKind, STANDSTILL_MPS, Witnesses};
use crate::log::Series;
use crate::pull::{Kind, Pull};
use crate::unit::STANDARD_GRAVITY;

/// Where a reading comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    Logged,
    Ground,
    Accelerometer,
}

impl Source {
    pub const ALL: [Source; 3] = [Source::Logged, Source::Ground, Source::Accelerometer];
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    pub time_s: f64,
    pub value: f64,
    pub source: Source,
    pub var: f64,
    /// Reads nothing, on a channel that reads nothing near standstill: slower than
    /// `dead_mps`, give or take `dead_sd_mps`.
    pub in_dead_zone: bool,
    dead_mps: f64,
    dead_sd_mps: f64,
}

/// All readings of one pull, in order of time, and what is assumed of them.
#[derive(Debug, Clone)]
pub struct Samples {
    pub standing: bool,
    pub list: Vec<Sample>,
    /// The guiding speed over the pull, (s, m/s).
    pub guide: Vec<(f64, f64)>,
    pub rough_start_s: f64,
    /// First motion lies between these.
    pub start_from_s: f64,
    pub start_to_s: f64,
    pub to_s: f64,
    /// Median interval of the guiding speed.
    pub step_s: f64,
    /// About what the car gives once it moves, m/s².
    pub level_mps2: f64,
    noise_sd: [f64; 3],
    bias_sd_mps2: f64,
    off_beat: bool,
    ground_scale_sd: f64,
    lag_sd_s: [f64; 2],
    /// By how much the two speeds were brought forward since the rough alignment.
    shifted_s: [f64; 2],
    has_ground: bool,
    has_other: bool,
}

/// 1/√12 of an interval.
const MOMENT_SHARE: f64 = 0.288_675;
/// Readings are averaged to no more than this many a second.
const MOST_HZ: f64 = 25.0;
/// The coast after the lift is read for this long: it tells creep from scale.
const COAST_S: f64 = 3.0;
/// A start is not sought further than this from where the log first shows it.
const START_MARGIN_S: f64 = 0.9;
/// From this speed on the car surely moves, whatever the dead zone.
const SURELY_MOVING_MPS: f64 = 1.2;

impl Samples {
    /// Gathers the readings of one pull. Logged speed inside `distrusted` stays out.
    pub fn gather(
        witnesses: &Witnesses,
        pull: &Pull,
        distrusted: &[(f64, f64)],
        use_logged: bool,
    ) -> Option<Samples> {
        let guide_series = witnesses.guide()?;
        let step_s = median_step(guide_series, pull);
        let from_s = pull.start_s - 2.0 * START_MARGIN_S.max(1.5 * step_s);
        let to_s = coast_end(guide_series, pull);
        let guide = points(guide_series, from_s, to_s);
        let mut samples = Samples {
            standing: pull.kind == Kind::Standing,
            rough_start_s: pull.start_s,
            start_from_s: pull.start_s - START_MARGIN_S.max(1.2 * step_s),
            start_to_s: surely_moving(&guide, pull.start_s),
            to_s,
            step_s,
            level_mps2: 0.0,
            list: Vec::new(),
            guide,
            noise_sd: [floor_logged(witnesses), ground_noise(witnesses, pull), ACCELEROMETER_FLOOR],
            bias_sd_mps2: witnesses.accelerometer.as_ref().map_or(0.5, |a| a.bias_sd_mps2),
            off_beat: witnesses.off_beat,
            ground_scale_sd: ground_scale_sd(witnesses),
            lag_sd_s: witnesses.lag_sd_s,
            shifted_s: [0.0; 2],
            has_ground: witnesses.ground.is_some(),
            has_other: witnesses.ground.is_some() || witnesses.accelerometer.is_some(),
        };
        samples.take(witnesses, from_s, distrusted, use_logged);
        samples.list.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        samples.level_mps2 = level(witnesses, &samples.guide, pull);
        Some(samples)
    }

    fn take(
        &mut self,
        witnesses: &Witnesses,
        from_s: f64,
        distrusted: &[(f64, f64)],
        logged: bool,
    ) {
        if let Some(series) = witnesses.logged.as_ref().filter(|_| logged) {
            let believed = |t: f64| distrusted.iter().all(|&(from, to)| t < from || t > to);
            let kept = binned(series, from_s, self.to_s).into_iter().filter(|&(t, _)| believed(t));
            self.push(Source::Logged, kept.collect());
        }
        if let Some(ground) = &witnesses.ground {
            self.push(Source::Ground, binned(&ground.series, from_s, self.to_s));
        }
        if let Some(sensor) = &witnesses.accelerometer {
            self.push(Source::Accelerometer, binned(&sensor.series, from_s, self.to_s));
        }
    }

    fn push(&mut self, source: Source, readings: Vec<(f64, f64)>) {
        let dead = (source != Source::Accelerometer)
            .then(|| dead_zone(&readings, self.rough_start_s))
            .flatten();
        for (time_s, value) in readings {
            let in_dead_zone = dead.is_some_and(|d| value <= 1e-6 && time_s < d.until_s);
            // How wide the zone is was drawn once, not anew with every reading: only the
            // last of them tells anything.
            if in_dead_zone && dead.is_some_and(|d| time_s < d.last_s) {
                continue;
            }
            self.list.push(Sample {
                time_s,
                value,
                source,
                var: self.base_var(source),
                in_dead_zone,
                dead_mps: dead.map_or(0.0, |d| d.mps),
                dead_sd_mps: dead.map_or(1.0, |d| d.sd_mps),
            });
        }
    }

    pub fn base_var(&self, source: Source) -> f64 {
        let sd = self.noise_sd[source as usize];
        sd * sd
    }

    /// Takes the noise of a source from its residuals, within sense of what was assumed.
    pub fn set_noise(&mut self, source: Source, mad: Option<f64>) {
        let Some(mad) = mad else { return };
        let floor = match source {
            Source::Accelerometer => ACCELEROMETER_FLOOR,
            Source::Logged | Source::Ground => self.noise_sd[source as usize].min(0.5),
        };
        self.noise_sd[source as usize] = (1.4826 * mad).clamp(floor, 6.0 * floor);
    }

    /// What slip may add to a logged speed near the tyres' limit, where another witness
    /// can carry the motion: from 0.45 g on a driven wheel is a weak witness (common
    /// practice, no source). Speed and acceleration in m/s and m/s².
    pub fn slip_sd(&self, source: Source, (speed_mps, accel_mps2): (f64, f64)) -> f64 {
        if source != Source::Logged || !self.has_other {
            return 0.0;
        }
        let hard = ((accel_mps2 / STANDARD_GRAVITY - 0.45) / 0.4).clamp(0.0, 1.5);
        SLIP_SHARE * speed_mps * hard * hard
    }

    /// Brings the two speeds forward by lags that were found, so that what is left of them
    /// is small enough for a straight line.
    pub fn bring_forward(&mut self, lag_s: [f64; 2]) {
        for sample in &mut self.list {
            match sample.source {
                Source::Logged => sample.time_s -= lag_s[0],
                Source::Ground => sample.time_s -= lag_s[1],
                Source::Accelerometer => {}
            }
        }
        self.list.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        for (shifted_s, lag_s) in self.shifted_s.iter_mut().zip(lag_s) {
            *shifted_s += lag_s;
        }
    }

    pub fn bias_sd(&self) -> f64 {
        self.bias_sd_mps2
    }

    /// Readings of a source a second, inside the pull.
    pub fn rate_hz(&self, source: Source, pull: &Pull) -> f64 {
        let inside = self
            .list
            .iter()
            .filter(|s| s.source == source && s.time_s >= pull.start_s && s.time_s <= pull.end_s);
        inside.count() as f64 / (pull.end_s - pull.start_s).max(1e-3)
    }

    /// Median interval of the witness that was read most often.
    pub fn quickest_step_s(&self) -> f64 {
        Source::ALL.into_iter().filter_map(|s| self.interval_s(s)).fold(self.step_s, f64::min)
    }

    /// Median interval of a source.
    fn interval_s(&self, source: Source) -> Option<f64> {
        let own = self.list.iter().filter(|sample| sample.source == source);
        let time_s: Vec<f64> = own.map(|sample| sample.time_s).collect();
        let mut steps: Vec<f64> = time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
        steps.sort_by(f64::total_cmp);
        steps.get(steps.len() / 2).copied()
    }

    /// How well the moment of an accelerometer's reading is known: where the rows do not keep
    /// its beat it was taken anywhere in the interval before its row, standard deviation of a
    /// uniform share.
    pub fn moment_sd_s(&self) -> f64 {
        let share = if self.off_beat { MOMENT_SHARE } else { 0.0 };
        share * self.interval_s(Source::Accelerometer).unwrap_or(0.0)
    }

    /// The guiding speed at a time, the nearest where it is not inside.
    pub fn guide_at(&self, time_s: f64) -> f64 {
        let after = self.guide.partition_point(|&(t, _)| t < time_s);
        self.guide.get(after).or(self.guide.last()).map_or(0.0, |&(_, v)| v)
    }

    /// Prior means of the state's constants; see the state in `estimate`.
    ///
    /// An accelerometer on a body that squats 2 degrees a g reads 3.5 % too much; a
    /// gripping tyre slips by 3 to 8 % a g of its axle's share, and not every logged
    /// speed is taken from a driven wheel (common practice, no source).
    pub fn faults_mean(&self) -> [f64; N] {
        let [logged, ground] = self.shifted_s;
        let creep = if self.has_other { 0.025 } else { LONE_CREEP };
        [0.0, 0.0, 0.0, 0.0, 0.025, 0.0, creep, 0.0, -logged, -ground]
    }

    /// Prior standard deviations. Tyre wear and size shift a wheel's speed by a part
    /// of a hundred (common practice, no source); satellite speed has no scale.
    pub fn faults_sd(&self) -> [f64; N] {
        let [logged, ground] = self.lag_sd_s;
        // With a ground speed beside it, even a tyre that creeps out of the ordinary tells.
        // A lone logged speed tells nothing of its own faults: they enter at the marks.
        let (scale, creep) = match (self.has_ground, self.has_other) {
            (true, _) => (0.03, 0.05),
            (false, true) => (SCALE_SD, 0.045),
            (false, false) => (0.0, 0.0),
        };
        let bias = self.bias_sd_mps2;
        [0.0, 0.0, 0.0, bias, 0.018, scale, creep, self.ground_scale_sd, logged, ground]
    }
}

impl Sample {
    /// Log probability of reading nothing at a speed known to a variance.
    pub fn dead_log_density(&self, speed_mps: f64, var: f64) -> f64 {
        let sd = libm::sqrt(self.dead_sd_mps * self.dead_sd_mps + var);
        log_normal_cdf((self.dead_mps - speed_mps) / sd)
    }

    /// Log density of the reading while the car stands.
    pub fn log_density_at_rest(&self, bias_sd_mps2: f64) -> f64 {
        if self.in_dead_zone {
            return self.dead_log_density(0.0, 0.0);
        }
        let extra = if self.source == Source::Accelerometer { bias_sd_mps2 } else { 0.0 };
        let var = self.var + extra * extra;
        // Heavy-tailed: one reading of a receiver's noise must not move the start.
        const TAIL: f64 = 4.0;
        let far = self.value * self.value / (TAIL * var);
        -0.5 * (libm::log(core::f64::consts::TAU * var) + (TAIL + 1.0) * libm::log1p(far))
    }
}

/// Median of absolute residuals; `None` below five.
pub fn mad(mut absolute: Vec<f64>) -> Option<f64> {
    absolute.sort_by(f64::total_cmp);
    (absolute.len() >= 5).then(|| absolute[absolute.len() / 2])
}

/// Tyre wear and size shift a wheel's speed by a part of a hundred (common practice, no
/// source).
pub const SCALE_SD: f64 = 0.007;
/// Creep a g of a logged speed that may be a driven wheel's or not, and its deviation.
const LONE_CREEP: f64 = 0.015;
pub const LONE_CREEP_SD: f64 = 0.03;
/// See [`Samples::slip_sd`]; white in the filter, so wider than one slip would be.
const SLIP_SHARE: f64 = 0.08;
/// Noise of a receiver's Doppler speed at its best, of a speed made from positions, m/s; how
/// long before a start it is watched (common practice, no source).
const GROUND_FLOOR: f64 = 0.06;
const POSITIONS_FLOOR: f64 = 0.5;
const REST_S: f64 = 4.0;
/// Vibration and rounding of an accelerometer averaged to 25 Hz, m/s².
const ACCELEROMETER_FLOOR: f64 = 0.15;

fn floor_logged(witnesses: &Witnesses) -> f64 {
    let step = witnesses.logged_step_mps;
    libm::sqrt(step * step / 12.0 + 0.05 * 0.05)
}

/// A receiver is as restless in motion as it was before the start, where that shows.
fn ground_noise(witnesses: &Witnesses, pull: &Pull) -> f64 {
    let Some(ground) = &witnesses.ground else { return GROUND_FLOOR };
    if ground.kind == GroundKind::Positions {
        return POSITIONS_FLOOR;
    }
    let (_, rest) = ground.series.between(pull.start_s - REST_S - 1.0, pull.start_s - 1.0);
    let still: Vec<f64> =
        rest.iter().map(|v| v * v).filter(|v| *v < STANDSTILL_MPS * STANDSTILL_MPS).collect();
    let square: f64 = still.iter().sum::<f64>() / still.len().max(1) as f64;
    libm::sqrt(square).clamp(GROUND_FLOOR, 5.0 * GROUND_FLOOR)
}

fn ground_scale_sd(witnesses: &Witnesses) -> f64 {
    match witnesses.ground.as_ref().map(|ground| ground.kind) {
        Some(GroundKind::Satellite | GroundKind::Positions) => 0.001,
        Some(GroundKind::Undriven | GroundKind::SlowerAxle) | None => 0.006,
    }
}

#[derive(Debug, Clone, Copy)]
struct DeadZone {
    mps: f64,
    sd_mps: f64,
    /// Its last reading of nothing.
    last_s: f64,
    until_s: f64,
}

/// A channel that reads exactly nothing at rest may have a dead zone: until it first shows
/// something, the car is slower than what it then shows. A controller's zone is 1 to 3 km/h
/// (common practice, no source).
fn dead_zone(readings: &[(f64, f64)], start_s: f64) -> Option<DeadZone> {
    let moving = readings.iter().position(|&(t, v)| t > start_s - 0.5 && v > 1e-6)?;
    let rest = &readings[..moving];
    let zeros = rest.iter().filter(|&&(_, v)| v <= 1e-6).count();
    if zeros == 0 || 5 * zeros < 4 * rest.len() {
        return None;
    }
    let (until_s, first) = readings[moving];
    let last_s = rest.iter().rfind(|&&(_, v)| v <= 1e-6).map_or(until_s, |&(t, _)| t);
    Some(DeadZone { mps: first, sd_mps: 0.1 * first + 0.05, last_s, until_s })
}

/// Readings between two times, averaged where they come faster than [`MOST_HZ`].
fn binned(series: &Series, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
    let mut bins: Vec<(f64, f64)> = Vec::new();
    let (mut first_s, mut count) = (f64::NEG_INFINITY, 0.0);
    for (t, value) in points(series, from_s, to_s) {
        match bins.last_mut() {
            Some(bin) if t - first_s < 1.0 / MOST_HZ - 1e-6 => {
                count += 1.0;
                bin.0 += (t - bin.0) / count;
                bin.1 += (value - bin.1) / count;
            }
            _ => {
                bins.push((t, value));
                (first_s, count) = (t, 1.0);
            }
        }
    }
    bins
}

fn points(series: &Series, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
    let (time_s, value) = series.between(from_s, to_s);
    time_s.iter().copied().zip(value.iter().copied()).collect()
}

fn median_step(series: &Series, pull: &Pull) -> f64 {
    let (time_s, _) = series.between(pull.start_s - 2.0, pull.end_s);
    let mut steps: Vec<f64> = time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied().unwrap_or(1.0)
}

/// Acceleration from where the car surely moves until a second later: as the ground shows
/// it, else the accelerometer, else the logged speed as far as tyres could follow.
fn level(witnesses: &Witnesses, guide: &[(f64, f64)], pull: &Pull) -> f64 {
    let from_s = surely_moving(guide, pull.start_s);
    let to_s = from_s + 1.0;
    let rise = |series: &Series| Some(series.at(to_s)? - series.at(from_s)?);
    let ground = witnesses.ground.as_ref().and_then(|ground| rise(&ground.series));
    let felt = witnesses.accelerometer.as_ref().and_then(|sensor| {
        let (_, value) = sensor.series.between(from_s, to_s);
        (!value.is_empty()).then(|| value.iter().sum::<f64>() / value.len() as f64)
    });
    let logged = witnesses.guide().and_then(rise);
    ground.or(felt).or(logged).unwrap_or(3.0).clamp(1.0, 11.0)
}

/// Time by which the guiding speed shows that the car surely moves.
fn surely_moving(guide: &[(f64, f64)], start_s: f64) -> f64 {
    guide
        .iter()
        .find(|&&(t, v)| t >= start_s && v >= SURELY_MOVING_MPS)
        .map_or(start_s + 0.2, |&(t, _)| t.max(start_s + 0.02))
}

/// How far past the lift the car still coasts rather than brakes.
fn coast_end(guide: &Series, pull: &Pull) -> f64 {
    let (time_s, value) = guide.between(pull.end_s, pull.end_s + COAST_S);
    let brakes_at = (1..time_s.len()).find(|&i| {
        let dt = time_s[i] - time_s[0];
        dt > 0.4 && value[i] < value[0] - 0.25 * STANDARD_GRAVITY * dt - 0.5
    });
    brakes_at.map_or(pull.end_s + COAST_S, |i| time_s[i - 1])
}

/// ln Φ(x), never minus infinity.
fn log_normal_cdf(x: f64) -> f64 {
    libm::log((0.5 * libm::erfc(-x / core::f64::consts::SQRT_2)).max(1e-300))
}
