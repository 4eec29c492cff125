//! Health: gaps, stuck stretches, clipped values, each as one line with its place.
//!
//! In: an assembled [`Log`]. Out: problems added to it. Nothing is changed. Sparse by
//! intent: what a sound recording can show is never reported.

mod clipped;
mod dead;
mod jumps;
mod stuck;

use super::infer::short;
use super::{Channel, Log, Problem, Role};

const TEMPERATURES: [Role; 6] = [
    Role::ChargeAir,
    Role::InletAir,
    Role::CompressorOutletAir,
    Role::AmbientAir,
    Role::Coolant,
    Role::ChargeCoolant,
];

pub fn look(log: &mut Log) {
    gaps(log);
    let found =
        [stuck::problems(log), clipped::problems(log), dead::problems(log), jumps::problems(log)]
            .concat();
    log.problems.extend(found);
}

/// A value as the file writes it, with its unit.
fn in_its_unit(channel: &Channel, value: f64) -> String {
    match channel.unit {
        Some(unit) => format!("{} {}", short(unit.written(value)), unit.symbol).trim().to_owned(),
        None => short(value),
    }
}

/// What a fault of a channel takes from the findings.
fn means(role: Role) -> &'static str {
    match role {
        Role::EngineSpeed => "Gears and slip cannot be told from it there.",
        Role::LongitudinalAcceleration => "What the car gained there is not in it.",
        Role::ManifoldPressure | Role::BarometricPressure => "The true pressure may be beyond.",
        Role::ChargeAir | Role::InletAir | Role::Coolant | Role::AmbientAir => {
            "The true temperature may be beyond, or its sensor away."
        }
        _ => "Times and distances that rest on it there are not to be believed.",
    }
}

/// Holes in a channel that timing needs.
fn gaps(log: &mut Log) {
    let roles = [Role::VehicleSpeed, Role::SatelliteSpeed, Role::EngineSpeed];
    let mut found = Vec::new();
    for role in roles {
        let Some(channel) = log.channel(role) else { continue };
        let Some(rate) = channel.rate_hz else { continue };
        let longest = (5.0 / rate).max(1.0);
        let holes: Vec<(f64, f64)> = channel
            .series
            .time_s
            .windows(2)
            .filter(|pair| pair[1] - pair[0] > longest)
            .map(|pair| (pair[0], pair[1] - pair[0]))
            .collect();
        if let Some(&(at, lasts)) = holes.first() {
            let name = &channel.name;
            let text = match holes.len() {
                1 => format!(
                    "\"{name}\" has one hole of more than {longest:.1} s: {lasts:.1} s at {at:.1} s."
                ),
                all => format!(
                    "\"{name}\" has {all} holes of more than {longest:.1} s, the first of {lasts:.1} s at \
                     {at:.1} s."
                ),
            };
            found.push(Problem { code: "gap", text });
        }
    }
    log.problems.extend(found);
}
