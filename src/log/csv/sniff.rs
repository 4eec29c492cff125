//! The shape of a text table: delimiter, decimal sign, header, unit row, first record.
//!
//! In: decoded text. Out: a [`Shape`], or an error that says what is missing. Only
//! the first lines and a spread of later ones are looked at; nothing is kept.
//!
//! Method: every delimiter is tried on the first lines; the one under which most
//! cells of equally long lines are readings wins. The header is the line above
//! the first record in which most cells are names.

use std::borrow::Cow;
use std::cell::OnceCell;

use super::cells::{self, Cell, Decimal};
use super::refusals::{
    commas_unquoted, folded, line_too_long, name_torn, several_kinds, too_many_columns,
};
use super::split::{DELIMITERS, split};
use super::{above, nameless, number};
use crate::log::limits::{COLUMNS_LIMIT, HEAD_LINES_LIMIT, LINE_LIMIT};
use crate::log::{LogError, clock, plain, text, units};

/// How a table is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    pub delimiter: u8,
    /// Where the first record starts: byte and line (from 1).
    pub data_at: usize,
    pub data_line: u64,
    /// The line of the header, when there is one.
    pub header_line: Option<u64>,
    /// One entry a column, as written.
    pub header: Vec<String>,
    /// The unit row, empty when there is none.
    pub units: Vec<String>,
    /// Lines before the header.
    pub preamble: Vec<String>,
    /// Records to decide decimal signs and the kinds of columns from: the first ones.
    pub sample: Vec<Vec<String>>,
    /// Cells in a usual record.
    pub width: usize,
}

/// A line of the head of the file.
struct Line<'a> {
    at: usize,
    number: u64,
    text: &'a str,
}

/// Lines looked at however long they are: names, units, and some records.
const FEWEST_LINES: usize = 8;
/// Lines over which one quoted name may go on.
const FURTHEST: usize = 4;
/// Lines over which a header may go on, name by name.
const FURTHEST_NAMES: usize = 400;
/// Rows above the first record that may hold names, units, groups.
const ROWS_ABOVE: usize = 4;
/// What a cell of text counts against one with a reading: the wrong delimiter leaves most
/// cells unreadable, the right one some.
const TEXT_WEIGHT: f64 = 0.4;

/// The shape of a table, from its first lines or more.
pub fn shape(file: &str, text: &str) -> Result<Shape, LogError> {
    let (lines, too_long, _) = head_lines(text);
    let best = DELIMITERS.into_iter().map(|delimiter| Candidate::of(&lines, delimiter)).fold(
        None,
        |best: Option<Candidate>, next| match best {
            Some(best) if best.score >= next.score => Some(best),
            _ => Some(next),
        },
    );
    match best {
        Some(best) if best.score > 0.0 => best.shape(file, &lines),
        _ => Err(too_long.map_or_else(
            || no_table(file, &lines),
            |(line, bytes)| line_too_long(file, line, bytes),
        )),
    }
}

/// The first lines that are not blank, fewer where they are long. One beyond the limit is taken as blank,
/// and the first such given with its length: it may be why no table is found. Last comes
/// where looking ended before the text did.
fn head_lines(text: &str) -> (Vec<Line<'_>>, Option<(u64, usize)>, Option<usize>) {
    let (mut lines, mut too_long, mut ended_at) = (Vec::new(), None, None);
    let (mut at, mut looked_at) = (0, 0);
    let mut rest = text.split_inclusive('\n');
    let mut next_number = 1;
    while let Some(line) = rest.next() {
        let number = next_number;
        let (line, further) = with_quoted_breaks(&text[at..], line.len(), rest.clone());
        rest.by_ref().take(further).for_each(drop);
        next_number += 1 + further as u64;
        if line.trim_ascii().is_empty() {
            at += line.len();
            continue;
        }
        let fits = line.len() <= LINE_LIMIT;
        if !fits {
            too_long.get_or_insert((number, line.len()));
        }
        let shown = if fits { line.trim_end_matches(['\r', '\n']) } else { "" };
        looked_at += shown.len();
        let enough = looked_at > LINE_LIMIT && lines.len() >= FEWEST_LINES;
        if enough || lines.len() >= HEAD_LINES_LIMIT {
            ended_at = Some(at);
            break;
        }
        lines.push(Line { at, number, text: shown });
        at += line.len();
    }
    (lines, too_long, ended_at)
}

