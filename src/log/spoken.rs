//! Dates and clocks in words: months by their names, `2024年6月14日`, `23h59m30,1s`.
//!
//! In: a text. Out: the same with the signs that all others use, and the number of a month.
//! Names of months: Unicode CLDR, wide and abbreviated forms (from memory).

use std::borrow::Cow;

/// Half of the day, before the clock.
const HALVES: [(&str, &str); 14] = [
    ("午前", " AM"),
    ("午後", " PM"),
    ("上午", " AM"),
    ("下午", " PM"),
    ("오전", " AM"),
    ("오후", " PM"),
    (" π.μ.", " AM"),
    (" μ.μ.", " PM"),
    (" πμ", " AM"),
    (" μμ", " PM"),
    (" de. ", " AM"),
    (" du. ", " PM"),
    ("öö", " AM"),
    ("ös", " PM"),
];
/// Words between the parts of a date, or before its clock.
const BETWEEN: [&str; 7] = [" de ", " del ", " kl. ", " kl ", " г. ", " года ", " um "];

/// A date and clock with the signs that others use.
pub fn with_signs(text: &str) -> Cow<'_, str> {
    for (half, sign) in HALVES {
        if let Some((before, behind)) = text.split_once(half) {
            let moved = format!("{before} {}{sign}", behind.trim_start());
            let moved = moved.replace("  ", " ");
            return with_signs(moved.trim_start()).into_owned().into();
        }
    }
    if text.contains(['年', '時', '时']) {
        let text = text.replace(['年', '月'], "-").replace('日', " ");
        let text = text.replace(['時', '时', '分'], ":").replace('秒', "");
        return text.replace("  ", " ").trim().to_owned().into();
    }
    let plain = BETWEEN.iter().find(|word| text.contains(**word)).map_or(text.into(), |_| {
        let words = |text: String, word: &&str| text.replace(*word, " ");
        Cow::Owned(BETWEEN.iter().fold(text.to_owned(), words))
    });
    lettered(&plain).map_or(plain, Cow::Owned)
}

/// `23h59m30,1s`, with what stands before it.
fn lettered(text: &str) -> Option<String> {
    let (before, behind) = text.rsplit_once('h')?;
    let is_digit = |c: char| c.is_ascii_digit();
    let (minutes, seconds) = behind.split_once("min").or_else(|| behind.split_once('m'))?;
    let (minutes, seconds) = (minutes.trim(), seconds.trim().trim_end_matches('s'));
    let fits = before.ends_with(is_digit)
        && !minutes.is_empty()
        && minutes.chars().all(is_digit)
        && seconds.starts_with(is_digit);
    fits.then(|| format!("{before}:{minutes}:{seconds}"))
}

/// The number of a month, from January as 1.
pub fn month(text: &str) -> Option<u32> {
    const MONTHS: [&[&str]; 12] = [
        &["jan", "ene", "gen", "sty", "янв", "oca"],
        &["feb", "fev", "fév", "lut", "фев", "şub", "sub"],
        &["mar", "mär", "mrz", "maa", "мар"],
        &["apr", "avr", "abr", "kwi", "апр", "nis"],
        &["may", "mai", "mei", "mag", "maj", "май", "мая"],
        &["jun", "juin", "giu", "cze", "июн", "haz"],
        &["jul", "juil", "lug", "lip", "июл", "tem"],
        &["aug", "aou", "aoû", "ago", "sie", "авг", "ağu", "agu"],
        &["sep", "set", "wrz", "сен", "eyl"],
        &["oct", "okt", "ott", "out", "paź", "paz", "окт", "eki"],
        &["nov", "lis", "ноя", "kas"],
        &["dec", "dez", "déc", "dic", "gru", "дек", "ara"],
    ];
    if !text.starts_with(char::is_alphabetic) {
        return None;
    }
    let text = text.to_lowercase();
    let month = MONTHS.iter().position(|names| names.iter().any(|name| text.starts_with(name)))?;
    Some(month as u32 + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_become_signs_and_other_text_stays() {
        for (text, wanted) in [
            ("2024年6月14日 13時37分12.5秒", "2024-6-14 13:37:12.5"),
            ("2024/9/10 下午 04:11:19.000", "2024/9/10 04:11:19.000 PM"),
            ("29 févr. 2024 23h59m30,100s", "29 févr. 2024 23:59:30,100"),
            ("6 de noviembre de 2024, 16:39:54.000", "6 noviembre 2024, 16:39:54.000"),
            ("2024-07-31 kl. 14.34.47,000", "2024-07-31 14.34.47,000"),
            ("4 июня 2024 г. 13:45:12,000", "4 июня 2024 13:45:12,000"),
            ("9h5min3s", "9:5:3"),
            ("14h02", "14h02"),
            ("March 3 2024 12:00:01", "March 3 2024 12:00:01"),
        ] {
            assert_eq!(with_signs(text), wanted);
        }
    }
}
