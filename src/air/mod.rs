//! Moist air, the standard atmosphere, the named correction factors, and what
//! compressors and coolers do to a charge.
//!
//! In: the [`Air`] of an outing, as far as it is known. Out: density, dew point,
//! density altitude, factors; each `None` where a part it needs is unknown.
//! Formulas take SI: kelvin or °C as named, pascals, shares from 0 to 1.
//!
//! Never: a humidity or pressure assumed in silence, or a factor applied to
//! anything. Power factors are shown beside a result and leave it alone.

pub mod charge;
pub mod density;
pub mod power;
pub mod standard;
pub mod vapour;

/// The air of one outing. Every part may be unknown; nothing unknown is a zero.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Air {
    pub ambient_c: Option<f64>,
    pub relative_humidity_percent: Option<f64>,
    /// At the place itself, not reduced to sea level.
    pub pressure_pa: Option<f64>,
}

impl Air {
    /// Density of the moist air by CIPM-2007, kg/m³.
    pub fn density_kgpm3(&self) -> Option<f64> {
        let (c, humidity, pa) = self.known()?;
        Some(density::cipm_2007(c, pa, humidity))
    }

    /// The height in the standard atmosphere at which air is as thin, m.
    ///
    /// From the two-gas density: the standard atmosphere is an ideal gas too, so
    /// that its own air at sea level gives 0 m.
    pub fn density_altitude_m(&self) -> Option<f64> {
        let (c, humidity, pa) = self.known()?;
        Some(standard::altitude_of_density_m(density::two_gas(c, pa, humidity)))
    }

    /// `None` for absolutely dry air, too.
    pub fn dew_point_c(&self) -> Option<f64> {
        vapour::dew_point_c(self.ambient_c?, self.relative_humidity_percent? / 100.0)
    }

    /// Partial pressure of the water in the air, Pa.
    pub fn vapour_pressure_pa(&self) -> Option<f64> {
        Some(self.relative_humidity_percent? / 100.0 * vapour::saturation_pa(self.ambient_c?))
    }

    /// Pressure of the air without its water, Pa: what an engine's oxygen goes by.
    pub fn dry_pressure_pa(&self) -> Option<f64> {
        Some(self.pressure_pa? - self.vapour_pressure_pa()?)
    }

    /// The named standards' factors; empty when a part of the air is unknown.
    pub fn factors(&self) -> Vec<power::Factor> {
        match (self.ambient_c, self.pressure_pa, self.dry_pressure_pa()) {
            (Some(c), Some(pa), Some(dry_pa)) => power::factors(c, pa, dry_pa),
            _ => Vec::new(),
        }
    }

    /// Temperature °C, humidity 0 to 1, pressure Pa.
    fn known(&self) -> Option<(f64, f64, f64)> {
        Some((self.ambient_c?, self.relative_humidity_percent? / 100.0, self.pressure_pa?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_that_is_not_known_leaves_its_results_unknown() {
        let half = Air { ambient_c: Some(20.0), pressure_pa: Some(1e5), ..Air::default() };
        assert_eq!(half.density_kgpm3(), None);
        assert_eq!(half.density_altitude_m(), None);
        assert_eq!(half.dew_point_c(), None);
        assert!(half.factors().is_empty());
    }

    #[test]
    fn dry_air_has_no_dew_point_and_all_else() {
        let dry = Air {
            ambient_c: Some(15.0),
            relative_humidity_percent: Some(0.0),
            pressure_pa: Some(standard::SEA_LEVEL_PA),
        };
        assert_eq!(dry.dew_point_c(), None);
        assert!(dry.density_altitude_m().is_some_and(|m| m.abs() < 0.01));
        assert_eq!(dry.factors().len(), 4);
    }
}
