//! Our own reading of a file: with every reading, and as the page reads it.

use std::path::Path;

use pullmark::log::limits::UNPACKED_LIMIT;
use pullmark::log::reading::{Ended, Reading};
use pullmark::log::{Channel, Log, read_all, unpack};

/// A file read twice.
pub struct Ours {
    /// Every reading, repeated ones too.
    pub all: Log,
    /// In pieces, repeats left out.
    fresh: Log,
}

impl Ours {
    /// # Errors
    /// The message with which the file is refused.
    pub fn of(file: &Path) -> Result<Ours, String> {
        let name = file.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
        let bytes = std::fs::read(file).map_err(|error| error.to_string())?;
        let (name, bytes) = unzipped(&name, bytes)?;
        let all = read_all(&name, &bytes).map_err(|error| error.to_string())?;
        Ok(Ours { all, fresh: in_pieces(&name, &bytes)? })
    }

    pub fn names(&self) -> Vec<&str> {
        self.all.channels.iter().map(|channel| channel.name.as_str()).collect()
    }

    pub fn fresh(&self, name: &str) -> Option<&Channel> {
        self.fresh.channels.iter().find(|channel| channel.name == name)
    }
}

/// The one file in a zip archive, or the file itself.
fn unzipped(name: &str, bytes: Vec<u8>) -> Result<(String, Vec<u8>), String> {
    if !unpack::is_zip(&bytes) {
        return Ok((name.to_owned(), bytes));
    }
    let entries =
        unpack::entries(name, &bytes, UNPACKED_LIMIT).map_err(|error| error.to_string())?;
    entries.files.into_iter().next().ok_or_else(|| "the archive is empty".to_owned())
}

fn in_pieces(name: &str, bytes: &[u8]) -> Result<Log, String> {
    let mut reading = Reading::new(name, Some(bytes.len() as u64));
    loop {
        bytes.chunks(7001).for_each(|piece| reading.feed(piece));
        match reading.finish().map_err(|error| error.to_string())? {
            Ended::Log(log) => return Ok(*log),
            Ended::Again(knowing) => reading = *knowing,
        }
    }
}
