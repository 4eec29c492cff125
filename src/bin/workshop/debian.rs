//! Debian's packages: what is there, what can be had, and installing it aloud.

use crate::step::{Trouble, asked, command, found, run, say};

/// Installs packages after saying which and why. On a system without `apt-get` it
/// says what to install by hand.
///
/// # Errors
/// [`Trouble`] when they cannot be installed.
pub fn install(packages: &[String], why: &str) -> Result<(), Trouble> {
    let list = packages.join(" ");
    say(format!("Installing from Debian, {why}: {list}"));
    if found("apt-get").is_none() {
        return Err(Trouble::new(
            format!("this system has no apt-get, so {list} could not be installed"),
            "Install these, or what your system calls them, and run this again.",
        ));
    }
    let by_hand = format!("Run as root: apt-get update && apt-get install {list}");
    let mut words = vec!["install", "-y", "--no-install-recommends"];
    words.extend(packages.iter().map(String::as_str));
    run(as_root(&words, &by_hand)?, &by_hand)
}

/// Fetches the lists of what Debian offers; a fresh machine has none.
///
/// # Errors
/// [`Trouble`] when they cannot be fetched.
pub fn update() -> Result<(), Trouble> {
    if found("apt-get").is_none() {
        return Ok(());
    }
    say("Fetching Debian's package lists, for something is missing");
    let by_hand = "Run as root: apt-get update";
    run(as_root(&["update", "-q"], by_hand)?, by_hand)
}

/// The version of an installed package.
pub fn installed(package: &str) -> Option<String> {
    let query = ["-W", "-f", "${db:Status-Abbrev} ${Version}", package];
    let answer = asked(command("dpkg-query", query))?;
    answer.strip_prefix("ii ").map(|version| version.trim().to_owned())
}

/// Every version of a package that Debian offers.
pub fn offered(package: &str) -> Vec<String> {
    let answer = asked(command("apt-cache", ["madison", package])).unwrap_or_default();
    let second = |line: &str| line.split('|').nth(1).map(|version| version.trim().to_owned());
    answer.lines().filter_map(second).collect()
}

/// The names of packages that begin with `start`.
pub fn names(start: &str) -> Vec<String> {
    let answer = asked(command("apt-cache", ["pkgnames", start])).unwrap_or_default();
    answer.lines().map(str::to_owned).collect()
}

fn as_root(words: &[&str], by_hand: &str) -> Result<std::process::Command, Trouble> {
    let is_root = asked(command("id", ["-u"])).is_some_and(|id| id.trim() == "0");
    let mut line = vec!["DEBIAN_FRONTEND=noninteractive", "apt-get"];
    line.extend(words);
    match (is_root, found("sudo")) {
        (true, _) => Ok(command("env", line)),
        (false, Some(_)) => {
            line.insert(0, "env");
            Ok(command("sudo", line))
        }
        (false, None) => Err(Trouble::new("only root can install packages", by_hand)),
    }
}
