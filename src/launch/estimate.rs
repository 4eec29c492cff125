//! One motion from all witnesses: a fixed-interval smoother over distance, speed,
//! acceleration and the faults of the sensors.
//!
//! In: the [`Samples`] of one pull. Out: an [`Estimate`]: the motion for each likely
//! first motion, with its weight, from which every mark takes time and interval.
//!
//! Method: a linear filter over the state below, linearised about the last pass and
//! repeated; heavy-tailed weights on readings and on changes of acceleration, so that
//! an outlier is voted down and a shift is followed. The first motion is not a state:
//! its likelihood is computed on a grid, and what comes out is the mixture. A speed
//! channel that reads nothing near standstill counts there as "slower than its dead
//! zone" and not as a zero.
//!
//! Source: Kalman and Rauch-Tung-Striebel smoothing ([`crate::math::kalman`]); Student-t
//! weights as in Lange, Little, Taylor, JASA 84 (1989) 881 (from memory).

use super::samples::{Sample, Samples, Source};
use crate::math::kalman::{Belief, Matrix, Reading, Step, filter, smooth};
use crate::unit::STANDARD_GRAVITY;

/// State: distance, speed, acceleration; then constants of the pull: accelerometer
/// rest error and gain error (pitch), scale of the logged speed, its creep a g (slip
/// of a tyre that still grips), scale of the ground speed, and how late the two speeds
/// still are after the rough alignment.
pub const N: usize = 10;
const DISTANCE: usize = 0;
const SPEED: usize = 1;
const ACCELERATION: usize = 2;
const BIAS: usize = 3;
const GAIN: usize = 4;
const SCALE: usize = 5;
const CREEP: usize = 6;
const GROUND_SCALE: usize = 7;
const LOGGED_LAG: usize = 8;
const GROUND_LAG: usize = 9;

/// Standard deviation of the change of acceleration, m/s² in one second, while
/// nothing happens, and right after the first motion.
const CALM: f64 = 3.0;
const LAUNCHING: f64 = 18.0;
const LAUNCHING_LASTS_S: f64 = 0.5;
/// Longest step between states.
const STEP_S: f64 = 0.05;
const ROUNDS: usize = 5;
/// Degrees of freedom of the heavy-tailed weights.
const TAIL: f64 = 4.0;
const GROUND_TAIL: f64 = 30.0;
/// Starts less likely than this, against the best, are left out of the mixture.
const LEAST_WEIGHT: f64 = 0.01;

/// The motion for one assumed first motion.
#[derive(Debug, Clone)]
pub struct Branch {
    pub start_s: f64,
    pub weight: f64,
    pub points: Vec<Point>,
}

/// First motion is where the ground speed passes this. Below it no sensor tells a car
/// from its noise, and no wheel has turned by a finger's width.
const FIRST_MOTION_MPS: f64 = 0.05;

/// The smoothed state at one time of the log.
#[derive(Debug, Clone, Copy)]
pub struct Point {
    pub time_s: f64,
    pub distance_m: f64,
    pub speed_mps: f64,
    pub accel_mps2: f64,
    pub distance_sd_m: f64,
    pub speed_sd_mps: f64,
}

/// The motion of one pull as a mixture over its first motion.
#[derive(Debug, Clone)]
pub struct Estimate {
    /// Rising in `start_s`; weights add up to 1.
    pub branches: Vec<Branch>,
}

/// What the linearisation runs about: the last pass.
#[derive(Debug, Clone)]
struct Path {
    time_s: Vec<f64>,
    speed_mps: Vec<f64>,
    accel_mps2: Vec<f64>,
    faults: [f64; N],
}

impl Path {
    fn at(&self, time_s: f64) -> (f64, f64) {
        let after = self.time_s.partition_point(|&t| t < time_s);
        if after == 0 {
            return (0.0, 0.0);
        }
        let Some(&t1) = self.time_s.get(after) else {
            return (self.speed_mps[after - 1], self.accel_mps2[after - 1]);
        };
        let t0 = self.time_s[after - 1];
        let share = if t1 > t0 { (time_s - t0) / (t1 - t0) } else { 1.0 };
        let mix = |column: &[f64]| column[after - 1] + share * (column[after] - column[after - 1]);
        (mix(&self.speed_mps), mix(&self.accel_mps2))
    }

