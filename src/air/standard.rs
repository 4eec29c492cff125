//! The standard atmosphere below 11 km, and heights told from density.
//!
//! In: heights in m, densities in kg/m³. Out: K, Pa, kg/m³, m. Heights are
//! geopotential unless named geometric; at 1000 m the two differ by 0.16 m.
//!
//! Source: ISO 2533:1975 (equal to the ICAO standard atmosphere). Checked in
//! `tests/reference/air.rs`.

use super::density::DRY_AIR;
use crate::unit::STANDARD_GRAVITY;

pub const SEA_LEVEL_K: f64 = 288.15;
pub const SEA_LEVEL_PA: f64 = 101_325.0;
pub const SEA_LEVEL_KGPM3: f64 = 1.225;
/// Fall of temperature, K per m of geopotential height.
const LAPSE: f64 = 0.0065;
/// Nominal radius of the Earth for geopotential heights, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;

/// State of the standard atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    pub temperature_k: f64,
    pub pressure_pa: f64,
    pub density_kgpm3: f64,
}

/// At a geopotential height up to 11 km.
pub fn at_m(height_m: f64) -> State {
    let temperature_k = SEA_LEVEL_K - LAPSE * height_m;
    let pressure_pa = SEA_LEVEL_PA * libm::pow(temperature_k / SEA_LEVEL_K, exponent());
    State { temperature_k, pressure_pa, density_kgpm3: pressure_pa / (DRY_AIR * temperature_k) }
}

/// Geopotential height of a geometric one (what a map or a receiver shows).
pub fn geopotential_m(geometric_m: f64) -> f64 {
    EARTH_RADIUS_M * geometric_m / (EARTH_RADIUS_M + geometric_m)
}

/// The geopotential height at which the standard atmosphere is as thin.
pub fn altitude_of_density_m(kgpm3: f64) -> f64 {
    let share = libm::pow(kgpm3 / SEA_LEVEL_KGPM3, 1.0 / (exponent() - 1.0));
    SEA_LEVEL_K / LAPSE * (1.0 - share)
}

/// g/(R L), about 5.25588.
fn exponent() -> f64 {
    STANDARD_GRAVITY / (DRY_AIR * LAPSE)
}
