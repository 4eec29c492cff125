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
    /// Time constant of the rise.
    pub rise_s: f64,
}

/// A first motion and how the launch sets in there; no shape where the car rolled already.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Onset {
    pub start_s: f64,
    pub shape: Option<Shape>,
}

/// Time constants held possible, each with its weight: few cars gather way that slowly with
/// the throttle open.
pub const RISES_S: [(f64, f64); 4] = [(0.04, 1.0), (0.15, 1.0), (0.4, 1.0), (0.9, 0.3)];
/// The onset is over after so many time constants, and never before [`LEAST_S`].
const LASTS: f64 = 2.5;
const LEAST_S: f64 = 0.3;
/// Scatter about the rise: a share of the level, and never less than [`LEAST_MPS2`].
const SCATTER: f64 = 0.25;
const LEAST_MPS2: f64 = 0.5;

impl Shape {
    pub fn lasts_s(&self) -> f64 {
        (LASTS * self.rise_s).max(LEAST_S)
    }

    fn scatter_mps2(&self) -> f64 {
        SCATTER * self.level_mps2 + LEAST_MPS2
    }

    /// Mean and standard deviation of the acceleration at first motion.
    pub fn at_first_motion(&self) -> (f64, f64) {
        // What rises slowly begins with little.
        let share = (0.15 / self.rise_s).min(1.0);
        (0.25 * share * self.level_mps2, share * SCATTER * self.level_mps2 + LEAST_MPS2)
    }

    /// Spectral density that keeps the scatter at its size, (m/s²)² a second.
    pub fn density(&self) -> f64 {
        2.0 * self.scatter_mps2() * self.scatter_mps2() / self.rise_s
    }

    /// Turns the transition of a free acceleration into that of a rising one; returns what
    /// is added to the state.
    pub fn bend(&self, transition: &mut Matrix<N>, dt: f64) -> [f64; N] {
        let left = libm::exp(-dt / self.rise_s);
        let carried_s = self.rise_s * (1.0 - left);
        transition[ACCELERATION][ACCELERATION] = left;
        transition[SPEED][ACCELERATION] = carried_s;
        transition[DISTANCE][ACCELERATION] = self.rise_s * (dt - carried_s);
        let mut push = [0.0; N];
        push[ACCELERATION] = self.level_mps2 * (1.0 - left);
        push[SPEED] = self.level_mps2 * (dt - carried_s);
        push[DISTANCE] = self.level_mps2 * (0.5 * dt * dt - self.rise_s * (dt - carried_s));
        push
    }
}
