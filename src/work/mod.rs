//! The work in hand: opened files become findings.
//!
//! This is the one seam. The native command and the browser's worker both go
//! through [`Work`] and nothing else, so that they cannot disagree. It owns the
//! logs as read and the [`Day`] with the reader's corrections; [`Findings`] are
//! made anew from these two whenever they are asked for.
//!
//! In: named bytes. Out: findings, from which [`crate::sheet`] makes the sheet.
//! What is open stays open when another file fails. Logs are told apart by their
//! place, never by their name. No file, clock or setting is read here.
//!
//! Start at [`Work::open`], then [`Work::findings`].

pub mod conditions;
mod correct;
mod drives;
mod facts;
mod found;
mod headless;
mod join;
pub mod opening;
mod paths;
mod place;

use std::sync::Arc;

use crate::day::{Build, Day, DayError, Outing};
use crate::log::{Log, LogError, Problem};
pub use conditions::Conditions;
pub use drives::Drive;
pub use found::{BuildFindings, Findings, LogFindings, OutingFindings};
use opening::File;
pub use opening::{Opened, Opening, Outcome};

/// Why a file could not be opened.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OpenError {
    #[error(transparent)]
    Log(#[from] LogError),
    #[error(transparent)]
    Day(#[from] DayError),
}

/// The logs and the day.
#[derive(Debug, Default)]
pub struct Work {
    /// As read, before corrections, in the order of opening.
    logs: Vec<OpenLog>,
    day: Option<OpenDay>,
    /// Which logs recorded one drive, found anew with every log: one a log.
    drives: Vec<Option<Drive>>,
    /// What was odd about the opening itself.
    problems: Vec<Problem>,
}

#[derive(Debug)]
pub struct OpenLog {
    /// As it was opened: a path, or just the file's name.
    pub path: String,
    pub log: Arc<Log>,
    /// Other files with the same recording in them, which were not kept.
    pub again: Vec<String>,
}

#[derive(Debug, Clone)]
struct OpenDay {
    /// As it was opened; the paths inside count from here.
    path: String,
    day: Day,
    problems: Vec<Problem>,
}

/// A log that the day names and that is not open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MissingLog {
    /// The day file that names it, as it was opened.
    pub day_file: String,
    /// As the day file writes it.
    pub written: String,
    /// Where it lies, seen from where the day file was opened.
    pub path: String,
}

impl Work {
    pub fn new() -> Self {
        Self::default()
    }

    /// Opens a file: a log, a day file, or an archive of these.
    ///
    /// What cannot be read in an archive is a problem of the day as long as
    /// something in it can be: people pack a note beside their logs.
    ///
    /// # Errors
    /// [`OpenError`]; what was open before stays open and unchanged.
    pub fn open(&mut self, path: &str, bytes: &[u8]) -> Result<(), OpenError> {
        self.keep_all(opening::files(path, bytes)?);
        Ok(())
    }

    /// Keeps what was in a file that came in pieces, see [`Opening`].
    pub fn keep_all(&mut self, opened: Opened) {
        let before = self.logs.len();
        for (path, file) in opened.files {
            self.keep(&path, file);
        }
        if self.logs.len() > before {
            headless::name(&mut self.logs);
            self.drives = drives::found(&self.logs);
        }
        self.problems.extend(opened.problems);
    }

    fn keep(&mut self, path: &str, file: File) {
        match file {
            File::Day(day) => self.open_day(path, *day),
            File::Log(log) => self.open_log(path, *log),
        }
    }

    fn open_day(&mut self, path: &str, day: Day) {
        let next = OpenDay { path: path.to_owned(), day, problems: Vec::new() };
        self.day = Some(match self.day.take() {
            Some(open) => join::join(open, next),
            None => next,
        });
    }

    /// Keeps a log, unless the same recording is open already.
    fn open_log(&mut self, path: &str, mut log: Log) {
        paths::file_name(path).clone_into(&mut log.name);
        match self.logs.iter_mut().find(|open| same_recording(&open.log, &log)) {
            Some(open) => open.again.push(path.to_owned()),
            None => {
                let path = path.to_owned();
                self.logs.push(OpenLog { path, log: Arc::new(log), again: Vec::new() });
            }
        }
    }

