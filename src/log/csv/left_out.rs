//! Columns, or the rest of one, that give no readings: each is said by its name.
//!
//! In: the table as read. Out: problems. A column ends as a channel, as a clock, or here;
//! one without a name and without anything in it is none.

use std::collections::{BTreeMap, BTreeSet};

use super::header::Heading;
use super::table::{Column, Table};
use crate::log::Problem;

/// Columns and texts that are told by name in one sentence.
const MOST_NAMED: usize = 20;
const MOST_TEXTS: usize = 2;

/// What is said of the columns that became nothing, by what stands in them.
pub fn columns(table: &Table, headings: &[Heading], left: &[usize]) -> Option<Problem> {
    let parts = left.iter().filter_map(|&at| {
        let (column, heading) = (table.columns.get(at)?, headings.get(at)?);
        let holds = content(column);
        (holds.is_some() || !heading.is_nameless).then(|| {
            format!("\"{}\" ({})", heading.name, holds.unwrap_or_else(|| "blank".to_owned()))
        })
    });
    let parts: Vec<String> = parts.collect();
    let text = match parts.as_slice() {
        [] => return None,
        [one] => format!("One column has no numbers and is no channel: {one}."),
        all => format!(
            "{} columns have no numbers and are no channels: {}.",
            all.len(),
            listed(all, MOST_NAMED)
        ),
    };
    Some(Problem { code: "columns_left_out", text })
}

/// The clocks that the times are not from, for the line on how the form was found.
pub fn clocks(headings: &[Heading], beside: &BTreeSet<usize>) -> String {
    let named: Vec<String> =
        beside.iter().filter_map(|&at| Some(format!("\"{}\"", headings.get(at)?.name))).collect();
    if named.is_empty() {
        String::new()
    } else {
        format!(", also clocks: {}", listed(&named, MOST_NAMED))
    }
}

/// What stands in a column that gave no number.
fn content(column: &Column) -> Option<String> {
    if !column.stamps.is_empty() {
        return Some("dates or times".to_owned());
    }
    let texts: Vec<String> =
        column.texts.iter().take(MOST_TEXTS).map(|text| format!("\"{text}\"")).collect();
    let more = if column.texts.len() > MOST_TEXTS { ", …" } else { "" };
    (!texts.is_empty()).then(|| texts.join(", ") + more)
}

fn listed(all: &[String], most: usize) -> String {
    let (told, more) = all.split_at(all.len().min(most));
    match more.len() {
        0 => told.join(", "),
        more => format!("{} and {more} more", told.join(", ")),
    }
}

/// Columns whose readings cease while other columns go on, by the record they cease in.
#[derive(Default)]
pub struct Ceased(BTreeMap<usize, Vec<String>>);

impl Ceased {
    /// Fewest readings of which it can be said how often they come, and fewest records
    /// without one behind them.
    const FEWEST: usize = 20;
    /// So many times the longest pause before: it does not come again.
    const LONGER: usize = 10;

    /// Looks at a column of a table that goes on for so many records.
    pub fn look(&mut self, column: &Column, name: &str, records: usize) {
        let Some(last) = column.value.len().checked_sub(1) else { return };
        let first_without = column.record_of(last) + 1;
        let without = records.saturating_sub(first_without);
        // Where words stand instead, that was said.
        if last < Self::FEWEST || without < Self::FEWEST || column.text_count > 0 {
            return;
        }
        let pause = |at: usize| column.record_of(at + 1) - column.record_of(at);
        let longest = match &column.record {
            Some(_) => (0..last).map(pause).max().unwrap_or(1),
            None => 1,
        };
        if without > Self::LONGER * longest {
            self.0.entry(first_without).or_default().push(format!("\"{name}\""));
        }
    }

    pub fn problems(&self, lines: &[u32]) -> Vec<Problem> {
        let told = |(&record, names): (&usize, &Vec<String>)| {
            let text = format!(
                "{} {} no reading from line {} on, for {} records up to the end: lost there, it was \
                 not carried on.",
                listed(names, MOST_NAMED),
                if names.len() == 1 { "has" } else { "have" },
                lines.get(record)?,
                lines.len() - record
            );
            Some(Problem { code: "column_ceases", text })
        };
        self.0.iter().filter_map(told).collect()
    }
}
