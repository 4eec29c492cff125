//! Clipped values: readings that stop at the end of what a sensor or its byte can say.
//!
//! In: an assembled [`Log`]. Out: one problem for each end of a channel that was
//! clipped, with its first place.
//!
//! Method: the ends that one byte sets in on-board diagnostics are known (SAE J1979,
//! parameters 05, 0B, 0D, 0F, 33); three readings on one are enough. Else a channel
//! must run into its least or most value, stay on exactly that for far longer than it
//! stays on others, and run off again, twice or for long: a smooth peak does not.

use super::{in_its_unit, means};
use crate::log::{Channel, Log, Problem, Role};
use crate::unit::MPS_PER_KMH;

/// Ends of one byte in the program's units.
const ENDS: [(Role, f64); 10] = [
    (Role::VehicleSpeed, 255.0 * MPS_PER_KMH),
    (Role::ManifoldPressure, 255e3),
    (Role::BarometricPressure, 255e3),
    (Role::ChargeAir, 215.0),
    (Role::ChargeAir, -40.0),
    (Role::InletAir, 215.0),
    (Role::InletAir, -40.0),
    (Role::Coolant, 215.0),
    (Role::Coolant, -40.0),
    (Role::AmbientAir, -40.0),
];
const FEWEST_AT_END: usize = 3;

/// Channels whose own least or most may be an end, and which of both.
const OWN_ENDS: [(Role, bool, bool); 4] = [
    (Role::LongitudinalAcceleration, true, true),
    (Role::VehicleSpeed, false, true),
    (Role::SatelliteSpeed, false, true),
    (Role::EngineSpeed, false, true),
];
/// Readings of a plateau, and plateaus, or readings of a single one.
const FEWEST_ON_PLATEAU: usize = 4;
const FEWEST_PLATEAUS: usize = 2;
const FEWEST_ON_ONE: usize = 10;
/// Steps of the channel's resolution by which it runs into and off a plateau.
const STEEP_STEPS: f64 = 3.0;
/// A plateau lasts so many times longer than other values do.
const LONGER: usize = 3;

pub fn problems(log: &Log) -> Vec<Problem> {
    let known = ENDS.iter().filter_map(|&(role, end)| at_known_end(log, role, end));
    let own = OWN_ENDS.iter().flat_map(|&(role, least, most)| {
        [(least, -1.0), (most, 1.0)]
            .into_iter()
            .filter(|(wanted, _)| *wanted)
            .filter_map(move |(_, sign)| at_own_end(log, role, sign))
    });
    known.chain(own).collect()
}

fn at_known_end(log: &Log, role: Role, end: f64) -> Option<Problem> {
    let channel = log.channel(role).filter(|channel| !channel.derived)?;
    let is_end = |value: &f64| (value - end).abs() <= 1e-9 * end.abs().max(1.0);
    let count = channel.series.value.iter().filter(|value| is_end(value)).count();
    if count < FEWEST_AT_END || count == channel.series.len() {
        return None;
    }
    let first = channel.series.value.iter().position(is_end)?;
    let why = "the end of what one byte can say";
    Some(problem(channel, role, (end, count, first), why))
}

/// Runs of equal readings: the first and how many.
fn runs(values: &[f64]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, value) in values.iter().enumerate() {
        match runs.last_mut() {
            Some((from, count)) if values[*from] == *value => *count += 1,
            _ => runs.push((at, 1)),
        }
    }
    runs
}

/// The channel's own most (`sign` 1) or least (−1) value, if it was cut there.
fn at_own_end(log: &Log, role: Role, sign: f64) -> Option<Problem> {
    let channel = log.channel(role).filter(|channel| !channel.derived)?;
    let values = &channel.series.value;
    let end = values.iter().map(|value| sign * value).fold(f64::MIN, f64::max);
    let runs = runs(values);
    let mut lengths: Vec<usize> = runs.iter().map(|&(_, count)| count).collect();
    lengths.sort_unstable();
    let usual = *lengths.get(lengths.len() / 2)?;
    let steps = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).filter(|s| *s > 1e-9);
    let steep = STEEP_STEPS * steps.fold(f64::MAX, f64::min);
    let falls_short = |at: Option<usize>| {
        at.and_then(|at| values.get(at)).is_some_and(|value| end - sign * value >= steep)
    };
    let plateaus: Vec<(usize, usize)> = runs
        .into_iter()
        .filter(|&(from, count)| {
            sign * values[from] == end
                && count >= FEWEST_ON_PLATEAU.max(LONGER * usual)
                && falls_short(from.checked_sub(1))
                && falls_short(Some(from + count))
        })
        .collect();
    let all: usize = plateaus.iter().map(|&(_, count)| count).sum();
    if plateaus.len() < FEWEST_PLATEAUS && all < FEWEST_ON_ONE {
        return None;
    }
    let &(first, _) = plateaus.first()?;
    let why = match sign {
        s if s > 0.0 => "runs into it steeply and is never above",
        _ => "runs into it steeply and is never below",
    };
    Some(problem(channel, role, (sign * end, all, first), why))
}

fn problem(
    channel: &Channel,
    role: Role,
    (end, count, first): (f64, usize, usize),
    why: &str,
) -> Problem {
    let text = format!(
        "\"{}\" reads exactly {} {count} times, {why}, the first at {:.1} s: it was cut off there. {}",
        channel.name,
        in_its_unit(channel, end),
        channel.series.time_s[first],
        means(role)
    );
    Problem { code: "clipped", text }
}
