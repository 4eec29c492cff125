//! Text cut into records, piece by piece, wherever the pieces end.
//!
//! In: decoded text in pieces. Out: the [`Table`]. A line without quotation marks is
//! cut here, in one pass with its plain numbers; for every other the csv crate's own
//! machine (`csv-core`) decides, and goes on with the next piece where one ends within
//! a record. Only the record at hand is held, never the text.

use std::ops::Range;

use csv_core::ReadRecordResult;

use super::table::{Filler, Table};
use crate::log::limits::LINE_LIMIT;

/// The text of one table on its way to columns.
pub struct Records {
    filler: Filler,
    delimiter: u8,
    /// Text that is not yet cut.
    held: Vec<u8>,
    /// Up to here all lines in it are whole.
    whole: usize,
    /// The number of the line that `held` starts with.
    line: u64,
    quoted: Quoted,
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

/// What became of the text from one place on.
enum Cut {
    /// A record, or a blank line: where the next begins.
    At(usize),
    /// It goes on in the next piece.
    GoesOn,
    /// Not a plain line.
    Odd,
}

impl Records {
    pub fn new(filler: Filler, delimiter: u8, first_line: u64) -> Self {
        Records {
            filler,
            delimiter,
            held: Vec::new(),
            whole: 0,
            line: first_line,
            quoted: Quoted::new(delimiter),
            begun: false,
            ends_with_line: false,
        }
    }

    pub fn feed(&mut self, text: &[u8]) {
        if let Some(&last) = text.last() {
            self.ends_with_line = last == b'\n';
        }
        if self.filler.ended() {
            return;
        }
        if let Some(last) = text.iter().rposition(|&b| b == b'\n') {
            self.whole = self.held.len() + last + 1;
        }
        self.held.extend_from_slice(text);
        self.cut(false);
    }

    /// The table, once all text was fed.
    pub fn finish(mut self) -> Table {
        self.cut(true);
        self.filler.finish(self.ends_with_line)
    }

    fn cut(&mut self, all: bool) {
        let held = std::mem::take(&mut self.held);
        let mut at = 0;
        if !self.begun && (all || held.len() >= 3) {
            self.begun = true;
            // The csv crate takes a second mark of Unicode for none of the table's.
            at = if held.starts_with(b"\xef\xbb\xbf") { 3 } else { 0 };
        }
        let whole = self.whole;
        while self.begun && at < held.len() && !self.filler.ended() {
            let mut cut = Cut::Odd;
            if self.quoted.seen == 0 && at < whole {
                cut = self.plain(&held[..whole], at);
            } else if self.quoted.seen == 0 && !all {
                cut = Cut::GoesOn;
            }
            if matches!(cut, Cut::Odd) {
                cut = self.odd(&held, at, all);
            }
            match cut {
                Cut::At(next) => at = next,
                _ => break,
            }
        }
        self.held = held;
        self.held.drain(..at);
        self.whole = whole.saturating_sub(at);
    }

    /// A line without quotation marks that ends with `\n` or `\r\n`.
    fn plain(&mut self, text: &[u8], from: usize) -> Cut {
        if matches!(text[from..], [b'\n', ..] | [b'\r', b'\n', ..]) {
            self.line += 1;
            return Cut::At(from + 1 + usize::from(text[from] == b'\r'));
        }
        self.filler.begin();
        let mut at = from;
        let mut column = 0;
        let delimiter = self.delimiter;
        loop {
            let mut end = at;
            let point = self.filler.point(column);
            if text.get(at) == Some(&delimiter) {
                // Blank, as most cells of a logger that reads its signals in turn.
            } else if point > 0
                && let Some((value, has_sign, after)) = number(text, at, point)
                && ends_cell(text, after, delimiter)
            {
                self.filler.number(column, value, has_sign);
                end = after;
            } else {
                let Some(after) = cell_end(text, at, delimiter) else { return Cut::Odd };
                if after > at {
                    self.filler.cell(column, &text[at..after]);
                }
                end = after;
            }
            column += 1;
            match text.get(end) {
                Some(&b) if b == delimiter => at = end + 1,
                Some(b'\n') => {
                    at = end;
                    break;
                }
                Some(b'\r') if text.get(end + 1) == Some(&b'\n') => {
                    at = end + 1;
                    break;
                }
                _ => return Cut::Odd,
            }
        }
        let line = text[from..at].strip_suffix(b"\r").unwrap_or(&text[from..at]);
        self.filler.end(column, self.line, || line.split(move |&b| b == delimiter));
        self.line += 1;
        Cut::At(at + 1)
    }

