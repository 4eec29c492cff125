//! One cell: a number, nothing, or text.
//!
//! In: the bytes of a cell, quotes already off, and the column's decimal sign.
//! Out: a [`Cell`]. A blank in any of its spellings is [`Cell::Blank`], never zero.
//! Nothing is allocated for a plain number.

use std::borrow::Cow;

use crate::log::plain;
use crate::unit::Unit;

/// What a cell holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell {
    Number(f64),
    /// A number with its unit behind it: `45 km/h`.
    Measured(f64, Unit),
    Blank,
    Text,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimal {
    Point,
    Comma,
    /// Commas in some lines and points in others: whichever stands alone in a cell.
    Either,
}

/// Ways to write that there is no reading, lower case.
const BLANKS: &[&str] = &[
    "-",
    "--",
    "---",
    "----",
    "–",
    "—",
    "−",
    "nan",
    "-nan",
    "na",
    "n/a",
    "n.a.",
    "#n/a",
    "#na",
    "null",
    "none",
    "nil",
    "inf",
    "+inf",
    "-inf",
    "infinity",
    "-infinity",
    "?",
    "*",
    ".",
    "\\n",
    "<na>",
    "nv",
    "n.v.",
    "k.a.",
    "nd",
    "no data",
    "nodata",
    "no value",
    "invalid",
    "inv",
    "err",
    "error",
    "#value!",
    "#div/0!",
    "#ref!",
    "#num!",
    "#name?",
    "#null!",
    "undefined",
    "undef",
    "missing",
    "not available",
    "unavailable",
    "1.#qnan",
    "1.#ind",
    "-1.#ind",
    "1.#inf",
    "-1.#inf",
    "x",
    "overflow",
    "underflow",
    "no signal",
    "nosignal",
    "offline",
    "off-line",
    "n. def.",
    "#nv",
    "#n/d",
    "#nd",
    "#wert!",
    "#valeur!",
    "#valor!",
    "#zahl!",
    "#nombre!",
    "#bezug!",
    "not a number",
    "∞",
    "-∞",
];

/// Switch words, as numbers.
const WORDS: &[(&str, f64)] = &[
    ("on", 1.0),
    ("off", 0.0),
    ("true", 1.0),
    ("false", 0.0),
    ("yes", 1.0),
    ("no", 0.0),
    ("ein", 1.0),
    ("aus", 0.0),
    ("ja", 1.0),
    ("nein", 0.0),
    ("an", 1.0),
    ("oui", 1.0),
    ("non", 0.0),
    ("vrai", 1.0),
    ("faux", 0.0),
    ("wahr", 1.0),
    ("falsch", 0.0),
    ("active", 1.0),
    ("inactive", 0.0),
];

/// Longest number anyone writes, thousands and exponent included.
const LONGEST: usize = 48;

pub fn parse(cell: &[u8], decimal: Decimal) -> Cell {
    let cell = cell.trim_ascii();
    if cell.is_empty() {
        return Cell::Blank;
    }
    if cell.len() > 4 * LONGEST {
        return Cell::Text;
    }
    let plain = match decimal {
        // Where the comma is the decimal sign, points part thousands: 1.250 is 1250.
        Decimal::Comma if cell.contains(&b',') || has_groups(cell) => None,
        _ => fast_float2::parse::<f64, _>(cell).ok(),
    };
    match plain {
        Some(value) if value.is_finite() => Cell::Number(value),
        _ => unusual(cell, decimal),
    }
}

