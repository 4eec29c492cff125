//! Zones behind a written clock: `Z`, `UTC`, `+02:00`, `CEST`, `Europe/Berlin`.
//!
//! In: the text of one stamp. Out: the text before its zone, and how far that is ahead of
//! UTC; `None` where none is written, or one that leaves it open.

use super::clock::HOUR_S;

/// Names of zones that mean one thing, and their hours ahead of UTC. `CST`, `IST` and
/// others that are used on several continents are not here.
const ZONES: [(&str, f64); 20] = [
    ("WET", 0.0),
    ("WEST", 1.0),
    ("BST", 1.0),
    ("CET", 1.0),
    ("CEST", 2.0),
    ("MEZ", 1.0),
    ("MESZ", 2.0),
    ("EET", 2.0),
    ("EEST", 3.0),
    ("MSK", 3.0),
    ("JST", 9.0),
    ("AEST", 10.0),
    ("AEDT", 11.0),
    ("EST", -5.0),
    ("EDT", -4.0),
    ("CDT", -5.0),
    ("MST", -7.0),
    ("MDT", -6.0),
    ("PST", -8.0),
    ("PDT", -7.0),
];

/// Takes a written zone off the end: `Z`, `UTC`, `+02:00`, `-0800`, `[Europe/Berlin]`.
pub fn split(text: &str) -> (&str, Option<f64>) {
    let text = text.split_once('[').map_or(text, |(before, _)| before.trim_end());
    for name in ["Z", "z", "UTC", "GMT", "utc", "gmt"] {
        if let Some(before) = text.strip_suffix(name) {
            return (before.trim_end(), Some(0.0));
        }
    }
    let clock_at = text.find(':').or_else(|| text.find('T')).unwrap_or(text.len());
    // Berlin's time or another's: as with no zone, it is taken as it stands.
    let is_place = |name: &str| name.contains('/') && !name.contains(|c: char| c.is_ascii_digit());
    if let Some((before, name)) = text.rsplit_once(' ')
        && before.contains(':')
        && is_place(name)
    {
        return (before.trim_end(), None);
    }
    if let Some((before, name)) = text.rsplit_once(' ').filter(|(before, _)| before.contains(':'))
        && let Some((_, hours)) = ZONES.iter().find(|(zone, _)| *zone == name)
    {
        return (before.trim_end(), Some(hours * HOUR_S));
    }
    if let Some(sign_at) = text.rfind(['+', '-']).filter(|&at| at > clock_at)
        && let Some(offset) = offset_s(&text[sign_at..])
    {
        return (text[..sign_at].trim_end(), Some(offset));
    }
    (text, None)
}

fn offset_s(text: &str) -> Option<f64> {
    let sign = if text.starts_with('+') { 1.0 } else { -1.0 };
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    let (hours, minutes) = match digits.len() {
        1 | 2 => (digits.as_str(), "0"),
        4 => digits.split_at(2),
        _ => return None,
    };
    let (hours, minutes): (f64, f64) = (hours.parse().ok()?, minutes.parse().ok()?);
    (hours <= 15.0 && minutes < 60.0).then_some(sign * (hours * HOUR_S + minutes * 60.0))
}
