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

mod branch;
mod chain;
mod onset;

use super::samples::{Sample, Samples, Source};
use crate::math::kalman::{Belief, filter, smooth};
use crate::unit::STANDARD_GRAVITY;
pub use branch::{Branch, Estimate, Point};
use chain::Chain;
use onset::{Onset, RISES, Shape};

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

/// Standard deviation of the change of acceleration, m/s² in one second, while nothing
/// happens.
const CALM: f64 = 3.0;
const ROUNDS: usize = 5;
/// Degrees of freedom of the heavy-tailed weights.
const TAIL: f64 = 4.0;
const GROUND_TAIL: f64 = 30.0;
/// Starts less likely than this, against the best, are left out of the mixture.
const LEAST_WEIGHT: f64 = 0.01;

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

    /// Change of acceleration around here, m/s³.
    fn jerk(&self, time_s: f64) -> f64 {
        const HALF_S: f64 = 0.05;
        (self.at(time_s + HALF_S).1 - self.at(time_s - HALF_S).1) / (2.0 * HALF_S)
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
    let (path, onset) = settled(samples)?;
    mixture(samples, &path, &onset)
}

/// The likeliest branch alone, for a third less work.
pub fn best_branch(samples: &mut Samples) -> Option<Branch> {
    let (path, near) = settled(samples)?;
    let likely = if samples.standing {
        likely_onsets(samples, &path, near.start_s)
    } else {
        vec![(near, 1.0)]
    };
    let (onset, weight) = likely.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let points = pass(samples, &path, &onset)?.1;
    Some(Branch { start_s: onset.start_s, weight, points })
}

