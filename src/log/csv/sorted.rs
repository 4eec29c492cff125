//! Columns that were sorted one by one: their cells no longer stand beside one another.
//!
//! In: the table and the records' times. Out: a refusal, where every column only rises or
//! stands from the first record to the last. A car's never all do, over so long.

use super::refusals;
use super::table::{Column, Table};
use super::time::Clock;
use crate::log::LogError;

/// Fewest columns, of so many readings, each of so many values, over so long.
const COLUMNS: usize = 4;
const READINGS: usize = 100;
const VALUES: usize = 20;
const SPAN_S: f64 = 20.0;

pub fn refusal(file: &str, table: &Table, clock: &Clock, span_s: f64) -> Option<LogError> {
    let channels = table.columns.iter().enumerate().filter(|(at, column)| {
        !clock.columns.contains(at) && column.stamps.is_empty() && column.value.len() >= READINGS
    });
    let mut sorted = 0;
    for (_, column) in channels {
        match rises(column)? {
            values if values >= VALUES => sorted += 1,
            _ => {}
        }
    }
    (sorted >= COLUMNS && span_s >= SPAN_S).then(|| refusals::sorted_apart(file, sorted))
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
