//! The work in hand: opened files become findings, findings become the sheet.
//!
//! This is the one seam. The native command and the browser's worker both go
//! through [`Work`] and nothing else, so that they cannot disagree. It owns the
//! logs as read and the [`Day`] with the reader's corrections; findings are made
//! anew from these two whenever they are asked for.

use crate::compare::Comparison;
use crate::day::{Day, DayError};
use crate::heat::{Heat, Ladder};
use crate::launch::Launch;
use crate::log::{Log, LogError};
use crate::pull::Pull;
use crate::sheet::Sheet;

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
    /// As read, before corrections. Told apart by place, never by name.
    logs: Vec<OpenLog>,
    day: Option<Day>,
}

#[derive(Debug)]
pub struct OpenLog {
    /// As the day file names it, or the file's name.
    pub path: String,
    pub log: Log,
}

/// Everything found, still as domain values.
#[derive(Debug)]
pub struct Findings {
    pub logs: Vec<LogFindings>,
    pub comparisons: Vec<Comparison>,
}

/// What was found in one log. The three lists are of one length, a pull each.
#[derive(Debug)]
pub struct LogFindings {
    /// With the reader's corrections applied.
    pub log: Log,
    pub build: Option<usize>,
    pub outing: Option<usize>,
    pub pulls: Vec<Pull>,
    pub launches: Vec<Launch>,
    pub heats: Vec<Option<Heat>>,
    pub set_aside: Vec<Option<String>>,
    pub ladder: Option<Ladder>,
}

impl Work {
    pub fn new() -> Self {
        Self::default()
    }

    /// Opens a file: a log, a day file, or an archive of these.
    ///
    /// # Errors
    /// [`OpenError`]; what was open before stays open and unchanged.
    pub fn open(&mut self, path: &str, bytes: &[u8]) -> Result<(), OpenError> {
        if Day::is_day_file(bytes) {
            let text = String::from_utf8_lossy(bytes);
            self.day = Some(Day::from_json(path, &text)?);
            return Ok(());
        }
        let log = crate::log::read(path, bytes)?;
        self.logs.push(OpenLog { path: path.to_owned(), log });
        Ok(())
    }

    pub fn logs(&self) -> &[OpenLog] {
        &self.logs
    }

    /// The day as it stands: the opened or edited one, or one build of all logs.
    pub fn day(&self) -> Day {
        self.day.clone().unwrap_or_else(|| Day::of_logs(self.logs.iter().map(|l| l.path.clone())))
    }

    /// Puts an edited day in place of the old.
    pub fn set_day(&mut self, day: Day) {
        self.day = Some(day);
    }

    /// Everything found, made anew.
    pub fn findings(&self) -> Findings {
        Findings { logs: Vec::new(), comparisons: Vec::new() }
    }

    /// The sheet of what is open.
    pub fn sheet(&self) -> Sheet {
        crate::sheet::make::sheet(&self.day(), &self.findings())
    }
}
