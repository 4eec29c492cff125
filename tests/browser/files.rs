//! The files that the page is given.

use std::path::{Path, PathBuf};

/// The sample day's file, whose logs stand beside it.
pub fn sample_day() -> PathBuf {
    root().join("sample-logs/day.json")
}

/// Every log of the sample day.
pub fn samples() -> Vec<PathBuf> {
    let text = std::fs::read_to_string(sample_day()).expect("the sample day is there");
    let day = pullmark::day::Day::from_json("day.json", &text).expect("and opens");
    let outings = day.builds.iter().flat_map(|build| &build.outings);
    let logs = outings.flat_map(|outing| &outing.logs);
    logs.map(|log| root().join("sample-logs").join(log)).collect()
}

/// Every real recording that the tests hold, in the order of their names.
pub fn recordings() -> Vec<PathBuf> {
    let folder = root().join("tests/data/open");
    let entries = std::fs::read_dir(&folder).expect("the recordings are there");
    let mut files: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    let forms = ["csv", "mf4", "nmea", "gpx"];
    files.retain(|file| file.extension().is_some_and(|e| forms.iter().any(|form| e == *form)));
    files.sort();
    files
}

/// A recording by its name.
pub fn recording(name: &str) -> PathBuf {
    root().join("tests/data/open").join(name)
}

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}
