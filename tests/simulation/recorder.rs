//! The recorder: rows of text as a logger writes them, in its own dialect.
//!
//! In: signals and a [`Dialect`]. Out: the text of a log and when its first row was.
//! Values are shown as logged: what the sensors made of the truth is not touched again,
//! beyond the digits of the column.

use super::random::Chance;
use super::sensors::Signal;

/// A column: its header, its unit as written, and how its numbers look.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    pub name: String,
    pub unit: String,
    /// Shown is reading times `gain` plus `offset`.
    pub gain: f64,
    pub offset: f64,
    pub decimals: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeForm {
    /// Seconds since the first row, to three digits.
    Seconds,
    Milliseconds,
    /// hh:mm:ss.fff from a start in seconds of the day.
    Clock {
        start_s: u32,
    },
    /// On one date, in UTC.
    Iso {
        date: &'static str,
        start_s: u32,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Dialect {
    pub preamble: Vec<String>,
    pub delimiter: char,
    pub decimal_comma: bool,
    pub time_name: String,
    pub time_unit: String,
    pub time_form: TimeForm,
    /// Units stand in a row of their own, or in brackets behind the name, or nowhere.
    pub units: Units,
    /// A value that is not new: repeated, or this instead.
    pub stale: Option<&'static str>,
    pub line_end: &'static str,
}

impl Dialect {
    /// Commas, a point, seconds, units in brackets.
    pub fn plain(stale: Option<&'static str>) -> Dialect {
        Dialect {
            preamble: Vec::new(),
            delimiter: ',',
            decimal_comma: false,
            time_name: "Time".to_owned(),
            time_unit: "s".to_owned(),
            time_form: TimeForm::Seconds,
            units: Units::Square,
            stale,
            line_end: "\n",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    Row,
    Square,
    Round,
    Nowhere,
}

/// When rows are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rows {
    pub rate_hz: f64,
    /// Standard deviation of a row's instant.
    pub jitter_s: f64,
    /// Share of rows that are lost.
    pub lost: f64,
    pub from_s: f64,
    pub to_s: f64,
}

/// A log, and the true time of its first row, from which its own clock counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    pub text: String,
    pub first_row_s: f64,
}

pub fn record(
    columns: &[(Column, Signal)],
    dialect: &Dialect,
    rows: &Rows,
    chance: &mut Chance,
) -> Recording {
    let mut text = String::new();
    head(&mut text, columns, dialect);
    let times = row_times(rows, chance);
    let first_row_s = times.first().copied().unwrap_or(0.0);
    let mut before_s = f64::NEG_INFINITY;
    for &now_s in &times {
        let shown_s = ((now_s - first_row_s) * 1000.0).round() / 1000.0;
        text.push_str(&comma(&time(shown_s, dialect.time_form), dialect));
        for (column, signal) in columns {
            text.push(dialect.delimiter);
            text.push_str(&cell(column, signal.newest(now_s, before_s), dialect));
        }
        text.push_str(dialect.line_end);
        before_s = now_s;
    }
    Recording { text, first_row_s }
}

fn row_times(rows: &Rows, chance: &mut Chance) -> Vec<f64> {
    let count = ((rows.to_s - rows.from_s) * rows.rate_hz) as usize;
    let limit_s = 0.4 / rows.rate_hz;
    let mut times = Vec::new();
    for k in 0..=count {
        let late_s = (rows.jitter_s * chance.normal()).clamp(-limit_s, limit_s);
        let lost = chance.happens(rows.lost);
        if !lost || k == 0 {
            times.push(rows.from_s + k as f64 / rows.rate_hz + late_s);
        }
    }
    times
}

fn head(text: &mut String, columns: &[(Column, Signal)], dialect: &Dialect) {
    for line in &dialect.preamble {
        text.push_str(line);
        text.push_str(dialect.line_end);
    }
    let first = titled(&dialect.time_name, &dialect.time_unit, dialect.units);
    let names = columns.iter().map(|(column, _)| titled(&column.name, &column.unit, dialect.units));
    row(text, std::iter::once(first).chain(names), dialect);
    if dialect.units == Units::Row {
        let units = columns.iter().map(|(column, _)| column.unit.clone());
        row(text, std::iter::once(dialect.time_unit.clone()).chain(units), dialect);
    }
}

fn titled(name: &str, unit: &str, units: Units) -> String {
    match units {
        Units::Square if !unit.is_empty() => format!("{name} [{unit}]"),
        Units::Round if !unit.is_empty() => format!("{name} ({unit})"),
        _ => name.to_owned(),
    }
}

fn row(text: &mut String, cells: impl Iterator<Item = String>, dialect: &Dialect) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            text.push(dialect.delimiter);
        }
        text.push_str(&cell);
    }
    text.push_str(dialect.line_end);
}

fn cell(column: &Column, newest: Option<(f64, bool)>, dialect: &Dialect) -> String {
    let Some((value, fresh)) = newest else {
        return dialect.stale.unwrap_or("").to_owned();
    };
    if let (false, Some(instead)) = (fresh, dialect.stale) {
        return instead.to_owned();
    }
    let shown = value * column.gain + column.offset;
    let text = format!("{shown:.*}", column.decimals);
    // A rounded nothing has no sign.
    let zero = text.starts_with('-') && !text.contains(|c: char| ('1'..='9').contains(&c));
    comma(if zero { &text[1..] } else { &text }, dialect)
}

fn comma(text: &str, dialect: &Dialect) -> String {
    if dialect.decimal_comma { text.replace('.', ",") } else { text.to_owned() }
}

fn time(shown_s: f64, form: TimeForm) -> String {
    let clock = |start_s: u32| {
        let ms = (shown_s * 1000.0).round() as u64 + u64::from(start_s) * 1000;
        let (s, ms) = (ms / 1000 % 86_400, ms % 1000);
        format!("{:02}:{:02}:{:02}.{ms:03}", s / 3600, s / 60 % 60, s % 60)
    };
    match form {
        TimeForm::Seconds => format!("{shown_s:.3}"),
        TimeForm::Milliseconds => format!("{:.0}", shown_s * 1000.0),
        TimeForm::Clock { start_s } => clock(start_s),
        TimeForm::Iso { date, start_s } => format!("{date}T{}Z", clock(start_s)),
    }
}