    /// A record as the csv crate cuts it.
    fn odd(&mut self, held: &[u8], from: usize, all: bool) -> Cut {
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
                return self.never_closed(held, from, all);
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
        if spans && (cells.len() != self.filler.width() || open()) {
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
    fn never_closed(&mut self, held: &[u8], from: usize, all: bool) -> Cut {
        let end = match self.whole > from {
            true => {
                let (near, further) =
                    held[from..self.whole].split_at(LINE_LIMIT.min(self.whole - from));
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
            let cells = super::sniff::split(&line.replace('"', ""), self.delimiter);
            self.filler.begin();
            for (column, cell) in cells.iter().enumerate() {
                self.filler.cell(column, cell.as_bytes());
            }
            let line = self.line + offset as u64;
            self.filler.end(cells.len(), line, || cells.iter().map(String::as_bytes));
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

fn lines_in(text: &[u8]) -> u64 {
    text.iter().filter(|&&b| b == b'\n').count() as u64
}

fn ends_cell(text: &[u8], at: usize, delimiter: u8) -> bool {
    text.get(at).is_some_and(|&b| b == delimiter || b == b'\n' || b == b'\r')
}

/// Where a cell ends; `None` where a quotation mark stands in it.
fn cell_end(text: &[u8], from: usize, delimiter: u8) -> Option<usize> {
    let ends = |&b: &u8| b == delimiter || matches!(b, b'\n' | b'\r' | b'"');
    let end = from + text[from..].iter().position(ends)?;
    (text[end] != b'"').then_some(end)
}

/// The largest whole number up to which a double holds every one.
const LARGEST_WHOLE: u64 = 1 << 53;
/// Powers of ten that a double holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// A plain number, `-12.5` and the like: its value, whether it has a decimal sign, and
/// where it ends. `None` for all that is written otherwise.
///
/// Both the digits and the power of ten are exact in a double, so that their quotient
/// is the nearest double to what is written. Source: Clinger, How to read floating
/// point numbers accurately (1990), section 4.
#[inline(always)]
fn number(text: &[u8], from: usize, point: u8) -> Option<(f64, bool, usize)> {
    let minus = text.get(from) == Some(&b'-');
    let start = from + usize::from(minus);
    let (digits, behind, end) = short(text, start, point).or_else(|| long(text, start, point))?;
    let size = digits as f64 / POWERS.get(behind)?;
    Some((if minus { -size } else { size }, behind > 0, end))
}

/// The digits of a number of up to seven characters, how many stand behind the sign, and
/// where it ends; eight bytes are looked at in one step. `None` for any other.
///
/// Source: the steps from digits to value are those of simdjson's
/// `parse_eight_digits_unrolled` (Lemire, Number parsing at a gigabyte per second, 2021).
#[inline(always)]
fn short(text: &[u8], from: usize, point: u8) -> Option<(u64, usize, usize)> {
    let word = u64::from_le_bytes(*text.get(from..)?.first_chunk::<8>()?);
    let whole = digits_in(word);
    if whole == 8 {
        return None;
    }
    let has_point = (word >> (8 * whole)) as u8 == point;
    // The sign is taken out from between the digits.
    let before = (1u64 << (8 * whole)) - 1;
    let joined = if has_point { (word & before) | ((word >> 8) & !before) } else { word };
    let all = if has_point { digits_in(joined & !(0xff << 56)) } else { whole };
    let behind = all - whole;
    if all == 0 || (has_point && behind == 0) || all + usize::from(has_point) >= 8 {
        return None;
    }
    let digits = (joined & 0x0f0f_0f0f_0f0f_0f0f) << (64 - 8 * all);
    let pairs = digits.wrapping_mul(10).wrapping_add(digits >> 8);
    let low = (pairs & 0x0000_00ff_0000_00ff).wrapping_mul(0x000f_4240_0000_0064);
    let high = ((pairs >> 16) & 0x0000_00ff_0000_00ff).wrapping_mul(0x0000_2710_0000_0001);
    Some((low.wrapping_add(high) >> 32, behind, from + all + usize::from(has_point)))
}

/// How many of the first bytes of a word are digits.
#[inline(always)]
fn digits_in(word: u64) -> usize {
    let off = word ^ 0x3030_3030_3030_3030;
    // The high bit of a byte that is no digit; a carry goes only into bytes behind it.
    let others = (off.wrapping_add(0x7676_7676_7676_7676) | off) & 0x8080_8080_8080_8080;
    others.trailing_zeros() as usize / 8
}

/// The same of a number of any length that a double can be made of in one step.
fn long(text: &[u8], start: usize, point: u8) -> Option<(u64, usize, usize)> {
    let mut at = start;
    let mut digits: u64 = 0;
    let take = |at: &mut usize, digits: &mut u64| {
        while let Some(digit) = text.get(*at).map(|b| b.wrapping_sub(b'0')).filter(|d| *d < 10) {
            *digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
            *at += 1;
        }
    };
    take(&mut at, &mut digits);
    let mut behind = 0;
    if text.get(at) == Some(&point) {
        let whole_end = at + 1;
        at = whole_end;
        take(&mut at, &mut digits);
        behind = at - whole_end;
        if behind == 0 {
            return None;
        }
    }
    // 18 digits fit in 64 bits with room to spare.
    let fits = at > start && at - start <= 18 && digits <= LARGEST_WHOLE;
    fits.then_some((digits, behind, at))
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
            let rows: Vec<(csv::ByteRecord, u64)> = if spans && (record.len() != 3 || open) {
                filler.open_quote(line);
                let text = String::from_utf8_lossy(part).replace('"', "");
                let lines = text.lines().zip(line..).filter(|(text, _)| !text.trim().is_empty());
                let cells = |text| crate::log::csv::sniff::split(text, b';');
                lines.map(|(text, line)| (csv::ByteRecord::from(cells(text)), line)).collect()
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

        /// A plain number is the double that the general reader gives for it.
        #[test]
        fn a_plain_number_is_the_nearest_double(
            written in "-?([0-9]{0,17}(\\.[0-9]{0,24})?|[0-9]{0,7}(\\.[0-9]{0,6})?|[0-9.:/;-]{1,8})",
            behind in "[,;\n][0-9,.;]{0,9}",
        ) {
            let text = format!("{written}{behind}");
            if let Some((value, has_sign, end)) = number(text.as_bytes(), 0, b'.') {
                let read = &text[..end];
                let general: f64 = fast_float2::parse(read).unwrap();
                prop_assert_eq!(value.to_bits(), general.to_bits());
                prop_assert_eq!(has_sign, read.contains('.'));
                prop_assert!(!text[end..].starts_with(|c: char| c.is_ascii_digit()));
            }
        }
    }
}
