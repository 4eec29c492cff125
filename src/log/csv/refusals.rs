//! Why a text cannot be read as a table, in words: where, and what to do.

use super::counter;
use super::header::{Heading, is_time};
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

pub fn lines_led(file: &str, line: u64) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        "something that is no cell stands before every line, and no table is behind it.",
        "Save the lines without it, and open them again.",
    )
}

/// A program that prints tables as wide as its window goes on below with further columns.
pub fn folded(file: &str, line: u64) -> LogError {
    LogError::at(
        file,
        format!("line {line}"),
        "the names end in \"\\\": the table was folded, and its further columns stand below the first.",
        "Save the table as CSV instead of printing it, and open that.",
    )
}

/// Records of several sources that take turns: two cars, two devices.
pub fn several_sources(file: &str, name: &str, sources: &[&str]) -> LogError {
    let sources: Vec<String> = sources.iter().map(|s| format!("\"{}\"", shown(s))).collect();
    LogError::at(
        file,
        format!("column \"{}\"", shown(name)),
        format!(
            "every time stands there once for each of {}: the records of several sources are mixed.",
            sources.join(", ")
        ),
        "Save the records of each as a file of their own, and open these together.",
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

/// Columns that only rise and cannot.
pub fn sorted_apart(file: &str, names: &[&str]) -> LogError {
    let what = format!(
        "\"{}\" only rise from the first record to the last: each was sorted for itself, and what \
         stands in one record was not measured together.",
        names.join("\", \"")
    );
    LogError::at(file, "records", what, "Open the log as it was before it was sorted.")
}

pub fn no_times(file: &str) -> LogError {
    LogError::at(
        file,
        "time column",
        "no record has a time that can be read.",
        "Check the time column and save the log again.",
    )
}

/// No column is a rising time.
pub fn no_clock(file: &str, table: &Table, headings: &[Heading]) -> LogError {
    if let [line] = table.lines[..] {
        let what = "there is only one record; a drive needs at least two.";
        return LogError::at(file, format!("line {line}"), what, "Open a longer log.");
    }
    if let Some(at) = headings.iter().position(|heading| is_time(&heading.words)) {
        let name = &headings[at].name;
        let what = match table.columns.get(at).is_some_and(|column| !column.value.is_empty()) {
            true => format!("\"{name}\" does not rise from record to record."),
            false => format!("\"{name}\" holds no time that can be read."),
        };
        let remedy = "Log a running time with every record, and open the new log.";
        return LogError::at(file, format!("column {}", at + 1), what, remedy);
    }
    let names: Vec<&str> = headings.iter().take(6).map(|heading| heading.name.as_str()).collect();
    LogError::at(
        file,
        "header",
        format!("no column is a rising time (columns: {}).", names.join(", ")),
        match counter::named(headings) {
            Some(name) => format!(
                "\"{name}\" only counts: write above the table how often records were logged, as in \
                 \"Sample rate: 50 Hz\", or log the time, and open it again."
            ),
            None => {
                "Log the time with every record, or name its column \"time\" with its unit, and \
                     open it again."
                    .to_owned()
            }
        },
    )
}
