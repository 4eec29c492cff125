//! Text cut into records, piece by piece, wherever the pieces end.
//!
//! In: decoded text in pieces. Out: the [`Table`]. Lines without quotation marks are
//! cut here, at the places that [`Ends`] finds; for every other the csv crate's own
//! machine (`csv-core`) decides, and goes on with the next piece where one ends within
//! a record. Only the record at hand is held, never the text.

use std::ops::Range;

use csv_core::ReadRecordResult;

use super::ends::Ends;
use super::lines::{Line, Lines};
use super::table::{Filler, Table};
use crate::log::limits::LINE_LIMIT;

/// The text of one table on its way to columns.
pub struct Records {
    filler: Filler,
    delimiter: u8,
    ends: Ends,
    /// The start of a record that goes on in the next piece, and up to where it is lines
    /// with their ends.
    held: Vec<u8>,
    held_whole: usize,
    /// The number of the line that the text not yet cut starts with.
    line: u64,
    quoted: Quoted,
    /// The csv crate cuts plain lines as well.
    by_the_crate: bool,
    begun: bool,
    ends_with_line: bool,
}

/// The csv crate's machine and what it has of the record at hand.
struct Quoted {
    machine: csv_core::Reader,
    /// Bytes of the record seen so far; 0 between records.
    seen: usize,
    cells: Vec<u8>,
    ends: Vec<usize>,
    filled: (usize, usize),
}

/// The stretch of text whose cells are known.
#[derive(Clone, Copy)]
struct Window {
    from: usize,
    to: usize,
    /// Of the next one.
    size: usize,
}

/// What became of the text from one place on.
enum Cut {
    /// A record, or a blank line: where the next begins.
    At(usize),
    /// It goes on in the next piece.
    GoesOn,
}

const UNICODE_MARK: &[u8] = b"\xef\xbb\xbf";
/// Text whose cells are looked for at once: they stay in the processor's nearest memory.
const WINDOW: usize = 1 << 14;

impl Records {
    pub fn new(filler: Filler, delimiter: u8, first_line: u64) -> Self {
        Records {
            filler,
            delimiter,
            ends: Ends::new(delimiter),
            held: Vec::new(),
            held_whole: 0,
            line: first_line,
            quoted: Quoted::new(delimiter),
            by_the_crate: false,
            begun: false,
            ends_with_line: false,
        }
    }

    pub fn by_the_crate(&mut self) {
        self.by_the_crate = true;
    }

    pub fn feed(&mut self, mut text: &[u8]) {
        if let Some(&last) = text.last() {
            self.ends_with_line = last == b'\n';
        }
        if !self.held.is_empty() {
            // The line at hand to its end; what is behind it need not be held.
            let line = text.iter().position(|&b| b == b'\n').map_or(text.len(), |at| at + 1);
            self.hold(&text[..line]);
            text = &text[line..];
            self.cut_held(false);
        }
        if self.held.is_empty() {
            let cut = self.cut(text, whole_lines(text), false);
            self.hold(&text[cut..]);
        } else {
            self.hold(text);
            self.cut_held(false);
        }
    }

    /// The table, once all text was fed.
    pub fn finish(mut self) -> Table {
        self.cut_held(true);
        self.filler.finish(self.ends_with_line)
    }

    fn hold(&mut self, text: &[u8]) {
        match whole_lines(text) {
            0 => {}
            whole => self.held_whole = self.held.len() + whole,
        }
        self.held.extend_from_slice(text);
    }

    fn cut_held(&mut self, all: bool) {
        let mut held = std::mem::take(&mut self.held);
        let cut = self.cut(&held, self.held_whole, all);
        held.drain(..cut);
        self.held_whole = self.held_whole.saturating_sub(cut);
        self.held = held;
    }

