//! Why a text cannot be read as a table, in words: where, and what to do.

use crate::log::LogError;
use crate::log::limits::{COLUMNS_LIMIT, LINE_LIMIT};
use crate::log::names::shown;

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

pub fn no_times(file: &str) -> LogError {
    LogError::at(
        file,
        "time column",
        "no record has a time that can be read.",
        "Check the time column and save the log again.",
    )
}