/// Whether more text could not change the shape: all lines that are looked at are there,
/// with those that a quotation mark in the last of them may reach.
pub fn is_whole_head(text: &str) -> bool {
    let (.., ended_at) = head_lines(text);
    let further = |at: usize| text[at..].bytes().filter(|&b| b == b'\n').count();
    let reach = if text.contains('"') { FURTHEST_NAMES } else { FURTHEST };
    ended_at.is_some_and(|at| further(at) > reach)
}

/// A line from anywhere in the table, if it can be a record for the sample.
pub fn sampled(line: &[u8], shape: &Shape) -> Option<Vec<String>> {
    let line = text::lossy(line);
    let row = Row::of(&line, shape.delimiter);
    (row.is_record() && row.cells.len().abs_diff(shape.width) <= 1).then(|| row.plain())
}

/// A name may hold line breaks in quotation marks (RFC 4180, section 2, rule 6): the
/// line with what belongs to it, and how many further lines that are. A mark that
/// nothing closes within a few lines opens nothing.
fn with_quoted_breaks<'a>(
    text: &'a str,
    first: usize,
    rest: impl Iterator<Item = &'a str>,
) -> (&'a str, usize) {
    let odd = |line: &str| line.bytes().filter(|&b| b == b'"').count() % 2 == 1;
    let parts = |b: u8| DELIMITERS.contains(&b) || matches!(b, b'\r' | b'\n');
    let line = &text[..first];
    let opens = |line: &str| {
        let at = line.rfind('"').unwrap_or(0);
        line[..at].bytes().next_back().is_none_or(parts)
    };
    let closes = |line: &str| {
        let at = line.find('"').map_or(0, |at| at + 1);
        line[at..].bytes().next().is_none_or(parts)
    };
    if !odd(line) || !opens(line) {
        return (line, 0);
    }
    let (mut end, mut within) = (first, 0);
    for (further, next) in rest.take(FURTHEST_NAMES).enumerate() {
        end += next.len();
        within += 1;
        if odd(next) {
            return if closes(next) { (&text[..end], further + 1) } else { (line, 0) };
        }
        // One name ends here and the next begins.
        if next.contains('"') && closes(next) && opens(next) {
            within = 0;
        }
        if within >= FURTHEST {
            break;
        }
    }
    (line, 0)
}

/// One line under one delimiter.
struct Row<'a> {
    cells: Vec<Cow<'a, str>>,
    readings: usize,
    texts: usize,
    known_names: OnceCell<usize>,
}

impl<'a> Row<'a> {
    fn of(line: &'a str, delimiter: u8) -> Self {
        let mut cells = split(line, delimiter);
        // A delimiter at the end of every line adds no column.
        if cells.len() > 1 && cells.last().is_some_and(|cell| plain::cell(cell).is_empty()) {
            cells.pop();
        }
        let (mut readings, mut texts) = (0, 0);
        for cell in &cells {
            if is_reading(cell) {
                readings += 1;
            } else if cells::parse(cell.as_bytes(), Decimal::Point) != Cell::Blank {
                texts += 1;
            }
        }
        Row { cells, readings, texts, known_names: OnceCell::new() }
    }

    /// Whether this could be a record: most of what is written are readings.
    fn is_record(&self) -> bool {
        self.readings >= self.texts.max(1)
            // States in words beside the numbers: "TRUE, 2nd, Sport".
            || self.readings >= 2 && self.readings * 2 >= self.texts
    }

    /// The cells as their columns read them.
    fn plain(&self) -> Vec<String> {
        self.cells.iter().map(|cell| plain::cell(cell).into_owned()).collect()
    }

    /// The cells as written.
    fn owned(&self) -> Vec<String> {
        self.cells.iter().map(|cell| cell.clone().into_owned()).collect()
    }

