//! The browser that the end-to-end tests drive.

use crate::debian;
use crate::step::{Trouble, found};

/// Program, and Debian's package for it.
const NEEDED: [(&str, &str); 2] = [("chromium", "chromium"), ("chromedriver", "chromium-driver")];

/// Installs Chromium and its driver where they are missing.
///
/// # Errors
/// [`Trouble`] when they cannot be installed.
pub fn ready() -> Result<(), Trouble> {
    let missing: Vec<String> = missing().map(str::to_owned).collect();
    if missing.is_empty() {
        return Ok(());
    }
    debian::update()?;
    debian::install(&missing, "to test the page in a real browser")?;
    match self::missing().next() {
        None => Ok(()),
        Some(package) => Err(Trouble::new(
            format!("{package} is installed but its program is not on the PATH"),
            "Add the program's folder to PATH.",
        )),
    }
}

fn missing() -> impl Iterator<Item = &'static str> {
    NEEDED.into_iter().filter(|(program, _)| found(program).is_none()).map(|(_, package)| package)
}
