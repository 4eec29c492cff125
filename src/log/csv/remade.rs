//! A text that is no table as it stands, made into one.
//!
//! In: the text. Out: every text that may be the table meant, the likeliest first, with
//! what is to be said of it.

use std::collections::BTreeSet;

use super::sniff::is_reading;
use super::{blanks, led, pairs, quoted};
use crate::log::Problem;
use crate::log::limits::HEAD_LINES_LIMIT;

/// A text that may be the table, and what is to be said of it.
pub type Remade = (String, Option<Problem>);

/// A text that is no table, made into one in every way that fits: lines led by something,
/// cells parted by blanks or by several tabs, lines quoted as one cell. What is said of it
/// comes with it.
pub fn remade(text: &str) -> Vec<Remade> {
    let tabbed = || Some((blanks::to_tabs(text)?, None));
    let unwrapped = || {
        let unwrapped = quoted::unwrapped(text)?;
        let text =
            "Every line stands in quotation marks, as one cell; what they quote was read as \
                    the table."
                .to_owned();
        Some((unwrapped, Some(Problem { code: "lines_quoted", text })))
    };
    let plainly = || Some((quoted::with_plain_marks(text)?, None));
    let led = led::without_leads(text);
    if !led.is_empty() {
        return led;
    }
    if let Some(table) = pairs::to_table(text) {
        return vec![(table, None)];
    }
    if are_aligned(text) {
        return vec![(with_single_tabs(text), None)];
    }
    if let Some(table) = barred(text).or_else(|| wiki(text)).or_else(|| signed(text)) {
        return vec![(table, None)];
    }
    if let Some(table) = tailed(text) {
        return vec![(table, None)];
    }
    tabbed().or_else(unwrapped).or_else(plainly).into_iter().collect()
}

/// Whether a text that may pass for a table has to be made into another all the same.
pub fn must_be(text: &str) -> bool {
    led::is_led(text)
        || are_aligned(text)
        || pairs::are_pairs(text)
        || tail(text).is_some()
        || wiki(text).is_some()
}

/// Whether cells are set in line with as many tabs as it takes: without the further tabs all
/// lines have one number of cells, and with them they do not.
fn are_aligned(text: &str) -> bool {
    const FEWEST: usize = 3;
    let head = || text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    if !head().any(|line| line.contains("\t\t")) || head().any(|line| line.starts_with('\t')) {
        return false;
    }
    let written: BTreeSet<usize> = head().map(|line| line.split('\t').count()).collect();
    let single = |line: &str| line.split('\t').filter(|cell| !cell.is_empty()).count();
    let cells: BTreeSet<usize> = head().map(single).collect();
    head().count() > FEWEST
        && written.len() > 1
        && cells.len() == 1
        && cells.first() >= Some(&FEWEST)
}

fn with_single_tabs(text: &str) -> String {
    let single = |line: &str| {
        let cells: Vec<&str> = line.split('\t').filter(|cell| !cell.is_empty()).collect();
        cells.join("\t") + "\n"
    };
    text.lines().map(single).collect()
}

/// Cells parted by the broken bar of Latin-1, with plain bars between them.
fn barred(text: &str) -> Option<String> {
    let head = || text.lines().take(HEAD_LINES_LIMIT);
    let broken = head().filter(|line| line.contains('¦')).count();
    (broken * 2 > head().count() && !text.contains('|')).then(|| text.replace('¦', "|"))
}

/// Names between two bars each, and cells between single ones, as in a page of a wiki.
fn wiki(text: &str) -> Option<String> {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty());
    let names = lines.next().filter(|line| line.starts_with("||"))?;
    let width = names.matches("||").count();
    let fits = lines.take(HEAD_LINES_LIMIT).all(|line| {
        line.starts_with('|')
            && line.trim_end().ends_with('|')
            && line.matches('|').count() == width
    });
    fits.then(|| text.replacen(names, &names.replace("||", "|"), 1))
}

/// Cells parted by a sign that hardly anyone parts them by: the same number in every line,
/// and readings between them.
fn signed(text: &str) -> Option<String> {
    const SIGNS: [&str; 5] = [" :: ", "::", "^", "~", "\u{1f}"];
    let head = || text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    if text.contains('\t') || head().count() < 3 {
        return None;
    }
    let fits = |sign: &&&str| {
        let count = |line: &str| line.matches(**sign).count();
        let first = head().next().map_or(0, count);
        let readings =
            |line: &str| line.split(**sign).all(|cell| is_reading(cell) || cell.is_empty());
        first > 1 && head().all(|line| count(line) == first) && head().skip(1).take(3).all(readings)
    };
    SIGNS.iter().find(fits).map(|sign| text.replace(*sign, "\t"))
}

/// What every line of a table of commas ends with and is none of it: `;`, or the sign for a
/// line's end in letters.
fn tail(text: &str) -> Option<&'static str> {
    const TAILS: [&str; 4] = ["\\r\\n", "\\n", "\\r", ";"];
    let head = || text.lines().filter(|line| !line.is_empty()).take(HEAD_LINES_LIMIT);
    let once = |line: &str, tail: &str| line.ends_with(tail) && line.matches(tail).count() == 1;
    let fits = |tail: &&str| head().all(|line| once(line, tail) && line.contains(','));
    TAILS.into_iter().find(|tail| head().count() > 2 && fits(tail))
}

fn tailed(text: &str) -> Option<String> {
    let tail = tail(text)?;
    Some(
        text.lines()
            .map(|line| line.strip_suffix(tail).unwrap_or(line).to_owned() + "\n")
            .collect(),
    )
}
