//! A file brought to a reader in pieces, for the tests and for the fuzz target of pieces.

use pullmark::log::reading::{Ended, Reading};
use pullmark::log::{Log, LogError};

/// A reader that learns what the rest of a file shows asks for it again, but not for ever.
const ASKS: usize = 4;

/// The log of a file in pieces of these lengths in turn, over and over.
pub fn fed(mut reading: Reading, file: &[u8], lengths: &[usize]) -> Result<Log, LogError> {
    for _ in 0..ASKS {
        let mut rest = file;
        for &length in lengths.iter().cycle() {
            if rest.is_empty() || reading.is_settled() {
                break;
            }
            let (piece, behind) = rest.split_at(length.min(rest.len()));
            reading.feed(piece);
            rest = behind;
        }
        match reading.finish()? {
            Ended::Log(log) => return Ok(*log),
            Ended::Again(knowing) => reading = *knowing,
        }
    }
    panic!("asked for the same bytes more than {ASKS} times");
}
