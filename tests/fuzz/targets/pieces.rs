//! Tables in pieces: wherever they end, and whether our own quick way cuts the lines or
//! the csv crate, the log is that of the whole file.

#![no_main]

use libfuzzer_sys::fuzz_target;
use pullmark::log::reading::Reading;
use pullmark::log::{self, Log, LogError};

#[path = "../../readers/fed.rs"]
mod fed;

use fed::fed;

/// From so many bytes on, a file is told and read in pieces.
const LONG: usize = 4200;

fuzz_target!(|bytes: &[u8]| {
    let Some((&[first, second], text)) = bytes.split_first_chunk() else { return };
    let lengths = [usize::from(first) + 1, usize::from(second) * 17 + 1];
    let note = format!("note {:-<70}\n", "");
    let file = [note.repeat(LONG / note.len() + 1).as_bytes(), text].concat();
    let whole = log::read("fuzzed.csv", &file);
    let size = Some(file.len() as u64);
    let pieces = fed(Reading::new("fuzzed.csv", size), &file, &lengths);
    assert!(whole == pieces, "in pieces of {lengths:?}: {:?}", told(&whole, &pieces));
    let by_the_crate = fed(Reading::new("fuzzed.csv", size).by_the_crate(), &file, &lengths);
    assert!(whole == by_the_crate, "by the crate: {:?}", told(&whole, &by_the_crate));
});

type Read = Result<Log, LogError>;

fn told<'r>(whole: &'r Read, other: &'r Read) -> [Result<String, &'r LogError>; 2] {
    [whole, other].map(|read| read.as_ref().map(|log| format!("{log:?}")))
}
