//! Whole lines in quotation marks, as a spreadsheet saves a table that was pasted into
//! one column.
//!
//! In: a text that is no table otherwise. Out: the same lines without the marks around
//! them, or `None` where most lines are not quoted so. What is quoted inside stays.

use std::borrow::Cow;

use crate::log::limits::HEAD_LINES_LIMIT;

/// Cells behind a quoted line that hold nothing.
const EMPTY: [char; 5] = [',', ';', '\t', ' ', '\r'];

/// A text whose lines are quoted, without the marks.
pub fn unwrapped(text: &str) -> Option<String> {
    let head = || text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    let quoted = head().filter(|line| inside(line).is_some()).count();
    // The names may stand without.
    if quoted < 2 || (quoted + 1) * 10 < head().count() * 9 {
        return None;
    }
    let mut unwrapped = String::with_capacity(text.len());
    for line in text.lines() {
        unwrapped.push_str(inside(line).as_deref().unwrap_or(line));
        unwrapped.push('\n');
    }
    Some(unwrapped)
}

/// A text with the quotation marks of a word processor, with those of RFC 4180 in their
/// place; `None` where there are none.
pub fn with_plain_marks(text: &str) -> Option<String> {
    let is_typeset = |c: char| matches!(c, '„' | '“' | '”' | '«' | '»');
    let head = text.lines().filter(|line| !line.trim().is_empty()).take(HEAD_LINES_LIMIT);
    let quoted = head.clone().filter(|line| line.contains(is_typeset)).count();
    (quoted > 1 && quoted * 2 > head.count()).then(|| text.replace(is_typeset, "\""))
}

/// What one pair of marks around all of a line quotes, if that holds more cells than one.
fn inside(line: &str) -> Option<Cow<'_, str>> {
    let quoted = line.trim_start().trim_end_matches(EMPTY);
    let inside = quoted.strip_prefix('"')?.strip_suffix('"')?;
    let marks = inside.matches('"').count();
    let doubled = inside.matches("\"\"").count();
    if marks != 2 * doubled || !inside.contains([',', ';', '\t', '|']) {
        return None;
    }
    Some(if marks == 0 { inside.into() } else { inside.replace("\"\"", "\"").into() })
}
