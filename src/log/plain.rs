//! Cells and names in plain letters: what is only for the eye is taken off.
//!
//! In: text as written. Out: the same with plain blanks for those of other widths and
//! without letters that have no width; in a [`cell`] with plain digits and signs as well.
//! Borrowed where nothing of that is in it, as in nearly every cell of every log.
//!
//! Sources: Unicode 15, White_Space and Default_Ignorable_Code_Point (the marks that stand
//! in running text), and the Halfwidth and Fullwidth Forms, which lie 0xfee0 above ASCII.

use std::borrow::Cow;

/// A cell: padding off its ends, its digits and signs plain.
pub fn cell(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return text.trim_ascii().into();
    }
    let mut rest = text.chars();
    let mut plain = String::with_capacity(text.len());
    while let Some(c) = rest.next() {
        let is_minus = is_dash(c) && stands_before_digit(rest.as_str());
        plain.extend(if is_minus { Some('-') } else { unpadded(c).map(narrow) });
    }
    trimmed(plain).into()
}

/// The same of the bytes of a cell. What is no UTF-8 stays as it is.
pub fn bytes(cell: &[u8]) -> Cow<'_, [u8]> {
    match std::str::from_utf8(cell) {
        Ok(text) if !text.is_ascii() => self::cell(text).into_owned().into_bytes().into(),
        _ => cell.trim_ascii().into(),
    }
}

/// A name: padding off its ends, its letters as written.
pub fn name(text: &str) -> Cow<'_, str> {
    match text.is_ascii() {
        true => text.trim_ascii().into(),
        false => trimmed(text.chars().filter_map(unpadded).collect()).into(),
    }
}

/// A plain blank for a blank of any width, nothing for what has no width.
fn unpadded(c: char) -> Option<char> {
    match c {
        '\u{ad}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' => None,
        '\u{2060}'..='\u{2064}' | '\u{2066}'..='\u{2069}' | '\u{feff}' => None,
        // A name in a cell in quotation marks may go on in the next line.
        c if c.is_whitespace() && !c.is_ascii() => Some(' '),
        c => Some(c),
    }
}

/// The plain letter, digit or sign for one of the full width, and the digits of Arabic.
pub fn narrow(c: char) -> char {
    let digit = |zero: char| char::from_u32('0' as u32 + (c as u32 - zero as u32));
    let plain = match c {
        '！'..='～' => char::from_u32(c as u32 - 0xfee0),
        '\u{660}'..='\u{669}' => digit('\u{660}'),
        '\u{6f0}'..='\u{6f9}' => digit('\u{6f0}'),
        '\u{66b}' => Some('.'),
        '\u{66c}' => Some('’'),
        // A decimal point set at half its height.
        '·' => Some('.'),
        c => Some(c),
    };
    plain.unwrap_or(c)
}

/// Hyphens, the en dash, and the true minus, which stand for one where a number follows.
fn is_dash(c: char) -> bool {
    matches!(c, '\u{2010}'..='\u{2013}' | '\u{2212}' | '\u{fe63}')
}

fn stands_before_digit(rest: &str) -> bool {
    let mut behind = rest.chars().filter_map(unpadded).map(narrow).filter(|c| *c != ' ');
    match behind.next() {
        Some('.' | ',') => behind.next().is_some_and(|c| c.is_ascii_digit()),
        first => first.is_some_and(|c| c.is_ascii_digit()),
    }
}

fn trimmed(text: String) -> String {
    match text.trim_ascii() {
        trimmed if trimmed.len() == text.len() => text,
        trimmed => trimmed.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// What is plain stays as it is: a reader may ask as often as it likes.
        #[test]
        fn a_plain_cell_is_its_own(text in "[-–−－ .,１5٥٫٬\u{200b}\u{2007}\u{a0}’a]{0,12}|\\PC{0,12}") {
            let once = cell(&text);
            prop_assert_eq!(&*cell(&once), &*once);
        }
    }

    #[test]
    fn a_cell_is_the_same_however_it_is_padded() {
        for (written, plain) in [
            ("\u{2007}\u{2007}12.5\u{a0}", "12.5"),
            ("\u{200e}12.5\u{200b}", "12.5"),
            ("1\u{2007}250", "1 250"),
            ("12\u{200b}.5", "12.5"),
            ("\u{3000}-１２．５", "-12.5"),
            ("－１２", "-12"),
            ("−12", "-12"),
            ("–\u{2009}.5", "- .5"),
            ("٢٥٫٥", "25.5"),
            ("–", "–"),
            ("Öl – kalt", "Öl – kalt"),
            (" 12 ", "12"),
        ] {
            assert_eq!(cell(written), plain, "{written:?}");
            assert_eq!(*bytes(written.as_bytes()), *plain.as_bytes(), "{written:?}");
        }
        assert_eq!(name("\u{2007}Öl\u{200b}druck\u{a0}［ｂａｒ］\u{feff}"), "Öldruck ［ｂａｒ］");
    }
}
