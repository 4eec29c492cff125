//! The chain that the filter runs over, for one assumed first motion: how the state
//! moves, and what each reading says of it.
//!
//! In: samples, and the path of the last pass to linearise about. Out: the belief at the
//! start and the steps.

use super::onset::Onset;
use super::{
    ACCELERATION, BIAS, CALM, CREEP, DISTANCE, GAIN, GROUND_LAG, GROUND_SCALE, LOGGED_LAG, N, Path,
    SCALE, SPEED, expected,
};
use crate::launch::samples::{Sample, Samples, Source};
use crate::math::kalman::{Belief, Matrix, Reading, Step};
use crate::unit::STANDARD_GRAVITY;

/// Longest step between states.
const STEP_S: f64 = 0.05;

/// The chain for one first motion, ready for the filter.
pub struct Chain<'a> {
    pub begin: Belief<N>,
    pub steps: Vec<Step<N>>,
    pub time_s: Vec<f64>,
    /// Readings inside the dead zone, with the step they belong to.
    pub dead: Vec<(usize, &'a Sample)>,
}

impl<'a> Chain<'a> {
    pub fn new(samples: &'a Samples, path: &Path, onset: &Onset, until_s: f64) -> Self {
        let start_s = onset.start_s;
        let mut chain = Chain {
            begin: begin(samples, path, onset),
            steps: vec![],
            time_s: vec![],
            dead: vec![],
        };
        let mut now_s = start_s;
        let from = samples.list.partition_point(|sample| sample.time_s <= start_s);
        for sample in samples.list[from..].iter().take_while(|sample| sample.time_s <= until_s) {
            while sample.time_s - now_s > STEP_S * 1.5 {
                chain.advance(path, onset, &mut now_s, STEP_S);
            }
            let dt = sample.time_s - now_s;
            chain.advance(path, onset, &mut now_s, dt);
            if sample.in_dead_zone {
                chain.dead.push((chain.steps.len() - 1, sample));
            } else if let Some(step) = chain.steps.last_mut() {
                step.readings.push(reading(sample, path));
            }
        }
        chain
    }

    fn advance(&mut self, path: &Path, onset: &Onset, now_s: &mut f64, dt: f64) {
        *now_s += dt;
        let mut transition = transition(dt);
        let (push, density) = match onset.shape {
            Some(shape) if *now_s - onset.start_s < shape.lasts_s() => {
                (shape.bend(&mut transition, dt, *now_s - onset.start_s), shape.density())
            }
            _ => ([0.0; N], CALM * CALM * path.unrest(*now_s)),
        };
        self.steps.push(Step { transition, push, noise: noise(dt, density), readings: vec![] });
        self.time_s.push(*now_s);
    }
}

fn begin(samples: &Samples, path: &Path, onset: &Onset) -> Belief<N> {
    let mut belief = Belief { mean: samples.faults_mean(), cov: [[0.0; N]; N] };
    for (state, sd) in samples.faults_sd().into_iter().enumerate() {
        belief.cov[state][state] = sd * sd;
    }
    belief.cov[DISTANCE][DISTANCE] = 1e-10;
    if let Some(shape) = onset.shape {
        let (mean, sd) = shape.at_first_motion();
        belief.cov[SPEED][SPEED] = 1e-8;
        belief.mean[ACCELERATION] = mean;
        belief.cov[ACCELERATION][ACCELERATION] = sd * sd;
    } else {
        let start_s = onset.start_s;
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
