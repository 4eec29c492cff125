//! Why a text cannot be read as a table, in words: where, and what to do.

use super::header::Heading;
use super::table::{Column, Table};
use super::time::Clock;
use crate::log::LogError;
use crate::log::limits::{COLUMNS_LIMIT, LINE_LIMIT};
use crate::log::names::shown;
use crate::log::timeline::{Places, Timeline};

pub fn name_torn(file: &str, line: u64, name: &str) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        format!(
            "the name {} is torn in two: its quotation mark stands behind a blank.",
            shown(name.trim())
        ),
        "Save the log again without blanks between a separator and a quotation mark.",
    )
}

pub fn several_kinds(file: &str, lines: &str, tags: &[&str]) -> LogError {
    let tags: Vec<String> = tags.iter().map(|tag| format!("\"{}\"", shown(tag))).collect();
    LogError::at(
        file,
        lines,
        format!(
            "records of several kinds stand among one another, told by their first cell ({}), each \
             with names of its own.",
            tags.join(", ")
        ),
        "Save the records of each kind as a file of their own, and open these together.",
    )
}

pub fn commas_unquoted(file: &str, line: u64, header: usize, width: usize) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        format!(
            "the header names {header} columns but the lines below hold {width} cells: the comma is \
             both decimal sign and separator."
        ),
        "Save the log again with semicolons or tabs between the cells.",
    )
}

pub fn too_many_columns(file: &str, line: u64, columns: usize) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        format!("there are {columns} cells in one line; {COLUMNS_LIMIT} columns are the most."),
        "Save the log with one record a line, or with fewer channels.",
    )
}

pub fn line_too_long(file: &str, line: u64, bytes: usize) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        format!("the line is {bytes} bytes long; {LINE_LIMIT} are the most."),
        "Save the log as a table with one record a line.",
    )
}

/// A clock that stands: nearly all records have the time of another, and the columns have
/// a reading in each of them.
pub fn standing_clock(
    file: &str,
    table: &Table,
    clock: &Clock,
    headings: &[Heading],
    timeline: &Timeline,
) -> Option<LogError> {
    const FEWEST: usize = 20;
    const ONE_IN: usize = 10;
    let records = timeline.time_s.iter().filter(|t| t.is_finite()).count();
    let (rising, _) = timeline.rising(Places { word: "line", at: &table.lines });
    let is_full = |(at, column): (usize, &Column)| {
        !clock.used.contains(&at) && column.value.len() * 2 > table.lines.len()
    };
    let stands = records >= FEWEST && rising * ONE_IN < records;
    if !stands || !table.columns.iter().enumerate().any(is_full) {
        return None;
    }
    let name = clock.used.first().and_then(|&at| headings.get(at)).map_or("time", |h| &h.name);
    Some(LogError::at(
        file,
        format!("column \"{name}\""),
        format!("only {rising} of {records} records have a time of their own: it tells no time."),
        "If it was rounded when it was saved, save the log with all digits of its times; if it holds \
         the seconds from one record to the next, add them up in a column of their own.",
    ))
}

pub fn no_times(file: &str) -> LogError {
    LogError::at(
        file,
        "time column",
        "no record has a time that can be read.",
        "Check the time column and save the log again.",
    )
}
