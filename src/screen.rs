//! What the page shows, as a value: finished text in the reader's units.
//!
//! In: a [`crate::sheet::Sheet`] and the [`Units`]. Out: the seven parts, each with
//! its answer, its evidence and how it was worked out. Every number leaves here
//! with its unit, every timing with its ±; what is not known is a dash.

use serde::{Deserialize, Serialize};

/// The reader's units, chosen once and remembered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Units {
    pub speed: SpeedUnit,
    pub temperature: TemperatureUnit,
    pub pressure: PressureUnit,
    pub length: LengthUnit,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SpeedUnit {
    Mph,
    Kmh,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TemperatureUnit {
    Fahrenheit,
    Celsius,
    Kelvin,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PressureUnit {
    Psi,
    Kpa,
    Bar,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    Foot,
    Metre,
}
