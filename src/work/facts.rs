//! What the day says of the car, the limits and the marks, as the rooms take it.
//!
//! In: the day's own words. Out: values of the rooms. A word or number that means
//! nothing is a [`Problem`] and is not used; it is never guessed at.

use crate::compare::Tolerances;
use crate::day::{ChannelCorrection, DayLimits, DayTolerances, Vehicle};
use crate::launch::{Car, Drive, Limits, Transmission, Tyres};
use crate::log::correct::Correction;
use crate::log::{Problem, Role};
use crate::unit;

/// The day's own speeds for readings, rising and each once.
pub fn speed_marks(said: &[f64], problems: &mut Vec<Problem>) -> Vec<f64> {
    let (mut marks, odd): (Vec<f64>, Vec<f64>) =
        said.iter().partition(|&&mps| mps > 0.0 && mps < 200.0);
    for mps in odd {
        let text = format!(
            "speed_marks_mps has {mps}, which no car passes; it is not used. \
             Give speeds in metres per second, over 0 and under 200."
        );
        problems.push(Problem { code: "speed_mark_not_possible", text });
    }
    marks.sort_by(f64::total_cmp);
    marks.dedup();
    marks
}

/// The facts of the car; a word that is not one of the known is said, not guessed.
pub fn car(said: &Vehicle, problems: &mut Vec<Problem>) -> Car {
    let drives = [("front", Drive::Front), ("rear", Drive::Rear), ("all", Drive::All)];
    let tyres = [("road", Tyres::Road), ("semi-slick", Tyres::SemiSlick), ("drag", Tyres::Drag)];
    let transmissions = [
        ("manual", Transmission::Manual),
        ("dual-clutch", Transmission::DualClutch),
        ("torque-converter", Transmission::TorqueConverter),
    ];
    Car {
        mass_kg: said.mass_kg.filter(|&kg| kg > 0.0),
        drive: meant("drive", said.drive.as_deref(), &drives, problems),
        tyres: meant("tyres", said.tyres.as_deref(), &tyres, problems),
        rolling_radius_m: said.rolling_radius_m.filter(|&m| m > 0.0),
        transmission: meant("transmission", said.transmission.as_deref(), &transmissions, problems),
    }
}

fn meant<T: Copy>(
    field: &str,
    word: Option<&str>,
    known: &[(&str, T)],
    problems: &mut Vec<Problem>,
) -> Option<T> {
    let word = word?;
    let found = known.iter().find(|(name, _)| name.eq_ignore_ascii_case(word.trim()));
    if found.is_none() {
        let words: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
        let text = format!(
            "The car's {field} is given as \"{word}\", which is none of {}; it is not used.",
            words.join(", ")
        );
        problems.push(Problem { code: "car_word_unknown", text });
    }
    found.map(|(_, meaning)| *meaning)
}

/// The limits of a verdict, the day's in place of the defaults.
pub fn limits(said: Option<&DayLimits>, problems: &mut Vec<Problem>) -> Limits {
    let default = Limits::default();
    let Some(said) = said else { return default };
    let mut or = |field, said, default| positive(field, said, problems).unwrap_or(default);
    Limits {
        short_s: or("short_s", said.short_s, default.short_s),
        long_share: or("long_share", said.long_share, default.long_share),
        fewest_hz: or("fewest_hz", said.fewest_hz, default.fewest_hz),
        slope: or("slope", said.slope, default.slope),
    }
}

/// What counts as alike, the day's in place of the defaults.
pub fn tolerances(said: Option<&DayTolerances>, problems: &mut Vec<Problem>) -> Tolerances {
    let default = Tolerances::default();
    let Some(said) = said else { return default };
    let mut or = |field, said, default| positive(field, said, problems).unwrap_or(default);
    let pressure_kpa = or("pressure_kpa", said.pressure_kpa, default.pressure_pa / 1000.0);
    Tolerances {
        ambient_k: or("ambient_k", said.ambient_k, default.ambient_k),
        humidity_percent: or("humidity_percent", said.humidity_percent, default.humidity_percent),
        pressure_pa: 1000.0 * pressure_kpa,
        start_k: or("start_k", said.start_k, default.start_k),
        end_speed: or("end_speed_share", said.end_speed_share, default.end_speed),
        power: or("power_share", said.power_share, default.power),
        ..default
    }
}

fn positive(field: &str, said: Option<f64>, problems: &mut Vec<Problem>) -> Option<f64> {
    let said = said?;
    if said > 0.0 && said.is_finite() {
        return Some(said);
    }
    let text = format!("The day's {field} is {said}, which is no limit; the default is used.");
    problems.push(Problem { code: "limit_not_possible", text });
    None
}

/// What the reader said of a channel. A role or unit that this version does not
/// know leaves things as they are; the day file keeps it.
pub fn correction(said: &ChannelCorrection) -> Correction {
    let role = |code: &str| match code {
        "none" => Some(None),
        code => Role::from_code(code).map(Some),
    };
    Correction {
        channel: said.channel.clone(),
        role: said.role.as_deref().and_then(role),
        unit: said.unit.as_deref().and_then(unit::by_symbol),
    }
}
