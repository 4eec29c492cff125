//! Readings that no car has: start-up codes, a wild row, a position without a fix.
//!
//! In: a channel with a role and a unit. Out: the channel without the few readings that lie
//! far outside of all belief, and what was left out; or without its role, where they are
//! more than a few or near. A wrong unit leads just beyond the limits, an accident far.

use super::assemble::{Draft, words};
use super::infer::{Spread, short};
use super::{Role, plausible, roles};
use crate::unit::Quantity;

/// One reading in so many may be a stray.
const ONE_IN: usize = 20;
/// So many times the range of all other readings lies between them and a stray.
const FAR: f64 = 0.5;
/// An engine that runs passes this. One that stands for a whole log reads 0 throughout.
const SLOWEST_ENGINE_RPM: f64 = 400.0;
/// Positions at 0° are looked at where the others are further from it, degrees.
const FAR_DEGREES: f64 = 1.0;

pub fn settle(draft: &mut Draft) {
    let Some(role) = draft.role() else { return };
    if draft.unit.is_some_and(|unit| unit.quantity != roles::quantity_of(role)) {
        return;
    }
    leave_out(draft, role);
    let values: Vec<f64> = draft.inside().collect();
    let Some(spread) = Spread::of(&values) else { return };
    let (lowest, highest) = plausible::limits(role);
    if !spread.within((lowest, highest)) {
        draft.refuse(&format!(
            "it reads {} to {}{}, outside {lowest} to {highest}",
            short(spread.low),
            short(spread.high),
            inside_symbol(role)
        ));
    } else if role == Role::EngineSpeed && spread.high > 0.0 && spread.high < SLOWEST_ENGINE_RPM {
        let high = short(spread.high);
        draft.refuse(&format!("it reads up to {high} rpm, slower than any engine idles"));
    }
}

fn leave_out(draft: &mut Draft, role: Role) {
    let values: Vec<f64> = draft.inside().collect();
    let (is_stray, most) = if is_position(role) && is_far_from_zero(&values) {
        let outside = beyond(&values, role);
        (Box::new(move |v: f64| v == 0.0 || outside(v)) as Box<dyn Fn(f64) -> bool>, 5)
    } else {
        (Box::new(beyond(&values, role)) as Box<dyn Fn(f64) -> bool>, ONE_IN)
    };
    let count = values.iter().filter(|value| is_stray(**value)).count();
    if count == 0 || count > (values.len() / most).max(usize::from(values.len() > 9)) {
        return;
    }
    let first = values.iter().position(|value| is_stray(*value)).unwrap_or(0);
    let (at, value) = (draft.raw.series.time_s[first], short(values[first]));
    let unit = draft.unit;
    draft.raw.series.keep(|value| !is_stray(unit.map_or(value, |unit| unit.inside(value))));
    let (name, role, unit) = (&draft.raw.name, words(role), inside_symbol(role));
    let text = match count {
        1 => format!(
            "\"{name}\": one reading that no {role} can have, {value}{unit} at {at:.1} s, was left out."
        ),
        all => format!(
            "\"{name}\": {all} readings that no {role} can have were left out, the first of {value}{unit} at \
             {at:.1} s."
        ),
    };
    draft.problem("strays", text);
}

/// Whether a value lies outside the limits of a role, and far from all that lie inside.
fn beyond(values: &[f64], role: Role) -> impl Fn(f64) -> bool + use<> {
    let (lowest, highest) = plausible::limits(role);
    let inside = values.iter().copied().filter(|value| (lowest..=highest).contains(value));
    let (low, high) = inside.fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    let gap = FAR * (high - low);
    move |value| !(lowest..=highest).contains(&value) && (value < low - gap || value > high + gap)
}

fn is_position(role: Role) -> bool {
    matches!(role, Role::Latitude | Role::Longitude)
}

fn is_far_from_zero(values: &[f64]) -> bool {
    let far = values.iter().filter(|value| value.abs() > FAR_DEGREES).count();
    far * 5 >= values.len() * 4
}

/// The program's own unit of a role, with a blank before it.
fn inside_symbol(role: Role) -> String {
    let own = crate::unit::of_quantity(roles::quantity_of(role)).next();
    match own {
        Some(unit) if unit.quantity != Quantity::Number => format!(" {}", unit.symbol),
        _ => String::new(),
    }
}
