//! Build against build: what a change was worth, and how sure that is.
//!
//! In: [`Run`]s, one a pull that counts. Out: [`Comparison`]s between neighbouring
//! builds and between the first and each later one, each `to` minus `from` with its
//! 95 % interval, a verdict, and the reasons behind it.
//!
//! Method: pulls are paired by their number in the outing, which takes the climb from
//! pull to pull out; the spread about that comes from all builds together ([`layout`]).
//! Temperatures are brought to equal ambient air by what is known of compressor and
//! soak ([`equal_air`]), and what is not known widens the interval. Each measure is
//! one question asked of several pairs, so its verdicts are held to Holm's order.
//!
//! Never: a verdict from one reading a side, an interval narrower than the sensor's
//! step allows, or a time corrected for air.
//!
//! Start at [`builds`].

mod equal_air;
mod judge;
mod layout;
mod reasons;
mod run;

pub use run::{Run, RunTime};

use crate::launch::Reason;
use crate::math::samples::holm;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    ChargeRise,
    ChargeAtMark {
        speed_mps: f64,
    },
    ChargeStart,
    RecoveryTau,
    TimeToMark {
        mark: &'static str,
    },
    /// At the wheels, in W; where the car's mass is known.
    WheelPower {
        speed_mps: f64,
    },
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
    /// The total effect at equal air; `None` when they cannot be compared.
    pub difference: Option<f64>,
    /// Its 95 % interval; `None` where a single reading a side tells no spread.
    pub low: Option<f64>,
    pub high: Option<f64>,
    /// Brought to equal ambient air.
    pub adjusted: bool,
    /// The plain difference of the means.
    pub raw_difference: Option<f64>,
    /// Pull numbers that both builds have; 0 when the means stand unpaired.
    pub pairs: u32,
    /// The smallest difference these pulls could have shown (80 % power).
    pub smallest_shown: Option<f64>,
    pub worth: Worth,
    pub reasons: Vec<Reason>,
    /// The same at the last pull that both builds have: the third is the one to compare.
    pub at_pull: Option<AtPull>,
    /// The part that is left when both start equally hot.
    pub direct: Option<Effect>,
    /// Why there is no direct effect, for measures that could have one.
    pub no_direct: Option<&'static str>,
    /// Where the interval comes from, one line for "how it was worked out".
    pub how: String,
    /// Probability of as much by chance, before Holm.
    p: Option<f64>,
}

/// A difference with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    pub difference: f64,
    pub low: f64,
    pub high: f64,
}

/// The difference at one pull number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtPull {
    pub number: u32,
    pub effect: Effect,
}

/// What counts as equal. Settings, not laws: defaults are common practice, no source
/// (days within about 2 °F and 5 % relative humidity count as the same conditions).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerances {
    pub ambient_k: f64,
    pub humidity_percent: f64,
    pub pressure_pa: f64,
    /// Ambient air further apart than this is beyond what bringing to equal air can bear.
    pub ambient_most_k: f64,
    /// Starts further apart than this are named.
    pub start_k: f64,
    /// End speeds further apart than this share are named; than the second, no rise is
    /// compared.
    pub end_speed: f64,
    pub end_speed_most: f64,
    /// Power further apart than this share is named.
    pub power: f64,
}

impl Default for Tolerances {
    fn default() -> Self {
        Tolerances {
            ambient_k: 2.0 / 1.8,
            humidity_percent: 5.0,
            pressure_pa: 300.0,
            ambient_most_k: 12.0,
            start_k: 2.0 / 1.8,
            end_speed: 0.03,
            end_speed_most: 0.08,
            power: 0.05,
        }
    }
}

/// Compares every pair that a reader would ask about.
pub fn builds(count: usize, runs: &[Run], speed_marks_mps: &[f64]) -> Vec<Comparison> {
    builds_within(count, runs, speed_marks_mps, &Tolerances::default())
}

