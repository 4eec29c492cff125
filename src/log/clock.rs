//! Clock and calendar texts: `19:23:27.775`, `23.04.2007 06:47:51`, `2024-05-01T12:00:00Z`.
//!
//! In: one cell. Out: a [`Stamp`], its date still in the order it was written:
//! which of two numbers is the month is decided over a whole column by
//! [`DateOrder::decide`], never from one cell. No clock is read here.

use super::{ordinal, plain, printed, spoken, zones};

/// A cell that tells a date, a time of day, or both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stamp {
    pub date: Option<WrittenDate>,
    pub time: Option<WrittenTime>,
    /// Seconds that the clock was ahead of UTC, where written.
    pub zone_s: Option<f64>,
}

/// Three numbers in the order written; a named month is already in its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrittenDate {
    pub parts: [u32; 3],
    /// Year first or month named: nothing left to decide.
    pub certain: Option<DateOrder>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WrittenTime {
    pub seconds: f64,
    /// After how long this way of writing starts anew: a day, half a day, an hour.
    pub period_s: f64,
    /// Digits behind the seconds.
    pub decimals: u8,
}

impl WrittenTime {
    /// Two numbers that were read as minutes and seconds, as hours and minutes.
    pub fn as_hours(self) -> Self {
        if self.period_s == DAY_S {
            return self;
        }
        WrittenTime { seconds: self.seconds * 60.0, period_s: DAY_S, ..self }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    YearMonthDay,
    DayMonthYear,
    MonthDayYear,
}

pub const DAY_S: f64 = 86_400.0;
pub const HOUR_S: f64 = 3_600.0;
/// As a program prints one, with all that it says of it.
const LONGEST_PRINTED: usize = 96;
const YEAR_S: f64 = 365.0 * DAY_S;

/// Reads one cell; `None` when it is no date and no time of day.
pub fn parse(cell: &[u8]) -> Option<Stamp> {
    let text = plain::cell(std::str::from_utf8(cell).ok()?);
    if text.len() > LONGEST_PRINTED {
        return None;
    }
    let printed = printed::plain(text.trim());
    let text = printed.trim();
    let text = text.strip_prefix('[').and_then(|text| text.strip_suffix(']')).unwrap_or(text);
    // Longest that makes sense: a full stamp with a named zone.
    if text.len() > 48 || !text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if let Some(seconds) = duration(text) {
        let time = WrittenTime { seconds, period_s: DAY_S, decimals: 0 };
        return Some(Stamp { date: None, time: Some(time), zone_s: None });
    }
    if !could_be(text) {
        return None;
    }
    let text = text.strip_suffix(" Uhr").unwrap_or(text);
    let signed = spoken::with_signs(text);
    let (text, zone_s) = zones::split(&signed);
    if let Some((days, rest)) = whole_days(text) {
        let time = time_of_day(rest)?;
        let seconds = days * DAY_S + time.seconds;
        return Some(Stamp { date: None, time: Some(WrittenTime { seconds, ..time }), zone_s });
    }
    let (date, rest) = split_date(text);
    let time = match (date, rest) {
        (_, "") => None,
        (Some(_), rest) => {
            let time = time_of_day(rest).or_else(|| unparted(rest));
            Some(time.or_else(|| time_of_day(&with_colons(rest)?))?)
        }
        (None, rest) => Some(time_of_day(without_short_date(rest))?),
    };
    (date.is_some() || time.is_some()).then_some(Stamp { date, time, zone_s })
}

/// The same, or a length of time in words.
pub fn parse_length(cell: &[u8]) -> Option<Stamp> {
    let length = || {
        let text = std::str::from_utf8(cell).ok().filter(|text| text.len() <= LONGEST_PRINTED)?;
        let seconds = printed::length_s(plain::cell(text).trim())?;
        let time = WrittenTime { seconds, period_s: DAY_S, decimals: 0 };
        Some(Stamp { date: None, time: Some(time), zone_s: None })
    };
    parse(cell).or_else(length)
}

/// A time of day with points between its parts, `09.08.40`, which alone could be a date.
pub fn dotted(cell: &[u8]) -> Option<Stamp> {
    let text = plain::cell(std::str::from_utf8(cell).ok()?);
    let fits = text.split('.').take(3).filter(|part| matches!(part.len(), 1 | 2)).count() == 3;
    fits.then(|| parse(text.replacen('.', ":", 2).as_bytes())).flatten()
}

/// A time of day has a colon; a date has three parts, or eight digits. Nearly all cells
/// of a log are plain numbers, and are told by this from both.
fn could_be(text: &str) -> bool {
    let is_digit = |b: &u8| b.is_ascii_digit();
    let parts = |b: &u8| matches!(b, b'-' | b'/' | b'.' | b' ');
    let count = |is: fn(&u8) -> bool| text.as_bytes().iter().filter(|b| is(b)).count();
    text.contains(':') || count(parts) >= 2 || text.len() >= 8 && count(is_digit) >= 8
}

/// A length of time in days and hours: `0 days 00:00:00.100`, `1 day, 2:03:04`.
fn whole_days(text: &str) -> Option<(f64, &str)> {
    let (days, rest) = text.split_once(" day")?;
    let rest = rest.strip_prefix('s').unwrap_or(rest).trim_start_matches([',', ' ', '+']);
    Some((f64::from(whole_number(days, 5)?), rest))
}

/// A clock without the day and month, of no year, that may stand before it; and without the
/// plus of a length of time.
fn without_short_date(text: &str) -> &str {
    let is_short = |date: &str| {
        let mut parts = date.trim_end_matches(['.', '/', ',']).split(['.', '/', '-']);
        let day = |part: Option<&str>| {
            part.and_then(|part| whole_number(part, 2)).is_some_and(|day| (1..=31).contains(&day))
        };
        day(parts.next()) && day(parts.next()) && parts.next().is_none()
    };
    let (date, rest) = text.split_once(' ').unwrap_or(("", text));
    let clock = if is_short(date) { rest.trim_start() } else { text };
    clock.strip_prefix('+').unwrap_or(clock)
}

/// A length of time after ISO 8601-1:2019, 5.5.2: `PT1M12.350S`.
fn duration(text: &str) -> Option<f64> {
    let mut rest = text.strip_prefix("PT").filter(|rest| !rest.is_empty())?;
    let mut sum_s = 0.0;
    for (letter, unit_s) in [('H', HOUR_S), ('M', 60.0), ('S', 1.0)] {
        if let Some((number, behind)) = rest.split_once(letter) {
            let plain = number.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
            let number: f64 = number.replace(',', ".").parse().ok().filter(|_| plain)?;
            sum_s += number * unit_s;
            rest = behind;
        }
    }
    rest.is_empty().then_some(sum_s)
}

/// A time of day with points between its parts, behind a date: `14.45.37,250`.
fn with_colons(text: &str) -> Option<String> {
    let mut parts = text.splitn(3, '.');
    let is_part = |part: &str| matches!(part.len(), 1 | 2) && whole_number(part, 2).is_some();
    let fits = parts.next().is_some_and(is_part) && parts.next().is_some_and(is_part);
    (fits && parts.next().is_some()).then(|| text.replacen('.', ":", 2))
}

/// The compact form of a time behind a date (ISO 8601): `133712.5`, `1337`.
fn unparted(text: &str) -> Option<WrittenTime> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    match digits {
        4 if text.len() == 4 => hours(&text[..2], &text[2..], Seconds::default(), None),
        6 => hours(&text[..2], &text[2..4], seconds(&text[4..])?, None),
        9 if text.len() == 9 => {
            hours(&text[..2], &text[2..4], of_seconds(&text[4..6], &text[6..])?, None)
        }
        _ => None,
    }
}