/// Everything but a plain number.
fn unusual(cell: &[u8], decimal: Decimal) -> Cell {
    if decimal != Decimal::Point
        && let Some(value) = with_comma(cell)
    {
        return Cell::Number(value);
    }
    let Ok(text) = std::str::from_utf8(cell) else { return Cell::Text };
    if let Some(value) = of_fortran(text) {
        return Cell::Number(value);
    }
    if let Cow::Owned(plain) = plain::cell(text)
        && plain != text
    {
        return parse(plain.as_bytes(), decimal);
    }
    // A number kept from a spreadsheet's own reading: ="12.5" or '12.5.
    let text = text.trim_matches(['"', '\'', '\0', ' ']).trim_start_matches("=\"");
    if text.is_empty() || is_blank(text) {
        return Cell::Blank;
    }
    // The sign apart from its number, in columns set in line.
    if let Some((minus, size)) = text.split_once(' ').filter(|(sign, _)| matches!(*sign, "-" | "+"))
    {
        return match parse(size.trim_start().as_bytes(), decimal) {
            Cell::Number(size) if size >= 0.0 => {
                Cell::Number(if minus == "+" { size } else { -size })
            }
            _ => Cell::Text,
        };
    }
    if let Some(value) = negative(text, decimal) {
        return Cell::Number(value);
    }
    if let Some(&(_, value)) = WORDS.iter().find(|(word, _)| text.eq_ignore_ascii_case(word)) {
        return Cell::Number(value);
    }
    if let Some(value) = grouped(text, decimal) {
        return Cell::Number(value);
    }
    measured(text, decimal)
}

/// A double as Fortran prints it: `0.785D+03`.
fn of_fortran(text: &str) -> Option<f64> {
    let at = text.find("D+").or_else(|| text.find("D-"))?;
    let exponent = &text[at + 2..];
    let fits = text[..at].ends_with(|c: char| c.is_ascii_digit() || c == '.')
        && exponent.bytes().all(|b| b.is_ascii_digit());
    text.replacen('D', "E", 1).parse().ok().filter(|_| fits)
}

/// `(0.64)` as bookkeepers write it, and `640-` as business programs do.
fn negative(text: &str, decimal: Decimal) -> Option<f64> {
    let in_brackets = || text.strip_prefix('(')?.strip_suffix(')');
    let size = text.strip_suffix('-').or_else(in_brackets)?;
    let plain = size.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','))
        && size.ends_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
    match parse(size.as_bytes(), decimal) {
        Cell::Number(value) if plain => Some(-value),
        _ => None,
    }
}

/// Digits in groups of three with points between: `1.250`, never `0.250`.
pub fn has_groups(cell: &[u8]) -> bool {
    let unsigned = cell.strip_prefix(b"-").unwrap_or(cell);
    let mut groups = unsigned.split(|&b| b == b'.');
    let digits = |group: &[u8]| group.iter().all(u8::is_ascii_digit);
    let leads = groups.next().is_some_and(|first| {
        (1..=3).contains(&first.len()) && digits(first) && !first.starts_with(b"0")
    });
    leads && unsigned.contains(&b'.') && groups.all(|group| group.len() == 3 && digits(group))
}

pub fn is_blank(text: &str) -> bool {
    // A number too wide for its field, in columns set in line.
    let overflown = text.len() > 1 && text.bytes().all(|b| b == b'*');
    overflown || text.len() <= 16 && BLANKS.iter().any(|blank| text.eq_ignore_ascii_case(blank))
}

/// `12,5` and nothing else.
fn with_comma(cell: &[u8]) -> Option<f64> {
    let mut digits = [0u8; LONGEST];
    let digits = digits.get_mut(..cell.len())?;
    digits.copy_from_slice(cell);
    let comma = digits.iter().position(|&b| b == b',')?;
    if digits.contains(&b'.') {
        return None;
    }
    digits[comma] = b'.';
    fast_float2::parse::<f64, _>(&*digits).ok().filter(|value| value.is_finite())
}

/// A number with thousands in groups of three: `1,234.5`, `1.234,5`, `1 234,5`, `1'234`.
fn grouped(text: &str, decimal: Decimal) -> Option<f64> {
    let (group, point) = match decimal {
        Decimal::Point | Decimal::Either => (',', '.'),
        Decimal::Comma => ('.', ','),
    };
    let (whole, fraction) = text.split_once(point).map_or((text, None), |(w, f)| (w, Some(f)));
    let unsigned = whole.trim_start_matches(['-', '+']);
    let separators = [group, ' ', '\'', '’'];
    let mut groups = unsigned.split(separators);
    let first = groups.next()?;
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let minus = whole.starts_with('-');
    let fits = digits(first)
        && (unsigned.len() == first.len() || first.len() <= 3)
        && (groups.clone().all(|group| group.len() == 3 && digits(group))
            || decimal == Decimal::Point && are_indian(unsigned))
        && fraction.is_none_or(digits);
    if !fits || text.len() > LONGEST {
        return None;
    }
    let plain: String = unsigned.chars().filter(char::is_ascii_digit).collect();
    let value: f64 = format!("{plain}.{}", fraction.unwrap_or("0")).parse().ok()?;
    Some(if minus { -value } else { value })
}

