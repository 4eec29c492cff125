//! The site: a folder of static files with relative addresses.
//!
//! `dist/` = everything in `www/`, the program and its bindings, the sample day.

use std::fs;
use std::path::{Path, PathBuf};

use crate::bind;
use crate::sample;
use crate::step::{Trouble, root, say};
use crate::wasm;
use crate::words::Wasm;

/// Sets up what is missing, builds the site, and gives its folder.
///
/// # Errors
/// [`Trouble`] of the first step that fails.
pub fn build(wanted: Wasm) -> Result<PathBuf, Trouble> {
    of(&wasm::compiler(wanted)?)
}

/// The same with a compiler at hand.
///
/// # Errors
/// [`Trouble`] of the first step that fails.
pub fn of(compiler: &wasm::Compiler) -> Result<PathBuf, Trouble> {
    say("Compiling the page's program (a minute or two the first time)");
    let wasm = compiler.build()?;
    let bindings = bind::bindings(&wasm)?;
    let dist = dist();
    lay_out(&bindings, &dist)?;
    say(format!("The site is in {}: {}", dist.display(), sizes(&dist)));
    Ok(dist)
}

/// The site as it was last built.
///
/// # Errors
/// [`Trouble`] when there is none.
pub fn built() -> Result<PathBuf, Trouble> {
    let dist = dist();
    if dist.join("index.html").is_file() {
        return Ok(dist);
    }
    Err(Trouble::new("there is no site in dist/", "Build it: cargo site build"))
}

fn dist() -> PathBuf {
    root().join("dist")
}

fn lay_out(bindings: &Path, dist: &Path) -> Result<(), Trouble> {
    if dist.exists() {
        fs::remove_dir_all(dist).map_err(|error| Trouble::file("clear", dist, error))?;
    }
    copy_folder(&root().join("www"), dist)?;
    for name in bind::MADE {
        copy(&bindings.join(name), &dist.join(name))?;
    }
    sample::pack(&dist.join("sample-day.zip"))?;
    Ok(())
}

fn copy_folder(from: &Path, to: &Path) -> Result<(), Trouble> {
    fs::create_dir_all(to).map_err(|error| Trouble::file("make", to, error))?;
    let entries = fs::read_dir(from).map_err(|error| Trouble::file("read", from, error))?;
    for entry in entries {
        let path = entry.map_err(|error| Trouble::file("read", from, error))?.path();
        let Some(name) = path.file_name() else { continue };
        if path.is_dir() {
            copy_folder(&path, &to.join(name))?;
        } else {
            copy(&path, &to.join(name))?;
        }
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> Result<(), Trouble> {
    fs::copy(from, to).map(drop).map_err(|error| Trouble::file("copy", from, error))
}

/// What the program weighs, for people who host it.
fn sizes(dist: &Path) -> String {
    let kib = |name: &str| fs::metadata(dist.join(name)).map_or(0, |data| data.len() / 1024);
    format!(
        "{} {} KiB, sample day {} KiB",
        bind::MADE[1],
        kib(bind::MADE[1]),
        kib("sample-day.zip")
    )
}
