//! One step of the work: said aloud, then run, and an error that says what to do.

use std::ffi::OsStr;
use std::fmt;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitStatus};
use std::time::{Duration, Instant};

/// What failed, and what to do about it.
#[derive(Debug, thiserror::Error)]
#[error("{failed}.\n{remedy}")]
pub struct Trouble {
    failed: String,
    remedy: String,
}

impl Trouble {
    pub fn new(failed: impl Into<String>, remedy: impl Into<String>) -> Self {
        Trouble { failed: failed.into(), remedy: remedy.into() }
    }

    /// For something that the file system would not do.
    pub fn file(doing: &str, path: &Path, error: impl fmt::Display) -> Self {
        Trouble::new(
            format!("could not {doing} {}: {error}", path.display()),
            "Check that the file is there and may be written, and that the disk has room.",
        )
    }
}

/// Tells the person what comes next.
pub fn say(text: impl fmt::Display) {
    println!("== {text}");
}

/// The project's folder, where `Cargo.toml` is.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Where cargo builds.
pub fn target() -> PathBuf {
    root().join(std::env::var_os("CARGO_TARGET_DIR").unwrap_or_else(|| "target".into()))
}

/// rustup's cargo, in the project's folder.
pub fn cargo<S: AsRef<OsStr>>(words: impl IntoIterator<Item = S>) -> Command {
    command("cargo", words)
}

/// A program with its words, in the project's folder.
pub fn command<S: AsRef<OsStr>>(
    program: impl AsRef<OsStr>,
    words: impl IntoIterator<Item = S>,
) -> Command {
    let mut command = Command::new(program);
    command.args(words).current_dir(root());
    command
}

/// Runs a command that must succeed; what it prints is seen.
///
/// # Errors
/// [`Trouble`] naming the command, with `remedy`.
pub fn run(mut command: Command, remedy: &str) -> Result<(), Trouble> {
    let line = line_of(&command);
    println!("   $ {line}");
    outcome(&line, command.status(), remedy)
}

/// The same, ended when it takes longer than a patient person would wait.
///
/// # Errors
/// [`Trouble`], also when the time is up.
pub fn run_within(limit: Duration, mut command: Command, remedy: &str) -> Result<(), Trouble> {
    let line = line_of(&command);
    println!("   $ {line}");
    let failed = |what: String| Trouble::new(what, remedy);
    let mut child = command.spawn().map_err(|error| failed(format!("{line}: {error}")))?;
    let until = Instant::now() + limit;
    loop {
        match child.try_wait() {
            Ok(None) if Instant::now() < until => std::thread::sleep(Duration::from_millis(50)),
            Ok(None) => {
                // It may have ended by itself in between; either way it is over.
                let _ = child.kill();
                let _ = child.wait();
                return Err(failed(format!("{line} gave no end in {} s", limit.as_secs())));
            }
            Ok(Some(status)) => return outcome(&line, Ok(status), remedy),
            Err(error) => return Err(failed(format!("{line}: {error}"))),
        }
    }
}

/// What a command prints on standard output; `None` when it cannot be had.
pub fn asked(mut command: Command) -> Option<String> {
    let output = command.output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Where a program is found, as the shell would.
pub fn found(program: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(program)).find(|file| file.is_file())
}

fn line_of(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    words.map(OsStr::to_string_lossy).collect::<Vec<_>>().join(" ")
}

fn outcome(line: &str, status: std::io::Result<ExitStatus>, remedy: &str) -> Result<(), Trouble> {
    match status {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(Trouble::new(format!("{line} failed ({status})"), remedy)),
        Err(error) => Err(Trouble::new(format!("{line} could not start: {error}"), remedy)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failed_command_is_named_with_the_remedy() {
        let trouble = run(command("false", ["x"]), "Do this.").unwrap_err().to_string();

        assert!(trouble.starts_with("false x failed"), "{trouble}");
        assert!(trouble.ends_with("Do this."), "{trouble}");
    }

    #[test]
    fn a_command_without_end_is_ended() {
        let sleep = command("sleep", ["600"]);

        let trouble = run_within(Duration::from_millis(80), sleep, "Go on.").unwrap_err();

        assert!(trouble.to_string().contains("no end"), "{trouble}");
    }
}