/// A date and a clock in fourteen digits, with decimals or without: `20240614133712.50`;
/// thousandths may follow without a sign.
pub fn is_compact(text: &str) -> bool {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    digits == 17 && text.len() == 17
        || digits == 14
            && text[14..].trim_start_matches(['.', ',']).bytes().all(|b| b.is_ascii_digit())
}

/// The date at the front or the back, and what is left.
fn split_date(text: &str) -> (Option<WrittenDate>, &str) {
    if is_compact(text)
        && let Some(date) = date(&text[..8])
    {
        return (Some(date), &text[8..]);
    }
    // The first of these letters may be one of a month: 30-OCT-24.
    let ends = text.match_indices(['T', 't', ' ', '_']).take(2);
    if let Some((at, date)) = ends.filter_map(|(at, _)| Some((at, date(&text[..at])?))).next() {
        return (Some(date), text[at + 1..].trim());
    }
    // "Apr 23 2007 06:47:51" and "23 Apr 2007 06:47:51" hold blanks of their own.
    let third_blank = text.match_indices(' ').map(|(at, _)| at).nth(2).unwrap_or(text.len());
    if let Some(date) = date(&text[..third_blank]) {
        return (Some(date), text[third_blank..].trim());
    }
    if let Some(at) = text.rfind(' ')
        && let Some(date) = date(&text[at + 1..])
    {
        return (Some(date), text[..at].trim());
    }
    (None, text)
}

