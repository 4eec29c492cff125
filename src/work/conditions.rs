//! The air of one outing, each part with where it came from.
//!
//! In: what the reader typed and the logs of the outing. Out: [`Conditions`].
//! A typed value wins over a log's own channel, and that over the standard
//! atmosphere at a given altitude. What none of them tells stays unknown, and the
//! inlet air at the filter is never taken for the air outside.

use crate::air::{Air, standard};
use crate::day::Outing;
use crate::log::{Log, Problem, Role};

/// The air of an outing and, in words, where each part came from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    pub air: Air,
    pub ambient_from: Option<String>,
    pub relative_humidity_from: Option<String>,
    pub pressure_from: Option<String>,
    /// Typed values that no air on Earth's roads has; they are not used.
    pub problems: Vec<Problem>,
}

/// One quantity of the air: how it is written in the day file and what it can be.
struct Part {
    field: &'static str,
    role: Role,
    least: f64,
    most: f64,
    /// From the day file's unit to the program's.
    factor: f64,
}

/// Limits: somewhat beyond the records of surface weather (WMO archive of extremes:
/// -89.2 to 56.7 °C); pressure from sea level's highs to above any road.
const AMBIENT: Part =
    Part { field: "ambient_c", role: Role::AmbientAir, least: -90.0, most: 60.0, factor: 1.0 };
const HUMIDITY: Part = Part {
    field: "relative_humidity_percent",
    role: Role::RelativeHumidity,
    least: 0.0,
    most: 100.0,
    factor: 1.0,
};
const PRESSURE: Part = Part {
    field: "pressure_kpa",
    role: Role::BarometricPressure,
    least: 45.0,
    most: 110.0,
    factor: 1000.0,
};

/// Faster than this, moving air washes the ambient sensor; at rest it reads the
/// engine's warmth (common practice, no source).
const MOVING_MPS: f64 = 5.0;
/// Fewer readings than this in motion do not make a median worth more than all.
const FEWEST_MOVING: usize = 5;

/// The air of an outing from what was typed, its logs, and the given altitude.
pub fn of(outing: &Outing, logs: &[&Log]) -> Conditions {
    let mut problems = Vec::new();
    let mut known = |part: &Part, typed: Option<f64>| {
        let typed = typed.and_then(|value| {
            let fits = (part.least..=part.most).contains(&value);
            if !fits {
                problems.push(not_air(part, value));
            }
            fits.then_some((value * part.factor, "typed".to_owned()))
        });
        typed.or_else(|| Some((logged(part, logs)?, "log".to_owned())))
    };
    let ambient = known(&AMBIENT, outing.ambient_c);
    let humidity = known(&HUMIDITY, outing.relative_humidity_percent);
    let pressure = known(&PRESSURE, outing.pressure_kpa).or_else(|| standard_pressure(outing));
    Conditions {
        air: Air {
            ambient_c: ambient.as_ref().map(|(value, _)| *value),
            relative_humidity_percent: humidity.as_ref().map(|(value, _)| *value),
            pressure_pa: pressure.as_ref().map(|(value, _)| *value),
        },
        ambient_from: ambient.map(|(_, from)| from),
        relative_humidity_from: humidity.map(|(_, from)| from),
        pressure_from: pressure.map(|(_, from)| from),
        problems,
    }
}

fn not_air(part: &Part, value: f64) -> Problem {
    let Part { field, least, most, .. } = part;
    let hint = match part.role {
        Role::BarometricPressure => {
            " Pressure is that of the place itself in kPa, not reduced to sea level."
        }
        _ => " Mend it in the day.",
    };
    let text = format!(
        "{field} {value} cannot be right ({least} to {most} is possible) and is not used.{hint}"
    );
    Problem { code: "air_not_possible", text }
}

/// Pressure of the standard atmosphere, and said to be so. Altitudes beyond those
/// of roads would be a mistake and give none.
fn standard_pressure(outing: &Outing) -> Option<(f64, String)> {
    let altitude_m = outing.altitude_m.filter(|m| (-500.0..=6000.0).contains(m))?;
    let pressure_pa = standard::at_m(standard::geopotential_m(altitude_m)).pressure_pa;
    Some((pressure_pa, format!("standard atmosphere at {altitude_m:.0} m")))
}

/// The median of a channel over all the outing's logs, in motion where that is known.
fn logged(part: &Part, logs: &[&Log]) -> Option<f64> {
    let (mut all, mut moving) = (Vec::new(), Vec::new());
    for log in logs {
        let Some(series) = log.series(part.role) else { continue };
        let speed = log.series(Role::VehicleSpeed).or_else(|| log.series(Role::SatelliteSpeed));
        for (&time_s, &value) in series.time_s.iter().zip(&series.value) {
            if !(part.least * part.factor..=part.most * part.factor).contains(&value) {
                continue;
            }
            all.push(value);
            if speed.and_then(|speed| speed.at(time_s)).is_some_and(|mps| mps > MOVING_MPS) {
                moving.push(value);
            }
        }
    }
    median(if moving.len() >= FEWEST_MOVING { moving } else { all })
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let (low, high) =
        (values.get(values.len().checked_sub(1)? / 2)?, values.get(values.len() / 2)?);
    Some((low + high) / 2.0)
}
