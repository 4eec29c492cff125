//! What the day says of the car, the limits and the marks, as the rooms take it.
//!
//! In: the day's own words. Out: values of the rooms. A word or number that means
//! nothing is a [`Problem`] and is not used; it is never guessed at.

use crate::day::{ChannelCorrection, DayLimits, Vehicle};
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
pub fn limits(said: Option<&DayLimits>) -> Limits {
    let default = Limits::default();
    let Some(said) = said else { return default };
    Limits {
        short_s: said.short_s.unwrap_or(default.short_s),
        long_share: said.long_share.unwrap_or(default.long_share),
        fewest_hz: said.fewest_hz.unwrap_or(default.fewest_hz),
        slope: said.slope.unwrap_or(default.slope),
    }
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
