//! What a table is and what was odd about it, in words.

use super::cells::Decimal;
use super::header::Heading;
use super::sniff::Shape;
use super::table::{self, Column, Kind, Table};
use crate::log::{HEADLESS, LogError, Problem};

/// Columns that are told by name in one sentence.
const MOST_NAMED: usize = 8;

pub fn texts(column: &Column, heading: &Heading, problems: &mut Vec<Problem>) {
    if column.text_count == 0 {
        return;
    }
    let texts: Vec<String> =
        column.texts.iter().take(3).map(|text| format!("\"{text}\"")).collect();
    let (name, texts, line) = (&heading.name, texts.join(", "), column.first_text_line);
    let text = match column.text_count {
        1 => format!(
            "\"{name}\": the cell in line {line} is no number ({texts}) and was left blank."
        ),
        all => format!(
            "\"{name}\": {all} cells are no numbers ({texts}) and were left blank, the first in \
             line {line}."
        ),
    };
    problems.push(Problem { code: "cells_unread", text });
}

/// Rows of factors and offsets between the names and the records: the numbers are counts of
/// a converter, and shown as they are they would be read for the thing itself.
pub fn scales(file: &str, table: &Table, clock: &[usize]) -> Option<LogError> {
    const WORDS: [&str; 10] = [
        "factor",
        "offset",
        "gain",
        "scale",
        "faktor",
        "multiplier",
        "slope",
        "facteur",
        "fattore",
        "skalierung",
    ];
    let is_scale =
        |text: &str| WORDS.contains(&text.trim_matches([':', ' ']).to_lowercase().as_str());
    let is_label = |text: &&String| is_scale(text);
    let said = table.columns.iter().filter(|column| column.text_count <= column.texts.len() as u64);
    let labelled = said.into_iter().find_map(|column| {
        Some((column.first_text_line, column.texts.iter().find(is_label)?.as_str()))
    });
    let (line, what) = match labelled {
        Some((line, text)) => (line, format!("a row says \"{text}\" for the columns")),
        None if begins_with_scales(table, clock) => (
            u64::from(*table.lines.first()?),
            "the first two records are factors and offsets of the columns".to_owned(),
        ),
        None => return None,
    };
    Some(LogError::at(
        file,
        format!("line {line}"),
        format!("{what}: what is below are raw counts."),
        "Export the log in physical values, with the factors and offsets applied.",
    ))
}

/// A factor of 1 and an offset of 0 in the column of the clock, which begins behind them;
/// no factor is 0.
fn begins_with_scales(table: &Table, clock: &[usize]) -> bool {
    let [at] = *clock else { return false };
    let dense = |column: &&Column| column.record.is_none() && column.stamps.is_empty();
    let times = table.columns.get(at).filter(dense).map(|column| column.value.as_slice());
    let Some([1.0, 0.0, begin, next, ..]) = times else { return false };
    let factors: Vec<f64> =
        table.columns.iter().filter(dense).filter_map(|c| c.value.first().copied()).collect();
    next > begin
        && factors.len() > 2
        && factors.iter().all(|factor| *factor != 0.0)
        && factors.iter().any(|factor| factor.fract() != 0.0)
}

/// Columns in which some cells have decimal commas and others points.
pub fn mixed_signs(kinds: &[Kind], headings: &[Heading]) -> Option<Problem> {
    let mixed = kinds.iter().zip(headings).filter(|(kind, _)| {
        matches!(
            kind,
            Kind::Number(Decimal::Either)
                | Kind::Gear(Decimal::Either)
                | Kind::Position(Decimal::Either)
        )
    });
    let names: Vec<String> =
        mixed.take(MOST_NAMED).map(|(_, heading)| format!("\"{}\"", heading.name)).collect();
    let text = format!(
        "Some lines have decimal commas and others decimal points ({}); each was read as the decimal \
         sign, and never as parting thousands.",
        names.join(", ")
    );
    (!names.is_empty()).then_some(Problem { code: "decimals_mixed", text })
}

/// `ragged` says what became of records with other than all cells, if they were not read.
pub fn oddities(
    table: &Table,
    shape: &Shape,
    ragged: Option<&'static str>,
    problems: &mut Vec<Problem>,
) {
    let odd = &table.odd;
    let counted = [
        (
            odd.short,
            "rows_short",
            ["has fewer cells than the header", "have fewer cells than the header"],
            ragged.unwrap_or("what is there was read"),
        ),
        (
            odd.long,
            "rows_long",
            ["has more cells than the header", "have more cells than the header"],
            ragged.unwrap_or("the cells beyond it were left out"),
        ),
        (
            odd.no_record,
            "rows_dropped",
            ["holds no reading", "hold no reading"],
            "nothing of it was used",
        ),
        (
            odd.header_again,
            "header_repeated",
            ["repeats the header", "repeat the header"],
            "the table was read on below",
        ),
        (
            odd.open_quote,
            "open_quote",
            [
                "opens a quotation mark that is never closed",
                "open a quotation mark that is never closed",
            ],
            "what follows was read line by line",
        ),
    ];
    for (count, code, says, done) in counted.into_iter().filter(|(count, ..)| count.count > 0) {
        problems.push(Problem { code, text: format!("{}; {done}.", lines(count, says)) });
    }
    if let Some(line) = odd.cut_last {
        let text = format!("Line {line}, the last, was cut short and was left out.");
        problems.push(Problem { code: "cut_short", text });
    }
    if let Some(line) = shape.header_line {
        let nameless = shape.header.iter().rev().take_while(|name| name.is_empty()).count();
        let columns = table.columns.iter().rev().take(nameless);
        let filled = columns.filter(|column| !column.value.is_empty()).count();
        let text = format!(
            "The records have {} more than line {line} has names; what is furthest right was taken to be \
             what has none. Were it another, names would stand over their neighbours.",
            if filled == 1 { "one cell".to_owned() } else { format!("{filled} cells") }
        );
        problems.extend((filled > 0).then_some(Problem { code: "name_missing", text }));
    } else {
        let text =
            "No line names the columns; they are numbered. Give each its role by hand.".to_owned();
        problems.push(Problem { code: HEADLESS, text });
    }
}

/// One line by its number, or how many and the first, with what they do.
fn lines(count: table::Count, [one, many]: [&str; 2]) -> String {
    match count.count {
        1 => format!("Line {} {one}", count.first_line),
        all => format!("{all} lines, the first being line {}, {many}", count.first_line),
    }
}

/// How the form of a table was found, in one line.
pub fn form_found(shape: &Shape, kinds: &[Kind], encoding: &str, clock: &str) -> String {
    let delimiter = match shape.delimiter {
        b',' => "comma",
        b';' => "semicolon",
        b'\t' => "tab",
        _ => "bar",
    };
    let comma = kinds.iter().any(|kind| matches!(kind, Kind::Number(Decimal::Comma)));
    let decimal = if comma { "decimal comma" } else { "decimal point" };
    let header = match shape.header_line {
        Some(line) => format!("header in line {line}"),
        None => "no header".to_owned(),
    };
    let units = if shape.units.is_empty() { "" } else { ", units in a row of their own" };
    format!("{encoding}, {delimiter} between cells, {decimal}, {header}{units}, {clock}")
}
