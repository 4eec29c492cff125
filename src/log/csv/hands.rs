//! Clocks whose hours, minutes and seconds stand in columns of their own.
//!
//! In: columns as read. Out: seconds of every record, Unix seconds where year, month and
//! day stand before them. The names and the order of the columns say what they are, and
//! every number has to be one that such a column can hold: nothing else is taken apart.

use super::header::Heading;
use super::parts;
use super::table::{Column, Table};
use super::time::{Unwrap, midnights, over_records};
use crate::log::clock::{DAY_S, DateOrder, HOUR_S, WrittenDate};

/// A clock put together.
pub struct Hands {
    pub columns: Vec<usize>,
    /// NaN where one of the columns is blank.
    pub seconds: Vec<f64>,
    pub has_date: bool,
    pub how: String,
}

/// What a column of a clock or of a date is called, and below which number it stays.
struct Hand {
    names: &'static str,
    from: f64,
    below: f64,
    /// Of whole numbers.
    is_whole: bool,
}

const fn whole(names: &'static str, from: f64, below: f64) -> Hand {
    Hand { names, from, below, is_whole: true }
}

const HOURS: Hand = whole(
    "=hh|=h|=hour|=hours|=hr|=std|=stunde|=stunden|=heure|=heures|=hora|=horas|=ora|=ore|=uur|=uren|=時",
    0.0,
    24.0,
);
const MINUTES: Hand = whole(
    "=mm|=m|=mi|=min|=mins|=minute|=minutes|=minuten|=minuto|=minutos|=minuti|=minuut|=分",
    0.0,
    60.0,
);
/// A leap second is the sixtieth.
const SECONDS: Hand = Hand {
    names: "=ss|=s|=sec|=secs|=second|=seconds|=sek|=sekunde|=sekunden|=seconde|=secondes|=segundo|\
            =segundos|=secondo|=secondi|=seg|=秒",
    from: 0.0,
    below: 61.0,
    is_whole: false,
};
const YEAR: Hand = whole("=yyyy|=yy|=y|=year|=jahr|=annee|=an|=ano|=anno|=jaar|=年", 0.0, 2100.0);
const MONTH: Hand = whole("=mm|=mo|=mon|=month|=monat|=mois|=mes|=mese|=maand|=月", 1.0, 13.0);
const DAY: Hand = whole("=dd|=d|=day|=tag|=jour|=dia|=giorno|=dag|=日", 1.0, 32.0);

/// The clock in three columns side by side, with the parts of its seconds in a fourth, and
/// its date in three before them or in the column `dates`.
pub fn found(table: &Table, headings: &[Heading], dates: Option<usize>) -> Option<Hands> {
    let (from, [hours, minutes, seconds]) = (0..headings.len()).find_map(|at| {
        Some((at, side_by_side(table, headings, at, [&HOURS, &MINUTES, &SECONDS])?))
    })?;
    let time_of_day = |at: usize| hours[at] * HOUR_S + minutes[at] * 60.0 + seconds[at];
    let mut time: Vec<f64> = (0..table.lines.len()).map(time_of_day).collect();
    let mut columns: Vec<usize> = (from..from + 3).collect();
    let is_whole = seconds.iter().all(|second| second.is_nan() || second.fract() == 0.0);
    let parts = is_whole.then(|| parts::of_seconds(table, headings, from + 2)).flatten();
    if let Some((column, parts)) = parts {
        time.iter_mut().zip(&parts).for_each(|(time, part)| *time += part);
        columns.push(column);
    }
    let in_parts =
        || Some((from.checked_sub(3)?..from, days(table, headings, from.checked_sub(3)?)?));
    let beside = || {
        let (at, column) = dates.map(|at| (at, &table.columns[at]))?;
        let written: Vec<WrittenDate> = column.stamps.iter().filter_map(|s| s.date).collect();
        let order = DateOrder::decide(&written)?;
        Some((at..at + 1, midnights(column, Some(order), table.lines.len())))
    };
    let date = in_parts().or_else(beside);
    let has_date = date.is_some();
    match date {
        Some((own, days)) => {
            columns.extend(own);
            time.iter_mut().zip(days).for_each(|(time, day)| *time += day);
        }
        None => {
            let mut unwrap = Unwrap::default();
            let finite = time.iter_mut().filter(|time| time.is_finite());
            finite.for_each(|time| *time = unwrap.next(*time, DAY_S));
        }
    }
    let (first, last) = (&headings[from].name, &headings[from + 2].name);
    let how = format!("time from the hours, minutes and seconds in \"{first}\" to \"{last}\"");
    Some(Hands { columns, seconds: time, has_date, how })
}

/// Three columns from one on, record by record, if each is what it is taken for.
fn side_by_side(
    table: &Table,
    headings: &[Heading],
    from: usize,
    hands: [&Hand; 3],
) -> Option<[Vec<f64>; 3]> {
    let mut read = [const { Vec::new() }; 3];
    for ((at, hand), read) in (from..).zip(hands).zip(&mut read) {
        let (column, heading) = table.columns.get(at).zip(headings.get(at))?;
        if !heading.words.has(hand.names) || !hand.holds(column) {
            return None;
        }
        *read = over_records(column, table.lines.len(), |at| column.value[at]);
    }
    Some(read)
}

impl Hand {
    fn holds(&self, column: &Column) -> bool {
        let fits = |value: &f64| {
            (self.from..self.below).contains(value) && (!self.is_whole || value.fract() == 0.0)
        };
        column.stamps.is_empty() && !column.value.is_empty() && column.value.iter().all(fits)
    }
}

/// Midnight of every record, from year, month and day in either order of these two ends.
fn days(table: &Table, headings: &[Heading], from: usize) -> Option<Vec<f64>> {
    let falling = side_by_side(table, headings, from, [&YEAR, &MONTH, &DAY]);
    let rising = || {
        let [day, month, year] = side_by_side(table, headings, from, [&DAY, &MONTH, &YEAR])?;
        Some([year, month, day])
    };
    let [year, month, day] = falling.or_else(rising)?;
    let midnight = |at: usize| {
        // A blank is NaN, and as a whole number 0, which no month is.
        let parts = [&year, &month, &day].map(|part| part[at] as u32);
        WrittenDate { parts, certain: None }.unix_s(DateOrder::YearMonthDay).unwrap_or(f64::NAN)
    };
    Some((0..table.lines.len()).map(midnight).collect())
}
