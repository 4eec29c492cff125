//! A torn line behind which another recording goes on: a logger writes over a file that
//! was there before, and what it did not reach still shines through.
//!
//! In: the table, and records that were not read. Out: what to say where most columns leap
//! at once over one of these, as no drive does. What follows stays: only the driver knows
//! what is there.

use super::table::{Column, Table};
use crate::log::Problem;

/// Readings on either side whose steps say what is usual.
const BESIDE: usize = 25;
/// A leap is so many times the largest step beside it.
const LEAP: f64 = 3.0;
/// Columns that leap, at the least; and of those that move at all, half.
const FEWEST: usize = 2;
const ONE_IN: usize = 2;

/// Said of the first record behind which most columns leap.
pub fn problem(table: &Table, unread: &[u32], clock: &[usize]) -> Option<Problem> {
    let channels = || {
        let columns = table.columns.iter().enumerate().filter(|(at, _)| !clock.contains(at));
        columns.map(|(_, column)| column).filter(|column| {
            column.stamps.is_empty() && column.record.is_none() && !column.value.is_empty()
        })
    };
    unread.iter().find_map(|&record| {
        let leaps: Vec<bool> =
            channels().filter_map(|column| leaps_over(column, record as usize)).collect();
        let count = leaps.iter().filter(|leaps| **leaps).count();
        let line = table.lines.get(record as usize)?;
        let text = format!(
            "Line {line} is torn, and {count} of {} columns that move leap there at once: what follows may \
             be the remains of another recording, which this one was written over. If it is, cut the file \
             there.",
            leaps.len()
        );
        (count >= FEWEST && count * ONE_IN >= leaps.len())
            .then_some(Problem { code: "torn", text })
    })
}

/// Whether a column leaps over a record; `None` where it does not move beside it.
fn leaps_over(column: &Column, record: usize) -> Option<bool> {
    let before = column.value.get(record.checked_sub(BESIDE)?..record)?;
    let behind = column.value.get(record + 1..record + 1 + BESIDE)?;
    let largest =
        |side: &[f64]| side.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
    let usual = largest(before).max(largest(behind));
    let leap = (behind.first()? - before.last()?).abs();
    (usual > 0.0).then_some(leap > LEAP * usual)
}
