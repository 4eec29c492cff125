//! Records that stand in the file twice: a sector that a bad card wrote over the next, a
//! file laid behind itself, a table of which every row is there two times.
//!
//! In: the table and the seconds of its records. Out: the records that say again what was
//! said, to be left out. Only what is the same in every channel counts, and moves; laps
//! that begin anew, or two drives that both begin at rest, are not the same for long.

use super::table::{Column, Table};
use crate::log::Problem;

/// Fewest records of a stretch that stands there again, and of those that differ from the
/// one before: a car at rest says the same for long.
const FEWEST: usize = 8;
const FEWEST_MOVES: usize = 5;
/// The last of a stretch may be broken where it was cut off.
const BROKEN: usize = 2;

/// The records that stand there again, in order.
pub fn find(table: &Table, seconds: &[f64]) -> Vec<usize> {
    let twins = neighbours(table, seconds);
    if twins.is_empty() { stretches(table, seconds) } else { twins }
}

pub fn problem(again: &[usize], lines: &[u32]) -> Option<Problem> {
    let line = lines.get(*again.first()?)?;
    let text = match again.len() {
        1 => format!("The record in line {line} stands in the file twice; it was read once."),
        all => format!(
            "{all} records stand in the file a second time, the first in line {line}, the same in \
             every channel; each was read once."
        ),
    };
    Some(Problem { code: "records_again", text })
}

/// Records that are the one before, time and all, where every second time at the least is
/// such, and every one that has the time of the one before is the same as it.
fn neighbours(table: &Table, seconds: &[f64]) -> Vec<usize> {
    let mut again = Vec::new();
    let mut moves = 0;
    for at in 1..seconds.len() {
        match (seconds[at] == seconds[at - 1], same(table, at - 1, at)) {
            (true, true) => again.push(at),
            (true, false) => return Vec::new(),
            (false, alike) => moves += usize::from(!alike),
        }
        // Most tables show with their first rows that they are none of these.
        if at == 4 * FEWEST && again.len() < FEWEST {
            return Vec::new();
        }
    }
    if again.len() * 3 >= seconds.len() && moves >= FEWEST_MOVES { again } else { Vec::new() }
}

/// Stretches after which the time goes on where it was before them, or that end the file.
fn stretches(table: &Table, seconds: &[f64]) -> Vec<usize> {
    let mut highest = f64::NEG_INFINITY;
    let goes_back = |&t: &f64| {
        highest = highest.max(t);
        t < highest
    };
    if !seconds.iter().any(goes_back) {
        return Vec::new();
    }
    let mut again = Vec::new();
    // Records so far, in order of time.
    let mut kept: Vec<usize> = Vec::new();
    let mut at = 0;
    while at < seconds.len() {
        let is_back = kept.last().is_some_and(|&last| seconds[at] < seconds[last]);
        let length = if is_back { length(table, seconds, &kept, at) } else { 0 };
        if is_back && length == 0 {
            // Another recording begins: what may repeat it is its own.
            kept.clear();
        }
        again.extend(at..at + length);
        if length == 0 {
            kept.extend(seconds[at].is_finite().then_some(at));
        }
        at += length.max(1);
    }
    again
}

/// How many records from here on stand in the kept ones already, up to their end.
fn length(table: &Table, seconds: &[f64], kept: &[usize], at: usize) -> usize {
    let from = kept.partition_point(|&earlier| seconds[earlier] < seconds[at]);
    let pairs = || kept[from..].iter().copied().zip(at..seconds.len());
    let alike = |&(earlier, later): &(usize, usize)| {
        seconds[earlier] == seconds[later] && same(table, earlier, later)
    };
    let length = pairs().take_while(alike).count();
    let moves = (at + 1..at + length).filter(|&later| !same(table, later - 1, later)).count();
    let goes_on = from + length + BROKEN >= kept.len() || at + length + BROKEN >= seconds.len();
    if length >= FEWEST && moves >= FEWEST_MOVES && goes_on { length } else { 0 }
}

/// Whether two records read the same in every channel, and in one at least.
fn same(table: &Table, one: usize, other: usize) -> bool {
    let mut read = false;
    let alike = |column: &Column| {
        let (a, b) = (reading(column, one), reading(column, other));
        read |= a.is_some();
        a == b
    };
    // What counts on is a clock, or an index, and has its own say by the seconds.
    table.columns.iter().filter(|column| column.stamps.is_empty()).all(alike) && read
}

fn reading(column: &Column, record: usize) -> Option<f64> {
    match &column.record {
        None => column.value.get(record).copied(),
        Some(records) => {
            let record = u32::try_from(record).ok()?;
            column.value.get(records.binary_search(&record).ok()?).copied()
        }
    }
}