/// The rounds: the path and the first motion that they end at.
fn settled(samples: &mut Samples) -> Option<(Path, Onset)> {
    if samples.list.is_empty() {
        return None;
    }
    let mut path = rough(samples);
    let mut onset = Onset { start_s: samples.rough_start_s, shape: None };
    for round in 0..ROUNDS {
        if samples.standing {
            onset = best_onset(samples, &path, &onset, round);
        }
        path = pass(samples, &path, &onset)?.0;
        samples.bring_forward([path.faults[LOGGED_LAG], path.faults[GROUND_LAG]]);
        (path.faults[LOGGED_LAG], path.faults[GROUND_LAG]) = (0.0, 0.0);
        reweigh(samples, &path, onset.start_s);
    }
    Some((path, onset))
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
fn likelihood(samples: &Samples, path: &Path, onset: &Onset) -> f64 {
    let until_s = samples.start_to_s + 1.5_f64.max(2.0 * samples.step_s);
    let chain = Chain::new(samples, path, onset, until_s);
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
        .filter(|sample| sample.time_s <= onset.start_s)
        .map(|sample| sample.log_density_at_rest(samples.bias_sd()))
        .sum();
    filtered.log_likelihood + dead + before
}

/// The likeliest first motion near the last one, ever finer by the round. The shape is chosen
/// at the last first motion and once more at the new one: all of them everywhere would cost
/// more than the smoothing.
fn best_onset(samples: &Samples, path: &Path, last: &Onset, round: usize) -> Onset {
    let (from_s, to_s) = (samples.start_from_s, samples.start_to_s);
    let half = if round == 0 { to_s - from_s } else { (to_s - from_s) * 0.3 / round as f64 };
    let (from_s, to_s) = ((last.start_s - half).max(from_s), (last.start_s + half).min(to_s));
    const POINTS: u32 = 12;
    let starts = (0..=POINTS).map(|k| from_s + (to_s - from_s) * f64::from(k) / f64::from(POINTS));
    if last.shape.is_none() {
        let all = starts.map(|start_s| likeliest(samples, path, start_s));
        return all.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(*last, |(onset, _)| onset);
    }
    let shape = likeliest(samples, path, last.start_s).0.shape;
    let start_s = starts
        .map(|start_s| (start_s, likelihood(samples, path, &Onset { start_s, shape })))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(last.start_s, |(start_s, _)| start_s);
    likeliest(samples, path, start_s).0
}

/// The likeliest shape at a first motion, and the log-likelihood of all shapes together.
fn likeliest(samples: &Samples, path: &Path, start_s: f64) -> (Onset, f64) {
    let scores = RISES.map(|(rise, weight)| {
        let shape = Shape { level_mps2: samples.level_mps2, rise };
        let onset = Onset { start_s, shape: Some(shape) };
        (onset, likelihood(samples, path, &onset) + libm::log(weight))
    });
    let best = scores.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(scores[0]);
    let all: f64 = scores.iter().map(|&(_, score)| libm::exp(score - best.1)).sum();
    (best.0, best.1 + libm::log(all))
}

/// Filter and smoother for one first motion: the next path, and the points.
fn pass(samples: &Samples, path: &Path, onset: &Onset) -> Option<(Path, Vec<Point>)> {
    let start_s = onset.start_s;
    let chain = Chain::new(samples, path, onset, samples.to_s);
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
    let moment_sd_s = samples.moment_sd_s();
    for index in 0..samples.list.len() {
        let sample = samples.list[index];
        let base = samples.base_var(sample.source);
        let r = residual(&sample, path);
        // No wheel falsifies a ground speed: only a lone spike of it is voted down.
        let tail = if sample.source == Source::Ground { GROUND_TAIL } else { TAIL };
        let weight = (tail + 1.0) / (tail + r * r / base);
        let moves = sample.time_s > start_s;
        let slip = samples.slip_sd(sample.source, path.at(sample.time_s));
        // Noise that is there all the time is in the residuals; a moment that is not known
        // shows only where the acceleration jumps.
        let moved = match sample.source {
            Source::Accelerometer => path.jerk(sample.time_s) * moment_sd_s,
            Source::Logged | Source::Ground => 0.0,
        };
        let more = slip * slip + moved * moved;
        samples.list[index].var = if moves { base / weight.min(1.0) + more } else { base };
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

/// The motion for every likely first motion.
fn mixture(samples: &Samples, path: &Path, near: &Onset) -> Option<Estimate> {
    if !samples.standing {
        let points = pass(samples, path, near)?.1;
        let only = Branch { start_s: near.start_s, weight: 1.0, points };
        return Some(of_branches(vec![only], path));
    }
    let onsets = likely_onsets(samples, path, near.start_s);
    let all: f64 = onsets.iter().map(|&(_, weight)| weight).sum();
    let branches: Option<Vec<Branch>> = onsets
        .into_iter()
        .map(|(onset, weight)| {
            let points = pass(samples, path, &onset)?.1;
            Some(Branch { start_s: onset.start_s, weight: weight / all, points })
        })
        .collect();
    branches.map(|branches| of_branches(branches, path))
}

fn of_branches(branches: Vec<Branch>, path: &Path) -> Estimate {
    let (logged_off, accelerometer_off) = (path.faults[SCALE], path.faults[GAIN]);
    Estimate { branches, logged_off, accelerometer_off }
}

/// First motions within reach, about ten of them, with their likelihood against the
/// best. The grid is laid twice, so that a sharp start gets a fine one.
fn likely_onsets(samples: &Samples, path: &Path, near_s: f64) -> Vec<(Onset, f64)> {
    let mut from_s = samples.start_from_s;
    let mut to_s = samples.start_to_s.max(near_s);
    let mut likely: Vec<(Onset, f64)> = Vec::new();
    for points in [24_u32, 10] {
        let pace = (to_s - from_s) / f64::from(points);
        let scores: Vec<(Onset, f64)> =
            (0..=points).map(|k| likeliest(samples, path, from_s + pace * f64::from(k))).collect();
        let best = scores.iter().map(|&(_, score)| score).fold(f64::NEG_INFINITY, f64::max);
        likely = scores
            .into_iter()
            .map(|(onset, score)| (onset, libm::exp(score - best)))
            .filter(|&(_, weight)| weight >= LEAST_WEIGHT)
            .collect();
        from_s = likely.first().map_or(near_s, |l| l.0.start_s) - pace;
        to_s = likely.last().map_or(near_s, |l| l.0.start_s) + pace;
    }
    likely
}
