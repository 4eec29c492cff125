//! A file on its way to being open, fed in pieces.
//!
//! In: the bytes of one file in order. Out: the logs and days in it, not yet kept. A log
//! streams, see [`crate::log::reading`]; a day file and a zip archive are gathered.

use super::{OpenError, empty_archive, not_read};
use crate::day::Day;
use crate::log::limits::{PACKED_DEPTH_LIMIT, UNPACKED_LIMIT};
use crate::log::reading::{Ended, Reading};
use crate::log::{Log, LogError, Problem, unpack};

/// A file as read, before it is kept.
pub(super) enum File {
    Day(Box<Day>),
    Log(Box<Log>),
}

/// All that was in one file, each with its path.
pub struct Opened {
    pub(super) files: Vec<(String, File)>,
    pub(super) problems: Vec<Problem>,
}

/// What became of the bytes fed.
pub enum Outcome {
    Opened(Opened),
    /// The same bytes once more, from the first, to this one.
    Again(Opening),
}

/// A file on its way to being open.
pub struct Opening {
    path: String,
    size: Option<u64>,
    stage: Stage,
}

enum Stage {
    Start(Vec<u8>),
    Whole(Vec<u8>),
    Log(Box<Reading>),
}

/// Blanks before the brace of a day file, at most.
const START: usize = 256;

impl Opening {
    /// A file with its path and, where it is known, its size in bytes.
    pub fn new(path: &str, size: Option<u64>) -> Opening {
        Opening { path: path.to_owned(), size, stage: Stage::Start(Vec::new()) }
    }

    /// Takes the next bytes.
    pub fn feed(&mut self, piece: &[u8]) {
        match &mut self.stage {
            Stage::Start(start) => {
                start.extend_from_slice(piece);
                if start.len() >= START {
                    let start = std::mem::take(start);
                    self.begin(start);
                }
            }
            Stage::Whole(bytes) => bytes.extend_from_slice(piece),
            Stage::Log(reading) => reading.feed(piece),
        }
    }

    fn begin(&mut self, start: Vec<u8>) {
        self.stage = if unpack::is_zip(&start) || Day::is_day_file(&start) {
            Stage::Whole(start)
        } else {
            let mut reading = Reading::new(&self.path, self.size);
            reading.feed(&start);
            Stage::Log(Box::new(reading))
        };
    }

    /// Whether no further bytes are wanted: the end can be asked for at once.
    pub fn is_settled(&self) -> bool {
        matches!(&self.stage, Stage::Log(reading) if reading.is_settled())
    }

    /// What was in the file, once all bytes were fed.
    ///
    /// # Errors
    /// [`OpenError`] when nothing in it can be read.
    pub fn finish(self) -> Result<Outcome, OpenError> {
        let Opening { path, size, stage } = self;
        match stage {
            Stage::Start(bytes) | Stage::Whole(bytes) => files(&path, &bytes).map(Outcome::Opened),
            Stage::Log(reading) => Ok(match reading.finish()? {
                Ended::Log(log) => Outcome::Opened(Opened::one(path, File::Log(log))),
                Ended::Again(reading) => {
                    Outcome::Again(Opening { path, size, stage: Stage::Log(reading) })
                }
            }),
        }
    }

    /// Stops at the columns of a table: how many numbers they hold, and their sum. For
    /// measuring how long the way to there is.
    pub fn cells(self) -> Option<(u64, f64)> {
        match self.stage {
            Stage::Log(reading) => reading.cells(),
            _ => None,
        }
    }
}

impl Opened {
    fn one(path: String, file: File) -> Self {
        Opened { files: vec![(path, file)], problems: Vec::new() }
    }

    /// The logs in it.
    pub fn logs(&self) -> impl Iterator<Item = &Log> {
        self.files.iter().filter_map(|(_, file)| match file {
            File::Log(log) => Some(&**log),
            File::Day(_) => None,
        })
    }
}

/// All that is in a file whose bytes are there.
pub(super) fn files(path: &str, bytes: &[u8]) -> Result<Opened, OpenError> {
    if !unpack::is_zip(bytes) {
        return Ok(Opened::one(path.to_owned(), read(path, bytes)?));
    }
    let mut unpacked = Unpacked { left: UNPACKED_LIMIT, ..Unpacked::default() };
    unpacked.take(path, bytes, 1)?;
    let Unpacked { files, refused, cut, .. } = unpacked;
    if files.is_empty() && !cut.is_empty() {
        return Err(unpack::damaged(path, "archive").into());
    }
    if files.is_empty() {
        return Err(refused.into_iter().next().unwrap_or_else(|| empty_archive(path)));
    }
    let not_read = refused.iter().map(|error| not_read(path, error));
    Ok(Opened { files, problems: cut.into_iter().chain(not_read).collect() })
}

/// What an archive gave so far, and how many bytes may still come of it.
#[derive(Default)]
struct Unpacked {
    files: Vec<(String, File)>,
    refused: Vec<OpenError>,
    cut: Vec<Problem>,
    left: u64,
}

impl Unpacked {
    /// Takes the files of an archive, and those of archives in it: a mail packs what was
    /// packed before.
    fn take(&mut self, path: &str, bytes: &[u8], depth: usize) -> Result<(), LogError> {
        let entries = unpack::entries(path, bytes, self.left)?;
        let held: usize = entries.files.iter().map(|(_, bytes)| bytes.len()).sum();
        self.left = self.left.saturating_sub(held as u64);
        self.cut.extend(entries.cut);
        for (name, bytes) in entries.files {
            let path = format!("{path}/{name}");
            let found = match unpack::is_zip(&bytes) && depth < PACKED_DEPTH_LIMIT {
                true => self.take(&path, &bytes, depth + 1).map_err(OpenError::from),
                false => read(&path, &bytes).map(|file| self.files.push((path, file))),
            };
            self.refused.extend(found.err());
        }
        Ok(())
    }
}

fn read(path: &str, bytes: &[u8]) -> Result<File, OpenError> {
    if Day::is_day_file(bytes) {
        let day = Day::from_json(path, &String::from_utf8_lossy(bytes))?;
        return Ok(File::Day(Box::new(day)));
    }
    Ok(File::Log(Box::new(crate::log::read(path, bytes)?)))
}