fn date(text: &str) -> Option<WrittenDate> {
    let text = text.trim_end_matches(',');
    if text.len() == 8 && text.bytes().all(|b| b.is_ascii_digit()) {
        let number = |range: std::ops::Range<usize>| text[range].parse().ok();
        return ordered([number(0..4)?, number(4..6)?, number(6..8)?], true);
    }
    if let Some(parts) = ordinal::date(text) {
        return certain(parts);
    }
    let mut parts = [0; 3];
    let mut named_month = None;
    let mut count = 0;
    for part in text.split(['-', '/', '.', ' ']).filter(|part| !part.is_empty()) {
        let value = spoken::month(part).inspect(|_| named_month = Some(count));
        *parts.get_mut(count)? = value.or_else(|| whole_number(part, 4))?;
        count += 1;
    }
    if count != 3 || !has_year(text) {
        return None;
    }
    let year_first = text.bytes().take_while(u8::is_ascii_digit).count() == 4;
    match named_month {
        Some(0) => certain([parts[2], parts[0], parts[1]]),
        Some(1) if year_first => certain(parts),
        Some(1) => certain([parts[2], parts[1], parts[0]]),
        Some(_) => None,
        None => ordered(parts, year_first),
    }
}

/// A year has four digits at either end, or two at the end: `10.5.1` is no date.
fn has_year(text: &str) -> bool {
    let digits = |from_end: bool| {
        let run =
            |bytes: &mut dyn Iterator<Item = u8>| bytes.take_while(u8::is_ascii_digit).count();
        if from_end { run(&mut text.bytes().rev()) } else { run(&mut text.bytes()) }
    };
    digits(false) == 4 || matches!(digits(true), 2 | 4)
}

fn certain([year, month, day]: [u32; 3]) -> Option<WrittenDate> {
    ordered([year, month, day], true)
}

fn ordered(parts: [u32; 3], year_first: bool) -> Option<WrittenDate> {
    let certain = year_first.then_some(DateOrder::YearMonthDay);
    let date = WrittenDate { parts, certain };
    let orders = [DateOrder::YearMonthDay, DateOrder::DayMonthYear, DateOrder::MonthDayYear];
    let fits = |order: &DateOrder| date.unix_s(*order).is_some();
    match certain {
        Some(order) => date.unix_s(order).is_some(),
        None => orders.iter().any(fits),
    }
    .then_some(date)
}

fn whole_number(text: &str, longest: usize) -> Option<u32> {
    (text.len() <= longest && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())?
}

fn time_of_day(text: &str) -> Option<WrittenTime> {
    let lower = text.to_ascii_lowercase();
    let ends = |t: &str, marks: [&str; 3]| marks.iter().any(|mark| t.ends_with(mark));
    let (clock, half) = match lower.trim_end_matches('.') {
        t if ends(t, ["am", "a.m", "a. m"]) => (before_half(t), Some(0.0)),
        t if ends(t, ["pm", "p.m", "p. m"]) => (before_half(t), Some(12.0)),
        t => (t, None),
    };
    let mut parts = clock.split(':');
    let (first, second) = (parts.next()?, parts.next()?);
    let (third, fourth) = (parts.next(), parts.next());
    if parts.next().is_some() {
        return None;
    }
    match (third, fourth) {
        (None, None) => two_parts(first, second, half),
        (Some(third), None) => hours(first, second, seconds(third)?, half),
        (Some(third), Some(fourth)) if first.len() == 3 => {
            // The day of the year in front (IRIG 106, chapter 4; from memory).
            let day = f64::from(whole_number(first, 3)?);
            let time = hours(second, third, seconds(fourth)?, half)?;
            let seconds = day * DAY_S + time.seconds;
            Some(WrittenTime { seconds, period_s: YEAR_S, ..time })
        }
        (Some(third), Some(fourth)) => {
            whole_number(fourth, 6)?;
            hours(first, second, of_seconds(third, fourth)?, half)
        }
        (None, Some(_)) => None,
    }
}

