//! Channels from raw columns: role, unit, rate, resolution, and how each was decided.
//!
//! In: [`Raw`] channels. Out: [`Channel`]s with values in the program's units, and
//! the problems met. A role needs a fitting name *and* believable values; a unit
//! that had to be guessed is always reported.

use super::infer::{self, Habits, Spread};
use super::raw::Raw;
use super::{Channel, Problem, Role, plausible, roles};
use crate::unit::{Quantity, Unit};

pub fn channels(raws: Vec<Raw>) -> (Vec<Channel>, Vec<Problem>) {
    let mut problems = Vec::new();
    let habits = habits(&raws);
    let channels = raws.into_iter().map(|raw| channel(raw, habits, &mut problems)).collect();
    (channels, problems)
}

/// Whose units the log is written in, from the columns that say so.
fn habits(raws: &[Raw]) -> Habits {
    let has = |symbols: &[&str]| {
        raws.iter()
            .filter_map(|raw| raw.unit)
            .any(|unit| symbols.iter().any(|s| unit.symbol.starts_with(s)))
    };
    Habits {
        customary: has(&["°F", "mph", "psi", "ft", "inHg", "lb"]),
        metric: has(&["°C", "km", "kPa", "bar", "hPa", "mbar", "m/s", "kg"]),
    }
}

fn channel(raw: Raw, habits: Habits, problems: &mut Vec<Problem>) -> Channel {
    let named = roles::named(&raw.words, raw.unit.map(|unit| unit.quantity));
    let guess = match (named, raw.unit) {
        (Some(named), None) => infer::unit(named.role, &raw.series.value, habits),
        _ => None,
    };
    let unit = raw.unit.or(guess.as_ref().map(|guess| guess.unit));
    let mut series = raw.series;
    if let Some(unit) = unit {
        series.value.iter_mut().for_each(|value| *value = unit.inside(*value));
    }
    let refused = named.and_then(|named| refusal(named.role, &series.value, unit));
    let role = named.map(|named| named.role).filter(|_| refused.is_none());
    let mut how = vec![match (named, role) {
        (Some(named), Some(_)) if named.loose => {
            "role from a name that leaves some doubt".to_owned()
        }
        (Some(_), Some(_)) => "role from the name".to_owned(),
        _ => "no role".to_owned(),
    }];
    if let (Some(named), Some(why)) = (named, refused) {
        let text = format!(
            "\"{}\" is named like {}, but {why}; it was given no role.",
            raw.name,
            words(named.role)
        );
        problems.push(Problem { code: "role_refused", text });
        how.push(why);
    }
    match (raw.unit, &guess) {
        (Some(unit), _) => how.push(format!("{} as written", unit.symbol)),
        (None, Some(guess)) => {
            how.push(format!("{} because {}", guess.unit.symbol, guess.because));
            if role.is_some() && !self_evident(guess.unit) {
                let text = format!(
                    "\"{}\" names no unit; it was taken as {} because {}.",
                    raw.name, guess.unit.symbol, guess.because
                );
                problems.push(Problem { code: "unit_guessed", text });
            }
        }
        (None, None) => {}
    }
    if !raw.fresh.is_empty() {
        how.push(raw.fresh);
    }
    let rate_hz = rate(&series.time_s);
    let resolution = resolution(&series.value, unit);
    Channel {
        name: raw.name,
        role,
        unit,
        how: how.join("; "),
        derived: raw.derived,
        series,
        rate_hz,
        resolution,
    }
}

/// Units that cannot be mistaken: degrees of a position, revolutions of an engine.
fn self_evident(unit: Unit) -> bool {
    matches!(unit.symbol, "rpm" | "°")
}

/// A role's name for a sentence.
pub fn words(role: Role) -> String {
    role.code().replace('_', " ")
}

/// Why values do not fit a role, in words.
fn refusal(role: Role, values: &[f64], unit: Option<Unit>) -> Option<String> {
    let spread = Spread::of(values)?;
    let (lowest, highest) = plausible::limits(role);
    if unit.is_some_and(|unit| !roles::fits(role, unit.quantity))
        || spread.within((lowest, highest))
    {
        return None;
    }
    let symbol = match roles::quantity_of(role) {
        Quantity::Temperature => "°C",
        Quantity::Pressure => "Pa",
        Quantity::Speed => "m/s",
        Quantity::Acceleration => "m/s²",
        Quantity::EngineSpeed => "rpm",
        Quantity::Share => "%",
        Quantity::Angle => "°",
        Quantity::Length => "m",
        _ => "",
    };
    Some(format!(
        "it reads {} to {} {symbol}, outside {lowest} to {highest}",
        infer::short(spread.low),
        infer::short(spread.high)
    ))
}

/// Fresh readings a second, holes of more than five usual intervals left out.
pub fn rate(time_s: &[f64]) -> Option<f64> {
    let mut steps: Vec<f64> = time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let middle = steps.len() / 2;
    if steps.is_empty() {
        return None;
    }
    let longest = 5.0 * *steps.select_nth_unstable_by(middle, f64::total_cmp).1;
    let (mut count, mut sum) = (0u32, 0.0);
    for step in time_s.windows(2).map(|pair| pair[1] - pair[0]).filter(|step| *step <= longest) {
        count += 1;
        sum += step;
    }
    (sum > 0.0).then(|| f64::from(count) / sum)
}

/// The smallest step the values move in, when nearly all steps are whole multiples of it.
pub fn resolution(values: &[f64], unit: Option<Unit>) -> Option<f64> {
    // Judged as written: 1 km/h is a whole number, 0.2778 m/s is not.
    let written = |value: f64| unit.map_or(value, |unit| unit.written(value));
    let steps = || {
        values
            .windows(2)
            .map(|pair| (written(pair[1]) - written(pair[0])).abs())
            .filter(|step| *step > 1e-9)
    };
    let smallest = steps().fold(f64::MAX, f64::min);
    let count = steps().take(2000).count();
    if count < 8 {
        return None;
    }
    let whole = steps().take(2000).filter(|step| {
        let ratio = step / smallest;
        (ratio - ratio.round()).abs() < 0.02 + 1e-6 * ratio
    });
    // Random values are whole multiples of their smallest step one time in 25.
    (whole.count() * 10 >= count * 9).then(|| smallest * unit.map_or(1.0, |unit| unit.factor.abs()))
}
