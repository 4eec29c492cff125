//! Written units that the readings refute: °C over °F, % over a share of 1, a gauge over an
//! absolute pressure.
//!
//! In: drafts with roles and units. Out: the same, without a role where the label cannot
//! be, and with a word where it is in doubt. Which unit is true is for the writer to say:
//! it is never guessed against what is written. Two speeds whose labels do not agree are
//! `refuted`'s.

use super::Role;
use super::assemble::Draft;
use super::infer::{Spread, short};
use super::plausible::{limits, usual};
use super::roles;
use crate::unit::{Quantity, by_symbol};

/// A throttle that opens passes this share of 1, and one in % passes the other.
const OPENS: f64 = 0.5;
const LEAST_PERCENT: f64 = 1.05;
/// No engine that is let go holds this over the air around it; standing, it has none.
const LEAST_BOOST_PA: f64 = 1.5e4;

pub fn settle(drafts: &mut [Draft]) {
    let fahrenheit = drafts.iter().find(|draft| is_fahrenheit(draft)).map(|d| d.raw.name.clone());
    for draft in drafts.iter_mut() {
        match (draft.role(), &fahrenheit) {
            (Some(role), Some(other))
                if roles::quantity_of(role) == Quantity::Temperature
                    && is_written_in(draft, "°C")
                    && draft.raw.name != *other =>
            {
                draft.refuse(&format!(
                    "\"{other}\", with the same unit, can only be °F: one label may be as wrong as the other"
                ));
            }
            (Some(Role::Throttle | Role::Pedal), _) if is_share_of_one(draft) => {
                draft.refuse("it reads 0 to 1 where % is written, as a share of 1 does");
            }
            _ => {}
        }
    }
}

/// Said of a gauge pressure that never falls to what an idling engine holds.
pub fn doubt_of_gauge(draft: &Draft) -> Option<String> {
    let values: Vec<f64> = draft.raw.series.value.clone();
    let spread = Spread::of(&values)?;
    let unit = draft.unit?;
    let low_pa = spread.low * unit.factor;
    (low_pa > LEAST_BOOST_PA).then(|| {
        format!(
            "\"{}\" is called a gauge pressure and never falls below {} {}, as an absolute pressure does. If it \
             is absolute, what was added is too much.",
            draft.raw.name,
            short(spread.low),
            unit.symbol
        )
    })
}

fn is_written_in(draft: &Draft, symbol: &str) -> bool {
    !draft.guessed && draft.unit.is_some_and(|unit| unit.symbol == symbol)
}

/// Whether a temperature labelled °C is beyond all belief so, and usual in °F.
fn is_fahrenheit(draft: &Draft) -> bool {
    let (Some(role), Some(unit)) = (draft.role(), by_symbol("°F")) else { return false };
    let Some(spread) = Spread::of(&draft.raw.series.value) else { return false };
    let (lowest, highest) = usual(role);
    let inside = |value: f64| (lowest..=highest).contains(&unit.inside(value));
    roles::quantity_of(role) == Quantity::Temperature
        && is_written_in(draft, "°C")
        && !spread.within(limits(role))
        && inside(spread.middle)
        && inside(spread.high)
}

fn is_share_of_one(draft: &Draft) -> bool {
    let Some(spread) = Spread::of(&draft.raw.series.value) else { return false };
    is_written_in(draft, "%")
        && spread.low >= 0.0
        && (OPENS..=LEAST_PERCENT).contains(&spread.high)
        && draft.raw.series.value.iter().all(|value| *value <= LEAST_PERCENT)
}