fn before_half(text: &str) -> &str {
    text.trim_end_matches(['a', 'p', 'm', '.', ' '])
}

fn hours(hours: &str, minutes: &str, seconds: Seconds, half: Option<f64>) -> Option<WrittenTime> {
    let (hours, minutes) = (whole_number(hours, 3)? as f64, whole_number(minutes, 2)? as f64);
    let hours = half.map_or(hours, |half| hours % 12.0 + half);
    let Seconds { value, decimals } = seconds;
    // A leap second is written :60.
    if minutes >= 60.0 || value >= 61.0 {
        return None;
    }
    let seconds = hours * HOUR_S + minutes * 60.0 + value;
    Some(WrittenTime { seconds, period_s: DAY_S, decimals })
}

/// `12:34.5` is minutes and seconds; `12:34` with a half of the day is hours. What else
/// a whole column of `12:34` may be is told there (see `csv::minutes`).
fn two_parts(first: &str, second: &str, half: Option<f64>) -> Option<WrittenTime> {
    if half.is_some() {
        return hours(first, second, Seconds::default(), half);
    }
    let (minutes, Seconds { value, decimals }) = (whole_number(first, 4)? as f64, seconds(second)?);
    let seconds = minutes * 60.0 + value;
    (value < 61.0).then_some(WrittenTime { seconds, period_s: HOUR_S, decimals })
}

/// The last part of a clock.
#[derive(Clone, Copy, Default)]
struct Seconds {
    value: f64,
    decimals: u8,
}

fn seconds(text: &str) -> Option<Seconds> {
    let (whole, fraction) = text.split_once(['.', ',']).unwrap_or((text, ""));
    of_seconds(whole, fraction)
}

fn of_seconds(whole: &str, fraction: &str) -> Option<Seconds> {
    let whole = whole_number(whole, 2)? as f64;
    if fraction.is_empty() {
        return Some(Seconds { value: whole, decimals: 0 });
    }
    let digits: u32 = whole_number(fraction, 9)?;
    let decimals = fraction.len() as u8;
    let value = whole + digits as f64 / 10f64.powi(i32::from(decimals));
    Some(Seconds { value, decimals })
}

impl WrittenDate {
    /// Midnight of this date as Unix seconds, if it is a date in that order.
    pub fn unix_s(&self, order: DateOrder) -> Option<f64> {
        let [a, b, c] = self.parts;
        let (year, month, day) = match order {
            DateOrder::YearMonthDay => (a, b, c),
            DateOrder::DayMonthYear => (c, b, a),
            DateOrder::MonthDayYear => (c, a, b),
        };
        // Two digits: receivers and loggers of this century and the last decades.
        let year = match year {
            0..=79 => year + 2000,
            80..=99 => year + 1900,
            _ => year,
        };
        let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
        let date = jiff::civil::Date::new(i16::try_from(year).ok()?, month, day).ok()?;
        let epoch = jiff::civil::Date::constant(1970, 1, 1);
        Some((date - epoch).get_days() as f64 * DAY_S)
    }
}

