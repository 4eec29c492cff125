//! What a compressor and a cooler do to air: ideal relations and their inverses.
//!
//! In: absolute temperatures in K, absolute pressures' ratio, capacity-rate ratio.
//! Out: temperatures in K, shares from 0 to 1; `None` where no machine could do it.
//! A pressure ratio counts from behind the air filter. Checked in
//! `tests/reference/air.rs` against fluids 1.3.1 and ht 1.2.0.

/// (k − 1)/k of dry air, k = 1.4; at 150 °C k has fallen to about 1.39.
const EXPONENT: f64 = 0.4 / 1.4;

/// Temperature after compression. `efficiency` is adiabatic (isentropic), 0 to 1.
/// Source: isentropic relation of the ideal gas.
pub fn outlet_k(inlet_k: f64, pressure_ratio: f64, efficiency: f64) -> f64 {
    inlet_k * (1.0 + ideal_rise(pressure_ratio) / efficiency)
}

/// Rise of an ideal compressor as a share of the absolute inlet temperature.
pub fn ideal_rise(pressure_ratio: f64) -> f64 {
    libm::pow(pressure_ratio, EXPONENT) - 1.0
}

/// Adiabatic efficiency told from both temperatures. `None` when nothing was
/// compressed or nothing got warmer. Above 1 it is not physical: a lagging sensor or
/// a wrong pressure; the caller must say so.
pub fn efficiency(inlet_k: f64, pressure_ratio: f64, outlet_k: f64) -> Option<f64> {
    (pressure_ratio > 1.0 && outlet_k > inlet_k)
        .then(|| inlet_k * ideal_rise(pressure_ratio) / (outlet_k - inlet_k))
}

/// Density against that of the air outside.
pub fn density_ratio(pressure_ratio: f64, charge_k: f64, ambient_k: f64) -> f64 {
    pressure_ratio * ambient_k / charge_k
}

/// Change of density between two temperatures at one pressure, as a share.
pub fn density_change(from_k: f64, to_k: f64) -> f64 {
    from_k / to_k - 1.0
}

/// A cooler's effectiveness from its three temperatures: the drop over the largest
/// possible one. `None` when the air came in no warmer than the coolant. Outside
/// 0 to 1 it is not physical (storage in a soaked core, or sensors); so say.
pub fn effectiveness(in_k: f64, out_k: f64, coolant_k: f64) -> Option<f64> {
    (in_k > coolant_k).then(|| (in_k - out_k) / (in_k - coolant_k))
}

/// How the two streams of an exchanger meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrangement {
    Counterflow,
    /// Approximate, as usual for this case.
    CrossflowBothUnmixed,
    /// The stream with the larger capacity rate is mixed.
    CrossflowLargerMixed,
    CrossflowSmallerMixed,
    /// One side changes phase or is far larger.
    OneSideConstant,
}

/// Effectiveness from transfer units and the ratio of capacity rates, 0 to 1.
/// Source: Kays & London, Compact Heat Exchangers; as in ht 1.2.0.
pub fn effectiveness_of(arrangement: Arrangement, units: f64, ratio: f64) -> f64 {
    use Arrangement::*;
    let exp = libm::exp;
    match arrangement {
        OneSideConstant => 1.0 - exp(-units),
        _ if ratio == 0.0 => 1.0 - exp(-units),
        Counterflow if ratio == 1.0 => units / (1.0 + units),
        Counterflow => {
            let left = exp(-units * (1.0 - ratio));
            (1.0 - left) / (1.0 - ratio * left)
        }
        CrossflowBothUnmixed => {
            let inner = exp(-ratio * libm::pow(units, 0.78)) - 1.0;
            1.0 - exp(libm::pow(units, 0.22) / ratio * inner)
        }
        CrossflowLargerMixed => (1.0 - exp(-ratio * (1.0 - exp(-units)))) / ratio,
        CrossflowSmallerMixed => 1.0 - exp(-(1.0 - exp(-ratio * units)) / ratio),
    }
}
