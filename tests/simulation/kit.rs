//! Sensors of the size that cars and loggers have them, and columns to write them in.
//!
//! In: how good and how fast. Out: a [`Sensor`] with its faults, or a [`Column`]. Noise,
//! latency and steps are common practice, no source.

use super::recorder::Column;
use super::sensors::{Sensor, Source};

/// Nearly every channel: bus latency, a step, nothing else.
pub fn plain(source: Source, rate_hz: f64, step: f64) -> Sensor {
    Sensor { step, latency_s: 0.03, ..Sensor::new(source, rate_hz) }
}

/// The speed on the bus, from the driven wheels, blind below walking pace.
pub fn wheel_speed(rate_hz: f64, step_mps: f64) -> Sensor {
    Sensor {
        step: step_mps,
        latency_s: 0.06,
        scale: 1.003,
        dead_zone: 0.3,
        ..Sensor::new(Source::DrivenWheel, rate_hz)
    }
}

/// A receiver's Doppler speed.
pub fn satellite(rate_hz: f64, latency_s: f64) -> Sensor {
    Sensor { noise: 0.03, latency_s, step: 0.01, ..Sensor::new(Source::Ground, rate_hz) }
}

/// Longitudinal, fixed to the body: it pitches, shakes and is never quite level.
pub fn accelerometer(rate_hz: f64, level_mps2: f64) -> Sensor {
    Sensor {
        scale: 1.035,
        offset: level_mps2,
        noise: 0.04,
        shake: 0.22,
        step: 0.01,
        ..Sensor::new(Source::Acceleration, rate_hz)
    }
}

/// Behind the cooler, in the stream: a few seconds slow.
pub fn charge_air(rate_hz: f64, lag_s: f64, step_k: f64) -> Sensor {
    Sensor { lag_s, step: step_k, ..plain(Source::ChargeAir, rate_hz, step_k) }
}

/// At the filter.
pub fn filter_air(rate_hz: f64, step_k: f64) -> Sensor {
    Sensor { lag_s: 6.0, ..plain(Source::FilterAir, rate_hz, step_k) }
}

/// How a quantity is written: name, unit, what one SI unit is in it, zero point, digits.
pub fn column(name: &str, unit: &str, gain: f64, offset: f64, decimals: usize) -> Column {
    Column { name: name.to_owned(), unit: unit.to_owned(), gain, offset, decimals }
}

/// A quantity written as sensed.
pub fn as_is(name: &str, unit: &str, decimals: usize) -> Column {
    column(name, unit, 1.0, 0.0, decimals)
}

pub fn kmh(name: &str, decimals: usize) -> Column {
    column(name, "km/h", 3.6, 0.0, decimals)
}

pub fn mph(name: &str, decimals: usize) -> Column {
    column(name, "mph", 1.0 / 0.447_04, 0.0, decimals)
}

pub fn fahrenheit(name: &str) -> Column {
    column(name, "°F", 1.8, 32.0, 0)
}

pub fn gravities(name: &str) -> Column {
    column(name, "g", 1.0 / super::vehicle::GRAVITY_MPS2, 0.0, 3)
}
