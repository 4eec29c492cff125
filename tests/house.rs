//! The rules of the house that the compiler cannot keep.
//!
//! In: every source file. Out: the names of those that break a rule. The files are
//! counted, so that nothing passes for want of files.

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in the order of `src/lib.rs`: each may name the ones before it.
const ROOMS: [&str; 15] = [
    "unit", "math", "log", "air", "pull", "launch", "heat", "compare", "day", "work", "sheet",
    "chart", "screen", "worker", "page",
];
/// The browser's half, compiled for wasm only.
const BROWSER_ROOMS: [&str; 2] = ["worker", "page"];
/// What a type of one of these says is read by strangers, or by the page.
const SERIALISING_ROOMS: [&str; 6] = ["day", "sheet", "chart", "screen", "worker", "page"];
/// 500 lines are more than anyone holds in the head.
const LONGEST: usize = 500;

/// A source file below `src/`, or a test.
struct Source {
    /// Relative to the project's folder, with `/`.
    path: String,
    /// With comments emptied, line by line.
    code: Vec<String>,
    text: String,
}

impl Source {
    /// `launch` for `src/launch/marks.rs`; `None` outside the library's rooms.
    fn room(&self) -> Option<&'static str> {
        let name = self.path.strip_prefix("src/")?.split(['/', '.']).next()?;
        ROOMS.into_iter().find(|room| *room == name)
    }

    /// How many modules it lies below the crate: 1 for `src/air.rs` and `src/log/mod.rs`.
    fn depth(&self) -> usize {
        let parts = self.path.split('/').count() - 1;
        if self.path.ends_with("/mod.rs") { parts - 1 } else { parts }
    }

    /// Every line of code for which `breaks` holds, as `path:line`.
    fn lines(&self, breaks: impl Fn(&str) -> bool) -> Vec<String> {
        let numbered = self.code.iter().enumerate().filter(|(_, line)| breaks(line));
        numbered.map(|(at, line)| format!("{}:{} {}", self.path, at + 1, line.trim())).collect()
    }
}

#[test]
fn a_room_names_only_rooms_above_it() {
    let mut seen = [0; ROOMS.len()];
    let mut wrong = Vec::new();
    for source in sources("src") {
        let Some(room) = source.room() else { continue };
        let own = ROOMS.iter().position(|name| *name == room).unwrap();
        seen[own] += 1;
        let below = &ROOMS[own + 1..];
        wrong.extend(
            source.lines(|line| names(line, source.depth()).iter().any(|n| below.contains(n))),
        );
    }

    assert!(wrong.is_empty(), "names a later room: {wrong:#?}");
    let empty: Vec<_> = ROOMS.iter().zip(seen).filter(|(_, seen)| *seen == 0).collect();
    assert!(empty.is_empty(), "rooms without a file: {empty:?}");
}

#[test]
fn the_order_of_rooms_is_the_one_that_the_library_tells() {
    let text = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let told: Vec<&str> = text
        .lines()
        .filter_map(|l| l.split_once("[`")?.1.split_once("`]: ").map(|t| t.0))
        .collect();

    assert_eq!(told, ROOMS[..ROOMS.len() - BROWSER_ROOMS.len()]);
}

#[test]
fn every_file_opens_by_saying_what_it_is() {
    let wrong: Vec<_> = all().into_iter().filter(|s| !s.text.starts_with("//! ")).collect();

    assert!(wrong.is_empty(), "{:#?}", paths(&wrong));
}

#[test]
fn no_file_is_longer_than_anyone_can_hold() {
    let wrong: Vec<_> = all().into_iter().filter(|s| s.code.len() > LONGEST).collect();

    assert!(wrong.is_empty(), "over {LONGEST} lines: {:#?}", paths(&wrong));
}

