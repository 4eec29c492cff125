//! Records of a cell more than the header names.
//!
//! In: the header and some records of one cell more. Out: what the cell without a name is
//! to be called, so that every name behind it then holds for the cell to its right; `None`
//! where nothing shows which cell that is.

use super::header::is_clock;
use crate::log::clock;

/// The name for the first cell of the records.
pub fn first(header: &[String], sample: &[Vec<String>]) -> Option<&'static str> {
    if is_index(header, sample) {
        return Some("");
    }
    is_date(header, sample).then_some(DATE)
}

/// Whether the records begin with a count that the header has no name for, as scripts write
/// it: every name then holds for the cell to its right.
fn is_index(header: &[String], sample: &[Vec<String>]) -> bool {
    let whole = sample.iter().all(|row| row.len() == header.len() + 1);
    let column = |at: usize| -> Option<Vec<f64>> {
        let number = |row: &Vec<String>| row.get(at)?.trim().replace(',', ".").parse().ok();
        sample.iter().map(number).collect()
    };
    let rises = |values: &[f64]| values.windows(2).all(|pair| pair[1] > pair[0]);
    let Some(first) = column(0).filter(|_| whole && sample.len() > 2) else { return false };
    let is_clock = header.first().is_some_and(|name| is_clock(name));
    let second_rises = || match column(1) {
        Some(second) => rises(&second),
        None => sample
            .iter()
            .all(|row| row.get(1).is_some_and(|c| clock::parse(c.as_bytes()).is_some())),
    };
    let by_one = || first.windows(2).all(|pair| pair[1] - pair[0] == 1.0);
    first.iter().all(|value| value.fract() == 0.0)
        && rises(&first)
        && if is_clock { second_rises() } else { by_one() }
}

/// The name of a date that stands, with its clock, under one name.
const DATE: &str = "Date";

/// Whether the name of the clock stands for two cells, a date and a clock: every name
/// behind it then holds for the cell to its right.
fn is_date(header: &[String], sample: &[Vec<String>]) -> bool {
    let stamp = |row: &Vec<String>, at: usize| clock::parse(row.get(at)?.as_bytes());
    let date = |row| stamp(row, 0).is_some_and(|s| s.date.is_some() && s.time.is_none());
    let time = |row| stamp(row, 1).is_some_and(|s| s.date.is_none() && s.time.is_some());
    header.first().is_some_and(|name| is_clock(name))
        && sample.len() > 2
        && sample.iter().all(|row| row.len() == header.len() + 1 && date(row) && time(row))
}

/// Where the parts of a second stand that a comma, which parts the cells as well, took off
/// their clock, and what they are called: `12:00:00,123` is two cells then.
pub fn parts(sample: &[Vec<String>], width: usize) -> Option<(usize, &'static str)> {
    let cells =
        |at: usize| sample.iter().map(move |row| row.get(at).map_or("", |cell| cell.trim()));
    let is_whole = |cell: &str| {
        clock::parse(cell.as_bytes()).and_then(|stamp| stamp.time).is_some_and(|t| t.decimals == 0)
    };
    let digits = |at: usize| {
        let length = cells(at).next()?.len();
        let alike = |cell: &str| cell.len() == length && cell.bytes().all(|b| b.is_ascii_digit());
        cells(at).all(alike).then_some(length)
    };
    (1..width).filter(|&at| cells(at - 1).all(is_whole)).find_map(|at| match digits(at)? {
        3 => Some((at, "ms")),
        6 => Some((at, "µs")),
        _ => None,
    })
}
