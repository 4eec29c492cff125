//! Times as programs print them, with words around: `numpy.datetime64('2024-06-05T14:02')`,
//! `Wed Jun  5 14:02:11 2024`, `@ 1 min 12.3 secs`.
//!
//! In: a text. Out: the same as others write it, or how long it says. Forms: JavaScript's
//! `Date.toString` (ECMA-262, 21.4.4.41), `asctime` (ISO C, 7.27.3.1), RFC 5322 section
//! 3.3, the common log format of web servers, and what Python, Go, R and SQL print (all
//! from memory).

use std::borrow::Cow;

const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// A date and clock without what a program says around it.
pub fn plain(text: &str) -> Cow<'_, str> {
    // Nearly all cells of a log are plain numbers.
    if !text.contains([' ', '\'', '+', '(', '/']) {
        return text.into();
    }
    let text = quoted(text).unwrap_or(text);
    if let Some(called) = called(text) {
        return called.into();
    }
    let text = text.split_once(" m=").map_or(text, |(before, _)| before);
    let text = without_remark(text);
    let in_hours = text.replace(" GMT+", " +").replace(" GMT-", " -");
    let text = in_hours.strip_prefix("T+").unwrap_or(&in_hours);
    let text = without_weekday(text).unwrap_or(text);
    let moved = year_last(text).or_else(|| of_web_server(text)).or_else(|| thousandths(text));
    moved.unwrap_or_else(|| text.to_owned()).into()
}

/// `datetime64('…')`, `Timestamp("…")`.
fn quoted(text: &str) -> Option<&str> {
    let (call, rest) = text.split_once("('").or_else(|| text.split_once("(\""))?;
    let inside = rest.strip_suffix("')").or_else(|| rest.strip_suffix("\")"))?;
    is_call(call).then_some(inside)
}

fn is_call(call: &str) -> bool {
    call.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '_'))
        && (call.contains("time") || call.contains("Time") || call.ends_with("Date"))
}

/// `datetime.datetime(2024, 6, 5, 14, 2, 11, 100000)`: the last are millionths of a second.
fn called(text: &str) -> Option<String> {
    let (call, rest) = text.split_once('(')?;
    if !matches!(call, "datetime.datetime" | "datetime") {
        // Others count months from 0, or thousandths.
        return None;
    }
    let numbers: Result<Vec<u32>, _> =
        rest.strip_suffix(')')?.split(',').map(|part| part.trim().parse()).collect();
    let numbers = numbers.ok()?;
    let [year, month, day, hour, minute, ref rest @ ..] = numbers[..] else { return None };
    let (second, millionths) = (rest.first().unwrap_or(&0), rest.get(1).unwrap_or(&0));
    let text =
        format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}.{millionths:06}");
    (rest.len() <= 2).then_some(text)
}

/// A zone in words, and no half of the day.
fn is_zone(name: &str) -> bool {
    let name = name.strip_suffix(')').unwrap_or("");
    name.len() > 2 && name.chars().all(|c| c.is_alphabetic() || c == ' ')
}

/// The name of the zone in brackets, or behind its hours.
fn without_remark(text: &str) -> &str {
    let text = match text.split_once(" (") {
        Some((before, name)) if is_zone(name) && before.contains(':') => before,
        _ => text,
    };
    let Some((before, name)) = text.rsplit_once(' ') else { return text };
    let is_name = name.len() >= 3 && name.chars().all(|c| c.is_ascii_uppercase());
    let digits = |hours: &str| hours.len() == 4 && hours.bytes().all(|b| b.is_ascii_digit());
    let is_offset = |word: &str| word.strip_prefix(['+', '-']).is_some_and(digits);
    match before.rsplit_once(' ') {
        Some((_, offset)) if is_name && is_offset(offset) => before,
        _ => text,
    }
}

fn without_weekday(text: &str) -> Option<&str> {
    let (word, rest) = text.split_once(' ')?;
    let word = word.trim_end_matches([',', '.']);
    let is_day = WEEKDAYS.iter().any(|day| word.eq_ignore_ascii_case(day));
    is_day.then(|| rest.trim_start())
}

/// `Jun  5 14:02:11 2024`.
fn year_last(text: &str) -> Option<String> {
    let mut words = text.split_ascii_whitespace();
    let (month, day, clock) = (words.next()?, words.next()?, words.next()?);
    let year = words.next().filter(|year| year.len() == 4 && clock.contains(':'))?;
    let zone = words.next().unwrap_or("");
    let is_year = year.bytes().all(|b| b.is_ascii_digit()) && words.next().is_none();
    super::spoken::month(month).filter(|_| is_year)?;
    Some(format!("{month} {day} {year} {clock} {zone}").trim_end().to_owned())
}

