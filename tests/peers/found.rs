//! What the reference readers put down, one JSON file for each file they read.

use std::path::{Path, PathBuf};

use serde::Deserialize;

/// The columns that a reference reader saw in a file; `found.py` says what each field is.
#[derive(Debug, Deserialize)]
pub struct Found {
    pub file: PathBuf,
    pub reader: String,
    pub unix: bool,
    pub start_s: f64,
    pub time_slack_s: f64,
    pub columns: Vec<Column>,
}

#[derive(Debug, Deserialize)]
pub struct Column {
    pub name: String,
    pub time_s: Vec<f64>,
    pub value: Vec<f64>,
    /// The share by which a value may differ for rounding.
    pub slack: f64,
}

impl Found {
    pub fn name(&self) -> &str {
        self.file.file_name().and_then(|name| name.to_str()).unwrap_or_default()
    }

    pub fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.name == name)
    }
}

/// All that was found, in order of name.
pub fn all(folder: &Path) -> Vec<Found> {
    let files = std::fs::read_dir(folder).expect("the peers made the folder");
    let mut paths: Vec<PathBuf> = files.map(|file| file.expect("is read").path()).collect();
    paths.sort();
    paths.iter().map(|path| one(path)).collect()
}

fn one(path: &Path) -> Found {
    let text = std::fs::read_to_string(path).expect("the peers wrote it");
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
