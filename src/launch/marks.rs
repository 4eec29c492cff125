//! The marks of a launch: speeds and distances at which a time is taken.

use super::Verdict;
use crate::unit::{METRE_PER_FOOT, METRE_PER_MILE, MPS_PER_KMH, MPS_PER_MPH};

/// What a mark measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MarkKind {
    /// From rest to a distance.
    Distance { metres: f64 },
    /// From rest to a speed.
    Speed { mps: f64 },
    /// Between two speeds, from rest or rolling.
    Between { from_mps: f64, to_mps: f64 },
}

/// Every mark with its fixed name in the sheet.
pub const MARKS: [(&str, MarkKind); 12] = [
    ("60ft", MarkKind::Distance { metres: 60.0 * METRE_PER_FOOT }),
    ("330ft", MarkKind::Distance { metres: 330.0 * METRE_PER_FOOT }),
    ("1/8mi", MarkKind::Distance { metres: METRE_PER_MILE / 8.0 }),
    ("1000ft", MarkKind::Distance { metres: 1000.0 * METRE_PER_FOOT }),
    ("1/4mi", MarkKind::Distance { metres: METRE_PER_MILE / 4.0 }),
    ("0-30mph", MarkKind::Speed { mps: 30.0 * MPS_PER_MPH }),
    ("0-60mph", MarkKind::Speed { mps: 60.0 * MPS_PER_MPH }),
    ("0-100mph", MarkKind::Speed { mps: 100.0 * MPS_PER_MPH }),
    ("0-100kmh", MarkKind::Speed { mps: 100.0 * MPS_PER_KMH }),
    ("0-200kmh", MarkKind::Speed { mps: 200.0 * MPS_PER_KMH }),
    ("60-130mph", MarkKind::Between { from_mps: 60.0 * MPS_PER_MPH, to_mps: 130.0 * MPS_PER_MPH }),
    (
        "100-200kmh",
        MarkKind::Between { from_mps: 100.0 * MPS_PER_KMH, to_mps: 200.0 * MPS_PER_KMH },
    ),
];

/// The time of one mark. Only marks that were reached exist.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkTime {
    pub mark: &'static str,
    /// Over the ground, from first motion. `None` when no witness carries it.
    pub time_s: Option<f64>,
    /// Half of the 95 % interval, systematic parts included.
    pub plus_minus_s: Option<f64>,
    /// The same with time zero at 0.3048 m travelled.
    pub rollout_time_s: Option<f64>,
    /// What the logged speed alone says.
    pub logged_time_s: Option<f64>,
    /// Ground speed at the mark.
    pub speed_mps: Option<f64>,
    pub verdict: Verdict,
}
