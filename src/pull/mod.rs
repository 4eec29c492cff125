//! Pulls: the stretches of a log in which the car was pulled, rest or rolling.
//!
//! In: a [`Log`]. Out: [`Pull`]s in order of time, numbered from 1, apart.

use crate::log::Log;

/// One pull.
#[derive(Debug, Clone, PartialEq)]
pub struct Pull {
    /// From 1 within its log.
    pub number: u32,
    pub kind: Kind,
    /// First motion (standing) or throttle opening (rolling).
    pub start_s: f64,
    /// The lift, or the last record where the log ends inside.
    pub end_s: f64,
    pub effort: Effort,
    /// The record begins after the start, or ends before the lift.
    pub cut: Cut,
    /// How the edges were found, one line for "how it was worked out".
    pub how: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Standing,
    Rolling,
}

/// Whether the log shows that the throttle was held wide open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Effort {
    Full,
    /// The highest opening reached, in percent of the log's full travel.
    Part {
        opening_percent: f64,
    },
    /// No throttle or pedal in the log.
    Unknown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Cut {
    pub at_start: bool,
    pub at_end: bool,
}

/// Finds the pulls of a log.
pub fn find(log: &Log) -> Vec<Pull> {
    let _ = log;
    Vec::new()
}