impl DateOrder {
    /// The one order in which all dates exist; `None` when two orders fit and the
    /// dates differ, or none fits. Dates with year first or a named month decide.
    pub fn decide(dates: &[WrittenDate]) -> Option<DateOrder> {
        if let Some(order) = dates.iter().find_map(|date| date.certain) {
            return Some(order);
        }
        use DateOrder::{DayMonthYear, MonthDayYear, YearMonthDay};
        let fits = |order| !dates.is_empty() && dates.iter().all(|d| d.unix_s(order).is_some());
        let span = |order| {
            let days = dates.iter().filter_map(|date| date.unix_s(order));
            days.clone().fold(f64::MIN, f64::max) - days.fold(f64::MAX, f64::min)
        };
        match (fits(DayMonthYear), fits(MonthDayYear)) {
            // A recording runs over neighbouring days, not over the firsts of months.
            (true, true) if span(DayMonthYear) < span(MonthDayYear) => Some(DayMonthYear),
            (true, true) if span(MonthDayYear) < span(DayMonthYear) => Some(MonthDayYear),
            (true, true) if dates.iter().all(|d| d.parts[0] == d.parts[1]) => Some(DayMonthYear),
            (true, true) => None,
            (true, false) => Some(DayMonthYear),
            (false, true) => Some(MonthDayYear),
            (false, false) => fits(YearMonthDay).then_some(YearMonthDay),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Unix seconds of a whole stamp, zone taken off.
    fn unix_s(text: &str) -> Option<f64> {
        let stamp = parse(text.as_bytes())?;
        let date = stamp.date?;
        let midnight = date.unix_s(DateOrder::decide(&[date])?)?;
        Some(midnight + stamp.time?.seconds - stamp.zone_s.unwrap_or(0.0))
    }

    /// Source: RFC 3339, section 5.8 (rows H2-09 to H2-11, H2-12, H2-07).
    #[test]
    fn published_stamps_mean_their_instants() {
        let rows = [
            ("1996-12-19T16:39:57-08:00", 851_042_397.0),
            ("1996-12-20T00:39:57Z", 851_042_397.0),
            ("1985-04-12T23:20:50.52Z", 482_196_050.52),
            ("1990-12-31T23:59:60Z", 662_688_000.0),
            ("2023-11-14T22:13:20Z", 1_700_000_000.0),
            ("1994-03-23T12:35:19Z", 764_426_119.0),
            ("1994-03-23 13:35:19 CET", 764_426_119.0),
        ];
        for (text, expected) in rows {
            assert!((unix_s(text).unwrap() - expected).abs() < 0.005, "{text}: {:?}", unix_s(text));
        }
    }

    #[test]
    fn one_instant_in_many_hands() {
        let expected = unix_s("2007-04-23T18:07:05");
        for text in [
            "2007-04-23 18:07:05",
            "23.04.2007 18:07:05",
            "23/04/2007 18:07:05.000",
            "4/23/2007 6:07:05 PM",
            "04/23/07 06:07:05 pm",
            "23-Apr-2007 18:07:05",
            "Apr 23 2007 18:07:05",
            "23 avril 2007 18:07:05",
            "20070423 18:07:05",
            "18:07:05 23.04.2007",
            "2007/04/23 18:07:05,000",
            "2007-04-23_18:07:05:000",
            "[2007-04-23 18:07:05.000]",
            "20070423T180705Z",
            "20070423T180705.000",
            "2007年4月23日 18時07分05.000秒",
            "2007年04月23日18時07分05秒",
        ] {
            assert_eq!(unix_s(text), expected, "{text}");
        }
    }

    #[test]
    fn times_of_day_and_minutes() {
        let time = |text: &str| {
            parse(text.as_bytes()).and_then(|s| s.time).map(|t| (t.seconds, t.period_s))
        };
        assert_eq!(time("19:23:27.775"), Some((69_807.775, DAY_S)));
        assert_eq!(time("12:00:00 AM"), Some((0.0, DAY_S)));
        assert_eq!(time("12:30 pm"), Some((45_000.0, DAY_S)));
        assert_eq!(time("03:07.5"), Some((187.5, HOUR_S)));
        assert_eq!(time("0 days 00:00:07.250000"), Some((7.25, DAY_S)));
        assert_eq!(time("1 day, 1:00:00"), Some((90_000.0, DAY_S)));
        for no_time in ["12", "1.5", "12:75:00", "a:b", "1:2:3:4:5", "10.5.1", "--", "1-2"] {
            assert_eq!(parse(no_time.as_bytes()), None, "{no_time}");
        }
    }

    #[test]
    fn the_order_of_a_date_is_decided_from_the_column_or_not_at_all() {
        let dates = |texts: &[&str]| -> Vec<WrittenDate> {
            texts.iter().map(|text| parse(text.as_bytes()).unwrap().date.unwrap()).collect()
        };
        assert_eq!(DateOrder::decide(&dates(&["03/04/2024"])), None);
        assert_eq!(DateOrder::decide(&dates(&["13/04/2024"])), Some(DateOrder::DayMonthYear));
        assert_eq!(DateOrder::decide(&dates(&["04/13/2024"])), Some(DateOrder::MonthDayYear));
        let across_midnight = dates(&["03/04/2024", "04/04/2024"]);
        assert_eq!(DateOrder::decide(&across_midnight), Some(DateOrder::DayMonthYear));
    }
}
