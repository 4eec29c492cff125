//! The rows of heat: one a pull, one ladder a log.
//!
//! Degrees Celsius; differences and their half-intervals (95 %) in kelvin carry the
//! same `_c`. A value that could not be found is `None`, which is written as null.

use serde::{Deserialize, Serialize};

/// Charge air over one pull.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct HeatRow {
    pub start_c: f64,
    pub start_plus_minus_c: f64,
    /// At the lift.
    pub end_c: f64,
    pub end_plus_minus_c: f64,
    pub peak_c: f64,
    /// How long after the lift the peak was read: a sign of sensor lag.
    pub peak_after_s: f64,
    pub rise_c: f64,
    pub rise_plus_minus_c: f64,
    pub rise_k_per_s: Option<f64>,
    /// Rise over the kinetic energy gained, K per kJ/kg of car.
    pub rise_k_per_kjpkg: Option<f64>,
    pub inlet_start_c: Option<f64>,
    pub inlet_end_c: Option<f64>,
    pub at: Vec<AtRow>,
    pub recovery: Option<RecoveryRow>,
    /// Why there is no recovery.
    pub no_recovery: Option<String>,
    pub lag: Option<LagRow>,
    pub hardware: HardwareRow,
}

#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct AtRow {
    pub speed_mps: f64,
    pub charge_c: f64,
    pub plus_minus_c: f64,
}

/// The fall after the lift: T = settles_at + a exp(-t/tau).
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RecoveryRow {
    /// The stretch that was fitted, or the whole fall where none could be; on the log's clock.
    pub from_s: f64,
    pub to_s: f64,
    pub tau_s: Option<f64>,
    pub tau_low_s: Option<f64>,
    pub tau_high_s: Option<f64>,
    /// Half of what is left above the level has gone after every so many seconds: tau ln 2.
    pub half_time_s: Option<f64>,
    pub settles_at_c: Option<f64>,
    pub settles_plus_minus_c: Option<f64>,
    pub after_60s_c: Option<f64>,
    /// Beyond the record: from the fit.
    pub after_60s_is_fit: bool,
    pub back_after_s: Option<f64>,
    pub back_is_fit: bool,
    pub falls_k_per_s: Option<f64>,
    /// Why there is no time constant.
    pub no_tau: Option<String>,
    /// `stood`, `drove`, `mixed` or `unknown`.
    pub while_car: String,
}

/// How far the charge-air sensor follows behind.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct LagRow {
    pub tau_s: f64,
    pub low_s: f64,
    pub high_s: Option<f64>,
    /// At the lift with the lag undone; never compared.
    pub end_undone_c: Option<f64>,
    pub end_undone_plus_minus_c: Option<f64>,
}

/// What compressor, cooler and coolant did, where channels allow.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct HardwareRow {
    pub coolant_start_c: Option<f64>,
    pub coolant_end_c: Option<f64>,
    pub ambient_c: Option<f64>,
    pub pressure_ratio: Option<f64>,
    /// Between these two; equal when it was measured.
    pub outlet_low_c: Option<f64>,
    pub outlet_high_c: Option<f64>,
    pub efficiency: Option<f64>,
    pub effectiveness_low: Option<f64>,
    pub effectiveness_high: Option<f64>,
    pub charge_kgpm3: Option<f64>,
    /// Against the log's first pull: 0.03 is 3 % less air.
    pub air_lost: Option<f64>,
}

/// The climb of starts over the pulls of one log.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LadderRow {
    pub log: usize,
    pub starts_c: Vec<f64>,
    pub ends_c: Vec<f64>,
    pub carry_over_c: Option<f64>,
    pub tends_to_c: Option<f64>,
    pub tends_plus_minus_c: Option<f64>,
    pub forecast_c: Vec<f64>,
    pub forecast_plus_minus_c: Vec<f64>,
    pub gap_s: Option<f64>,
    pub wait_for_first: Option<WaitRow>,
    /// The same for the start that the day asks for.
    pub wait_for_wanted: Option<WaitRow>,
    pub still_to_climb_c: Option<f64>,
}

/// How long to wait after the last lift for a start at a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct WaitRow {
    pub target_c: f64,
    pub wait_s: f64,
    pub low_s: f64,
    /// `None` when no wait is sure to do.
    pub high_s: Option<f64>,
}