    /// Cuts a text, of which so much is lines with their ends, or `all` of it. Gives from
    /// where on it has to be held.
    fn cut(&mut self, text: &[u8], whole: usize, all: bool) -> usize {
        let mut at = 0;
        if !self.begun {
            if !all && text.len() < UNICODE_MARK.len() {
                return 0;
            }
            self.begun = true;
            // The csv crate takes a second mark of Unicode for none of the table's.
            at = if text.starts_with(UNICODE_MARK) { UNICODE_MARK.len() } else { 0 };
        }
        let mut window = Window { from: 0, to: 0, size: WINDOW };
        while at < text.len() {
            let between = self.quoted.seen == 0;
            if between && at < whole && !self.by_the_crate {
                at = self.plain(&text[..whole], at, &mut window);
            }
            if self.filler.ended() {
                return text.len();
            }
            let cut = match between && at >= whole && !all {
                true => Cut::GoesOn,
                false if at == text.len() => break,
                false => self.odd(text, at, whole, all),
            };
            match cut {
                Cut::At(next) => at = next,
                Cut::GoesOn => break,
            }
        }
        at
    }

    /// Takes lines without quotation marks that end with `\n` or `\r\n`, from a place up to
    /// the first that is not such a one, and gives where that begins.
    fn plain(&mut self, text: &[u8], mut at: usize, window: &mut Window) -> usize {
        while at < text.len() && !self.filler.ended() {
            if at >= window.to {
                *window = Window { from: at, to: text.len().min(at + window.size), ..*window };
                self.ends.find(&text[window.from..window.to]);
            }
            let ahead = &text[window.from..window.to];
            let start = at - window.from;
            let mut lines = Lines::of(ahead, start, self.ends.from(start), self.delimiter);
            let stopped = loop {
                match lines.next(&mut self.filler, self.line) {
                    Line::Taken if !self.filler.ended() => self.line += 1,
                    stopped => break stopped,
                }
            };
            let before = std::mem::replace(&mut at, window.from + lines.at());
            match stopped {
                Line::Odd => break,
                // Its last line is looked at anew; one line may be longer than the window.
                _ if before == at => window.size = window.size.saturating_mul(8),
                _ => window.size = WINDOW,
            }
            window.to = at;
        }
        at
    }

    /// A record as the csv crate cuts it.
    fn odd(&mut self, held: &[u8], from: usize, whole: usize, all: bool) -> Cut {
        if self.quoted.seen == 0 {
            let blank = held[from..].iter().take_while(|b| matches!(b, b'\n' | b'\r')).count();
            if blank > 0 {
                self.line += lines_in(&held[from..from + blank]);
                return Cut::At(from + blank);
            }
        }
        let most = held.len().min(from + LINE_LIMIT);
        if self.quoted.goes_on(&held[from..most]) {
            if most < held.len() {
                return self.never_closed(held, from, whole, all);
            }
            if !all {
                return Cut::GoesOn;
            }
            self.quoted.end();
        }
        let end = from + self.quoted.seen;
        self.record(&held[from..end]);
        Cut::At(end)
    }

    fn record(&mut self, part: &[u8]) {
        let (cells, lines) = (self.quoted.record(), lines_in(part));
        let spans = lines > 1 && cells.iter().any(|cell| self.quoted.of(cell).contains(&b'\n'));
        let open = || part.iter().filter(|&&b| b == b'"').count() % 2 == 1;
        let holds = |cell| holds_record(self.quoted.of(cell), self.delimiter, self.filler.width());
        if spans && (cells.len() != self.filler.width() || open() || cells.iter().any(holds)) {
            self.line_by_line(part);
            return;
        }
        self.filler.begin();
        for (column, cell) in cells.iter().enumerate() {
            self.filler.cell(column, self.quoted.of(cell));
        }
        let quoted = &self.quoted;
        self.filler.end(cells.len(), self.line, || cells.iter().map(|cell| quoted.of(cell)));
        self.line += lines;
    }

