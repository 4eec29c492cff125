//! Cells parted by blanks, as statistics programs and old loggers print them.
//!
//! In: a text that is no table otherwise. Out: the same with tabs between its cells, or
//! `None` where its lines do not hold one number of readings.

use super::cells;
use super::sniff::is_reading;
use crate::log::limits::HEAD_LINES_LIMIT;
use crate::log::units;

/// A text whose cells are parted by blanks, with tabs in their place, line by line. `None`
/// where its lines do not hold one number of readings, or hold a tab already.
pub fn to_tabs(text: &str) -> Option<String> {
    let lines = || text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    if lines().any(|line| line.contains('\t')) {
        return None;
    }
    let readings = |line: &str| {
        let cells = || line.split_ascii_whitespace();
        cells().all(|cell| is_reading(cell) || cells::is_blank(cell)).then(|| cells().count())
    };
    let widths: Vec<usize> = lines().filter_map(readings).filter(|width| *width > 1).collect();
    let width = *widths.get(widths.len() / 2)?;
    let alike = widths.iter().filter(|other| **other == width).count();
    if widths.len() < 2 || alike * 10 < widths.len() * 9 || widths.len() * 2 < lines().count() {
        return None;
    }
    let mut tabbed = String::with_capacity(text.len());
    for line in text.lines() {
        // Names may hold single blanks where columns are set apart by several.
        let by_two: Vec<&str> = line.split("  ").map(str::trim).filter(|c| !c.is_empty()).collect();
        let mut by_one: Vec<&str> = line.split_ascii_whitespace().collect();
        let names = by_one.iter().all(|cell| !is_reading(cell));
        match by_one.len() {
            // The sign of a comment stands before the names.
            count if names && count == width + 1 && matches!(by_one[0], "#" | "%" | "//") => {
                by_one.remove(0);
            }
            // A statistics program names its columns and not the row numbers in front.
            count if names && count + 1 == width && counts_rows(text) => by_one.insert(0, ""),
            _ => {}
        }
        let by_unit = if names && by_one.len() > width { by_units(line) } else { Vec::new() };
        let cells = match width {
            width if by_two.len() == width => by_two,
            width if by_unit.len() == width => by_unit,
            // Which names belong to which cells cannot be told.
            width
                if names
                    && by_one.len() > width + 1
                    && line_of_names(text) == Some(line)
                    && !is_named_below(text, line, width) =>
            {
                return None;
            }
            _ => by_one,
        };
        tabbed.push_str(&cells.join("\t"));
        tabbed.push('\n');
    }
    Some(tabbed)
}

fn line_of_names(text: &str) -> Option<&str> {
    text.lines().find(|line| !line.trim().is_empty())
}

/// Whether a line further down the head has a name for every cell: what is above is a title.
fn is_named_below(text: &str, line: &str, width: usize) -> bool {
    let below = text.lines().skip_while(|other| *other != line).skip(1).take(HEAD_LINES_LIMIT);
    below.into_iter().any(|other| {
        let count = other.split_ascii_whitespace().filter(|cell| !is_reading(cell)).count();
        count == width && other.split_ascii_whitespace().count() == width
    })
}

/// Names of several words, each with its unit in brackets behind it; none where one is not so.
fn by_units(line: &str) -> Vec<&str> {
    let ends = line.match_indices([')', ']']).map(|(at, _)| at + 1);
    let mut from = 0;
    let names: Vec<&str> =
        ends.map(|end| line[std::mem::replace(&mut from, end)..end].trim()).collect();
    let is_one = |name: &&str| {
        let parts = name.split_once(['(', '[']);
        parts.is_some_and(|(own, unit)| !own.trim().is_empty() && units::spelled(unit).is_some())
    };
    let all = line[from..].trim().is_empty() && names.iter().all(is_one);
    if all { names } else { Vec::new() }
}

/// Whether lines begin with 1, 2, 3: the rows, counted.
fn counts_rows(text: &str) -> bool {
    let first = |line: &str| line.split_ascii_whitespace().next()?.trim_matches('"').parse().ok();
    let numbers: Vec<u64> = text.lines().skip(1).take(20).filter_map(first).collect();
    numbers.len() > 1 && numbers.iter().zip(1..).all(|(number, row)| *number == row)
}
