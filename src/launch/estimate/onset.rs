//! How a launch sets in: from first motion the acceleration rises towards what the car
//! gives a moment later, quickly or slowly.
//!
//! In: an assumed first motion and a [`Shape`]. Out: how the acceleration moves over one
//! step, as transition, push and noise of the filter.
//!
//! Why it is assumed at all: near standstill speeds show nothing, so that without it a car
//! might have crept for half a second before any reading tells. A brake let go gives all at
//! once, a clutch in tenths of a second, a foot in half a second (common practice, no
//! source); which it was is left open, and the mixture holds all three.

use super::{ACCELERATION, DISTANCE, N, SPEED};
use crate::math::kalman::Matrix;

/// How the acceleration sets in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// What it rises towards, m/s².
    pub level_mps2: f64,
    pub rise: Rise,
}

/// A first motion and how the launch sets in there; no shape where the car rolled already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Onset {
    pub start_s: f64,
    pub shape: Option<Shape>,
}

/// Shapes held possible, each with its weight: few cars gather way slowly with the throttle
/// open.
pub const RISES: [(Rise, f64); 5] = [
    (Rise { s: 0.04, sharp: true }, 1.0),
    (Rise { s: 0.15, sharp: true }, 0.5),
    (Rise { s: 0.08, sharp: false }, 1.0),
    (Rise { s: 0.2, sharp: false }, 1.0),
    (Rise { s: 0.45, sharp: false }, 0.5),
];

/// How quickly, and whether at once: a sharp rise bends from the first moment, a soft one
/// begins with nothing and gathers, as a clutch that bites or an engine that spools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rise {
    /// Time constant.
    pub s: f64,
    pub sharp: bool,
}

/// The onset is over after so many time constants, and never before [`LEAST_S`].
const LASTS: f64 = 3.0;
const LEAST_S: f64 = 0.3;
/// Scatter about the rise: a share of the level, and never less than [`LEAST_MPS2`].
const SCATTER: f64 = 0.25;
const LEAST_MPS2: f64 = 0.5;

impl Shape {
    pub fn lasts_s(&self) -> f64 {
        (LASTS * self.rise.s).max(LEAST_S)
    }

    fn scatter_mps2(&self) -> f64 {
        SCATTER * self.level_mps2 + LEAST_MPS2
    }

    /// Mean and standard deviation of the acceleration at first motion.
    pub fn at_first_motion(&self) -> (f64, f64) {
        let at_once = if self.rise.sharp { 0.25 * self.level_mps2 } else { 0.0 };
        (at_once, at_once + LEAST_MPS2)
    }

    /// Spectral density that keeps the scatter at its size, (m/s²)² a second.
    pub fn density(&self) -> f64 {
        2.0 * self.scatter_mps2() * self.scatter_mps2() / self.rise.s
    }

    /// What the acceleration rises towards at a time after first motion.
    fn towards_mps2(&self, since_s: f64) -> f64 {
        let gathered = if self.rise.sharp { 1.0 } else { 1.0 - libm::exp(-since_s / self.rise.s) };
        gathered * self.level_mps2
    }

    /// Turns the transition of a free acceleration into that of a rising one, for the step
    /// that ends `since_s` after first motion; returns what is added to the state.
    pub fn bend(&self, transition: &mut Matrix<N>, dt: f64, since_s: f64) -> [f64; N] {
        let left = libm::exp(-dt / self.rise.s);
        let carried_s = self.rise.s * (1.0 - left);
        let towards = self.towards_mps2(since_s - 0.5 * dt);
        transition[ACCELERATION][ACCELERATION] = left;
        transition[SPEED][ACCELERATION] = carried_s;
        transition[DISTANCE][ACCELERATION] = self.rise.s * (dt - carried_s);
        let mut push = [0.0; N];
        push[ACCELERATION] = towards * (1.0 - left);
        push[SPEED] = towards * (dt - carried_s);
        push[DISTANCE] = towards * (0.5 * dt * dt - self.rise.s * (dt - carried_s));
        push
    }
}
