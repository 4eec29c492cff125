//! The table: every column's readings with the record they stand in.
//!
//! In: text, its [`Shape`], and the kind of each column. Out: a [`Table`].
//! The csv crate reads the records; a line that it cannot read with its
//! neighbours (an open quote) is read by itself. Blank cells take no room.

use super::cells::{self, Cell, Decimal};
use super::sniff::Shape;
use crate::log::clock::{self, Stamp};
use crate::unit::Unit;

/// How a column's cells are read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    Number(Decimal),
    /// Dates and times of day.
    Clock,
    /// Gear letters: P and N are no gear, R is minus one.
    Gear(Decimal),
}

#[derive(Debug, Default)]
pub struct Table {
    pub columns: Vec<Column>,
    /// The line each record starts on.
    pub lines: Vec<u32>,
    pub odd: Oddities,
}

/// Readings of one column, blanks left out.
#[derive(Debug, Default)]
pub struct Column {
    pub value: Vec<f64>,
    /// The record of each value; `None` while every record has one.
    pub record: Option<Vec<u32>>,
    pub stamps: Vec<Stamp>,
    /// The first few different texts, and how many cells held text.
    pub texts: Vec<String>,
    pub text_count: u64,
    pub first_text_line: u64,
    /// Written behind the numbers.
    pub unit: Option<Unit>,
}

/// What was odd, each with its count and first line.
#[derive(Debug, Default)]
pub struct Oddities {
    pub short: Count,
    pub long: Count,
    pub no_record: Count,
    pub header_again: Count,
    pub comments: Count,
    pub cut_last: Option<u64>,
    pub open_quote: Count,
    /// A second header with other names, where the table was ended.
    pub other_table: Option<(u64, Vec<String>)>,
}

/// Lines without a reading that are looked at for a second header: it takes a while.
const MOST_LOOKED_AT: u64 = 10_000;

/// Whether a line names columns: at least two names with a meaning, a clock among them.
fn is_header(record: &csv::ByteRecord) -> bool {
    let cells = || record.iter().filter_map(|cell| std::str::from_utf8(cell).ok());
    cells().filter(|cell| super::header::is_known(cell)).take(2).count() == 2
        && cells().any(super::header::is_clock)
}

impl Table {
    /// Turns the records round, for files with the newest first.
    pub fn reverse(&mut self) {
        let records = self.lines.len();
        self.lines.reverse();
        for column in &mut self.columns {
            let dense = column.record.is_none() && column.value.len() == records;
            let place = |at: usize| (records - 1 - column.record_of(at)) as u32;
            let turned = (!dense).then(|| (0..column.value.len()).rev().map(place).collect());
            column.record = turned;
            column.value.reverse();
            column.stamps.reverse();
        }
    }
}

#[derive(Debug, Default, Clone, Copy, PartialEq)]
pub struct Count {
    pub count: u64,
    pub first_line: u64,
}

impl Count {
    fn add(&mut self, line: u64) {
        self.count += 1;
        if self.count == 1 {
            self.first_line = line;
        }
    }
}

impl Column {
    fn push(&mut self, record: u32, value: f64) {
        match &mut self.record {
            Some(records) => records.push(record),
            None if self.value.len() == record as usize => {}
            None => {
                let mut records: Vec<u32> = (0..self.value.len() as u32).collect();
                records.push(record);
                self.record = Some(records);
            }
        }
        self.value.push(value);
    }

    /// The record a reading stands in.
    pub fn record_of(&self, index: usize) -> usize {
        self.record.as_ref().map_or(index, |records| records[index] as usize)
    }

    fn text(&mut self, cell: &[u8], line: u64) {
        self.text_count += 1;
        if self.text_count == 1 {
            self.first_text_line = line;
        }
        if self.texts.len() < 8 {
            let text = String::from_utf8_lossy(&cell[..cell.len().min(64)]).trim().to_owned();
            if !self.texts.contains(&text) {
                self.texts.push(text);
            }
        }
    }

    fn read(&mut self, kind: Kind, cell: &[u8], record: u32) -> Read {
        let decimal = match kind {
            Kind::Number(decimal) => decimal,
            Kind::Clock => return self.read_stamp(cell, record),
            Kind::Gear(decimal) => match gear(cell) {
                Some(Some(value)) => {
                    self.push(record, value);
                    return Read::Reading;
                }
                Some(None) => return Read::Blank,
                None => decimal,
            },
        };
        match cells::parse(cell, decimal) {
            Cell::Number(value) => self.push(record, value),
            Cell::Measured(value, unit) => {
                self.unit.get_or_insert(unit);
                self.push(record, value);
            }
            Cell::Blank => return Read::Blank,
            Cell::Text => return Read::Text,
        }
        Read::Reading
    }

    fn read_stamp(&mut self, cell: &[u8], record: u32) -> Read {
        if let Some(stamp) = clock::parse(cell) {
            self.stamps.push(stamp);
            self.push(record, 0.0);
            return Read::Reading;
        }
        if cells::parse(cell, Decimal::Point) == Cell::Blank {
            return Read::Blank;
        }
        Read::Text
    }
}

#[derive(PartialEq)]
enum Read {
    Reading,
    Blank,
    Text,
}

/// Gear letters. `Some(None)` is a gear box with no gear in that is worth a number.
fn gear(cell: &[u8]) -> Option<Option<f64>> {
    let text = std::str::from_utf8(cell).ok()?.trim();
    match text {
        "N" | "n" | "P" | "p" | "Neutral" | "neutral" | "Park" | "Leerlauf" => Some(Some(0.0)),
        "R" | "r" | "Reverse" => Some(Some(-1.0)),
        "D" | "S" | "M" => Some(None),
        _ => {
            let digits =
                text.trim_start_matches(['D', 'M', 'S', 'G']).trim_end_matches(char::is_alphabetic);
            (digits.len() < text.len() && digits.len() <= 2)
                .then(|| digits.parse().ok().map(Some))?
        }
    }
}