    /// How many cells are names with a meaning here: tells the header from a title row.
    fn known_names(&self) -> usize {
        let known =
            |cell: &&Cow<str>| units::spelled(cell).is_none() && super::header::is_known(cell);
        *self.known_names.get_or_init(|| self.cells.iter().filter(known).count())
    }

    fn is_comment(&self) -> bool {
        self.cells.first().is_some_and(|cell| cell.trim_start().starts_with('#'))
    }

    fn is_names(&self) -> bool {
        self.texts > 0 && self.readings * 3 <= self.texts
    }
}

pub fn is_reading(cell: &str) -> bool {
    // As nearly every cell of every log.
    if number::long(cell.as_bytes(), b'.').is_some() {
        return true;
    }
    let number = |decimal| match cells::parse(cell.as_bytes(), decimal) {
        Cell::Number(_) => true,
        Cell::Measured(..) => !units::is_counted(cell),
        _ => false,
    };
    let cell = &*plain::cell(cell);
    let digits = cell.bytes().any(|b| b.is_ascii_digit());
    // "1/min" is a unit, and no reading of 1 in "/min".
    let counted = cell.trim_start_matches(|c: char| c == '[' || c == '(' || c.is_ascii_digit());
    let is_unit = counted.starts_with('/') && units::spelled(cell).is_some();
    digits
        && !is_unit
        && (number(Decimal::Point)
            || number(Decimal::Comma)
            || clock::parse_length(cell.as_bytes()).is_some())
}

/// A word, and neither a reading nor what stands for a blank.
pub fn is_text(cell: &str) -> bool {
    !is_reading(cell) && cells::parse(cell.as_bytes(), Decimal::Point) == Cell::Text
}

/// A delimiter and how well the head of the file reads under it.
struct Candidate<'a> {
    delimiter: u8,
    rows: Vec<Row<'a>>,
    width: usize,
    score: f64,
}

