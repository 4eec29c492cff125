//! Records that were written as zeros: a brown-out, a block of a card that was never written.
//!
//! In: the table. Out: stretches of records in which every cell is exactly 0 at once, in
//! the midst of records in which most are not. An engine that stalls reads 0 as well, but
//! the car stood already, or rolls on; the temperatures stay.

use std::ops::Range;

use super::table::{Column, Table};
use crate::log::Problem;

/// Columns that are not 0 before nor after, at the least; of those that ever are not, half.
const FEWEST: usize = 3;
const ONE_IN: usize = 2;

/// The stretches, apart from those at either end of the table.
pub fn find(table: &Table, clock: &[usize]) -> Vec<Range<u32>> {
    let records = table.lines.len();
    let is_full = |column: &Column| column.value.len() == records && column.stamps.is_empty();
    let others = table.columns.iter().enumerate().filter(|(at, _)| !clock.contains(at));
    let columns: Vec<&Column> = others.map(|(_, column)| column).collect();
    let Some(first) = columns.iter().find(|column| is_full(column)) else { return Vec::new() };
    let mut zeros = zeros_of(&first.value);
    for column in &columns {
        zeros.retain(|record| at(column, *record).is_none_or(|value| value == 0.0));
    }
    // Mostly a temperature or a voltage ends it here.
    if zeros.is_empty() {
        return Vec::new();
    }
    let lives = |column: &&Column| column.value.iter().any(|value| *value != 0.0);
    let columns: Vec<&Column> = columns.into_iter().filter(lives).collect();
    let runs = zeros.chunk_by(|a, b| a + 1 == *b).map(|run| run[0]..run[run.len() - 1] + 1);
    runs.filter(|run| is_amidst(&columns, run, records)).collect()
}

/// A function of its own: it goes through a whole column.
#[inline(never)]
fn zeros_of(values: &[f64]) -> Vec<u32> {
    (0u32..).zip(values).filter(|(_, value)| **value == 0.0).map(|(record, _)| record).collect()
}

fn at(column: &Column, record: u32) -> Option<f64> {
    match &column.record {
        None => column.value.get(record as usize).copied(),
        Some(records) => Some(column.value[records.binary_search(&record).ok()?]),
    }
}

fn is_amidst(columns: &[&Column], run: &Range<u32>, records: usize) -> bool {
    let Some(before) = run.start.checked_sub(1).filter(|_| (run.end as usize) < records) else {
        return false;
    };
    let both = columns.iter().filter_map(|column| at(column, before).zip(at(column, run.end)));
    let (mut all, mut not_zero) = (0, 0);
    for (before, after) in both {
        all += 1;
        not_zero += usize::from(before != 0.0 && after != 0.0);
    }
    not_zero >= FEWEST && not_zero * ONE_IN >= all
}

pub fn problem(holes: &[Range<u32>], lines: &[u32]) -> Option<Problem> {
    let first = holes.first()?;
    let line = |record: u32| lines.get(record as usize).copied();
    let (from, to) = (line(first.start)?, line(first.end - 1)?);
    let count: usize = holes.iter().map(ExactSizeIterator::len).sum();
    let place = match (holes.len(), from == to) {
        (1, true) => format!("In line {from}"),
        (1, false) => format!("From line {from} to {to}"),
        (all, _) => format!("In {all} stretches, the first from line {from} to {to},"),
    };
    let text = format!(
        "{place} every channel is exactly 0 at once, and neither before nor after: the recorder wrote \
         nothing there. {count} {} left out.",
        if count == 1 { "record was" } else { "records were" }
    );
    Some(Problem { code: "zero_hole", text })
}
