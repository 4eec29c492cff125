//! Water in air: saturation pressure over liquid water, and its inverse.
//!
//! In: °C (relative humidity counts over liquid water, also below 0 °C, as weather
//! stations do). Out: Pa, °C. The forms agree within 0.31 % from 0 to 50 °C, which
//! moves the density of air by less than 0.004 % at half humidity.
//!
//! Checked in `tests/reference/air.rs`, against IAPWS-IF97 among others.

use crate::unit::ZERO_CELSIUS_K;

/// Saturation pressure, Pa: the form used throughout.
///
/// Fitted to about −80 to 50 °C. Source: Buck Research CR-1A manual (1996), after
/// Buck 1981, J. Appl. Meteorol. 20:1527. In pure phase: no enhancement factor.
pub fn saturation_pa(c: f64) -> f64 {
    611.21 * libm::exp((18.678 - c / 234.5) * c / (257.14 + c))
}

/// The older form, about −20 to 50 °C. Source: Buck 1981, e_w1.
pub fn saturation_buck_1981_pa(c: f64) -> f64 {
    611.21 * libm::exp(17.502 * c / (240.97 + c))
}

/// The weather services' form, −45 to 60 °C. Source: WMO-No. 8, Annex 4.B.
pub fn saturation_wmo_pa(c: f64) -> f64 {
    611.2 * libm::exp(17.62 * c / (243.12 + c))
}

/// The metrologists' form, for [`super::density::cipm_2007`] alone. Source: Picard et
/// al. 2008, Metrologia 45:149, eq. A1.1.
pub fn saturation_cipm_pa(c: f64) -> f64 {
    let k = c + ZERO_CELSIUS_K;
    libm::exp(1.237_884_7e-5 * k * k - 1.912_131_6e-2 * k + 33.937_110_47 - 6343.1645 / k)
}

/// How much more vapour air holds than empty space at the same temperature.
/// Source: WMO-No. 8, Annex 4.B; pressure in Pa.
pub fn enhancement_wmo(pa: f64) -> f64 {
    let hpa = pa / 100.0;
    1.0016 + 3.15e-6 * hpa - 0.074 / hpa
}

/// Where the water in the air begins to condense; `None` for dry air.
///
/// `humidity` is 0 to 1. The inverse of the WMO form, which alone has a closed one.
pub fn dew_point_c(c: f64, humidity: f64) -> Option<f64> {
    if humidity <= 0.0 {
        return None;
    }
    let ln = libm::log(humidity * saturation_wmo_pa(c) / 611.2);
    Some(243.12 * ln / (17.62 - ln))
}