impl<'a> Candidate<'a> {
    fn of(lines: &[Line<'a>], delimiter: u8) -> Self {
        if !lines.iter().any(|line| line.text.as_bytes().contains(&delimiter)) {
            // One cell a line, and no table.
            return Candidate { delimiter, rows: Vec::new(), width: 1, score: 0.0 };
        }
        let rows: Vec<Row> = lines.iter().map(|line| Row::of(line.text, delimiter)).collect();
        let width = usual_width(&rows);
        let score = rows
            .iter()
            .filter(|row| row.cells.len() == width && row.is_record() && width > 1)
            // A time beside one text is no reading of anything.
            .filter(|row| row.readings >= 2 || row.readings > row.texts)
            .map(|row| row.readings as f64 - TEXT_WEIGHT * row.texts as f64)
            .sum();
        Candidate { delimiter, rows, width, score }
    }

    fn shape(mut self, file: &str, lines: &[Line]) -> Result<Shape, LogError> {
        let is_wide = |row: &Row| {
            row.cells.len() > COLUMNS_LIMIT && (row.is_names() || row.cells.len() == self.width)
        };
        if let Some(at) = self.rows.iter().position(is_wide) {
            return Err(too_many_columns(file, lines[at].number, self.rows[at].cells.len()));
        }
        let Some(first) = self.first_record() else { return Err(no_table(file, lines)) };
        let names_row = self.names_above(first);
        let unit_row = (first.saturating_sub(ROWS_ABOVE)..first)
            .find(|&at| Some(at) != names_row && self.holds_units(at, names_row));
        let mut header = names_row.map_or_else(Vec::new, |at| self.rows[at].owned());
        if self.fits_header(header.len()) {
            self.width = header.len();
        }
        let sample = self.sample(first);
        let tags = self.tags(first, &sample);
        if let ([first_tag, .., last_tag], Some(_)) = (&tags[..], names_row) {
            let place =
                format!("lines {} to {}", lines[first_tag.0].number, lines[last_tag.0].number);
            let tags: Vec<&str> = tags.iter().map(|(_, tag)| *tag).collect();
            return Err(several_kinds(file, &place, &tags));
        }
        if let Some(at) = names_row
            && let Some(name) = header.iter().find(|name| is_torn(name))
        {
            return Err(name_torn(file, lines[at].number, name));
        }
        if let Some(at) = names_row
            && unquoted_commas(self.delimiter, header.len(), self.width)
        {
            return Err(commas_unquoted(file, lines[at].number, header.len(), self.width));
        }
        if let Some(at) =
            names_row.filter(|_| header.last().is_some_and(|name| name.trim() == "\\"))
        {
            return Err(folded(file, lines[at].number));
        }
        let top = names_row.into_iter().chain(unit_row).min().unwrap_or(first);
        let mut units = unit_row.map_or_else(Vec::new, |at| self.rows[at].owned());
        let above = names_row.and_then(|at| at.checked_sub(1)).filter(|at| {
            let row = &self.rows[*at];
            Some(*at) != unit_row && row.readings == 0 && row.is_names() && !row.is_comment()
        });
        if let Some(at) = above {
            above::put(&mut header, &units, &self.rows[at].owned());
        }
        if header.len() + 1 == self.width
            && let Some(name) = nameless::first(&header, &sample)
        {
            header.insert(0, name.to_owned());
            if units.len() + 1 == self.width {
                units.insert(0, String::new());
            }
        }
        if header.len() + 1 == self.width
            && let Some((at, name)) = nameless::parts(&sample, self.width)
        {
            header.insert(at, name.to_owned());
            if units.len() + 1 == self.width {
                units.insert(at, String::new());
            }
        }
        Ok(Shape {
            delimiter: self.delimiter,
            data_at: lines[first].at,
            data_line: lines[first].number,
            header_line: names_row.map(|at| lines[at].number),
            header: padded(header, self.width),
            units,
            preamble: lines[..top].iter().map(|line| line.text.to_owned()).collect(),
            sample,
            width: self.width,
        })
    }

    /// The header over a record: of the lines just above, the one with most known
    /// names; of equals the lowest that is no unit row.
    fn names_above(&self, first: usize) -> Option<usize> {
        let close = |row: &Row| row.cells.len() > 1 && row.cells.len().abs_diff(self.width) <= 1;
        let could_be = |at: &usize| {
            let row = &self.rows[*at];
            row.is_names() && (close(row) || (at + 1 == first && row.cells.len() > 1))
        };
        let above = || (first.saturating_sub(ROWS_ABOVE)..first).filter(could_be);
        // What a database says of its columns stands in comments; a comment is the header
        // only where nothing else is.
        let any_plain = above().any(|at| !self.rows[at].is_comment());
        above().filter(|&at| !(any_plain && self.rows[at].is_comment())).max_by_key(|&at| {
            let row = &self.rows[at];
            (row.known_names(), !is_unit_row(&row.cells), at)
        })
    }

    /// Whether many records are as wide as the names, be there more that are wider: a column
    /// that came later has no name.
    fn fits_header(&self, header: usize) -> bool {
        const ONE_IN: usize = 4;
        let records = || self.rows.iter().filter(|row| row.cells.len() > 1 && row.is_record());
        let alike = records().filter(|row| row.cells.len() == header).count();
        header > 1 && header < self.width && alike * ONE_IN >= records().count()
    }

    /// Whether a row above the records is one of units: no number in it, and no comment
    /// unless the names are one.
    fn holds_units(&self, at: usize, names_row: Option<usize>) -> bool {
        let row = &self.rows[at];
        let names_are_comment = names_row.is_some_and(|at| self.rows[at].is_comment());
        is_unit_row(&row.cells) && row.readings == 0 && (names_are_comment || !row.is_comment())
    }

    /// The first record of usual width with more like it near below, and no header after it.
    fn first_record(&self) -> Option<usize> {
        let fits = |row: &Row| row.is_record() && row.cells.len().abs_diff(self.width) <= 1;
        let starts = |at: &usize| {
            let next = &self.rows[*at..self.rows.len().min(at + 6)];
            fits(&self.rows[*at])
                && next.iter().filter(|row| fits(row)).count() * 2 > next.len().min(5)
        };
        let mut first = (0..self.rows.len()).find(starts)?;
        // A short summary of laps may stand above the table of readings.
        let is_real = |at: &usize| {
            let row = &self.rows[*at];
            row.is_names() && row.cells.len() == self.width && row.known_names() > 1
        };
        let records = |rows: &[Row]| rows.iter().filter(|row| fits(row)).count();
        if self.rows[first].cells.len() != self.width
            && let Some(header) = (first..self.rows.len()).find(is_real)
            && records(&self.rows[first..header]) * 3 <= records(&self.rows[header..])
        {
            first = (header..self.rows.len()).find(starts)?;
        }
        if self.names_above(first).is_some_and(|at| self.rows[at].known_names() > 0) {
            return Some(first);
        }
        // "Sample rate;20" above a table of two columns looks like a record of it.
        let is_header = |at: &usize| {
            let row = &self.rows[*at];
            row.is_names() && row.cells.len().abs_diff(self.width) <= 1 && row.known_names() > 0
        };
        let header = (first..self.rows.len().min(first + 40)).find(is_header);
        header.and_then(|header| (header..self.rows.len()).find(starts)).or(Some(first))
    }

    /// Lines of names whose first cell is that of records below: one a kind of record.
    fn tags(&self, first: usize, sample: &[Vec<String>]) -> Vec<(usize, &str)> {
        let tag = |at: usize| self.rows[at].cells.first().map(|cell| cell.trim());
        let is_used = |tag: &str| {
            is_text(tag) && sample.iter().any(|row| row.first().is_some_and(|c| c.trim() == tag))
        };
        let named = (0..first).filter(|&at| self.rows[at].is_names());
        let tags = named.filter_map(|at| Some((at, tag(at)?)));
        tags.filter(|(_, tag)| is_used(tag)).collect()
    }

    /// Records of the head.
    fn sample(&self, first: usize) -> Vec<Vec<String>> {
        let records = self.rows[first..].iter().filter(|row| row.is_record());
        records.take(120).map(Row::plain).collect()
    }
}

/// The commonest number of cells among records; the wider of two equally common.
fn usual_width(rows: &[Row<'_>]) -> usize {
    let mut counts = std::collections::BTreeMap::new();
    for row in rows.iter().filter(|row| row.cells.len() > 1 && row.is_record()) {
        *counts.entry(row.cells.len()).or_insert(0) += 1;
    }
    counts.into_iter().max_by_key(|&(width, count)| (count, width)).map_or(0, |(width, _)| width)
}

fn is_unit_row(cells: &[Cow<str>]) -> bool {
    let written: Vec<&Cow<str>> = cells.iter().filter(|cell| !cell.trim().is_empty()).collect();
    let units = written.iter().filter(|cell| units::spelled(cell).is_some()).count();
    !written.is_empty() && units * 2 >= written.len()
}

fn padded(mut cells: Vec<String>, width: usize) -> Vec<String> {
    if cells.len() < width {
        cells.resize(width, String::new());
    }
    cells
}

/// A name whose quotation mark stands behind a blank, and so quotes nothing (RFC 4180,
/// section 2, rule 5), although the name holds a delimiter.
fn is_torn(name: &str) -> bool {
    let name = name.trim();
    name.starts_with('"') && (name.len() == 1 || !name.ends_with('"'))
}

/// Decimal commas in a file that also uses the comma to part its cells.
fn unquoted_commas(delimiter: u8, header: usize, width: usize) -> bool {
    delimiter == b',' && header > 1 && width > header + 1 && width + 1 >= 2 * header - 1
}

fn no_table(file: &str, lines: &[Line]) -> LogError {
    let remedy = "Save the log as CSV with a header line and one record a line, and open that.";
    match lines.len() {
        0 => LogError::at(file, "line 1", "the file holds only blanks.", remedy),
        1 => LogError::at(file, "line 1", "there is one line and no record below it.", remedy),
        _ => {
            let place = format!("lines 1 to {}", lines.last().map_or(1, |line| line.number));
            LogError::at(file, place, "no table of readings was found.", remedy)
        }
    }
}
