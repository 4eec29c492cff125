//! The hardware's share: what compressor, cooler and coolant did over one pull, and
//! what the heat cost in air.
//!
//! In: a [`Log`] and a pull. Out: [`Hardware`], each part `None` where the log lacks a
//! channel for it. Formulas and their sources are in [`crate::air::charge`].
//!
//! Never: an outlet temperature guessed in silence. Where it was not logged it comes
//! from the pressure ratio for the span of efficiencies that compressors have, and so
//! does the cooler's effectiveness: as a span.

use super::channel::Thermometer;
use super::{BEFORE_S, Heat};
use crate::air::charge;
use crate::log::{Log, Role, Series};
use crate::math::robust::median;
use crate::pull::Pull;
use crate::unit::ZERO_CELSIUS_K;

/// All at the lift unless named otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hardware {
    /// Coolant of the charge cooler's own loop.
    pub coolant_start_c: Option<f64>,
    pub coolant_end_c: Option<f64>,
    pub ambient_c: Option<f64>,
    /// Absolute manifold pressure over barometric.
    pub pressure_ratio: Option<f64>,
    /// Air after the compressor, before the cooler.
    pub outlet_c: Option<Span>,
    /// Adiabatic efficiency of the compressor, from a logged outlet only.
    pub efficiency: Option<f64>,
    /// Share of the possible cooling that the cooler did.
    pub effectiveness: Option<Span>,
    /// Density of the charge, kg/m³.
    pub charge_kgpm3: Option<f64>,
    /// Air lost to heat against the log's first pull at equal pressure, as a share:
    /// 0.03 is 3 % less air.
    pub air_lost: Option<f64>,
}

/// A value known to lie between two; both are equal when it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    pub low: f64,
    pub high: f64,
}

impl Span {
    pub fn measured(&self) -> bool {
        self.low == self.high
    }
}

/// Adiabatic efficiencies of compressors in cars, from Roots blowers to good
/// centrifugal wheels (compressor handbooks; from memory).
const EFFICIENCIES: Span = Span { low: 0.50, high: 0.78 };
const BEFORE_LIFT_S: f64 = 1.0;
const FEWEST_BEFORE_LIFT: usize = 3;

impl Hardware {
    pub fn over(log: &Log, pull: &Pull, charge_end_c: f64) -> Self {
        let start = |role| {
            Thermometer::of(log, role)?.level_before(pull.start_s, BEFORE_S).map(|level| level.c)
        };
        let end = |role| Thermometer::of(log, role)?.at_or_last(pull.end_s).map(|end| end.c);
        let pressure = |role| log.series(role).and_then(|pa| before_lift(pa, pull));
        let manifold_pa = pressure(Role::ManifoldPressure);
        let barometer_pa = pressure(Role::BarometricPressure);
        let ratio = manifold_pa.zip(barometer_pa).map(|(manifold, air)| manifold / air);
        let pressure_ratio = ratio.filter(|ratio| *ratio > 1.0);
        let coolant_end_c = end(Role::ChargeCoolant);
        let ambient_c = end(Role::AmbientAir);
        let inlet_c = end(Role::InletAir).or(ambient_c);
        let logged_c = end(Role::CompressorOutletAir);
        let outlet_c = outlet(logged_c, inlet_c, pressure_ratio);
        Hardware {
            coolant_start_c: start(Role::ChargeCoolant),
            coolant_end_c,
            ambient_c,
            pressure_ratio,
            outlet_c,
            efficiency: logged_c
                .zip(inlet_c)
                .zip(pressure_ratio)
                .and_then(|((out, into), ratio)| charge::efficiency(k(into), ratio, k(out))),
            effectiveness: outlet_c
                .zip(coolant_end_c.or(ambient_c))
                .and_then(|(outlet, cold)| effectiveness(outlet, charge_end_c, cold)),
            charge_kgpm3: manifold_pa
                .map(|pa| pa / (crate::air::density::DRY_AIR * k(charge_end_c))),
            air_lost: None,
        }
    }
}

/// The middle of the last second before the lift, or of the last readings where that has
/// fewer: at the lift itself the throttle closes, and what it reads there hangs on a tenth of
/// a second.
fn before_lift(series: &Series, pull: &Pull) -> Option<f64> {
    let (time_s, value) = series.between(pull.start_s, pull.end_s);
    let last_second = time_s.len() - time_s.partition_point(|t| *t < pull.end_s - BEFORE_LIFT_S);
    let counted = last_second.max(FEWEST_BEFORE_LIFT).min(value.len());
    median(&value[value.len() - counted..]).or_else(|| series.at(pull.end_s))
}

fn k(c: f64) -> f64 {
    c + ZERO_CELSIUS_K
}

fn outlet(logged_c: Option<f64>, inlet_c: Option<f64>, ratio: Option<f64>) -> Option<Span> {
    if let Some(c) = logged_c {
        return Some(Span { low: c, high: c });
    }
    let (inlet_c, ratio) = inlet_c.zip(ratio)?;
    let at = |efficiency| charge::outlet_k(k(inlet_c), ratio, efficiency) - ZERO_CELSIUS_K;
    Some(Span { low: at(EFFICIENCIES.high), high: at(EFFICIENCIES.low) })
}

/// A value outside 0 to 1 is storage in a soaked core, or a sensor: no effectiveness.
fn effectiveness(outlet: Span, charge_c: f64, cold_c: f64) -> Option<Span> {
    let at = |c| charge::effectiveness(k(c), k(charge_c), k(cold_c));
    let (low, high) = at(outlet.low).zip(at(outlet.high))?;
    ((0.0..=1.0).contains(&low) && (0.0..=1.0).contains(&high)).then_some(Span { low, high })
}

/// What each pull's end lost in air against the first's, at equal pressure.
pub fn against_first(heats: &mut [Option<Heat>]) {
    let Some(first_c) = heats.iter().flatten().map(|heat| heat.end_c).next() else { return };
    for heat in heats.iter_mut().flatten() {
        heat.hardware.air_lost = Some(-charge::density_change(k(first_c), k(heat.end_c)));
    }
}
