//! Positions in words: `48.1 N`, `48°06.0'N`, `W 11° 30' 15.5"`.
//!
//! In: one cell of a column named latitude or longitude. Out: degrees, south and west
//! negative, or `None`. A letter that means east in one language and west in another
//! (`O`) is not read.

use crate::log::plain;

/// Degrees from a cell with a hemisphere, or with signs for degrees and minutes.
pub fn degrees(cell: &[u8]) -> Option<f64> {
    let text = plain::cell(std::str::from_utf8(cell).ok()?);
    if text.len() > 40 || !text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let letter = |c: char| matches!(c.to_ascii_uppercase(), 'N' | 'S' | 'E' | 'W');
    let front = text.chars().next().filter(|c| letter(*c));
    let back = text.chars().next_back().filter(|c| letter(*c));
    let hemisphere = match (front, back) {
        (Some(_), Some(_)) => return None,
        (one, other) => one.or(other),
    };
    let bare = text.trim_matches(letter).trim();
    let minus = bare.starts_with('-');
    let mut parts = [0.0; 3];
    let mut count = 0;
    let signs = |c: char| matches!(c, '°' | 'º' | '\'' | '’' | '′' | '"' | '″' | ' ' | ':');
    for part in bare.trim_start_matches(['-', '+']).split(signs).filter(|p| !p.is_empty()) {
        let value: f64 = part.replace(',', ".").parse().ok().filter(|v: &f64| v.is_finite())?;
        *parts.get_mut(count)? = value;
        count += 1;
    }
    let [degrees, minutes, seconds] = parts;
    let fits = count > 0
        && (0.0..=360.0).contains(&degrees)
        && (0.0..60.0).contains(&minutes)
        && (0.0..60.0).contains(&seconds)
        // A minus beside a hemisphere could mean either.
        && !(minus && hemisphere.is_some());
    let size = degrees + minutes / 60.0 + seconds / 3600.0;
    let turned = minus || hemisphere.is_some_and(|c| matches!(c.to_ascii_uppercase(), 'S' | 'W'));
    fits.then_some(if turned { -size } else { size })
}

#[cfg(test)]
mod tests {
    use super::degrees;

    #[test]
    fn positions_in_many_hands() {
        let rows = [
            ("48.1 N", 48.1),
            ("S48.1", -48.1),
            ("11.5W", -11.5),
            ("48°06.0'N", 48.1),
            ("48° 06' 00.0\" N", 48.1),
            ("W 11° 30' 36\"", -11.51),
            ("-48 06 00", -48.1),
            ("48,5° N", 48.5),
        ];
        for (text, wanted) in rows {
            let read = degrees(text.as_bytes());
            assert!(read.is_some_and(|read| (read - wanted).abs() < 1e-9), "{text}: {read:?}");
        }
        for text in ["N", "", "48°75'N", "N 48 E", "-48 N", "11.5 O", "1 2 3 4", "nan", "48.1 km"]
        {
            assert_eq!(degrees(text.as_bytes()), None, "{text}");
        }
    }
}
