//! What the page shows, as a value: finished text in the reader's units.
//!
//! In: a [`Sheet`], the [`Day`] it was made from, and the [`Units`]. Out: a
//! [`Report`] of seven parts, each a question with its answer, its evidence and how
//! it was worked out. Every number leaves here with its unit, every timing with
//! its ±; what is not known is a dash.
//!
//! Invariants: knows no browser and no clock; works nothing out that the sheet
//! does not hold, but for counting, picking and rounding for the eye.
//!
//! Start at [`report`]; [`state`] is the page's one value, [`edit`] what a reader
//! can change.

pub mod air;
pub mod builds;
pub mod clock;
pub mod edit;
pub mod handover;
pub mod heat;
pub mod labels;
pub mod launches;
pub mod limits;
pub mod matrix;
pub mod power;
pub mod pulls;
pub mod read;
pub mod state;
pub mod text;
pub mod verdict;

use crate::chart::ChartId;
use crate::day::Day;
use crate::sheet::{ReasonRow, Sheet};
pub use crate::unit::reader::Units;

/// The whole document, top to bottom.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    pub title: String,
    pub read: read::Read,
    pub air: air::Air,
    pub pulls: pulls::Pulls,
    pub clock: clock::Clock,
    pub heat: heat::Heat,
    pub builds: builds::Builds,
    pub handover: handover::Handover,
}

/// What every part opens with, and what is folded at its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    pub question: &'static str,
    /// The first sentence answers; the others name what else must be known.
    pub answer: Vec<Sentence>,
    pub how: Vec<How>,
    /// Shown once, in the part where they matter.
    pub cautions: Vec<&'static str>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Sentence {
    pub text: String,
    pub tone: Tone,
}

/// How a verdict weighs. Always shown with a word and a sign, never by colour alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    Plain,
    Good,
    Doubt,
    Bad,
}

/// One method: what was done, from what, and on whose word.
#[derive(Debug, Clone, PartialEq)]
pub struct How {
    pub method: String,
    pub inputs: Vec<String>,
    pub source: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    pub caption: String,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    pub head: String,
    pub numeric: bool,
}

/// The first cell names the row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub cells: Vec<Cell>,
    /// Set aside, void, or not comparable: drawn pale.
    pub pale: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    pub text: String,
    pub tone: Tone,
    /// The mark of the sheet that this cell shows, with its value as in the JSON.
    pub mark: Option<(String, String)>,
}

/// A chart to be asked for, under the title that states its finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub id: ChartId,
    pub title: String,
    /// What is drawn and how to read it, one or two sentences.
    pub note: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    pub code: String,
    pub text: String,
}

/// Makes the document.
pub fn report(sheet: &Sheet, day: &Day, units: &Units) -> Report {
    Report {
        title: title(sheet, day),
        read: read::part(sheet),
        air: air::part(sheet, day, units),
        pulls: pulls::part(sheet, units),
        clock: clock::part(sheet, units),
        heat: heat::part(sheet, day, units),
        builds: builds::part(sheet, day, units),
        handover: handover::part(sheet, day, units),
    }
}

/// The day's own title, or the logs it is of.
fn title(sheet: &Sheet, day: &Day) -> String {
    if let Some(title) = day.title.as_ref().or(sheet.title.as_ref()) {
        return title.clone();
    }
    match sheet.logs.as_slice() {
        [] => "No log yet".to_owned(),
        [one] => one.name.clone(),
        [first, others @ ..] => {
            format!("{} and {}", first.name, counted(others.len(), "other"))
        }
    }
}

impl Sentence {
    pub fn plain(text: impl Into<String>) -> Self {
        Sentence { text: text.into(), tone: Tone::Plain }
    }

    pub fn new(tone: Tone, text: impl Into<String>) -> Self {
        Sentence { text: text.into(), tone }
    }
}

impl How {
    pub fn new(method: &str, inputs: Vec<String>, source: &str) -> Self {
        How { method: method.to_owned(), inputs, source: source.to_owned() }
    }
}

impl Column {
    pub fn text(head: impl Into<String>) -> Self {
        Column { head: head.into(), numeric: false }
    }

    pub fn number(head: impl Into<String>) -> Self {
        Column { head: head.into(), numeric: true }
    }
}

impl Cell {
    pub fn new(text: impl Into<String>) -> Self {
        Cell { text: text.into(), tone: Tone::Plain, mark: None }
    }

    pub fn toned(text: impl Into<String>, tone: Tone) -> Self {
        Cell { text: text.into(), tone, mark: None }
    }
}

impl Row {
    pub fn new(cells: Vec<Cell>) -> Self {
        Row { cells, pale: false }
    }
}

impl From<&ReasonRow> for Note {
    fn from(row: &ReasonRow) -> Self {
        Note { code: row.code.clone(), text: row.text.clone() }
    }
}

fn notes(rows: &[ReasonRow]) -> Vec<Note> {
    rows.iter().map(Note::from).collect()
}

/// Several texts as one sentence part: "a, b and c".
pub fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// "1 pull", "3 pulls", "no pull": for nouns that take a plain s.
pub fn counted(count: usize, noun: &str) -> String {
    match count {
        0 => format!("no {noun}"),
        1 => format!("1 {noun}"),
        _ => format!("{count} {noun}s"),
    }
}

/// A sentence begins with a capital, also when it begins with a counted noun.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A value as the sheet's JSON writes it, for checks against the command.
fn raw(value: Option<f64>) -> String {
    serde_json::to_string(&value).unwrap_or_default()
}

#[cfg(test)]
pub(crate) mod tests;
