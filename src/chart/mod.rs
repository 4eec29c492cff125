//! Charts: what each shows, as values, and drawn on any plotters backend.
//!
//! In: findings. Out: a [`Chart`]: lines thinned to the width they are shown at, in
//! SI, made by [`build`]; then pixels or SVG text by [`draw`], which converts to the
//! reader's units.
//!
//! Invariants: drawing knows no browser; a gap in a record is a gap in its line;
//! thinning keeps the first, last, least and most of every pixel column; nothing is
//! told by colour alone.

pub mod axis;
pub mod behind;
pub mod build;
pub mod draw;
pub mod palette;
pub mod thin;
pub mod view;

pub use build::build;
pub use draw::{Frame, Look, draw, height, svg};

use serde::{Deserialize, Serialize};

/// Which chart the page asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ChartId {
    /// The whole log on one strip: speed over time, pulls marked.
    Strip {
        log: usize,
    },
    /// The witnesses of one pull drawn over each other; spin shaded.
    Witnesses {
        log: usize,
        pull: usize,
    },
    /// Every launch from its own time zero, over time or over the distance gone.
    Launches,
    LaunchesOverDistance,
    /// Charge air against road speed, one line a pull, one panel a build.
    HeatOverSpeed,
    /// Starts and ends, pull by pull.
    Ladder,
    /// Charge air after each lift with its fit, one panel a build.
    Recovery,
    /// Where each pull ended, by pull number, builds side by side.
    BuildMarks,
    /// Differences between builds with their intervals, of one unit.
    Builds {
        seconds: bool,
    },
}

/// What an axis measures; drawing picks the reader's unit and the label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Axis {
    SecondsOfLog,
    SecondsFromStart,
    DistanceFromStart,
    SecondsFromLift,
    Speed,
    Temperature,
    TemperatureDifference,
    SecondsDifference,
    PullNumber,
}

/// A chart as values. Points are in SI; a NaN in `y` is a gap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Chart {
    pub id: ChartId,
    pub x: Axis,
    pub y: Axis,
    /// All that there is to see along x.
    pub whole: (f64, f64),
    /// What is shown of it.
    pub shown: (f64, f64),
    pub body: Body,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Body {
    /// Small multiples on one scale; a single panel is a plain chart.
    Panels(Vec<Panel>),
    /// Dots with intervals, a row each, against zero.
    Rows(Vec<Interval>),
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Panel {
    /// Empty for a plain chart.
    pub title: String,
    pub lines: Vec<Line>,
    /// Stretches of x that are shaded, with their label ("tyre slip 31 %").
    pub bands: Vec<Band>,
    /// Levels of y drawn across, labelled with their value.
    pub levels: Vec<f64>,
    /// Points named in the chart.
    pub spots: Vec<Spot>,
    /// The steepest rise that tyres can give, y per x from the origin.
    pub ceiling: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// Written directly at the line.
    pub label: String,
    pub ink: Ink,
    pub stroke: Stroke,
    pub points: Vec<(f64, f64)>,
}

/// What a line's colour stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ink {
    /// The best estimate, or the only line.
    Plain,
    /// The witness in question.
    Suspect,
    /// Other witnesses.
    Quiet,
    Build(usize),
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Stroke {
    /// Weight from 1 (hair) to 4; later pulls are heavier.
    Line(u8),
    /// A fit or forecast and no record, or a time that is void.
    Dashed,
    Dots,
    /// A thick bar along its points: from a start to an end.
    Bar,
    /// Void or set aside: drawn pale.
    Faint,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Band {
    pub from: f64,
    pub to: f64,
    pub label: String,
    /// A warning (spin) rather than a plain stretch (a pull).
    pub warns: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    pub x: f64,
    pub y: f64,
    pub label: String,
    pub ink: Ink,
}

/// One difference with its 95 % interval.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// "Cooler minus Stock".
    pub pair: String,
    /// What was compared; a speed in it is in m/s and worded when drawn.
    pub measure: String,
    pub speed_mps: Option<f64>,
    pub build: usize,
    pub value: f64,
    pub low: Option<f64>,
    pub high: Option<f64>,
    /// "real", "not shown".
    pub verdict: String,
}

impl Chart {
    pub fn panels(&self) -> &[Panel] {
        match &self.body {
            Body::Panels(panels) => panels,
            Body::Rows(_) => &[],
        }
    }
}

#[cfg(test)]
pub(crate) mod tests;
