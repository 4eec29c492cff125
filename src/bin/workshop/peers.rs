//! The reference readers that our reading is held against, in a Python of their own.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::debian;
use crate::step::{Trouble, asked, command, root, run_within, say, target};

/// Where Python is looked for: what the person has chosen first, Debian's own last.
const PYTHONS: [&str; 6] =
    ["python3", "python3.13", "python3.12", "python3.11", "python3.10", "/usr/bin/python3"];
/// The versions that every pinned package has a wheel for, with what makes an environment.
const FITS: &str =
    "import ensurepip, sys, venv; sys.exit(not (3, 10) <= sys.version_info[:2] <= (3, 13))";
/// The packages are 60 MB.
const PATIENCE: Duration = Duration::from_secs(900);

/// Sets the readers up under `target/`, unless they are there in these very versions.
///
/// # Errors
/// [`Trouble`] when there is no fit Python, or its packages cannot be had.
pub fn ready() -> Result<(), Trouble> {
    let (list, folder) = (root().join("tests/peers/requirements.txt"), target().join("peers-venv"));
    let wanted = fs::read_to_string(&list).map_err(|error| Trouble::file("read", &list, error))?;
    let stamp = folder.join("installed.txt");
    let has_them = fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted);
    if has_them && fits(&inside(&folder)) {
        return Ok(());
    }
    let python = python()?;
    say(format!(
        "Installing pandas, asammdf, pynmea2 and gpxpy by {} into {}, to hold our reading against theirs",
        python.display(),
        folder.display()
    ));
    install(&python, &folder, &list)?;
    fs::write(&stamp, wanted).map_err(|error| Trouble::file("write", &stamp, error))
}

fn install(python: &Path, folder: &Path, list: &Path) -> Result<(), Trouble> {
    if folder.exists() {
        fs::remove_dir_all(folder).map_err(|error| Trouble::file("remove", folder, error))?;
    }
    let mut venv = command(python, ["-m", "venv"]);
    venv.arg(folder);
    run_within(PATIENCE, venv, "Install python3-venv, and run this again.")?;
    let words = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check"];
    let mut pip = command(inside(folder), words);
    pip.arg("--require-hashes").arg("--requirement").arg(list);
    run_within(PATIENCE, pip, "Look at what pip said: it fetches the packages from its index.")
}

/// The environment's own Python.
fn inside(folder: &Path) -> PathBuf {
    folder.join("bin/python")
}

/// A Python that the packages are made for; Debian's where there is none.
fn python() -> Result<PathBuf, Trouble> {
    if let Some(python) = fit_python() {
        return Ok(python);
    }
    debian::update()?;
    let packages = ["python3", "python3-venv"].map(str::to_owned);
    debian::install(&packages, "to hold our reading against that of other readers")?;
    fit_python().ok_or_else(|| {
        Trouble::new(
            "there is no Python 3.10 to 3.13 that can make an environment",
            "Install one of these, with its venv module, on the PATH.",
        )
    })
}

fn fit_python() -> Option<PathBuf> {
    PYTHONS.iter().map(PathBuf::from).find(|python| fits(python))
}

fn fits(python: &Path) -> bool {
    asked(command(python, ["-c", FITS])).is_some()
}
