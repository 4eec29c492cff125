//! Bringing temperatures to equal ambient air.
//!
//! In: a temperature or a rise of one pull and the air it was driven in. Out: by how
//! much it moves for each kelvin that the ambient air moves, and how sure that is.
//!
//! Model. A compressor heats by a share of the absolute inlet temperature, and a cooler
//! takes a share of the distance to ambient off again:
//!   T = T_amb (1 + (1 − eps) (ratio^0.2857 − 1)/eta),
//! so with the same pressure ratio, efficiency and effectiveness every absolute charge
//! temperature goes with the absolute ambient one: dT/dT_amb = T/T_amb, above 1. Soak
//! from an engine held at its thermostat's temperature T_eng works the other way: what
//! lies above ambient at a start then is a share of T_eng − T_amb, so that
//! dT/dT_amb = 1 − (T − T_amb)/(T_eng − T_amb), below 1. How much of a start is soak is
//! not known from a log. The middle of both is used, and the distance between them is
//! a uniform doubt. A rise within the pull is the compressor's: its share is
//! rise/T_amb, with half of it as doubt.
//!
//! Source: isentropic compression of an ideal gas, definition of effectiveness (see
//! [`crate::air::charge`]); thermostat temperature from memory of common engines.

use super::Measure;
use super::run::Run;
use crate::unit::ZERO_CELSIUS_K;

/// Change of a value per kelvin of ambient air, and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    pub per_k: f64,
    pub sd: f64,
}

/// Where a thermostat holds an engine, °C.
const ENGINE_C: f64 = 90.0;
/// Least doubt about any sensitivity to ambient air of a temperature.
const LEAST_DOUBT: f64 = 0.05;
/// An ambient reading is not the air at the car to better than this (common practice,
/// no source).
pub const AMBIENT_SD_K: f64 = 0.3;
/// What ambient air may have done between outings whose air is not known.
pub const UNKNOWN_SD_K: f64 = 5.0;

/// How a measure of one pull follows ambient air; zero for what does not.
pub fn sensitivity(run: &Run, measure: Measure) -> Sensitivity {
    let ambient_c = run.air.ambient_c.unwrap_or(20.0);
    let start_c = run.start.map_or(ambient_c, |start| start.c);
    match measure {
        Measure::ChargeRise => of_rise(run.rise.map_or(0.0, |rise| rise.c), ambient_c),
        Measure::ChargeStart => of_level(start_c, 0.0, ambient_c),
        Measure::ChargeAtMark { speed_mps } => {
            let c = run.at_speed(speed_mps).map_or(start_c, |at| at.charge_c);
            of_level(start_c, c - start_c, ambient_c)
        }
        Measure::RecoveryTau | Measure::TimeToMark { .. } | Measure::WheelPower { .. } => {
            Sensitivity { per_k: 0.0, sd: 0.0 }
        }
    }
}

fn of_rise(rise_k: f64, ambient_c: f64) -> Sensitivity {
    let per_k = rise_k / (ambient_c + ZERO_CELSIUS_K);
    Sensitivity { per_k, sd: 0.5 * per_k.abs() }
}

fn of_level(start_c: f64, rise_k: f64, ambient_c: f64) -> Sensitivity {
    let ambient_k = ambient_c + ZERO_CELSIUS_K;
    let soaked_k = start_c - ambient_c;
    let compressed = 1.0 + (soaked_k + rise_k) / ambient_k;
    let engine_k = (ENGINE_C - ambient_c).max(40.0);
    let soaked = 1.0 - (soaked_k / engine_k).clamp(0.0, 1.0) + rise_k / ambient_k;
    Sensitivity {
        per_k: 0.5 * (compressed + soaked),
        sd: ((compressed - soaked).abs() / 12f64.sqrt()).max(LEAST_DOUBT),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::Air;
    use crate::air::charge::outlet_k;
    use crate::heat::Reading;

    /// Charge air of a compressor at 1.8 and 0.7 behind a cooler of 0.6.
    fn cooled_c(ambient_c: f64) -> f64 {
        let ambient_k = ambient_c + ZERO_CELSIUS_K;
        let hot_k = outlet_k(ambient_k, 1.8, 0.7);
        hot_k - 0.6 * (hot_k - ambient_k) - ZERO_CELSIUS_K
    }

    fn run(ambient_c: f64, start_c: f64, rise_k: f64) -> Run {
        let air = Air { ambient_c: Some(ambient_c), ..Air::default() };
        let reading = |c| Some(Reading { c, sd_c: 0.1 });
        Run { air, start: reading(start_c), rise: reading(rise_k), ..Run::default() }
    }

    /// A car that starts at ambient temperature has no soak: the law must be the
    /// compressor's alone, here by running it at two ambient temperatures.
    #[test]
    fn without_soak_the_rise_follows_the_compressor() {
        let slope = cooled_c(30.0) - cooled_c(29.0) - 1.0;
        let found = sensitivity(&run(29.0, 29.0, cooled_c(29.0) - 29.0), Measure::ChargeRise);
        assert!((found.per_k - slope).abs() < 1e-9, "{found:?} for {slope}");
    }

    #[test]
    fn a_soaked_start_is_doubted_more() {
        let cool = sensitivity(&run(20.0, 22.0, 10.0), Measure::ChargeStart);
        let soaked = sensitivity(&run(20.0, 55.0, 10.0), Measure::ChargeStart);
        assert!(soaked.sd > 3.0 * cool.sd && soaked.per_k < cool.per_k);
        assert!((0.5..1.2).contains(&soaked.per_k), "{soaked:?}");
    }

    #[test]
    fn a_time_is_never_brought_to_equal_air() {
        let found = sensitivity(&run(20.0, 55.0, 10.0), Measure::TimeToMark { mark: "0-60mph" });
        assert_eq!(found, Sensitivity { per_k: 0.0, sd: 0.0 });
    }
}
