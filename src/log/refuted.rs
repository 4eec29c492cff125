//! Speeds labelled in a unit in which they do not move.
//!
//! In: the drafts of a log. Out: a problem for every speed whose ratio to the positions,
//! or to another speed, is throughout that of two units of speed. Which of two labels is
//! wrong is not decided here, and nothing is changed: both are named, and can be corrected.

use super::assemble::Draft;
use super::{Problem, Series, cross, roles};
use crate::unit::{Quantity, Unit, by_symbol};

/// Units that a speed is written in.
const UNITS: [&str; 4] = ["km/h", "mph", "m/s", "kn"];
/// A share by which the ratio may be off that of the units: tyres wear.
const SAME: f64 = 0.02;
/// And by which half of the ratios may be off their middle: lag, noise, wheelspin.
const STEADY: f64 = 0.05;

/// What the speeds of a log say against each other's labels.
pub fn labels(drafts: &[Draft]) -> Vec<Problem> {
    let is_labelled = |draft: &&Draft| {
        let is_speed = |unit: Unit| unit.quantity == Quantity::Speed;
        let in_role = draft.role().is_some_and(|r| roles::quantity_of(r) == Quantity::Speed);
        in_role && !draft.guessed && !draft.raw.derived && draft.unit.is_some_and(is_speed)
    };
    let speeds: Vec<(&Draft, Series)> =
        drafts.iter().filter(is_labelled).map(|draft| (draft, cross::in_mps(draft))).collect();
    let positions = cross::of_positions(drafts);
    let mut problems = Vec::new();
    for (at, (draft, series)) in speeds.iter().enumerate() {
        let by_positions =
            positions.as_ref().and_then(|positions| against(draft, series, positions));
        problems.extend(by_positions.map(|found| found.by_positions(draft)));
        for (other, beside) in &speeds[at + 1..] {
            let found = against(draft, series, beside);
            problems.extend(found.map(|found| found.by_another(draft, other)));
        }
    }
    problems
}

/// A unit in which a speed moves, as another one says, and what both differ by.
struct Refuted {
    moves_as: Unit,
    ratio: f64,
}

/// The unit under which a speed would agree with another, where it does not as labelled.
fn against(draft: &Draft, series: &Series, known: &Series) -> Option<Refuted> {
    let labelled = draft.unit?;
    let [low, ratio, high] = cross::ratios(series, known)?;
    if low < ratio * (1.0 - STEADY) || high > ratio * (1.0 + STEADY) {
        return None;
    }
    let fits = |unit: &Unit| (unit.factor / labelled.factor / ratio - 1.0).abs() < SAME;
    let others = UNITS.into_iter().filter_map(by_symbol).filter(|unit| *unit != labelled);
    let mut others: Vec<Unit> = others.filter(fits).collect();
    Some(Refuted { moves_as: others.pop()?, ratio })
}

impl Refuted {
    fn by_positions(&self, draft: &Draft) -> Problem {
        let (labelled, Refuted { moves_as, ratio }) = (symbol(draft), self);
        let text = format!(
            "\"{}\" is labelled {labelled}, but against the positions it moves as {} would: they give \
             {ratio:.3} of it throughout. If the label is wrong, name the column with its true unit and \
             open the log again.",
            draft.raw.name, moves_as.symbol
        );
        Problem { code: "unit_refuted", text }
    }

    fn by_another(&self, draft: &Draft, other: &Draft) -> Problem {
        let (labelled, Refuted { moves_as, ratio }) = (symbol(draft), self);
        let text = format!(
            "\"{}\" [{labelled}] and \"{}\" [{}] differ by {ratio:.3} throughout, as {} and {labelled} do: \
             one of the two labels is wrong. Name that column with its true unit and open the log again.",
            draft.raw.name,
            other.raw.name,
            symbol(other),
            moves_as.symbol
        );
        Problem { code: "unit_refuted", text }
    }
}

fn symbol(draft: &Draft) -> &'static str {
    draft.unit.map_or("", |unit| unit.symbol)
}
