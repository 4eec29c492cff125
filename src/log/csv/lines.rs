//! Lines on their way into columns, cell by cell at places already known.
//!
//! In: a stretch of text and where its cells end. Out: one record a line, in the
//! [`Filler`]. This is where a log spends its time: nothing here is done twice, and
//! what is rare is done elsewhere.

use std::slice::Iter;

use super::table::Filler;

/// The lines of a stretch of text, which may begin and end within its last one.
pub struct Lines<'t> {
    text: &'t [u8],
    ends: Iter<'t, u32>,
    delimiter: u8,
    at: usize,
}

/// What became of a line.
pub enum Line {
    /// It is a record, or blank.
    Taken,
    /// A quotation mark stands in it, or it ends otherwise.
    Odd,
    /// Its end is not in the stretch.
    GoesOn,
}

impl<'t> Lines<'t> {
    /// From a place on, with the ends behind it.
    pub fn of(text: &'t [u8], at: usize, ends: &'t [u32], delimiter: u8) -> Self {
        Lines { text, ends: ends.iter(), delimiter, at }
    }

    /// Where the next line begins.
    pub fn at(&self) -> usize {
        self.at
    }

    /// Takes the next line, which has this number, or leaves it.
    #[inline(always)]
    pub fn next(&mut self, filler: &mut Filler, number: u64) -> Line {
        let (text, delimiter) = (self.text, self.delimiter);
        let mut ends = self.ends.clone();
        filler.begin();
        let Some((columns, end)) = filler.line(text, self.at, &mut ends, delimiter) else {
            return Line::GoesOn;
        };
        let next = match (text[end], text.get(end + 1)) {
            (b'\n', _) => end + 1,
            (b'\r', Some(b'\n')) => {
                ends.next();
                end + 2
            }
            (b'\r', None) => return Line::GoesOn,
            _ => return Line::Odd,
        };
        // A line with nothing in it is no record and no oddity.
        if end > self.at {
            let line = &text[self.at..end];
            filler.end(columns, number, || line.split(move |&b| b == delimiter));
        }
        (self.at, self.ends) = (next, ends);
        Line::Taken
    }
}
