//! The proof: form, lints, the site, and every test, natively and in a browser.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use crate::step::{Trouble, asked, cargo, command, run, say};
use crate::words::Wasm;
use crate::{browser, peers, site, wasm};

/// Sets up what is missing and proves everything. Ends with one line that counts
/// the tests.
///
/// # Errors
/// [`Trouble`] of the first step that fails.
pub fn all(wanted: Wasm) -> Result<(), Trouble> {
    say("Proof 1 of 5: set-up");
    checkers()?;
    peers::ready()?;
    browser::ready()?;
    let compiler = wasm::compiler(wanted)?;
    say("Proof 2 of 5: form");
    run(cargo(["fmt", "--check"]), "Run: cargo fmt")?;
    say("Proof 3 of 5: lints");
    let lints = ["clippy", "--all-targets", "--features", "workshop", "--", "-D", "warnings"];
    run(cargo(lints), "Mend what is named above.")?;
    compiler.lint()?;
    say("Proof 4 of 5: the site");
    site::of(&compiler)?;
    say("Proof 5 of 5: every test, natively and in the browser");
    let count = passed(cargo(["test", "--features", "workshop"]))?;
    println!("\nproof: {count} passed, 0 failed");
    Ok(())
}

/// Holds our reading of files against that of other readers.
///
/// # Errors
/// [`Trouble`] of the first step that fails.
pub fn peers() -> Result<(), Trouble> {
    peers::ready()?;
    passed(cargo(["test", "--features", "workshop", "--test", "peers", "--", "--nocapture"]))
        .map(|_| ())
}

/// Pictures the site at every width and theme.
///
/// # Errors
/// [`Trouble`] of the first step that fails.
pub fn look(wanted: Wasm) -> Result<(), Trouble> {
    browser::ready()?;
    site::build(wanted)?;
    passed(cargo(["test", "--features", "workshop", "--test", "browser", "look"]))?;
    say("The pictures are in target/look/");
    Ok(())
}

/// rustup's default profile brings both; a minimal one does not.
fn checkers() -> Result<(), Trouble> {
    for (verb, component) in [("fmt", "rustfmt"), ("clippy", "clippy")] {
        if asked(cargo([verb, "--version"])).is_none() {
            say(format!("Installing {component}, to check the source's form and habits"));
            let add = command("rustup", ["component", "add", component]);
            run(add, &format!("Install {component} for the Rust in use, and run this again."))?;
        }
    }
    Ok(())
}

/// Drawn tests draw the same in every proof, so that one commit has one answer; `cargo test`
/// alone draws anew each time.
const SEED: &str = "1905";

/// Runs tests, shows what they say, and counts the passed.
fn passed(mut cargo: Command) -> Result<u64, Trouble> {
    println!("   $ cargo test --features workshop");
    let remedy = "Look for \"FAILED\" above.";
    let failed = |what: String| Trouble::new(what, remedy);
    let mut child = cargo
        .env("PROPTEST_RNG_SEED", SEED)
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| failed(format!("cargo test could not start: {error}")))?;
    let mut passed = 0;
    for line in child.stdout.take().into_iter().flat_map(|out| BufReader::new(out).lines()) {
        let line = line.map_err(|error| failed(format!("cargo test broke off: {error}")))?;
        println!("{line}");
        passed += passed_in(&line).unwrap_or(0);
    }
    let status = child.wait().map_err(|error| failed(format!("cargo test: {error}")))?;
    match (status.success(), passed) {
        (true, 1..) => Ok(passed),
        (true, 0) => Err(failed("no test ran".to_owned())),
        (false, _) => Err(failed(format!("tests failed ({status})"))),
    }
}

/// The count in a closing line of Rust's test runner.
fn passed_in(line: &str) -> Option<u64> {
    let counts = line.strip_prefix("test result: ")?;
    let (before, _) = counts.split_once(" passed;")?;
    before.rsplit(' ').next()?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_runner_s_closing_line_is_counted_and_no_other() {
        let closing = "test result: ok. 12 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out";

        assert_eq!(passed_in(closing), Some(12));
        assert_eq!(passed_in("test twelve_passed; ... ok"), None);
    }
}
