//! Power correction factors of the named standards: what a measured power would be
//! multiplied with to count for reference air. Shown, never applied.
//!
//! In: intake air °C, pressures in Pa. Out: [`Factor`]s with the standard's own
//! limits. All but DIN take the dry-air pressure. The standards write T as t + 273.
//!
//! Never: a factor on a launch time (time also hangs on grip, gearing and mass), or
//! one standard's figure against another's. Checked in `tests/reference/air.rs`.

/// Why a factor misleads on a boosted engine; stands wherever factors are shown.
pub const BOOST_CAUTION: &str = "These factors come from engines that breathe the barometer. \
    Boost control that holds an absolute pressure has already made good most of the air; \
    correcting again counts it twice.";

/// One standard's factor for one air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    pub standard: &'static str,
    pub factor: f64,
    /// Within the range in which the standard lets the factor be used.
    pub within_limits: bool,
}

/// Every factor that needs no figure of the engine.
pub fn factors(c: f64, pa: f64, dry_pa: f64) -> Vec<Factor> {
    let k = c + 273.0;
    let mild = |factor: f64| (0.93..=1.07).contains(&factor);
    let (sae, iso) = (sae_j1349(c, dry_pa), iso_1585(c, dry_pa));
    let iso_air = (288.0..=308.0).contains(&k) && (80e3..=110e3).contains(&dry_pa);
    vec![
        Factor { standard: "SAE J1349", factor: sae, within_limits: mild(sae) },
        Factor { standard: "ISO 1585", factor: iso, within_limits: mild(iso) && iso_air },
        Factor { standard: "SAE J607", factor: sae_j607(c, dry_pa), within_limits: true },
        Factor { standard: "DIN 70020", factor: din_70020(c, pa), within_limits: true },
    ]
}

/// 99 kPa dry, 25 °C; friction is the same in any air, so only the indicated power
/// scales. Rounded form. Source: SAE J1349 JUN90, as quoted.
pub fn sae_j1349(c: f64, dry_pa: f64) -> f64 {
    1.18 * (99e3 / dry_pa) * ((c + 273.0) / 298.0).sqrt() - 0.18
}

/// The same with the mechanical efficiency of 0.85 written out, as in later texts.
pub fn sae_j1349_exact(c: f64, dry_pa: f64) -> f64 {
    ((99e3 / dry_pa) * ((c + 273.0) / 298.0).sqrt() - 0.15) / 0.85
}

/// 99 kPa dry, 25 °C, spark ignition. Source: ISO 1585, the same as UN R85 and JIS D 1001.
pub fn iso_1585(c: f64, dry_pa: f64) -> f64 {
    libm::pow(99e3 / dry_pa, 1.2) * libm::pow((c + 273.0) / 298.0, 0.6)
}

/// 29.92 inHg dry, 60 °F: denser reference air, so it reads about 4 % higher.
/// Source: SAE J607, withdrawn; conditions as quoted.
pub fn sae_j607(c: f64, dry_pa: f64) -> f64 {
    (101_325.0 / dry_pa) * ((c + 273.15) / (273.15 + 140.0 / 9.0)).sqrt()
}

/// 101.3 kPa in all, 20 °C. Source: DIN 70020, withdrawn.
pub fn din_70020(c: f64, pa: f64) -> f64 {
    (101.3e3 / pa) * ((c + 273.0) / 293.0).sqrt()
}

/// Engine factor of a compression-ignition engine from its fuel per cycle, mg/l over
/// the charge pressure ratio. Source: UN R85, Annex 5, 5.4.2.2.
pub fn engine_factor(fuel: f64) -> f64 {
    match fuel {
        low if low < 40.0 => 0.3,
        high if high > 65.0 => 1.2,
        _ => 0.036 * fuel - 1.14,
    }
}

/// Turbocharged compression ignition: (atmospheric factor, its power by the engine
/// factor). Source: UN R85, Annex 5, 5.4.2.
pub fn r85_turbo_diesel(c: f64, dry_pa: f64, fuel: f64) -> (f64, f64) {
    let air = libm::pow(99e3 / dry_pa, 0.7) * libm::pow((c + 273.0) / 298.0, 1.5);
    (air, libm::pow(air, engine_factor(fuel)))
}
