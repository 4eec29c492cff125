//! The files that the page is given.

use std::path::{Path, PathBuf};

/// The sample day as the page opens it: one archive, beside the built page.
pub fn sample_day() -> PathBuf {
    root().join("dist/sample-day.zip")
}

/// Every log of the sample day, in the order of their names.
pub fn samples() -> Vec<PathBuf> {
    of_forms(&root().join("sample-logs"), &["csv"])
}

/// Every real recording that the tests hold, in the order of their names.
pub fn recordings() -> Vec<PathBuf> {
    of_forms(&root().join("tests/data/open"), &["csv", "mf4", "nmea", "gpx"])
}

fn of_forms(folder: &Path, forms: &[&str]) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("the folder is there");
    let mut files: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
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
