//! Encodings with two bytes a letter, of Japan, China and Korea.
//!
//! In: lines with letters, and the encoding that a browser would take. Out: the one in
//! which most names of the first line mean something here: a line of names is too short
//! for counts of letters to tell these encodings apart. Where none does, the browser's.

use encoding_rs::{BIG5, EUC_JP, EUC_KR, Encoding, GB18030, SHIFT_JIS};

use super::names::Words;
use super::{roles, units};

const ALL: [&Encoding; 5] = [SHIFT_JIS, GB18030, EUC_JP, BIG5, EUC_KR];
/// Lines that may be the one with the names.
const LINES: usize = 8;

/// The likeliest of all, `likely` where they are equal.
pub fn told(likely: &'static Encoding, lines: &[u8]) -> &'static Encoding {
    let known = |encoding: &'static Encoding| {
        let (text, _) = encoding.decode_without_bom_handling(lines);
        text.lines().take(LINES).map(known_names).max().unwrap_or(0)
    };
    let mut best = (known(likely), likely);
    for encoding in ALL {
        let count = known(encoding);
        if count > best.0 {
            best = (count, encoding);
        }
    }
    best.1
}

fn known_names(line: &str) -> usize {
    let is_known = |cell: &&str| {
        let (name, unit) = units::split_name(cell.trim_matches(['"', '\r', ' ']));
        !name.is_ascii() && roles::named(&Words::of(&name), unit.map(|u| u.quantity)).is_some()
    };
    line.split([',', ';', '\t']).filter(is_known).count()
}

/// Whether letters of two bytes stand beside one another as in words, in one line at the
/// least: a line of records may hold nothing but the signs of a date. In Western text a
/// letter with an accent stands alone, and the pair it makes with the next stands alone too.
pub fn stands_in_words(text: &str) -> bool {
    text.lines().any(|line| {
        let letters: Vec<char> = line.chars().collect();
        let pairs = letters.windows(2).filter(|pair| is_wide(pair[0]) && is_wide(pair[1])).count();
        let all = letters.iter().filter(|c| !c.is_ascii()).count();
        pairs > 0 && pairs * 2 >= all
    })
}

fn is_wide(c: char) -> bool {
    matches!(c, '\u{1100}'..='\u{11ff}' | '\u{3000}'..='\u{9fff}' | '\u{ac00}'..='\u{d7af}')
        || matches!(c, '℃' | '°' | '！'..='～')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_mean_something_decide_against_a_wrong_guess() {
        let chinese = "时间,发动机转速(rpm),车速(km/h),进气温度(℃)\n下午 04:11:19.0,900,0,30\n";
        let japanese = "日時,エンジン回転数(rpm),車速(km/h)\n午前11時59分30.0秒,900,0\n";
        for (encoding, text) in [(GB18030, chinese), (SHIFT_JIS, japanese), (EUC_JP, japanese)] {
            let bytes = encoding.encode(text).0;
            for guess in ALL {
                assert_eq!(told(guess, &bytes), encoding, "guessed {}", guess.name());
            }
        }
        // Where no name means anything, the guess stands.
        assert_eq!(told(BIG5, "a,b\n1,2\n".as_bytes()), BIG5);
    }
}
