//! The rows of the sheet, but for those of heat.
//!
//! Units are named in the field; a value that could not be found is `None`, which
//! is written as null. `schema.json` beside this file says the same to strangers.

use serde::{Deserialize, Serialize};

use super::HeatRow;

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LogRow {
    /// The file's name, with no folder.
    pub name: String,
    /// As the day names it, or as it was opened: what corrections are kept by.
    pub path: String,
    pub form: String,
    pub form_found: String,
    pub header_key: String,
    pub span_s: f64,
    pub rows: u64,
    /// RFC 3339, where the log tells it.
    pub began: Option<String>,
    pub build: Option<usize>,
    pub outing: Option<usize>,
    /// For a log that recorded the drive of another: its pulls are that log's.
    pub drive: Option<DriveRow>,
    pub channels: Vec<ChannelRow>,
    pub problems: Vec<ReasonRow>,
}

/// Where a log lies on the clock of the log that it was recorded beside.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct DriveRow {
    /// Index into logs: the engine's.
    pub of: usize,
    /// Added to this log's times.
    pub shift_s: f64,
    /// Half of the 95 % interval; null where a reader typed the shift.
    pub plus_minus_s: Option<f64>,
    /// Share of the moving seconds in which both speeds agree.
    pub agreement: Option<f64>,
    /// `speeds`, `clocks_and_speeds`, `clocks`, `follows` (the same logger's next file) or `hand`.
    pub by: String,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ChannelRow {
    pub name: String,
    pub role: Option<String>,
    pub unit: Option<String>,
    pub rate_hz: Option<f64>,
    pub samples: u64,
    pub how: String,
    pub derived: bool,
    pub corrected: bool,
    /// Smallest step; like `least` and `most` in the channel's own `unit`.
    pub resolution: Option<f64>,
    pub least: Option<f64>,
    pub most: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ReasonRow {
    pub code: String,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PullRow {
    pub log: usize,
    pub build: Option<usize>,
    pub outing: Option<usize>,
    pub number: u32,
    /// Place in its outing over all its logs; what builds are paired by.
    pub number_in_outing: Option<u32>,
    pub kind: String,
    pub start_s: f64,
    pub end_s: f64,
    /// The start as first found: what a correction of this pull is kept by.
    pub found_start_s: f64,
    /// `full`, `part` or `unknown`.
    pub effort: String,
    /// The highest opening reached where the effort was `part`.
    pub opening_percent: Option<f64>,
    pub set_aside: Option<String>,
    pub how: String,
    pub verdict: String,
    pub reasons: Vec<ReasonRow>,
    pub marks: Vec<MarkRow>,
    pub spin: Vec<SpinRow>,
    pub witnesses: Vec<String>,
    pub top_speed_mps: Option<f64>,
    /// Over 0.2 s of the motion, which is free of an accelerometer's rest and pitch.
    pub peak_accel_mps2: Option<f64>,
    pub mean_accel_mps2: Option<f64>,
    /// The accelerometer's greatest single reading, as it wrote it.
    #[serde(default)]
    pub peak_accel_raw_mps2: Option<f64>,
    /// The same over 0.2 s.
    #[serde(default)]
    pub peak_accel_raw_window_mps2: Option<f64>,
    /// Empty where the car's mass is not known.
    #[serde(default)]
    pub wheel_power: Vec<PowerRow>,
    /// Empty where no quarter mile was timed.
    #[serde(default)]
    pub quarter_mile_rules: Vec<RuleRow>,
    pub heat: Option<HeatRow>,
}

/// What a rule of thumb makes of a pull's quarter mile.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RuleRow {
    pub rule: String,
    /// The time that goes with the speed at its end.
    pub time_s: f64,
    /// Engine power that each asks of the car's mass, where that is known.
    pub power_of_time_w: Option<f64>,
    pub power_of_trap_w: Option<f64>,
}

/// Power at the wheels while passing a speed.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct PowerRow {
    pub speed_mps: f64,
    pub power_w: f64,
    pub plus_minus_w: f64,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct MarkRow {
    pub mark: String,
    pub time_s: Option<f64>,
    pub plus_minus_s: Option<f64>,
    pub rollout_time_s: Option<f64>,
    pub logged_time_s: Option<f64>,
    pub speed_mps: Option<f64>,
    pub verdict: String,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct SpinRow {
    pub from_s: f64,
    pub to_s: f64,
    pub peak_slip: f64,
    pub kind: String,
    /// These are for tyres whose ground speed is witnessed apart from them.
    #[serde(default)]
    pub mean_slip: Option<f64>,
    #[serde(default)]
    pub slip_distance_m: Option<f64>,
    /// Against the quickest launch of its build, or log, that stands and did not spin.
    #[serde(default)]
    pub time_lost_s: Option<f64>,
    #[serde(default)]
    pub time_lost_plus_minus_s: Option<f64>,
    pub evidence: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct BuildRow {
    pub name: String,
    pub outings: Vec<OutingRow>,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct OutingRow {
    pub date: Option<String>,
    pub logs: Vec<String>,
    /// Named by the day file but not opened.
    pub missing_logs: Vec<String>,
    pub ambient_c: Option<f64>,
    pub relative_humidity_percent: Option<f64>,
    pub pressure_kpa: Option<f64>,
    pub air_density_kgpm3: Option<f64>,
    pub density_altitude_m: Option<f64>,
    pub dew_point_c: Option<f64>,
    /// Where each came from: `typed`, `log`, `standard atmosphere at 300 m`.
    pub ambient_from: Option<String>,
    pub relative_humidity_from: Option<String>,
    pub pressure_from: Option<String>,
    pub correction_factors: Vec<FactorRow>,
}

/// A named standard's power correction factor, shown and never applied.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct FactorRow {
    pub standard: String,
    pub factor: f64,
    pub within_limits: bool,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct ComparisonRow {
    pub from: usize,
    pub to: usize,
    pub quantity: String,
    pub mark_speed_mps: Option<f64>,
    pub mark: Option<String>,
    pub difference: Option<f64>,
    pub low: Option<f64>,
    pub high: Option<f64>,
    /// `K` for temperature differences, `s` for times, `W` for power.
    pub unit: String,
    pub adjusted: bool,
    pub raw_difference: Option<f64>,
    pub pairs: u32,
    pub smallest_shown: Option<f64>,
    pub verdict: String,
    pub reasons: Vec<ReasonRow>,
    /// The same at the last pull number that both builds have.
    pub at_pull: Option<AtPullRow>,
    /// What is left at equal start: `difference` is the total effect, a cooler start
    /// included.
    pub direct: Option<EffectRow>,
    pub no_direct: Option<String>,
    /// Where the interval comes from, in one line.
    pub how: String,
}

/// A difference with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct EffectRow {
    pub difference: f64,
    pub low: f64,
    pub high: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct AtPullRow {
    pub number: u32,
    pub difference: f64,
    pub low: f64,
    pub high: f64,
}

/// One mark over the pulls of one build; with no build over those of one log that belongs
/// to none, and with neither over all builds.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct TimesRow {
    pub build: Option<usize>,
    #[serde(default)]
    pub log: Option<usize>,
    pub mark: String,
    pub stand: u32,
    pub do_not_stand: u32,
    pub best_s: f64,
    pub median_s: f64,
    /// Slowest minus best; `None` for a single time.
    pub spread_s: Option<f64>,
    #[serde(default)]
    pub best_plus_minus_s: Option<f64>,
    #[serde(default)]
    pub median_plus_minus_s: Option<f64>,
    #[serde(default)]
    pub spread_plus_minus_s: Option<f64>,
}
