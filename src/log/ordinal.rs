//! Dates that count days or weeks of the year: `2026-142`, `2026-W21-3`, `2026W213`.
//!
//! In: a text. Out: year, month and day. Source: ISO 8601-1:2019, 5.2.3 and 5.2.4.

use jiff::civil::{Date, ISOWeekDate, Weekday};

/// The date of such a text; `None` where it is none.
pub fn date(text: &str) -> Option<[u32; 3]> {
    let (year, rest) = text.split_at_checked(4)?;
    let year = number(year)?;
    let rest = rest.strip_prefix('-').unwrap_or(rest);
    let date = match rest.strip_prefix('W') {
        Some(week) => of_week(year, week)?,
        None => of_days(year, rest)?,
    };
    let part = |value: i8| u32::try_from(value).ok();
    Some([u32::try_from(date.year()).ok()?, part(date.month())?, part(date.day())?])
}

fn of_week(year: i16, text: &str) -> Option<Date> {
    let (week, day) = text.split_at_checked(2)?;
    let day = day.strip_prefix('-').unwrap_or(day);
    let week = i8::try_from(number(week)?).ok()?;
    let day = i8::try_from(number(day)?).ok()?;
    let weekday = Weekday::from_monday_one_offset(day).ok()?;
    ISOWeekDate::new(year, week, weekday).ok().map(ISOWeekDate::date)
}

fn of_days(year: i16, text: &str) -> Option<Date> {
    let day = number(text).filter(|_| text.len() == 3)?;
    let first = Date::new(year, 1, 1).ok()?;
    let date = first.checked_add(jiff::Span::new().days(i64::from(day) - 1)).ok()?;
    (day > 0 && date.year() == year).then_some(date)
}

fn number(text: &str) -> Option<i16> {
    text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of ISO 8601-1:2019, 5.2.3 and 5.2.4 (from memory), and ends of years.
    #[test]
    fn days_and_weeks_of_a_year_are_dates() {
        for (text, wanted) in [
            ("1985-102", Some([1985, 4, 12])),
            ("1985102", Some([1985, 4, 12])),
            ("1985-W15-5", Some([1985, 4, 12])),
            ("1985W155", Some([1985, 4, 12])),
            ("2020-366", Some([2020, 12, 31])),
            ("2021-366", None),
            ("2026-000", None),
            ("2026-W53-7", Some([2027, 1, 3])),
            ("2025-W53-1", None),
            ("2026-W21-8", None),
            ("2026-12", None),
            ("1é85-102", None),
        ] {
            assert_eq!(date(text), wanted, "{text}");
        }
    }
}
