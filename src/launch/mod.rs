//! Launch: how the car really moved, whether the tyres slipped, and which times stand.
//!
//! In: a [`Log`], its pulls, the [`Car`] as far as known, and the [`Limits`].
//! Out: one [`Launch`] a pull: motion over the ground with its uncertainty, the
//! marks, the stretches of spin, the verdict and its reasons.
//!
//! The way, in order: [`witness`] gathers what the log has, [`lag`] brings it to one
//! clock; [`samples`] takes one pull's readings and [`estimate`] makes a motion of
//! them; [`wheel`] finds where the logged speed is not the car's, and the motion is
//! made anew without it; [`gears`] and [`driveline`] name what slipped; [`marks`] take
//! their times; [`verdict`] says which stand. [`push`] and [`slip`] add how hard the car
//! pushed and what wheelspin cost, [`field`] compares launches. [`judge`] leads through it.

mod driveline;
mod estimate;
pub mod field;
mod gears;
pub mod grip;
mod judge;
mod lag;
pub mod marks;
pub mod motion;
pub mod power;
pub mod push;
mod samples;
pub mod slip;
mod verdict;
mod wheel;
mod witness;

use crate::log::Log;
use crate::pull::Pull;
pub use marks::{MARKS, MarkKind, MarkTime};
pub use motion::Motion;

/// Facts of the car. All optional: they sharpen a result and are never required.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Car {
    pub mass_kg: Option<f64>,
    pub drive: Option<Drive>,
    pub tyres: Option<Tyres>,
    pub rolling_radius_m: Option<f64>,
    pub transmission: Option<Transmission>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    Front,
    Rear,
    All,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tyres {
    Road,
    SemiSlick,
    Drag,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Transmission {
    Manual,
    DualClutch,
    TorqueConverter,
}

/// When a mark stands. Settings of the test day, never hard rules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Largest 95 % half-interval at which a mark up to a 0-60 mph stands.
    pub short_s: f64,
    /// The same for longer marks, as a share of the time.
    pub long_share: f64,
    /// Fewest fresh readings a second that can carry a mark.
    pub fewest_hz: f64,
    /// Steepest slope (rise over run) at which a mark stands.
    pub slope: f64,
}

impl Default for Limits {
    /// Defaults: people compare launches by the tenth (common practice, no source).
    fn default() -> Self {
        Limits { short_s: 0.075, long_share: 0.02, fewest_hz: 2.5, slope: 0.01 }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Stands,
    InDoubt,
    Void,
}

/// Everything found about one pull's motion.
#[derive(Debug, Clone, PartialEq)]
pub struct Launch {
    pub verdict: Verdict,
    pub reasons: Vec<Reason>,
    pub marks: Vec<MarkTime>,
    pub spin: Vec<Spin>,
    /// `None` when no witness carries a motion at all.
    pub motion: Option<Motion>,
    pub push: push::Push,
    /// Empty where the car's mass is not known.
    pub wheel_power: Vec<power::WheelPower>,
    /// The witnesses as drawn over each other: each a speed over time.
    pub witnesses: Vec<WitnessTrace>,
}

/// One independent source for the motion of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Witness {
    LoggedSpeed,
    EngineThroughGear,
    Accelerometer,
    SatelliteSpeed,
    UndrivenWheel,
}

/// What one witness says the speed was, in m/s over seconds of the log.
#[derive(Debug, Clone, PartialEq)]
pub struct WitnessTrace {
    pub witness: Witness,
    pub time_s: Vec<f64>,
    pub speed_mps: Vec<f64>,
}

/// A stretch in which engine or wheels ran ahead of the road.
#[derive(Debug, Clone, PartialEq)]
pub struct Spin {
    pub from_s: f64,
    pub to_s: f64,
    /// Slip as a share of road speed: 0.1 is 10 %.
    pub peak_slip: f64,
    pub kind: SpinKind,
    /// Slip distance over ground covered; for tyres whose ground speed is witnessed.
    pub mean_slip: Option<f64>,
    /// Integral of wheel speed less ground speed.
    pub slip_distance_m: Option<f64>,
    /// Against the quickest launch of its build that stands and did not spin.
    pub time_lost: Option<slip::TimeLost>,
    /// The numbers that led to it, one sentence each, for "how it was worked out".
    pub evidence: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpinKind {
    Tyre,
    Converter,
    Clutch,
    Unknown,
}

/// Why a verdict is not "stands", or what else a reader must know.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Short and fixed, for example `wheelspin`, `too_few_samples`.
    pub code: &'static str,
    /// The numbers that led to it, and what to log next time to settle it.
    pub text: String,
}

/// Judges every pull of one log. The answer has one [`Launch`] a pull, in order.
pub fn judge(log: &Log, pulls: &[Pull], car: &Car, limits: &Limits) -> Vec<Launch> {
    let bench = judge::Bench::new(log, pulls, car, limits);
    pulls.iter().map(|pull| bench.judge(pull).unwrap_or_else(Launch::unknown)).collect()
}

impl Launch {
    /// A pull of which nothing can be told.
    pub fn unknown() -> Self {
        Launch {
            verdict: Verdict::Void,
            reasons: Vec::new(),
            marks: Vec::new(),
            spin: Vec::new(),
            motion: None,
            push: push::Push::default(),
            wheel_power: Vec::new(),
            witnesses: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests;