    /// A quotation mark that nothing closes within [`LINE_LIMIT`] opens nothing.
    fn never_closed(&mut self, held: &[u8], from: usize, whole: usize, all: bool) -> Cut {
        let end = match whole > from {
            true => {
                let (near, further) = held[from..whole].split_at(LINE_LIMIT.min(whole - from));
                let near = near.iter().rposition(|&b| b == b'\n');
                let further = || further.iter().position(|&b| b == b'\n').map(|at| LINE_LIMIT + at);
                from + near.or_else(further).map_or(held.len() - from, |at| at + 1)
            }
            false if all => held.len(),
            // One line, longer than any: its end is waited for.
            false => return Cut::GoesOn,
        };
        self.line_by_line(&held[from..end]);
        Cut::At(end)
    }

    fn line_by_line(&mut self, part: &[u8]) {
        self.quoted = Quoted::new(self.delimiter);
        self.filler.open_quote(self.line);
        let text = String::from_utf8_lossy(part);
        for (offset, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            let line_text = line.replace('"', "");
            let cells = super::split::split(&line_text, self.delimiter);
            self.filler.begin();
            for (column, cell) in cells.iter().enumerate() {
                self.filler.cell(column, cell.as_bytes());
            }
            let line = self.line + offset as u64;
            self.filler.end(cells.len(), line, || cells.iter().map(|cell| cell.as_bytes()));
        }
        self.line += lines_in(part);
    }
}

impl Quoted {
    fn new(delimiter: u8) -> Self {
        let mut machine = csv_core::ReaderBuilder::new().delimiter(delimiter).build();
        // Past the place where it would look for the mark of Unicode.
        machine.read_record(b"\n", &mut [0], &mut [0]);
        Quoted { machine, seen: 0, cells: vec![0; 1024], ends: vec![0; 64], filled: (0, 0) }
    }

