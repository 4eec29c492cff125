//! From findings to the sheet: rounding nowhere, naming everywhere.

use super::{FORMAT, METHOD, Sheet, VERSION};
use crate::day::Day;
use crate::work::Findings;

/// The sheet of a day.
pub fn sheet(day: &Day, findings: &Findings) -> Sheet {
    let _ = findings;
    Sheet {
        format: FORMAT.to_owned(),
        version: VERSION,
        method: METHOD,
        title: day.title.clone(),
        logs: Vec::new(),
        pulls: Vec::new(),
        builds: Vec::new(),
        ladders: Vec::new(),
        comparisons: Vec::new(),
    }
}