    /// How much more the acceleration moved around here than a calm drive would.
    fn unrest(&self, time_s: f64) -> f64 {
        const HALF_S: f64 = 0.1;
        let change = self.at(time_s + HALF_S).1 - self.at(time_s - HALF_S).1;
        (0.5 + 0.5 * change * change / (CALM * CALM * 2.0 * HALF_S)).clamp(1.0, 60.0)
    }
}

/// Estimates the motion; `None` when no sample carries it.
pub fn estimate(samples: &mut Samples) -> Option<Estimate> {
    if samples.list.is_empty() {
        return None;
    }
    let mut path = rough(samples);
    let mut start_s = samples.rough_start_s;
    for round in 0..ROUNDS {
        if samples.standing {
            start_s = best_start(samples, &path, start_s, round)?;
        }
        path = pass(samples, &path, start_s)?.0;
        reweigh(samples, &path, start_s);
    }
    mixture(samples, &path, start_s)
}

/// The guiding speed and its slope, to linearise the first pass about.
fn rough(samples: &Samples) -> Path {
    let mut path = Path {
        time_s: vec![],
        speed_mps: vec![],
        accel_mps2: vec![],
        faults: samples.faults_mean(),
    };
    for pair in samples.guide.windows(2) {
        let ((t0, v0), (t1, v1)) = (pair[0], pair[1]);
        path.time_s.push(t1);
        path.speed_mps.push(v1.max(0.0));
        path.accel_mps2.push(((v1 - v0) / (t1 - t0).max(1e-3)).clamp(-12.0, 15.0));
    }
    path
}

/// Log-likelihood of a first motion, from the samples around it.
fn start_likelihood(samples: &Samples, path: &Path, start_s: f64) -> f64 {
    let until_s = samples.start_to_s + 1.5_f64.max(2.0 * samples.step_s);
    let chain = Chain::new(samples, path, start_s, until_s);
    let filtered = filter(chain.begin, &chain.steps);
    let beliefs = filtered.beliefs();
    let dead: f64 = chain
        .dead
        .iter()
        .map(|&(step, sample)| {
            let belief = &beliefs[step];
            sample.dead_log_density(belief.mean[SPEED], belief.cov[SPEED][SPEED])
        })
        .sum();
    let before: f64 = samples
        .list
        .iter()
        .filter(|sample| sample.time_s <= start_s)
        .map(|sample| sample.log_density_at_rest(samples.bias_sd()))
        .sum();
    filtered.log_likelihood + dead + before
}

