//! The sheet: everything found, as values that serialise. A type here is a promise
//! to strangers: field names keep name and meaning, and a value that could not be
//! found is `null`, never 0 and never left out.

pub mod csv;
#[cfg(test)]
pub mod example;
mod heat;
pub mod make;
mod rows;
pub mod words;

use serde::{Deserialize, Serialize};

pub use heat::*;
pub use rows::*;

pub const FORMAT: &str = "pullmark-sheet";
pub const VERSION: u32 = 1;
/// Rises whenever a method changes so that numbers move. DEVELOPERS.md lists why.
pub const METHOD: u32 = 5;

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Sheet {
    pub format: String,
    pub version: u32,
    pub method: u32,
    pub title: Option<String>,
    /// What is odd about the day itself rather than about one log.
    pub problems: Vec<ReasonRow>,
    pub logs: Vec<LogRow>,
    pub pulls: Vec<PullRow>,
    pub builds: Vec<BuildRow>,
    /// The times that stand, mark by mark, for each build that has one.
    pub times: Vec<TimesRow>,
    pub ladders: Vec<LadderRow>,
    pub comparisons: Vec<ComparisonRow>,
    /// The same of power at the wheels, where the car's mass is known.
    pub power_comparisons: Vec<ComparisonRow>,
}

impl Sheet {
    /// The logs with pulls of their own: each drive once, whatever recorded it besides.
    pub fn drives(&self) -> impl Iterator<Item = (usize, &LogRow)> {
        self.logs.iter().enumerate().filter(|(_, log)| log.drive.is_none())
    }

    /// The JSON that the command prints and the page saves. Ends with a line break.
    pub fn to_json(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}