/// Equal bytes give an equal sheet, in the browser and in the command: so the domain
/// knows no browser, clock, file, thread or setting, and no order that changes.
#[test]
fn the_domain_knows_no_world_around_it() {
    let outside = [
        "web_sys",
        "js_sys",
        "wasm_bindgen",
        "gloo",
        "yew",
        "std::fs",
        "std::env",
        "std::time",
        "std::net",
        "std::thread",
        "std::process",
        "HashMap",
        "HashSet",
        "jiff::Zoned::now",
        "Timestamp::now",
    ];
    let domain = sources("src")
        .into_iter()
        .filter(|source| source.room().is_some_and(|room| !BROWSER_ROOMS.contains(&room)));

    let wrong: Vec<String> = domain
        .flat_map(|s| s.lines(|line| outside.iter().any(|word| has_word(line, word))))
        .collect();

    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A type that serialises is a promise; domain types change freely.
#[test]
fn only_what_strangers_read_serialises() {
    let silent = sources("src")
        .into_iter()
        .filter(|source| source.room().is_some_and(|room| !SERIALISING_ROOMS.contains(&room)));

    let wrong: Vec<String> = silent
        .filter(|source| source.path != "src/unit/reader.rs")
        .flat_map(|s| {
            s.lines(|line| ["Serialize", "Deserialize"].iter().any(|w| has_word(line, w)))
        })
        .collect();

    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Drawing stands behind one door, so that a chart is a value everywhere else.
#[test]
fn only_the_charts_name_the_drawing_crate() {
    let others = sources("src").into_iter().filter(|s| !matches!(s.room(), Some("chart" | "page")));

    let wrong: Vec<String> =
        others.flat_map(|s| s.lines(|line| line.contains("plotters"))).collect();

    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The rule-keepers themselves must see: a rule that finds nothing anywhere is blind.
#[test]
fn the_rules_see_what_they_look_for() {
    assert_eq!(names("use crate::launch::{Launch, Mark};", 1), ["launch"]);
    assert_eq!(names("use crate::{day::Day, sheet, unit::Speed};", 1), ["day", "sheet", "unit"]);
    assert_eq!(names("    crate::work::Work::new()", 2), ["work"]);
    assert_eq!(names("use super::super::heat::Heat;", 2), ["heat"]);
    assert_eq!(names("use super::heat::Heat;", 2), [""; 0], "a room's own file");
    assert!(has_word("use std::fs;", "std::fs") && !has_word("let std::fsx = 1;", "std::fs"));
    assert!(all().len() > 100, "only {} files were seen", all().len());
}

/// The rooms that a line of code names, by `crate::` or by climbing.
fn names(line: &str, depth: usize) -> Vec<&'static str> {
    let climb = "super::".repeat(depth);
    let mut found = Vec::new();
    for start in ["crate::", climb.as_str()] {
        for (at, _) in line.match_indices(start) {
            let rest = &line[at + start.len()..];
            let listed = rest.strip_prefix('{').map(|rest| rest.split('}').next().unwrap_or(rest));
            let parts = listed.map_or(vec![rest], |listed| listed.split(", ").collect());
            found.extend(parts.iter().filter_map(|part| first_room(part)));
        }
    }
    found
}

fn first_room(text: &str) -> Option<&'static str> {
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(text.len());
    ROOMS.into_iter().find(|room| *room == &text[..end])
}

/// Whether a word stands in a line, not as a part of a longer one.
fn has_word(line: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        let (before, after) = (&line[..at], &line[at + word.len()..]);
        !before.ends_with(part) && !after.starts_with(part)
    })
}

fn all() -> Vec<Source> {
    ["src", "tests"].into_iter().flat_map(sources).collect()
}

fn sources(folder: &str) -> Vec<Source> {
    let mut files = Vec::new();
    collect(&root().join(folder), &mut files);
    files.sort();
    files.iter().map(|file| source(file)).collect()
}

fn collect(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(&path, into);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            into.push(path);
        }
    }
}

fn source(file: &Path) -> Source {
    let text = fs::read_to_string(file).unwrap();
    let path = file.strip_prefix(root()).unwrap().to_str().unwrap().replace('\\', "/");
    let code = text.lines().map(|line| line.split("//").next().unwrap_or("").to_owned()).collect();
    Source { path, code, text }
}

fn paths(sources: &[Source]) -> Vec<&str> {
    sources.iter().map(|source| source.path.as_str()).collect()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}
