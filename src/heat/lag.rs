//! Sensor lag: what a slow thermometer shows of fast air, and what undoing it costs.
//!
//! In: time constants and steps in s, temperatures in °C; for the estimate, the
//! charge air over one pull. Out: the sensor's response, an estimate of its lag, and
//! values with the lag undone, each with a standard deviation.
//!
//! Never: undone values in a comparison, or any where the noise would exceed half the
//! rise. Checked in `tests/reference/heat.rs`.

use super::channel::{Reading, Thermometer};
use crate::math::decay::{Level, fit_decay};
use crate::math::smooth::local_fit;
use crate::pull::Pull;

/// A sensor that follows as a first-order lag, and how surely that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag {
    pub tau_s: f64,
    pub low_s: f64,
    /// `None` when the pull is too short to bound it.
    pub high_s: Option<f64>,
    /// Charge air at the lift with the lag undone; `None` where the noise would drown
    /// it. Never used in a comparison.
    pub end_undone: Option<Reading>,
}

/// Share of the old value that is left after a time step.
pub fn left_after(step_s: f64, tau_s: f64) -> f64 {
    libm::exp(-step_s / tau_s)
}

/// The reading a while after the air stepped from one temperature to another.
pub fn after_step_c(from_c: f64, to_c: f64, since_s: f64, tau_s: f64) -> f64 {
    to_c + (from_c - to_c) * left_after(since_s, tau_s)
}

/// How far the reading is behind air that climbs evenly from equilibrium.
pub fn behind_ramp_c(climb_k_per_s: f64, since_s: f64, tau_s: f64) -> f64 {
    climb_k_per_s * tau_s * -libm::expm1(-since_s / tau_s)
}

/// The air that explains two readings, with no filter: exact, and merciless to noise.
pub fn undo_step_c(before_c: f64, now_c: f64, step_s: f64, tau_s: f64) -> f64 {
    let a = left_after(step_s, tau_s);
    (now_c - a * before_c) / (1.0 - a)
}

/// Standard deviation of [`undo_step_c`] in units of the readings' own.
pub fn undo_step_gain(step_s: f64, tau_s: f64) -> f64 {
    let a = left_after(step_s, tau_s);
    (1.0 + a * a).sqrt() / (1.0 - a)
}

/// Air temperature with the lag undone: the reading plus tau times its slope, both
/// from one local fit whose window grows with tau. The standard deviation carries the
/// noise through the slope, and 30 % doubt about tau. `None` where it exceeds `most_sd_c`.
pub fn undo(
    thermometer: &Thermometer,
    time_s: f64,
    until_s: f64,
    tau_s: f64,
    most_sd_c: f64,
) -> Option<Reading> {
    let (t, y) = thermometer.series().between(f64::NEG_INFINITY, until_s);
    let reach_s = (0.5 * tau_s).max(1.5);
    let fit = local_fit(t, y, time_s, reach_s, 1)?;
    let noise = thermometer.reading_sd_c() * (fit.value_gain + tau_s * fit.slope_gain);
    let doubt = 0.3 * tau_s * fit.slope;
    let sd_c = (noise * noise + doubt * doubt).sqrt();
    (sd_c <= most_sd_c).then_some(Reading { c: fit.value + tau_s * fit.slope, sd_c })
}

/// Charge air must climb this far for its shape to tell a lag.
const SMALLEST_RISE_C: f64 = 4.0;
/// Shorter lags than this move no reading that matters.
const SHORTEST_S: f64 = 0.3;

/// The lag, if charge air climbed evenly from the first sign of boost on.
///
/// A lagging sensor answers an even climb s with s (t − tau) + s tau exp(−t/tau): late
/// at first, then parallel. The slope of that answer approaches s as exp(−t/tau), so
/// tau is read off the slopes. `None` when the rise is small or the slopes show no
/// approach; a real step of the air shortens the estimate, a real curve lengthens it.
pub fn estimate(thermometer: &Thermometer, pull: &Pull, start_c: f64, end_c: f64) -> Option<Lag> {
    let step_c = thermometer.step_c();
    if end_c - start_c < SMALLEST_RISE_C.max(8.0 * step_c) {
        return None;
    }
    let (t, y) = thermometer.series().between(pull.start_s, pull.end_s);
    let window_s = ((pull.end_s - pull.start_s) / 6.0).max(0.4);
    let slopes: Vec<(f64, f64)> = t
        .iter()
        .filter_map(|&t_s| Some((t_s - pull.start_s, local_fit(t, y, t_s, window_s, 1)?.slope)))
        .collect();
    let (age, slope): (Vec<f64>, Vec<f64>) = slopes.into_iter().unzip();
    let fit = fit_decay(&age, &slope, Level::Free, 0.0)?;
    let approach = fit.amplitude < 0.0 && fit.level > 0.0 && fit.tau >= SHORTEST_S;
    if !approach || fit.span_in_taus() < 1.5 {
        return None;
    }
    let most_sd_c = 0.5 * (end_c - start_c);
    Some(Lag {
        tau_s: fit.tau,
        low_s: fit.tau_low.unwrap_or(0.0),
        high_s: fit.tau_high,
        end_undone: undo(thermometer, pull.end_s, pull.end_s, fit.tau, most_sd_c),
    })
}