/// The likeliest first motion near the last one, ever finer by the round.
fn best_start(samples: &Samples, path: &Path, last_s: f64, round: usize) -> Option<f64> {
    let (from_s, to_s) = (samples.start_from_s, samples.start_to_s);
    let half = if round == 0 { to_s - from_s } else { (to_s - from_s) * 0.3 / round as f64 };
    let (from_s, to_s) = ((last_s - half).max(from_s), (last_s + half).min(to_s));
    const POINTS: u32 = 12;
    (0..=POINTS)
        .map(|k| from_s + (to_s - from_s) * f64::from(k) / f64::from(POINTS))
        .map(|t| (t, start_likelihood(samples, path, t)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(t, _)| t)
}

/// Filter and smoother for one first motion: the next path, and the points.
fn pass(samples: &Samples, path: &Path, start_s: f64) -> Option<(Path, Vec<Point>)> {
    let chain = Chain::new(samples, path, start_s, samples.to_s);
    let filtered = filter(chain.begin, &chain.steps);
    let smoothed = smooth(&chain.steps, &filtered);
    let last = smoothed.last()?;
    let begin = Point {
        time_s: start_s,
        distance_m: 0.0,
        speed_mps: if samples.standing { 0.0 } else { smoothed[0].mean[SPEED] },
        accel_mps2: smoothed[0].mean[ACCELERATION],
        distance_sd_m: 0.0,
        speed_sd_mps: if samples.standing { 0.0 } else { sd(&smoothed[0], SPEED) },
    };
    let points: Vec<Point> = core::iter::once(begin)
        .chain(chain.time_s.iter().zip(&smoothed).map(|(&time_s, belief)| Point {
            time_s,
            distance_m: belief.mean[DISTANCE],
            speed_mps: belief.mean[SPEED],
            accel_mps2: belief.mean[ACCELERATION],
            distance_sd_m: sd(belief, DISTANCE),
            speed_sd_mps: sd(belief, SPEED),
        }))
        .collect();
    let next = Path {
        time_s: points.iter().map(|p| p.time_s).collect(),
        speed_mps: points.iter().map(|p| p.speed_mps.max(0.0)).collect(),
        accel_mps2: points.iter().map(|p| p.accel_mps2).collect(),
        faults: last.mean,
    };
    Some((next, points))
}

fn sd(belief: &Belief<N>, state: usize) -> f64 {
    libm::sqrt(belief.cov[state][state].max(0.0))
}

/// Gives each source its own noise and each outlier little weight.
fn reweigh(samples: &mut Samples, path: &Path, start_s: f64) {
    let residuals: Vec<(Source, f64)> = samples
        .list
        .iter()
        .filter(|sample| sample.time_s > start_s && !sample.in_dead_zone)
        .map(|sample| (sample.source, residual(sample, path)))
        .collect();
    for source in Source::ALL {
        let own = residuals.iter().filter(|(s, _)| *s == source).map(|(_, r)| r.abs()).collect();
        samples.set_noise(source, crate::launch::samples::mad(own));
    }
    for index in 0..samples.list.len() {
        let sample = samples.list[index];
        let base = samples.base_var(sample.source);
        let r = residual(&sample, path);
        // No wheel falsifies a ground speed: only a lone spike of it is voted down.
        let tail = if sample.source == Source::Ground { GROUND_TAIL } else { TAIL };
        let weight = (tail + 1.0) / (tail + r * r / base);
        let moves = sample.time_s > start_s;
        let slip = samples.slip_sd(sample.source, path.at(sample.time_s));
        samples.list[index].var = if moves { base / weight.min(1.0) + slip * slip } else { base };
    }
}

/// Reading minus what the path makes of it.
fn residual(sample: &Sample, path: &Path) -> f64 {
    let (v, a) = path.at(sample.time_s);
    sample.value - expected(sample.source, v, a, &path.faults)
}

/// What a source shows at a motion.
fn expected(source: Source, v: f64, a: f64, faults: &[f64; N]) -> f64 {
    match source {
        Source::Logged => {
            let creep = faults[CREEP] * a / STANDARD_GRAVITY;
            v * (1.0 + faults[SCALE] + creep) - faults[LOGGED_LAG] * a
        }
        Source::Ground => v * (1.0 + faults[GROUND_SCALE]) - faults[GROUND_LAG] * a,
        Source::Accelerometer => a * (1.0 + faults[GAIN]) + faults[BIAS],
    }
}

/// The chain for one first motion, ready for the filter.
struct Chain<'a> {
    begin: Belief<N>,
    steps: Vec<Step<N>>,
    time_s: Vec<f64>,
    /// Readings inside the dead zone, with the step they belong to.
    dead: Vec<(usize, &'a Sample)>,
}

impl<'a> Chain<'a> {
    fn new(samples: &'a Samples, path: &Path, start_s: f64, until_s: f64) -> Self {
        let mut chain = Chain {
            begin: begin(samples, path, start_s),
            steps: vec![],
            time_s: vec![],
            dead: vec![],
        };
        let mut now_s = start_s;
        let from = samples.list.partition_point(|sample| sample.time_s <= start_s);
        for sample in samples.list[from..].iter().take_while(|sample| sample.time_s <= until_s) {
            while sample.time_s - now_s > STEP_S * 1.5 {
                chain.advance(path, start_s, &mut now_s, STEP_S);
            }
            let dt = sample.time_s - now_s;
            chain.advance(path, start_s, &mut now_s, dt);
            if sample.in_dead_zone {
                chain.dead.push((chain.steps.len() - 1, sample));
            } else if let Some(step) = chain.steps.last_mut() {
                step.readings.push(reading(sample, path));
            }
        }
        chain
    }

    fn advance(&mut self, path: &Path, start_s: f64, now_s: &mut f64, dt: f64) {
        *now_s += dt;
        let rate = if *now_s - start_s < LAUNCHING_LASTS_S {
            LAUNCHING * LAUNCHING
        } else {
            CALM * CALM * path.unrest(*now_s)
        };
        self.steps.push(Step {
            transition: transition(dt),
            noise: noise(dt, rate),
            readings: vec![],
        });
        self.time_s.push(*now_s);
    }
}

fn begin(samples: &Samples, path: &Path, start_s: f64) -> Belief<N> {
    let mut belief = Belief { mean: samples.faults_mean(), cov: [[0.0; N]; N] };
    for (state, sd) in samples.faults_sd().into_iter().enumerate() {
        belief.cov[state][state] = sd * sd;
    }
    belief.cov[DISTANCE][DISTANCE] = 1e-10;
    if samples.standing {
        belief.cov[SPEED][SPEED] = 1e-8;
        belief.mean[ACCELERATION] = 2.0;
        belief.cov[ACCELERATION][ACCELERATION] = 9.0;
    } else {
        belief.mean[SPEED] = path.at(start_s + 1e-6).0.max(samples.guide_at(start_s));
        belief.cov[SPEED][SPEED] = 4.0;
        belief.mean[ACCELERATION] = 2.0;
        belief.cov[ACCELERATION][ACCELERATION] = 16.0;
    }
    belief
}

/// Distance, speed and acceleration under a wandering acceleration; faults stay.
fn transition(dt: f64) -> Matrix<N> {
    let mut f = [[0.0; N]; N];
    for (i, row) in f.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    f[DISTANCE][SPEED] = dt;
    f[DISTANCE][ACCELERATION] = 0.5 * dt * dt;
    f[SPEED][ACCELERATION] = dt;
    f
}

/// Integrated white jerk of the given spectral density, (m/s²)² a second.
fn noise(dt: f64, density: f64) -> Matrix<N> {
    let mut q = [[0.0; N]; N];
    let (d2, d3) = (dt * dt, dt * dt * dt);
    q[DISTANCE][DISTANCE] = density * d2 * d3 / 20.0;
    q[DISTANCE][SPEED] = density * d2 * d2 / 8.0;
    q[DISTANCE][ACCELERATION] = density * d3 / 6.0;
    q[SPEED][SPEED] = density * d3 / 3.0;
    q[SPEED][ACCELERATION] = density * d2 / 2.0;
    q[ACCELERATION][ACCELERATION] = density * dt;
    q[SPEED][DISTANCE] = q[DISTANCE][SPEED];
    q[ACCELERATION][DISTANCE] = q[DISTANCE][ACCELERATION];
    q[ACCELERATION][SPEED] = q[SPEED][ACCELERATION];
    q
}

/// A sample as a linear reading about the path.
fn reading(sample: &Sample, path: &Path) -> Reading<N> {
    let (v, a) = path.at(sample.time_s);
    let faults = &path.faults;
    let mut row = [0.0; N];
    match sample.source {
        Source::Logged => {
            row[SPEED] = 1.0 + faults[SCALE] + faults[CREEP] * a / STANDARD_GRAVITY;
            row[ACCELERATION] = faults[CREEP] * v / STANDARD_GRAVITY - faults[LOGGED_LAG];
            row[LOGGED_LAG] = -a;
            row[SCALE] = v;
            row[CREEP] = v * a / STANDARD_GRAVITY;
        }
        Source::Ground => {
            row[SPEED] = 1.0 + faults[GROUND_SCALE];
            row[ACCELERATION] = -faults[GROUND_LAG];
            row[GROUND_SCALE] = v;
            row[GROUND_LAG] = -a;
        }
        Source::Accelerometer => {
            row[ACCELERATION] = 1.0 + faults[GAIN];
            row[GAIN] = a;
            row[BIAS] = 1.0;
        }
    }
    let about: f64 = (BIAS..N).map(|i| row[i] * faults[i]).sum();
    let at_path = row[SPEED] * v + row[ACCELERATION] * a + about;
    let offset = expected(sample.source, v, a, faults) - at_path;
    Reading { row, value: sample.value - offset, var: sample.var }
}

/// The motion for every likely first motion.
fn mixture(samples: &Samples, path: &Path, start_s: f64) -> Option<Estimate> {
    if !samples.standing {
        let points = pass(samples, path, start_s)?.1;
        return Some(Estimate { branches: vec![Branch { start_s, weight: 1.0, points }] });
    }
    let starts = likely_starts(samples, path, start_s);
    let all: f64 = starts.iter().map(|&(_, weight)| weight).sum();
    let branches: Option<Vec<Branch>> = starts
        .into_iter()
        .map(|(start_s, weight)| {
            let points = pass(samples, path, start_s)?.1;
            Some(Branch { start_s, weight: weight / all, points })
        })
        .collect();
    branches.map(|branches| Estimate { branches })
}

/// First motions within reach, about ten of them, with their likelihood against the
/// best. The grid is laid twice, so that a sharp start gets a fine one.
fn likely_starts(samples: &Samples, path: &Path, near_s: f64) -> Vec<(f64, f64)> {
    let mut from_s = samples.start_from_s;
    let mut to_s = samples.start_to_s.max(near_s);
    let mut likely = Vec::new();
    for points in [24_u32, 10] {
        let pace = (to_s - from_s) / f64::from(points);
        let scores: Vec<(f64, f64)> = (0..=points)
            .map(|k| from_s + pace * f64::from(k))
            .map(|t| (t, start_likelihood(samples, path, t)))
            .collect();
        let best = scores.iter().map(|&(_, score)| score).fold(f64::NEG_INFINITY, f64::max);
        likely = scores
            .into_iter()
            .map(|(t, score)| (t, libm::exp(score - best)))
            .filter(|&(_, weight)| weight >= LEAST_WEIGHT)
            .collect();
        let (first, last) = (likely.first().map(|l| l.0), likely.last().map(|l| l.0));
        from_s = first.unwrap_or(near_s) - pace;
        to_s = last.unwrap_or(near_s) + pace;
    }
    likely
}

impl Estimate {
    /// The branch of greatest weight.
    pub fn best(&self) -> Option<&Branch> {
        self.branches.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))
    }

    /// Mean and standard deviation of a quantity over the mixture; each branch gives
    /// its own mean and standard deviation. `None` if any branch has none.
    pub fn mixed(&self, of: impl Fn(&Branch) -> Option<(f64, f64)>) -> Option<(f64, f64)> {
        let parts: Vec<(f64, f64, f64)> = self
            .branches
            .iter()
            .map(|branch| of(branch).map(|(mean, sd)| (branch.weight, mean, sd)))
            .collect::<Option<_>>()?;
        let mean: f64 = parts.iter().map(|&(w, mean, _)| w * mean).sum();
        let var: f64 =
            parts.iter().map(|&(w, m, sd)| w * (sd * sd + (m - mean) * (m - mean))).sum();
        Some((mean, libm::sqrt(var)))
    }
}

