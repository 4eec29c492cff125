//! Gears in letters and words.
//!
//! In: one cell of a column named like a gear. Out: the gear, or that no gear is in.

use crate::log::plain;

/// Gear letters. `Some(None)` is a gear box with no gear in that is worth a number.
pub fn gear(cell: &[u8]) -> Option<Option<f64>> {
    let text = &*plain::cell(std::str::from_utf8(cell).ok()?);
    match text {
        "N" | "n" | "P" | "p" | "Neutral" | "neutral" | "Park" | "Leerlauf" => Some(Some(0.0)),
        "R" | "r" | "Reverse" => Some(Some(-1.0)),
        "D" | "S" | "M" => Some(None),
        _ => {
            let behind = ["Gear", "gear", "Gang", "Rapport"].iter();
            let digits = behind.filter_map(|word| text.strip_prefix(word)).next();
            let digits = digits
                .map_or(text, str::trim_start)
                .trim_start_matches(['D', 'M', 'S', 'G'])
                .trim_end_matches(char::is_alphabetic);
            (digits.len() < text.len() && digits.len() <= 2)
                .then(|| digits.parse().ok().map(Some))?
        }
    }
}
