//! Columns that were sorted one by one: their cells no longer stand beside one another.
//!
//! In: the table, its headings, and how long it is. Out: a refusal, where engine, throttle,
//! boost and their like, which fall with every change of gear, only rise from the first
//! record to the last, and no other column falls either.

use super::header::Heading;
use super::refusals;
use super::table::{Column, Table};
use crate::log::{LogError, Role, roles};

/// Fewest columns that cannot but fall, of so many values each, over so long.
const COLUMNS: usize = 3;
const VALUES: usize = 20;
const SPAN_S: f64 = 20.0;

pub fn refusal(file: &str, table: &Table, headings: &[Heading], span_s: f64) -> Option<LogError> {
    let mut sorted = Vec::new();
    for (column, heading) in table.columns.iter().zip(headings) {
        let values = rises(column)?;
        if values >= VALUES && falls_as_a_rule(heading) {
            sorted.push(heading.name.as_str());
        }
    }
    (sorted.len() >= COLUMNS && span_s >= SPAN_S).then(|| refusals::sorted_apart(file, &sorted))
}

/// Unlike a distance, a position or a temperature.
fn falls_as_a_rule(heading: &Heading) -> bool {
    use Role::{
        EngineSpeed, LongitudinalAcceleration, ManifoldPressure, Pedal, Throttle, VehicleSpeed,
    };
    let named = roles::named(&heading.words, heading.unit.map(|unit| unit.quantity));
    let roles =
        [EngineSpeed, VehicleSpeed, Throttle, Pedal, ManifoldPressure, LongitudinalAcceleration];
    named.is_some_and(|named| roles.contains(&named.role))
}

/// How many values a column has that never falls; `None` for any other.
fn rises(column: &Column) -> Option<usize> {
    let mut values = 1;
    for pair in column.value.windows(2) {
        if pair[1] < pair[0] {
            return None;
        }
        values += usize::from(pair[1] > pair[0]);
    }
    Some(values)
}