impl Branch {
    /// First motion (standing) or throttle opening (rolling), seconds of the log.
    pub fn first_motion_s(&self) -> f64 {
        self.at_speed(FIRST_MOTION_MPS).map_or(self.start_s, |(time_s, _)| time_s)
    }

    /// Time of the log at which a speed was first reached, with its deviation.
    pub fn at_speed(&self, speed_mps: f64) -> Option<(f64, f64)> {
        self.crossing(|p| p.speed_mps, |p| p.speed_sd_mps, speed_mps)
    }

    /// Time of the log at which a distance was reached, with its deviation.
    pub fn at_distance(&self, distance_m: f64) -> Option<(f64, f64)> {
        self.crossing(|p| p.distance_m, |p| p.distance_sd_m, distance_m)
    }

    /// Ground speed at a time of the log; `None` outside the motion.
    pub fn speed_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, |p| p.speed_mps)
    }

    /// Acceleration at a time of the log; `None` outside the motion.
    pub fn accel_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, |p| p.accel_mps2)
    }

    fn between(&self, time_s: f64, value: impl Fn(&Point) -> f64) -> Option<f64> {
        let after = self.points.partition_point(|p| p.time_s < time_s);
        let (a, b) = (self.points.get(after.checked_sub(1)?)?, self.points.get(after)?);
        let share = (time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9);
        Some(value(a) + share * (value(b) - value(a)))
    }

    /// First crossing of a level, and half the time between the crossings of the level
    /// less and plus its deviation: on a plateau (a shift) that is far wider than the
    /// slope at the crossing would have it.
    fn crossing(
        &self,
        value: impl Fn(&Point) -> f64,
        sd: impl Fn(&Point) -> f64,
        level: f64,
    ) -> Option<(f64, f64)> {
        let first = |level: f64| {
            let after = self.points.iter().position(|p| value(p) >= level)?;
            let (a, b) = (&self.points[after.checked_sub(1)?], &self.points[after]);
            let share = (level - value(a)) / (value(b) - value(a));
            Some((a.time_s + share * (b.time_s - a.time_s), after))
        };
        let (time_s, after) = first(level)?;
        let spread = sd(&self.points[after]);
        let early_s = first(level - spread).map_or(time_s - self.start_s, |(t, _)| time_s - t);
        let late_s = first(level + spread).map_or(early_s, |(t, _)| t - time_s);
        Some((time_s, early_s.max(late_s)))
    }
}
