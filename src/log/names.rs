//! Names of channels, made comparable: small words without accents.
//!
//! In: a name as a file writes it. Out: its [`Words`]. `VehicleSpeed`,
//! `vehicle_speed` and `Vehicle speed` are the same words.

use std::borrow::Cow;

use super::limits::NAME_LIMIT;
use super::plain;
use super::wanted::{self, Pairs};

/// The words of a name, and all of them run together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    pub words: Vec<String>,
    pub joined: String,
    /// Of `joined`.
    pairs: Pairs,
}

impl Words {
    pub fn of(name: &str) -> Self {
        let mut words: Vec<String> = Vec::new();
        let mut word = String::new();
        let letters: Vec<char> = mend(name).chars().take(NAME_LIMIT).collect();
        for (at, &c) in letters.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| letters.get(at)).copied();
            let after = letters.get(at + 1).copied();
            let is_letter = c.is_alphanumeric() && !is_footnote(c);
            if !is_letter || starts_word(before, c, after) {
                words.extend((!word.is_empty()).then(|| std::mem::take(&mut word)));
            }
            if is_letter {
                fold(c, &mut word);
            }
        }
        words.extend((!word.is_empty()).then_some(word));
        let joined = words.concat();
        Words { words, pairs: Pairs::of(&joined), joined }
    }

    /// Whether one of the alternatives in `wanted` (`a|b|c`) is in the name.
    ///
    /// Up to three letters, or with `=` in front, an alternative must be a word
    /// of its own (or the whole name); a longer one may stand anywhere, as
    /// languages that join their words need it.
    pub fn has(&self, wanted: &'static str) -> bool {
        let wanted = wanted::of(wanted);
        let is_word = |word: &str| wanted.words.contains(word);
        // "iat2", "rpm1": a number behind an abbreviation counts the sensors.
        let uncounted =
            |word: &String| is_word(word.trim_end_matches(|c: char| c.is_ascii_digit()));
        let is_within = |&(pairs, part): &(Pairs, &str)| {
            pairs.can_be_in(self.pairs) && self.joined.contains(part)
        };
        is_word(&self.joined)
            || self.words.iter().any(|word| is_word(word) || uncounted(word))
            || wanted.within.iter().any(is_within)
    }

    /// Whether the name has everything of `needs`: alternatives (`a|b`) apart by blanks.
    pub fn has_all(&self, needs: &'static str) -> bool {
        needs.split(' ').all(|wanted| self.has(wanted))
    }
}

/// A new word starts at a capital after a small letter, at the last capital of an
/// abbreviation, and where the script changes: `GPSSpeed` is `gps speed`, `GPS速度` too.
fn starts_word(before: Option<char>, c: char, after: Option<char>) -> bool {
    let Some(before) = before else { return false };
    let capital = c.is_uppercase()
        && (before.is_lowercase()
            || (before.is_uppercase() && after.is_some_and(char::is_lowercase)));
    capital || is_eastern(before) != is_eastern(c)
}

/// Raised figures are marks of a footnote, or powers in a unit.
fn is_footnote(c: char) -> bool {
    matches!(c, '¹' | '²' | '³' | '⁰' | '⁴'..='⁹')
}

/// Kana, ideographs, and what stands among them; not the full-width Latin letters.
fn is_eastern(c: char) -> bool {
    ('\u{3040}'..'\u{ff00}').contains(&c) || ('\u{ff66}'..='\u{ff9f}').contains(&c)
}

/// Small, without accents; German umlauts lose their dots as in many loggers.
fn fold(c: char, word: &mut String) {
    if c == 'ß' {
        word.push_str("ss");
        return;
    }
    for c in plain::narrow(c).to_lowercase() {
        word.push(match c {
            'ä' | 'à' | 'á' | 'â' | 'ã' | 'å' | 'ą' | 'ă' => 'a',
            'ö' | 'ò' | 'ó' | 'ô' | 'õ' | 'ø' | 'ő' => 'o',
            'ü' | 'ù' | 'ú' | 'û' | 'ů' | 'ű' => 'u',
            'é' | 'è' | 'ê' | 'ë' | 'ě' | 'ę' => 'e',
            'í' | 'ì' | 'î' | 'ï' | 'ı' => 'i',
            'ý' => 'y',
            'ç' | 'č' | 'ć' => 'c',
            'ñ' | 'ň' | 'ń' => 'n',
            'š' | 'ś' | 'ş' => 's',
            'ž' | 'ź' | 'ż' => 'z',
            'ř' => 'r',
            'ť' => 't',
            'ď' => 'd',
            'ł' => 'l',
            'ğ' => 'g',
            _ => c,
        });
    }
}

/// A name as it is shown: cut, and seen to be cut, where it is longer than any name.
pub fn shown(name: &str) -> Cow<'_, str> {
    match name.char_indices().nth(NAME_LIMIT) {
        Some((end, _)) => format!("{}…", &name[..end]).into(),
        None => name.into(),
    }
}

/// UTF-8 that was read as Windows-1252 and saved so, as `GerÃ¤t`, is put right.
pub fn mend(name: &str) -> Cow<'_, str> {
    if !name.contains(['Ã', 'Â', 'â']) {
        return name.into();
    }
    let (bytes, _, unmapped) = encoding_rs::WINDOWS_1252.encode(name);
    match std::str::from_utf8(&bytes) {
        Ok(mended) if !unmapped => mended.to_owned().into(),
        _ => name.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_words_however_they_are_joined() {
        for name in
            ["VehicleSpeed", "vehicle_speed", "Vehicle speed", "vehicle.speed", "VEHICLE-SPEED"]
        {
            assert_eq!(Words::of(name).words, ["vehicle", "speed"], "{name}");
        }
        assert_eq!(Words::of("GPSSpeed").words, ["gps", "speed"]);
        assert_eq!(Words::of("température d'admission").words, ["temperature", "d", "admission"]);
        assert_eq!(Words::of("KÃ¼hlmittel").words, ["kuhlmittel"]);
        assert_eq!(Words::of("EngineRPM").words, ["engine", "rpm"]);
        assert_eq!(Words::of("GPS速度").words, ["gps", "速度"]);
    }

    #[test]
    fn short_parts_must_be_words_and_long_ones_may_be_inside() {
        let name = Words::of("Ladelufttemperatur IAT2");
        assert!(name.has("ladeluft") && name.has("iat") && name.has_all("ladeluft temp"));
        assert!(!name.has("lad") && !name.has("=ladeluft"));
    }
}