/// Reads all records from the shape's first.
pub fn read(text: &str, shape: &Shape, kinds: &[Kind]) -> Table {
    let body = &text.as_bytes()[shape.data_at..];
    let mut filler = Filler::new(shape, kinds);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(shape.delimiter)
        .from_reader(body);
    let mut record = csv::ByteRecord::new();
    let mut before = reader.position().clone();
    while let Ok(true) = reader.read_byte_record(&mut record) {
        let after = reader.position().clone();
        // The crate counts blank lines before a record to the record before it.
        let line =
            record.position().map_or(before.line(), csv::Position::line) + shape.data_line - 1;
        let spans =
            after.line() > before.line() + 1 && record.iter().any(|cell| cell.contains(&b'\n'));
        let end = (after.byte() as usize).min(body.len());
        let part = &body[(before.byte() as usize).min(end)..end];
        let open = || part.iter().filter(|&&b| b == b'"').count() % 2 == 1;
        if spans && (record.len() != kinds.len() || open()) {
            filler.line_by_line(part, line, shape.delimiter);
        } else {
            filler.record(&record, line);
        }
        if filler.ended() {
            break;
        }
        before = after;
    }
    filler.finish(body.ends_with(b"\n"))
}

struct Filler<'a> {
    table: Table,
    kinds: &'a [Kind],
    header: &'a [String],
    /// Cells of the newest record, for a last line that was cut.
    last: (usize, u64),
    /// Columns with text in the record at hand.
    texts: Vec<usize>,
}

impl<'a> Filler<'a> {
    fn new(shape: &'a Shape, kinds: &'a [Kind]) -> Self {
        let columns = kinds.iter().map(|_| Column::default()).collect();
        let table = Table { columns, ..Table::default() };
        Filler { table, kinds, header: &shape.header, last: (kinds.len(), 0), texts: Vec::new() }
    }

    fn ended(&self) -> bool {
        self.table.odd.other_table.is_some() || self.table.lines.len() >= u32::MAX as usize - 1
    }

    fn line_by_line(&mut self, part: &[u8], first_line: u64, delimiter: u8) {
        self.table.odd.open_quote.add(first_line);
        let text = String::from_utf8_lossy(part);
        for (offset, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let cells = super::sniff::split(&line.replace('"', ""), delimiter);
            self.record(&csv::ByteRecord::from(cells), first_line + offset as u64);
        }
    }

    fn record(&mut self, record: &csv::ByteRecord, line: u64) {
        let number = self.table.lines.len() as u32;
        let mut readings = 0;
        self.texts.clear();
        let columns = self.table.columns.iter_mut().zip(self.kinds);
        for (index, (cell, (column, kind))) in record.iter().zip(columns).enumerate() {
            match column.read(*kind, cell, number) {
                Read::Reading => readings += 1,
                Read::Blank => {}
                Read::Text => self.texts.push(index),
            }
        }
        if readings == 0 {
            self.no_record(record, line);
            return;
        }
        for &index in &self.texts {
            self.table.columns[index].text(&record[index], line);
        }
        let extra = record.iter().skip(self.kinds.len()).any(|cell| !cell.trim_ascii().is_empty());
        if record.len() < self.kinds.len() {
            self.table.odd.short.add(line);
        } else if extra {
            self.table.odd.long.add(line);
        }
        self.last = (record.len(), line);
        self.table.lines.push(u32::try_from(line).unwrap_or(u32::MAX));
    }

    /// A line without any reading: blank, a comment, a header again, or something else.
    fn no_record(&mut self, record: &csv::ByteRecord, line: u64) {
        let odd = &mut self.table.odd;
        let first = record.get(0).unwrap_or_default().trim_ascii();
        if record.iter().all(|cell| cell.trim_ascii().is_empty()) {
            return;
        }
        let same = |(cell, name): (&[u8], &String)| cell.trim_ascii() == name.trim().as_bytes();
        let again = record.iter().zip(self.header).all(same) && record.len() > 1;
        if again {
            odd.header_again.add(line);
        } else if odd.no_record.count < MOST_LOOKED_AT && is_header(record) {
            let names = record.iter().take(4).map(|cell| String::from_utf8_lossy(cell).into());
            odd.other_table = Some((line, names.collect()));
        } else if [&b"#"[..], b"//", b"%", b";", b"!"].iter().any(|mark| first.starts_with(mark)) {
            odd.comments.add(line);
        } else {
            odd.no_record.add(line);
        }
    }

    /// Takes back a last record that was cut: its last cell may lack digits.
    fn finish(mut self, line_ended: bool) -> Table {
        let (cells, line) = self.last;
        if !line_ended && cells < self.kinds.len() && self.table.lines.len() > 1 {
            self.table.lines.pop();
            let gone = self.table.lines.len();
            for column in &mut self.table.columns {
                if column.value.last().is_some() && column.record_of(column.value.len() - 1) == gone
                {
                    column.value.pop();
                    if let Some(records) = &mut column.record {
                        records.pop();
                    }
                    column.stamps.truncate(column.value.len());
                }
            }
            self.table.odd.short.count = self.table.odd.short.count.saturating_sub(1);
            self.table.odd.cut_last = Some(line);
        }
        self.table
    }
}
