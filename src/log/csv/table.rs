//! The table: every column's readings with the record they stand in.
//!
//! In: the cells of one record after the other, and the kind of each column. Out: a
//! [`Table`]. A record enters it whole or not at all. Blank cells take no room: a
//! column that has a reading in every record is stored densely, any other with the
//! record of each reading.

use std::slice::Iter;

use super::cells::Decimal;
use super::long;
use super::number;
use super::read::{Read, read};
use crate::log::Role;
use crate::log::clock::Stamp;
use crate::log::limits::NAME_LIMIT;
use crate::log::plain;
use crate::unit::Unit;

/// How a column's cells are read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    Number(Decimal),
    /// Dates and times of day.
    Clock,
    /// Times of day with points between their parts.
    DottedClock,
    /// Gear letters: P and N are no gear, R is minus one.
    Gear(Decimal),
    /// Degrees, with a hemisphere or in degrees and minutes.
    Position(Decimal),
    /// N and S, or E and W, beside a position of that role.
    Hemisphere(Role),
}

#[derive(Debug, Default)]
pub struct Table {
    pub columns: Vec<Column>,
    /// The line each record starts on.
    pub lines: Vec<u32>,
    pub odd: Oddities,
}

/// Readings of one column, blanks left out.
#[derive(Debug, Clone, Default)]
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
    /// Whether a decimal sign was met: without one, either is as good.
    pub has_sign: bool,
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
    /// Records with more or fewer cells than the header.
    pub ragged: Vec<Ragged>,
    pub open_quote: Count,
    /// A second header with other names, where the table was ended.
    pub other_table: Option<(u64, Vec<String>)>,
}

/// A record with more or fewer cells than the header.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ragged {
    pub record: u32,
    pub cells: u32,
}

/// Lines without a reading that are looked at for a second header: it takes a while.
const MOST_LOOKED_AT: u64 = 10_000;