/// The same with the reader's own tolerances.
pub fn builds_within(
    count: usize,
    runs: &[Run],
    speed_marks_mps: &[f64],
    tolerances: &Tolerances,
) -> Vec<Comparison> {
    let mut found: Vec<Comparison> = Vec::new();
    for (from, to) in pairs(count, runs) {
        for measure in measures(runs, (from, to), speed_marks_mps) {
            found.push(judge::compare(runs, (from, to), measure, tolerances));
        }
    }
    hold_to_holm(&mut found);
    found
}

/// Neighbouring builds, and the first against each later one; builds without a pull
/// are passed over.
fn pairs(count: usize, runs: &[Run]) -> Vec<(usize, usize)> {
    let driven: Vec<usize> =
        (0..count).filter(|build| runs.iter().any(|run| run.build == *build)).collect();
    let neighbours = driven.windows(2).map(|pair| (pair[0], pair[1]));
    let from_first = driven.iter().skip(2).map(|to| (driven[0], *to));
    neighbours.chain(from_first).collect()
}

/// What a pair can be asked: the speeds that all pulls of both reach, the reader's
/// own, and every launch mark that either has.
fn measures(runs: &[Run], pair: (usize, usize), own_mps: &[f64]) -> Vec<Measure> {
    let of_pair: Vec<&Run> =
        runs.iter().filter(|run| run.build == pair.0 || run.build == pair.1).collect();
    let has_heat = of_pair.iter().any(|run| run.start.is_some());
    let mut asked = Vec::new();
    if has_heat {
        asked.push(Measure::ChargeRise);
        let speeds = common_speeds(&of_pair, own_mps);
        asked.extend(speeds.into_iter().map(|speed_mps| Measure::ChargeAtMark { speed_mps }));
        asked.extend([Measure::ChargeStart, Measure::RecoveryTau]);
    }
    let timed = |mark: &str| of_pair.iter().any(|run| run.times.iter().any(|t| t.mark == mark));
    let marks = crate::launch::MARKS.iter().map(|(mark, _)| *mark).filter(|mark| timed(mark));
    asked.extend(marks.map(|mark| Measure::TimeToMark { mark }));
    asked.extend(common_power(&of_pair).map(|speed_mps| Measure::WheelPower { speed_mps }));
    asked
}

fn common_speeds(runs: &[&Run], own_mps: &[f64]) -> Vec<f64> {
    let reads = |run: &Run, speed: f64| run.at_speed(speed).is_some();
    let with_heat: Vec<&&Run> = runs.iter().filter(|run| run.start.is_some()).collect();
    let mut speeds: Vec<f64> = crate::heat::SPEED_MARKS_MPS
        .into_iter()
        .filter(|speed| with_heat.iter().all(|run| reads(run, *speed)))
        .chain(own_mps.iter().copied())
        .collect();
    speeds.sort_by(f64::total_cmp);
    speeds.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    speeds
}

/// The highest speed at which every pull that tells a power tells one.
fn common_power(runs: &[&Run]) -> Option<f64> {
    let with_power: Vec<&&Run> = runs.iter().filter(|run| !run.power.is_empty()).collect();
    let told = with_power.first()?.power.iter().map(|at| at.speed_mps);
    told.filter(|speed| with_power.iter().all(|run| run.power_at(*speed).is_some()))
        .reduce(f64::max)
}

/// One measure is one question asked of several pairs: what is real must be so after
/// Holm's adjustment over them.
fn hold_to_holm(found: &mut [Comparison]) {
    let mut measures: Vec<Measure> = Vec::new();
    for comparison in found.iter() {
        if !measures.contains(&comparison.measure) {
            measures.push(comparison.measure);
        }
    }
    for measure in measures {
        let family: Vec<usize> = (0..found.len())
            .filter(|at| found[*at].measure == measure && found[*at].p.is_some())
            .collect();
        let p: Vec<f64> = family.iter().filter_map(|at| found[*at].p).collect();
        for (at, adjusted) in family.iter().zip(holm(&p)) {
            let comparison = &mut found[*at];
            if comparison.worth == Worth::Real && adjusted > 0.05 {
                comparison.worth = Worth::NotShown;
                comparison.reasons.push(reasons::many_questions(family.len(), adjusted));
            }
        }
    }
}

#[cfg(test)]
mod tests;