    /// Takes what is new of a record; false once it has ended.
    fn goes_on(&mut self, record: &[u8]) -> bool {
        while self.seen < record.len() {
            let (result, read, bytes, ends) = self.machine.read_record(
                &record[self.seen..],
                &mut self.cells[self.filled.0..],
                &mut self.ends[self.filled.1..],
            );
            self.seen += read;
            self.filled = (self.filled.0 + bytes, self.filled.1 + ends);
            match result {
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => self.cells.resize(2 * self.cells.len(), 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                ReadRecordResult::Record | ReadRecordResult::End => return false,
            }
        }
        true
    }

    /// Says that the text ends within the record at hand.
    fn end(&mut self) {
        loop {
            let (cells, ends) = (&mut self.cells[self.filled.0..], &mut self.ends[self.filled.1..]);
            let (result, _, bytes, more) = self.machine.read_record(&[], cells, ends);
            self.filled = (self.filled.0 + bytes, self.filled.1 + more);
            match result {
                ReadRecordResult::OutputFull => self.cells.resize(2 * self.cells.len(), 0),
                ReadRecordResult::OutputEndsFull => self.ends.resize(2 * self.ends.len(), 0),
                _ => return,
            }
        }
    }

    /// The places of the cells of a record that has ended; the next begins.
    fn record(&mut self) -> Vec<Range<usize>> {
        let mut start = 0;
        let ends = self.ends[..self.filled.1].iter();
        let cells = ends.map(|&end| std::mem::replace(&mut start, end)..end).collect();
        (self.seen, self.filled) = (0, (0, 0));
        cells
    }

    fn of(&self, cell: &Range<usize>) -> &[u8] {
        &self.cells[cell.clone()]
    }
}

/// Whether a cell holds whole records: the mark that opened it should have closed another.
fn holds_record(cell: &[u8], delimiter: u8, width: usize) -> bool {
    let is_record = |line: &[u8]| {
        let mut cells = line.split(|&b| b == delimiter);
        let first = cells.next().and_then(|first| std::str::from_utf8(first).ok());
        first.is_some_and(super::sniff::is_reading) && cells.count() + 1 >= width
    };
    cell.split(|&b| b == b'\n').skip(1).any(is_record)
}

/// How much of a text is lines with their ends.
fn whole_lines(text: &[u8]) -> usize {
    text.iter().rposition(|&b| b == b'\n').map_or(0, |last| last + 1)
}

fn lines_in(text: &[u8]) -> u64 {
    text.iter().filter(|&&b| b == b'\n').count() as u64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::csv::cells::Decimal;
    use crate::log::csv::table::Kind;
    use proptest::prelude::*;

    const KINDS: [Kind; 3] =
        [Kind::Number(Decimal::Point), Kind::Number(Decimal::Comma), Kind::Gear(Decimal::Point)];

    fn filler() -> Filler {
        Filler::new(KINDS.to_vec(), ["time", "speed", "gear"].map(str::to_owned).to_vec())
    }

    /// What the csv crate's own reader makes of a text that is there as a whole, blank
    /// lines counted to none of its records.
    fn by_the_crate(text: &[u8]) -> Table {
        let mut filler = filler();
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(b';')
            .from_reader(text);
        let mut record = csv::ByteRecord::new();
        let mut from = 0;
        while let Ok(true) = reader.read_byte_record(&mut record) {
            let end = (reader.position().byte() as usize).min(text.len());
            let ends_line = |b: &&u8| matches!(b, b'\n' | b'\r');
            let start = from + text[from..end].iter().take_while(ends_line).count();
            let (line, part) = (1 + lines_in(&text[..start]), &text[start..end]);
            let spans = lines_in(part) > 1 && record.iter().any(|cell| cell.contains(&b'\n'));
            let open = part.iter().filter(|&&b| b == b'"').count() % 2 == 1;
            let holds = record.iter().any(|cell| holds_record(cell, b';', 3));
            let rows: Vec<(csv::ByteRecord, u64)> = if spans && (record.len() != 3 || open || holds)
            {
                filler.open_quote(line);
                let text = String::from_utf8_lossy(part).replace('"', "");
                let lines = text.lines().zip(line..).filter(|(text, _)| !text.trim().is_empty());
                let cells = |text| {
                    let cells = crate::log::csv::split::split(text, b';');
                    cells.iter().map(|cell| cell.as_bytes()).collect()
                };
                lines.map(|(text, line)| (cells(text), line)).collect()
            } else {
                vec![(record.clone(), line)]
            };
            for (record, line) in &rows {
                filler.begin();
                record.iter().enumerate().for_each(|(column, cell)| filler.cell(column, cell));
                filler.end(record.len(), *line, || record.iter());
            }
            from = end;
        }
        filler.finish(text.ends_with(b"\n"))
    }

    fn in_pieces(text: &[u8], size: usize) -> Table {
        let mut records = Records::new(filler(), b';', 1);
        text.chunks(size).for_each(|piece| records.feed(piece));
        records.finish()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        /// The csv crate is the judge, wherever the pieces end.
        #[test]
        fn records_are_those_of_the_csv_crate(
            text in "([0-9]{1,3};-?[0-9]{1,2}([.,][0-9]{1,3})?;[0-9N\"]{0,2}(\n|\r\n|\r|\"|;|\n\n)|[0-9.,;\" \n\r-]{1,6}){0,12}",
            size in 1..40usize,
        ) {
            let (ours, theirs) = (in_pieces(text.as_bytes(), size), by_the_crate(text.as_bytes()));
            prop_assert_eq!(&ours.lines, &theirs.lines);
            prop_assert_eq!(format!("{:?}", ours.odd), format!("{:?}", theirs.odd));
            for (ours, theirs) in ours.columns.iter().zip(&theirs.columns) {
                prop_assert_eq!(format!("{:?}", (&ours.value, &ours.record, &ours.texts)),
                    format!("{:?}", (&theirs.value, &theirs.record, &theirs.texts)));
            }
        }
    }
}