/// Hundreds of thousands and of those again, as India parts them: `12,83,45,600`.
fn are_indian(whole: &str) -> bool {
    let mut groups = whole.split(',');
    let digits =
        |text: &str, most: usize| text.len() <= most && text.bytes().all(|b| b.is_ascii_digit());
    let first = groups.next().is_some_and(|first| !first.is_empty() && digits(first, 2));
    let last = groups.next_back().is_some_and(|last| last.len() == 3 && digits(last, 3));
    first
        && last
        && groups.clone().count() > 0
        && groups.all(|group| group.len() == 2 && digits(group, 2))
}

/// A number followed by its unit.
fn measured(text: &str, decimal: Decimal) -> Cell {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    if number.is_empty() || unit.is_empty() || unit.len() > 16 {
        return Cell::Text;
    }
    match (parse(number.as_bytes(), decimal), crate::log::units::spelled(unit)) {
        // A thousand; kelvins are written with a capital.
        (Cell::Number(value), _) if unit == "k" => Cell::Number(value * 1000.0),
        (Cell::Number(value), Some(unit)) => Cell::Measured(value, unit),
        (Cell::Blank, Some(_)) => Cell::Blank,
        _ => Cell::Text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Decimal::{Comma, Point};

    #[test]
    fn numbers_in_every_hand() {
        let rows = [
            ("12.5", Point, 12.5),
            (" -0.5 ", Point, -0.5),
            ("1e3", Point, 1000.0),
            (".5", Point, 0.5),
            ("12,5", Comma, 12.5),
            ("-0,5", Comma, -0.5),
            ("12.5", Comma, 12.5),
            ("1.250", Comma, 1250.0),
            ("0.250", Comma, 0.25),
            ("1,234.5", Point, 1234.5),
            ("1.234,5", Comma, 1234.5),
            ("1 234,5", Comma, 1234.5),
            ("1'234.5", Point, 1234.5),
            ("1\u{a0}234", Point, 1234.0),
            ("-1,234", Point, -1234.0),
            ("12,83,45,600", Point, 128_345_600.0),
            ("on", Point, 1.0),
            ("−3", Point, -3.0),
            ("- 0.12", Point, -0.12),
            ("+ 3,5", Comma, 3.5),
            ("(0.64)", Point, -0.64),
            ("0.78500D+03", Point, 785.0),
            ("-.5D-1", Point, -0.05),
            ("(1.250,5)", Comma, -1250.5),
            ("652-", Point, -652.0),
            ("0,03-", Comma, -0.03),
        ];
        for (text, decimal, value) in rows {
            assert_eq!(parse(text.as_bytes(), decimal), Cell::Number(value), "{text}");
        }
    }

    #[test]
    fn no_reading_is_never_a_zero() {
        for text in [
            "", "  ", "-", "--", "NaN", "NA", "N/A", "null", "#N/A", "inf", "1.#QNAN", "—",
            "******",
        ] {
            assert_eq!(parse(text.as_bytes(), Point), Cell::Blank, "{text}");
        }
    }

    #[test]
    fn a_unit_behind_the_number_is_read_and_other_text_is_not() {
        let Cell::Measured(value, unit) = parse(b"45 km/h", Point) else { panic!("45 km/h") };
        assert_eq!((value, unit.symbol), (45.0, "km/h"));
        for text in [
            "gps",
            "12 monkeys",
            "1,23",
            "1.2.3",
            "0x1F",
            "12,34,5",
            "1'02'345",
            "(-3)",
            "-3-",
            "(x)",
            "12 (3)",
            "()",
        ] {
            assert_eq!(parse(text.as_bytes(), Point), Cell::Text, "{text}");
        }
    }
}
