//! Charts: what each shows, as values, and drawn on any plotters backend.
//!
//! In: findings. Out: a [`Chart`]: lines thinned to the width they are shown at,
//! in SI. Drawing converts to the reader's units and knows nothing of a browser.

use serde::{Deserialize, Serialize};

/// Which chart the page asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ChartId {
    /// The whole log on one strip: speed over time, pulls marked.
    Strip { log: usize },
    /// The witnesses of one pull drawn over each other; spin shaded.
    Witnesses { log: usize, pull: usize },
    /// Every launch over time from its own time zero.
    Launches,
    /// Charge air against road speed, one line a pull, one panel a build.
    HeatOverSpeed,
    /// Starts and ends, pull by pull.
    Ladder,
    /// Charge air after each lift with its fit, one panel a build.
    Recovery,
    /// Where each pull ended, by pull number, builds side by side.
    BuildMarks,
    /// Differences between builds with their intervals, of one unit.
    Builds { seconds: bool },
}

/// What an axis measures; drawing picks the reader's unit and the label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Axis {
    SecondsOfLog,
    SecondsFromStart,
    SecondsFromLift,
    Speed,
    Temperature,
    TemperatureDifference,
    Acceleration,
    PullNumber,
    Build,
}

/// A chart as values. Points are in SI; a NaN in `y` is a gap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Chart {
    pub id: ChartId,
    pub x: Axis,
    pub y: Axis,
    pub lines: Vec<Line>,
    /// Stretches of x that are shaded, with their label ("tyre slip 31 %").
    pub bands: Vec<Band>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// Written directly at the line.
    pub label: String,
    /// Picks the colour; `None` is ink.
    pub build: Option<usize>,
    /// Pull number: picks weight and dash.
    pub pull: Option<u32>,
    pub look: Look,
    pub points: Vec<(f64, f64)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Look {
    Line,
    /// A fit or forecast, not a record.
    Dashed,
    Dots,
    /// Void or set aside: drawn pale.
    Faint,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Band {
    pub from: f64,
    pub to: f64,
    pub label: String,
}

/// The chart's values, thinned to what a width can show; `None` when there is
/// nothing to draw.
pub fn build(
    day: &crate::day::Day,
    findings: &crate::work::Findings,
    id: ChartId,
    width_px: u32,
    view: Option<(f64, f64)>,
) -> Option<Chart> {
    let _ = (day, findings, id, width_px, view);
    None
}
