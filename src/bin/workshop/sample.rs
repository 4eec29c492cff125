//! The sample day as one archive: the day file, the logs it names, and the logs beside it.
//!
//! Equal files give equal bytes: the order is the day file's, then that of the names, and no
//! clock is read.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

use pullmark::day::Day;
use zip::write::{SimpleFileOptions, ZipWriter};

use crate::step::{Trouble, root};

const DAY_FILE: &str = "day.json";

/// The folder that holds the sample day.
pub fn folder() -> PathBuf {
    root().join("sample-logs")
}

/// Packs the sample day.
///
/// # Errors
/// [`Trouble`] when the day file or a log it names cannot be read.
pub fn pack(to: &Path) -> Result<(), Trouble> {
    let from = folder();
    let file = File::create(to).map_err(|error| Trouble::file("write", to, error))?;
    let mut archive = ZipWriter::new(file);
    for name in std::iter::once(DAY_FILE.to_owned()).chain(logs(&from)?) {
        add(&mut archive, &from, &name)?;
    }
    archive.finish().map(drop).map_err(|error| Trouble::file("write", to, error))
}

/// The logs that the day file names, each once, then those of the folder that it does not:
/// they belong to no build, and are shown beside it.
fn logs(from: &Path) -> Result<Vec<String>, Trouble> {
    let path = from.join(DAY_FILE);
    let text = fs::read_to_string(&path).map_err(|error| Trouble::file("read", &path, error))?;
    let day = Day::from_json(DAY_FILE, &text)
        .map_err(|error| Trouble::new(error.to_string(), "Make the sample day anew."))?;
    let outings = day.builds.iter().flat_map(|build| &build.outings);
    let mut names: Vec<String> = Vec::new();
    for name in outings.flat_map(|outing| &outing.logs) {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    let mut beside = logs_in(from)?;
    beside.retain(|name| !names.contains(name));
    names.extend(beside);
    Ok(names)
}

/// The logs of a folder in the order of their names.
fn logs_in(folder: &Path) -> Result<Vec<String>, Trouble> {
    let trouble = |error| Trouble::file("read", folder, error);
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(trouble)? {
        let path = entry.map_err(trouble)?.path();
        let name = path.file_name().and_then(|name| name.to_str());
        if let Some(name) = name.filter(|_| path.extension().is_some_and(|ext| ext == "csv")) {
            names.push(name.to_owned());
        }
    }
    names.sort();
    Ok(names)
}

fn add(archive: &mut ZipWriter<File>, from: &Path, name: &str) -> Result<(), Trouble> {
    let path = from.join(name);
    let bytes = fs::read(&path).map_err(|error| Trouble::file("read", &path, error))?;
    let options = SimpleFileOptions::default().unix_permissions(0o644);
    let started = archive.start_file(name, options).map_err(std::io::Error::from);
    started
        .and_then(|()| archive.write_all(&bytes))
        .map_err(|error| Trouble::file("pack", &path, error))
}