/// `[05/Jun/2024:14:02:11.100 +0200]`.
fn of_web_server(text: &str) -> Option<String> {
    let (date, clock) = text.trim_start_matches('[').split_once(':')?;
    let mut parts = date.split('/');
    super::spoken::month(parts.nth(1)?)?;
    let fits = parts.next()?.len() == 4 && parts.next().is_none();
    fits.then(|| format!("{date} {}", clock.trim_end_matches(']')))
}

/// `14:02:11 100ms`.
fn thousandths(text: &str) -> Option<String> {
    let (clock, ms) = text.strip_suffix("ms")?.trim_end().rsplit_once(' ')?;
    let fits = clock.ends_with(|c: char| c.is_ascii_digit())
        && clock.contains(':')
        && !clock.contains('.')
        && ms.len() <= 3
        && ms.bytes().all(|b| b.is_ascii_digit());
    fits.then(|| format!("{clock}.{ms:0>3}"))
}

/// Seconds of a length of time in words: `@ 1 min 12.3 secs`, `1m 0.0s`, `14h02m11.3s`,
/// `Time difference of 12.3 secs`.
pub fn length_s(text: &str) -> Option<f64> {
    let text = text.strip_prefix("Time difference of ").unwrap_or(text);
    let (in_sql, mut rest) = match text.strip_prefix("@ ") {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    if in_sql && rest == "0" {
        return Some(0.0);
    }
    let (mut sum_s, mut last_s) = (0.0, f64::INFINITY);
    while !rest.is_empty() {
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
        let (number, behind) = rest.split_at(end);
        let behind = behind.trim_start();
        let end = behind.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(behind.len());
        let unit_s = match &behind[..end] {
            "h" | "hr" | "hrs" | "hour" | "hours" => 3600.0,
            "m" | "min" | "mins" | "minute" | "minutes" => 60.0,
            "s" | "sec" | "secs" | "second" | "seconds" => 1.0,
            _ => return None,
        };
        // From the largest down, each once.
        if unit_s >= last_s {
            return None;
        }
        sum_s += number.parse::<f64>().ok()? * unit_s;
        (last_s, rest) = (unit_s, behind[end..].trim_start());
    }
    (last_s.is_finite() && last_s <= 60.0).then_some(sum_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_program_says_around_a_time_is_taken_off() {
        for (text, wanted) in [
            ("numpy.datetime64('2024-06-05T14:02:11.100')", "2024-06-05T14:02:11.100"),
            ("Timestamp('2024-06-05 14:02:11')", "2024-06-05 14:02:11"),
            ("datetime.datetime(2024, 6, 5, 14, 2)", "2024-06-05 14:02:00.000000"),
            ("datetime.datetime(2024, 6, 5, 14, 2, 11, 100)", "2024-06-05 14:02:11.000100"),
            (
                "Wed Jun 05 2024 14:02:11 GMT+0200 (Central European Summer Time)",
                "Jun 05 2024 14:02:11 +0200",
            ),
            ("Wed Jun  5 14:02:11 2024", "Jun 5 2024 14:02:11"),
            ("Wed, 05 Jun 2024 14:02:11 +0200", "05 Jun 2024 14:02:11 +0200"),
            ("[05/Jun/2024:14:02:11.100 +0200]", "05/Jun/2024 14:02:11.100 +0200"),
            ("2024-06-05 14:02:11.1 +0200 CEST m=+3.14", "2024-06-05 14:02:11.1 +0200"),
            ("T+00:01:12.3", "00:01:12.3"),
            ("14:02:11 7ms", "14:02:11.007"),
            ("14:02:11 +02:00", "14:02:11 +02:00"),
            ("setup(3)", "setup(3)"),
        ] {
            assert_eq!(plain(text), wanted);
        }
    }

    #[test]
    fn lengths_of_time_in_words_are_seconds() {
        for (text, wanted) in [
            ("@ 0", Some(0.0)),
            ("@ 1 min 12.5 secs", Some(72.5)),
            ("1m 0.0s", Some(60.0)),
            ("14h02m11.5s", Some(50_531.5)),
            ("Time difference of 12.5 secs", Some(12.5)),
            ("2 mins", Some(120.0)),
            ("1h", None),
            ("5s 1m", None),
            ("12.5", None),
            ("12 kPa", None),
            ("", None),
        ] {
            assert_eq!(length_s(text), wanted, "{text}");
        }
    }
}
