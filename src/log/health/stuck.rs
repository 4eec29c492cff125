//! Stuck stretches: a channel that gives one value while the car shows another.
//!
//! In: an assembled [`Log`]. Out: one problem for each channel that was stuck, with
//! its first place. Only speeds, engine speed and acceleration are watched: a
//! temperature may honestly stand still for minutes.
//!
//! Method: a stretch of equal readings counts when another speed moved on meanwhile.
//! Without such a witness nothing is said: at rest, at idle and in a steady cruise an
//! honest channel reads the same for long.

use super::{in_its_unit, means};
use crate::log::{Channel, Log, Problem, Role, Series};

/// Channels that are watched, and the other speeds that bear witness.
const SPEEDS: [Role; 7] = [
    Role::VehicleSpeed,
    Role::SatelliteSpeed,
    Role::UndrivenWheelSpeed,
    Role::WheelSpeedFrontLeft,
    Role::WheelSpeedFrontRight,
    Role::WheelSpeedRearLeft,
    Role::WheelSpeedRearRight,
];
/// Shorter stretches are left to the smoothing.
const SHORTEST_S: f64 = 5.0;
/// Fewest readings of a stretch that another speed contradicts; engines under a
/// variable drive do hold their speed for a few, and a coarse accelerometer its push.
const FEWEST: usize = 5;
const FEWEST_OF_ENGINE: usize = 10;
const FEWEST_OF_PUSH: usize = 50;
/// A change of another speed that no car hides from its own, m/s.
const MOVED_ON_MPS: f64 = 5.0;

pub fn problems(log: &Log) -> Vec<Problem> {
    let watched = SPEEDS.into_iter().chain([Role::EngineSpeed, Role::LongitudinalAcceleration]);
    watched.filter_map(|role| problem(log, role)).collect()
}

/// Equal readings, from the first to the last.
#[derive(Clone, Copy)]
struct Stretch {
    from_s: f64,
    to_s: f64,
    readings: usize,
    value: f64,
}

fn problem(log: &Log, role: Role) -> Option<Problem> {
    let channel = log.channel(role).filter(|channel| !channel.derived)?;
    let series = &channel.series;
    let speeds = SPEEDS.into_iter().filter(|other| *other != role);
    let others: Vec<&Channel> =
        speeds.filter_map(|other| log.channel(other)).filter(|other| !other.derived).collect();
    let fewest = match role {
        Role::EngineSpeed => FEWEST_OF_ENGINE,
        Role::LongitudinalAcceleration => FEWEST_OF_PUSH,
        _ => FEWEST,
    };
    let stuck: Vec<(Stretch, &Channel)> = stretches(series)
        .into_iter()
        .filter(|stretch| stretch.to_s - stretch.from_s >= SHORTEST_S && stretch.readings >= fewest)
        // An engine that is off while the car rolls is no fault.
        .filter(|stretch| role != Role::EngineSpeed || stretch.value > 0.0)
        .filter_map(|stretch| {
            let idles = role == Role::EngineSpeed && idles(series, &others, stretch);
            let contradicts = |other: &Series| {
                if idles { rose(other, stretch) } else { moved_on(other, stretch) }
            };
            let witness = others.iter().find(|other| contradicts(&other.series))?;
            Some((stretch, *witness))
        })
        .collect();
    let (first, witness) = *stuck.first()?;
    Some(Problem { code: "stuck", text: text(channel, role, first, witness, stuck.len()) })
}

fn text(channel: &Channel, role: Role, first: Stretch, witness: &Channel, count: usize) -> String {
    let more = match count {
        1 => String::new(),
        all => format!(" ({all} such stretches)"),
    };
    format!(
        "\"{}\" stands at {} from {:.1} s to {:.1} s while \"{}\" moves on{more}: it was stuck. {}",
        channel.name,
        in_its_unit(channel, first.value),
        first.from_s,
        first.to_s,
        witness.name,
        means(role)
    )
}

/// All runs of equal readings, two at least.
fn stretches(series: &Series) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    let mut running = false;
    for (at, pair) in series.value.windows(2).enumerate() {
        if pair[0] != pair[1] {
            running = false;
            continue;
        }
        let to_s = series.time_s[at + 1];
        match stretches.last_mut().filter(|_| running) {
            Some(last) => {
                last.to_s = to_s;
                last.readings += 1;
            }
            None => stretches.push(Stretch {
                from_s: series.time_s[at],
                to_s,
                readings: 2,
                value: pair[0],
            }),
        }
        running = true;
    }
    stretches
}

/// A car at rest, m/s; and engine speeds that are one idle.
const AT_REST_MPS: f64 = 0.5;
const SAME_IDLE: f64 = 0.03;

/// Whether the engine turns as it does when the car stands: out of gear it idles while the
/// car rolls to a stop, and a governor holds that to the last digit.
fn idles(engine: &Series, speeds: &[&Channel], stretch: Stretch) -> bool {
    let same = |value: f64| (value - stretch.value).abs() <= SAME_IDLE * stretch.value;
    speeds.iter().any(|speed| {
        let readings = speed.series.time_s.iter().zip(&speed.series.value);
        let at_rest = readings.filter(|(t, v)| {
            v.abs() < AT_REST_MPS && !(stretch.from_s..=stretch.to_s).contains(*t)
        });
        let turns: Vec<bool> = at_rest.filter_map(|(t, _)| engine.at(*t)).map(same).collect();
        turns.len() >= FEWEST && turns.iter().filter(|same| **same).count() * 2 > turns.len()
    })
}

/// Whether a speed rose by more than a car does that rolls out.
fn rose(series: &Series, stretch: Stretch) -> bool {
    let (_, values) = series.between(stretch.from_s, stretch.to_s);
    let mut lowest = f64::MAX;
    values.iter().any(|&v| {
        lowest = lowest.min(v);
        v - lowest > MOVED_ON_MPS
    })
}

fn moved_on(series: &Series, stretch: Stretch) -> bool {
    let (_, values) = series.between(stretch.from_s, stretch.to_s);
    let low = values.iter().copied().fold(f64::MAX, f64::min);
    let high = values.iter().copied().fold(f64::MIN, f64::max);
    high - low > MOVED_ON_MPS
}