    /// The logs in the order of opening; [`Findings::logs`] has the day's order.
    pub fn logs(&self) -> &[OpenLog] {
        &self.logs
    }

    /// The day as it stands: the opened or edited one, or else a build of each log,
    /// since people who give several logs without a day file ask how they differ.
    pub fn day(&self) -> Day {
        match &self.day {
            Some(open) => open.day.clone(),
            None => one_build_each(&self.logs, &self.drives),
        }
    }

    /// Puts an edited day in place of the old.
    pub fn set_day(&mut self, day: Day) {
        let path = self.day.take().map(|open| open.path).unwrap_or_default();
        self.day = Some(OpenDay { path, day, problems: Vec::new() });
    }

    /// The logs that the day names and that are not open, in the day's order.
    pub fn missing_logs(&self) -> Vec<MissingLog> {
        let named = self.named_logs(&self.day());
        let missing = named.into_iter().filter(|row| row.open.is_none());
        let day_file = self.day.as_ref().map_or("", |open| open.path.as_str());
        missing
            .filter(|row| !self.logs.iter().any(|open| open.again.contains(&row.path)))
            .map(|row| MissingLog {
                day_file: day_file.to_owned(),
                written: row.written,
                path: row.path,
            })
            .collect()
    }

    /// Everything found, made anew.
    pub fn findings(&self) -> Findings {
        let day = self.day();
        let named = self.named_logs(&day);
        let mut findings = found::find(&self.logs, &self.drives, &day, &named);
        let of_day = self.day.iter().flat_map(|open| &open.problems);
        findings.problems.splice(0..0, self.problems.iter().chain(of_day).cloned());
        findings
    }

    fn named_logs(&self, day: &Day) -> Vec<place::Named> {
        let day_file = self.day.as_ref().map_or("", |open| open.path.as_str());
        let opened: Vec<&str> = self.logs.iter().map(|open| open.path.as_str()).collect();
        place::named(day_file, day, &opened)
    }
}

fn empty_archive(path: &str) -> OpenError {
    let (place, what) = ("archive".to_owned(), "there is no file in it.".to_owned());
    let remedy = "Pack the logs again, or open them themselves.".to_owned();
    OpenError::Log(LogError::Unreadable { file: path.to_owned(), place, what, remedy })
}

fn not_read(path: &str, error: &OpenError) -> Problem {
    let text = format!("Not everything in {path} could be read. {error}");
    Problem { code: "not_all_read", text }
}

/// Whether two logs hold the same readings, whatever their files are called.
fn same_recording(a: &Log, b: &Log) -> bool {
    (a.form, a.rows, a.span_s, a.began_unix_s) == (b.form, b.rows, b.span_s, b.began_unix_s)
        && a.channels == b.channels
}

/// A day with a build for each drive, named by its engine's file, or by its path where two
/// files are called alike.
fn one_build_each(logs: &[OpenLog], drives: &[Option<Drive>]) -> Day {
    let mut day = Day::empty();
    let is_part = |index: usize| drives.get(index).is_some_and(Option::is_some);
    for (index, open) in logs.iter().enumerate().filter(|(index, _)| !is_part(*index)) {
        let stem = paths::stem(&open.path);
        let alike = logs.iter().filter(|other| paths::stem(&other.path) == stem).count();
        let before = logs[..index].iter().filter(|other| other.path == open.path).count();
        let name = match (alike, before) {
            (1, _) => stem.to_owned(),
            (_, 0) => open.path.clone(),
            _ => format!("{} ({})", open.path, before + 1),
        };
        let parts = logs.iter().zip(drives);
        let parts = parts.filter(|(_, drive)| drive.is_some_and(|drive| drive.of == index));
        let own = std::iter::once(open).chain(parts.map(|(part, _)| part));
        let outing =
            Outing { logs: own.map(|log| log.path.clone()).collect(), ..Outing::default() };
        day.builds.push(Build { name, outings: vec![outing], ..Build::default() });
    }
    day
}
