//! Readings that no car has: start-up codes, a wild row, a position without a fix.
//!
//! In: a channel with a role. Out: the channel without the few readings that lie outside
//! of all belief, and what was left out. Where they are more than a few, the role is
//! wrong and not the readings: nothing is left out then.

use super::Role;
use super::assemble::{Draft, inside_symbol, words};
use super::infer::short;
use super::{plausible, roles};

/// One reading in so many may be a stray.
const ONE_IN: usize = 50;
/// Positions at 0° are looked at where the others are further from it, degrees.
const FAR_DEGREES: f64 = 1.0;

pub fn leave_out(draft: &mut Draft, role: Role) {
    if draft.unit.is_some_and(|unit| unit.quantity != roles::quantity_of(role)) {
        return;
    }
    let (lowest, highest) = plausible::limits(role);
    let values: Vec<f64> = draft.inside().collect();
    let no_fix = is_position(role) && is_far(&values);
    let strays: Vec<bool> = values
        .iter()
        .map(|value| !(lowest..=highest).contains(value) || no_fix && *value == 0.0)
        .collect();
    let count = strays.iter().filter(|stray| **stray).count();
    let few = if no_fix {
        values.len() / 5
    } else {
        (values.len() / ONE_IN).max(usize::from(values.len() > 9))
    };
    if count == 0 || count > few {
        return;
    }
    let first = strays.iter().position(|stray| *stray).unwrap_or(0);
    let (at, value) = (draft.raw.series.time_s[first], short(values[first]));
    let series = &mut draft.raw.series;
    let kept = series.time_s.iter().zip(&strays).filter(|(_, stray)| !**stray);
    series.time_s = kept.map(|(t, _)| *t).collect();
    let mut stray = strays.iter();
    series.value.retain(|_| !stray.next().is_some_and(|stray| *stray));
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

fn is_position(role: Role) -> bool {
    matches!(role, Role::Latitude | Role::Longitude)
}

fn is_far(values: &[f64]) -> bool {
    let far = values.iter().filter(|value| value.abs() > FAR_DEGREES).count();
    far * 5 >= values.len() * 4
}