/// Whether a line names columns: at least two names with a meaning, a clock among them, or
/// those of a reading a line.
fn is_header(record: &[&[u8]]) -> bool {
    // What is longer is no name, and takes a while to be told so.
    let could_be = |cell: &&&[u8]| cell.len() <= 4 * NAME_LIMIT;
    let cells = || record.iter().filter(could_be).filter_map(|cell| std::str::from_utf8(cell).ok());
    let known = || cells().filter(|cell| super::header::is_known(cell)).take(2).count() == 2;
    cells().any(super::header::is_clock) && (known() || super::long::is_header(cells()))
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
    #[inline(always)]
    pub fn push(&mut self, record: u32, value: f64) {
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

    /// Takes the newest reading back, if it is of this record.
    fn take_back(&mut self, record: usize) {
        if self.value.last().is_none() || self.record_of(self.value.len() - 1) != record {
            return;
        }
        self.value.pop();
        if let Some(records) = &mut self.record {
            records.pop();
        }
        self.stamps.truncate(self.value.len());
    }

    /// Whether there are numbers in it that are no clock's.
    pub fn is_channel(&self) -> bool {
        !self.value.is_empty() && self.stamps.is_empty()
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
}

/// Takes the cells of one record after the other.
pub struct Filler {
    table: Table,
    kinds: Vec<Kind>,
    header: Vec<String>,
    /// The units that the header gives.
    named: Vec<Option<Unit>>,
    /// One a column: the decimal sign where a plain number is just that, or else 0.
    points: Vec<u8>,
    /// Cells of the newest record, for a last line that was cut.
    last: (usize, u64),
    /// The record at hand: its number, its readings so far, and the columns reached.
    record: u32,
    readings: usize,
    reached: usize,
    units: Vec<(usize, Unit)>,
    /// Columns with text in it.
    texts: Vec<usize>,
    /// Cells of the line at hand that are no plain numbers: column, start and end.
    others: Vec<(usize, usize, usize)>,
    /// A cell beyond the last column that is not blank.
    extra: bool,
}

impl Filler {
    pub fn new(kinds: Vec<Kind>, header: Vec<String>) -> Self {
        let columns = kinds.iter().map(|_| Column::default()).collect();
        let point = |kind: &Kind| match kind {
            Kind::Number(Decimal::Point | Decimal::Either) => b'.',
            Kind::Number(Decimal::Comma) => b',',
            _ => 0,
        };
        Filler {
            table: Table { columns, ..Table::default() },
            points: kinds.iter().map(point).collect(),
            last: (kinds.len(), 0),
            named: vec![None; kinds.len()],
            kinds,
            header,
            record: 0,
            readings: 0,
            reached: 0,
            units: Vec::new(),
            texts: Vec::new(),
            others: Vec::new(),
            extra: false,
        }
    }

    /// Takes the units that the header gives, one a column.
    pub fn written_in(&mut self, units: Vec<Option<Unit>>) {
        self.named = units;
        self.named.resize(self.kinds.len(), None);
    }

    /// Makes room for so many records. Room that is never written to costs nothing.
    pub fn reserve(&mut self, records: usize, filled: &[f64]) {
        self.table.lines.reserve(records);
        for (column, filled) in self.table.columns.iter_mut().zip(filled) {
            let readings = (records as f64 * filled) as usize;
            column.value.reserve(readings);
            if *filled < 0.99 {
                column.record = Some(Vec::with_capacity(readings));
            }
        }
    }

    pub fn width(&self) -> usize {
        self.kinds.len()
    }

    pub fn ended(&self) -> bool {
        self.table.odd.other_table.is_some() || self.table.lines.len() >= u32::MAX as usize - 1
    }

    pub fn open_quote(&mut self, line: u64) {
        self.table.odd.open_quote.add(line);
    }

    /// The next record begins. What was given of one that did not end is taken back.
    pub fn begin(&mut self) {
        if self.readings > 0 {
            self.take_back();
        }
        self.record = self.table.lines.len() as u32;
        (self.readings, self.reached, self.extra) = (0, 0, false);
        self.units.clear();
        self.texts.clear();
    }

    fn take_back(&mut self) {
        let record = self.record as usize;
        for column in self.table.columns.iter_mut().take(self.reached) {
            column.take_back(record);
        }
        self.readings = 0;
    }

    /// Takes the cells of a line, from a place in the text up to the first of the `ends`
    /// that is no delimiter. Gives how many cells, and that end; `None` where there is none.
    // On its own, a compiler keeps more of it in registers.
    #[inline(never)]
    pub fn line(
        &mut self,
        text: &[u8],
        from: usize,
        ends: &mut Iter<'_, u32>,
        delimiter: u8,
    ) -> Option<(usize, usize)> {
        self.others.clear();
        let (record, mut readings) = (self.record, 0);
        let mut start = from;
        let mut last = None;
        let columns = self.table.columns.iter_mut().zip(&self.points);
        for (column, (slot, &point)) in columns.enumerate() {
            let Some(&end) = ends.next() else { break };
            let end = end as usize;
            if end == start && text[end] == delimiter {
                // Blank, as most cells of a logger that reads its signals in turn.
                start = end + 1;
                continue;
            }
            // The cell's end and the eight bytes before it, looked at in one step.
            let bytes: Option<&[u8; 9]> =
                text.get(end.wrapping_sub(8)..).and_then(<[u8]>::first_chunk);
            let (word, mark) = match bytes {
                Some(&[a, b, c, d, e, f, g, h, mark]) => (Some([a, b, c, d, e, f, g, h]), mark),
                None => (None, text[end]),
            };
            if mark == b'"' {
                last = Some((column, end));
                break;
            }
            let length = end - start;
            let number = match word {
                Some(word) if (1..=number::SHORT).contains(&length) => {
                    number::short(u64::from_le_bytes(word), length, point)
                }
                _ => number::long(&text[start..end], point),
            };
            if point > 0
                && let Some((value, has_sign)) = number
            {
                slot.has_sign |= has_sign;
                slot.push(record, value);
                readings += 1;
            } else if length > 0 {
                self.others.push((column, start, end));
            }
            let is_last = mark != delimiter;
            if is_last {
                last = Some((column + 1, end));
                break;
            }
            start = end + 1;
        }
        (self.reached, self.readings) = (self.kinds.len(), readings);
        let (columns, end) = last.or_else(|| self.further(text, start, ends, delimiter))?;
        if !self.others.is_empty() {
            let others = std::mem::take(&mut self.others);
            others.iter().for_each(|&(column, start, end)| self.cell(column, &text[start..end]));
            self.others = others;
        }
        Some((columns, end))
    }

    /// The cells of a line beyond the last column.
    #[cold]
    fn further(
        &mut self,
        text: &[u8],
        mut start: usize,
        ends: &mut Iter<'_, u32>,
        delimiter: u8,
    ) -> Option<(usize, usize)> {
        let mut count = self.kinds.len();
        loop {
            let end = *ends.next()? as usize;
            count += 1;
            self.extra |= !text[start..end].trim_ascii().is_empty();
            if text[end] != delimiter {
                return Some((count, end));
            }
            start = end + 1;
        }
    }

    fn number(&mut self, column: usize, value: f64, has_sign: bool) {
        let slot = &mut self.table.columns[column];
        slot.has_sign |= has_sign;
        slot.push(self.record, value);
        self.readings += 1;
        self.reached = self.reached.max(column + 1);
    }

    pub fn cell(&mut self, column: usize, cell: &[u8]) {
        let Some(kind) = self.kinds.get(column) else {
            self.extra |= !cell.trim_ascii().is_empty();
            return;
        };
        let has_sign = || cell.contains(&b'.') || cell.contains(&b',');
        match read(*kind, cell) {
            Read::Number(value) => self.number(column, value, has_sign()),
            Read::Measured(value, unit) => {
                let own = self.named[column].or(self.table.columns[column].unit);
                match own {
                    // 62 mph among 100 km/h.
                    Some(own) if own != unit && own.quantity == unit.quantity => {
                        self.number(column, own.written(unit.inside(value)), has_sign());
                    }
                    // 359l, a misread 3591, in a column of revolutions.
                    Some(own) if own.quantity != unit.quantity => self.texts.push(column),
                    _ => self.number(column, value, has_sign()),
                }
                self.units.push((column, unit));
            }
            Read::Stamp(stamp) => {
                self.table.columns[column].stamps.push(stamp);
                self.number(column, 0.0, true);
            }
            Read::Blank => {}
            Read::Text => {
                self.table.columns[column].has_sign |= has_sign();
                self.texts.push(column);
            }
        }
    }

    /// The record at hand ends: it was of so many cells, which can be had once more.
    pub fn end<'b, Cells: Iterator<Item = &'b [u8]>>(
        &mut self,
        count: usize,
        line: u64,
        cells: impl Fn() -> Cells,
    ) {
        if self.readings == 0 {
            self.no_record(&cells().collect::<Vec<_>>(), line);
            return;
        }
        self.readings = 0;
        for &(column, unit) in &self.units {
            self.table.columns[column].unit.get_or_insert(unit);
        }
        if !self.texts.is_empty() {
            for (index, cell) in cells().enumerate() {
                if self.texts.binary_search(&index).is_ok() {
                    self.table.columns[index].text(cell, line);
                }
            }
        }
        if count < self.kinds.len() {
            self.table.odd.short.add(line);
        } else if self.extra {
            self.table.odd.long.add(line);
        }
        if count < self.kinds.len() || self.extra {
            let cells = u32::try_from(count).unwrap_or(u32::MAX);
            self.table.odd.ragged.push(Ragged { record: self.record, cells });
        }
        self.last = (count, line);
        self.table.lines.push(u32::try_from(line).unwrap_or(u32::MAX));
    }

    /// A line without any reading: blank, a comment, a header again, or something else.
    fn no_record(&mut self, record: &[&[u8]], line: u64) {
        let odd = &mut self.table.odd;
        let first = record.first().copied().unwrap_or_default().trim_ascii();
        if record.iter().all(|cell| plain::bytes(cell).is_empty()) {
            return;
        }
        let same =
            |(cell, name): (&&[u8], &String)| plain::bytes(cell) == plain::bytes(name.as_bytes());
        // With a name more it is another table, but for a long one, whose channels are the same.
        let is_longer =
            || record.iter().skip(self.header.len()).any(|cell| !plain::bytes(cell).is_empty());
        let is_long = || long::is_header(self.header.iter().map(String::as_str));
        let again = record.iter().zip(&self.header).all(same)
            && record.len() > 1
            && (!is_longer() || is_long());
        let own_is_comment = || self.header.first().is_some_and(|name| name.starts_with('#'));
        let is_comment = first.starts_with(b"#") && !own_is_comment();
        if again {
            odd.header_again.add(line);
        } else if odd.no_record.count < MOST_LOOKED_AT && !is_comment && is_header(record) {
            let names = record.iter().take(4).map(|cell| String::from_utf8_lossy(cell).into());
            odd.other_table = Some((line, names.collect()));
        } else if [&b"#"[..], b"//", b"%", b";", b"!"].iter().any(|mark| first.starts_with(mark)) {
            odd.comments.add(line);
        } else {
            odd.no_record.add(line);
        }
    }

    /// Takes back a last record that was cut: its last cell may lack digits.
    pub fn finish(mut self, line_ended: bool) -> Table {
        self.begin();
        for column in &mut self.table.columns {
            if column.value.is_empty() {
                column.record = None;
            }
        }
        let (cells, line) = self.last;
        if !line_ended && cells < self.kinds.len() && self.table.lines.len() > 1 {
            self.table.lines.pop();
            let gone = self.table.lines.len();
            self.table.columns.iter_mut().for_each(|column| column.take_back(gone));
            self.table.odd.short.count = self.table.odd.short.count.saturating_sub(1);
            self.table.odd.cut_last = Some(line);
        }
        self.table
    }
}
