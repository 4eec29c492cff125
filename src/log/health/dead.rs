//! Dead channels: one reading from end to end that only a missing sensor gives.
//!
//! In: an assembled [`Log`]. Out: one problem for each such channel. A temperature may
//! honestly stand still for a whole log, and a car for a whole file: what is said needs
//! a reading that means "nothing there", or another channel that shows the car at work.

use super::{TEMPERATURES, in_its_unit, means};
use crate::log::{Channel, Log, Problem, Role};

/// The least that one byte can say of a temperature (SAE J1979, parameters 05 and 0F), in
/// °C and in °F alike: what an open circuit reads as. Common practice, no source.
const NOT_CONNECTED_C: f64 = -40.0;
/// An engine that passes this, and comes from less than two thirds of it, drives the car:
/// no idle wanders so far. Common practice, no source.
const AT_WORK_RPM: f64 = 3500.0;
const RISE_AT_WORK: f64 = 1.5;
/// No car is pushed or towed to this on a test day (60 km/h).
const DRIVEN_MPS: f64 = 60.0 / 3.6;

pub fn problems(log: &Log) -> Vec<Problem> {
    let away = TEMPERATURES.into_iter().filter_map(|role| not_connected(log, role));
    away.chain(never_moved(log)).collect()
}

/// The one reading of a channel that has no other.
fn only(channel: &Channel) -> Option<f64> {
    let (first, rest) = channel.series.value.split_first()?;
    (!rest.is_empty() && rest.iter().all(|value| value == first)).then_some(*first)
}

fn not_connected(log: &Log, role: Role) -> Option<Problem> {
    let channel = log.channel(role)?;
    let value = only(channel).filter(|value| (value - NOT_CONNECTED_C).abs() < 0.5)?;
    let text = format!(
        "\"{}\" reads {} from end to end, as a sensor does that is not connected. {}",
        channel.name,
        in_its_unit(channel, value),
        means(role)
    );
    Some(Problem { code: "dead", text })
}

/// A speed of 0 while the engine works, or an engine that stands while the car drives.
fn never_moved(log: &Log) -> Option<Problem> {
    let (speed, engine) = (log.channel(Role::VehicleSpeed)?, log.channel(Role::EngineSpeed)?);
    let ends = |channel: &Channel| {
        let values = channel.series.value.iter();
        values.fold((f64::MAX, f64::MIN), |(low, high), &value| (low.min(value), high.max(value)))
    };
    let ((slowest, revs), (_, fastest)) = (ends(engine), ends(speed));
    let works = revs > AT_WORK_RPM && revs > RISE_AT_WORK * slowest;
    let (dead, other, most, what) = if only(speed) == Some(0.0) && works {
        (speed, engine, revs, "the car stood, or its speed was not recorded.")
    } else if only(engine) == Some(0.0) && fastest > DRIVEN_MPS {
        (engine, speed, fastest, "the car rolled, or its engine speed was not recorded.")
    } else {
        return None;
    };
    let text = format!(
        "\"{}\" reads 0 from end to end while \"{}\" reaches {}: {what}",
        dead.name,
        other.name,
        in_its_unit(other, most)
    );
    Some(Problem { code: "dead", text })
}
