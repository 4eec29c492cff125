//! Clocks in parts: fractions of a second in a column of their own, hours, minutes and
//! seconds run together in one number, counts or frames of a film behind the seconds.
//!
//! In: columns as read. Out: seconds. Only what cannot be a plain count of seconds is
//! taken apart: a number that goes from 59 to 100, a fraction that ends at 24.

use super::header::Heading;
use super::table::{Column, Table};
use super::time::over_records;
use crate::log::clock::{DAY_S, Stamp, WrittenTime};
use crate::log::swapped::usual_step;

const PARTS: [(&str, f64); 4] = [
    ("=ms|=msec|=msecs|milli|=mseconds|tausendstel", 1e3),
    ("=us|=usec|=usecs|micro|mikro", 1e6),
    ("=ns|=nsec|=nsecs|nanos|nanosec", 1e9),
    ("hundredths|=hundertstel|centisec|=cs", 1e2),
];

/// Parts of a second in a column beside a clock of whole seconds: the column, and the
/// seconds of every record.
pub fn beside(table: &Table, headings: &[Heading], clock: usize) -> Option<(usize, Vec<f64>)> {
    let shows = shows_whole_seconds(table.columns.get(clock)?);
    shows.then(|| of_seconds(table, headings, clock)).flatten()
}

/// The same beside a column that is known to hold whole seconds.
pub fn of_seconds(table: &Table, headings: &[Heading], clock: usize) -> Option<(usize, Vec<f64>)> {
    let parts = |(at, column): (usize, &Column)| {
        let name = &headings.get(at)?.words;
        let (_, per_second) = PARTS.iter().find(|(names, _)| name.has(names))?;
        let inside = |value: &f64| (0.0..*per_second).contains(value);
        let fits = at != clock && column.stamps.is_empty() && !column.value.is_empty();
        let seconds =
            || over_records(column, table.lines.len(), |at| column.value[at] / per_second);
        (fits && column.value.iter().all(inside)).then(|| (at, seconds()))
    };
    table.columns.iter().enumerate().find_map(parts)
}

/// Whole seconds, in stamps or in numbers that several records share.
fn shows_whole_seconds(column: &Column) -> bool {
    if !column.stamps.is_empty() {
        return column.stamps.iter().all(|s| s.time.is_some_and(|t| t.seconds.fract() == 0.0));
    }
    let pairs = || column.value.windows(2).map(|pair| pair[1] - pair[0]);
    let shared = pairs().filter(|step| *step == 0.0).count();
    column.value.iter().all(|value| value.fract() == 0.0)
        // A minute, an hour or a week ends, and they begin anew.
        && column.value.windows(2).all(|p| p[0] == p[1] || p[1] - p[0] >= 1.0 || p[1] == 0.0)
        && pairs().any(|step| step == 1.0)
        && shared * 4 >= column.value.len()
}

/// Seconds of a day from numbers such as 133759.9, with whole seconds in the last two
/// digits or with hundredths or thousandths behind them. `None` unless a minute ends
/// among them: up to there the plain number counts as well.
pub fn run_together(values: &[f64]) -> Option<Vec<f64>> {
    [1.0, 100.0, 1000.0].into_iter().find_map(|scale| {
        let mut seconds = Vec::with_capacity(values.len());
        for value in values {
            seconds.push(time_of_day(value / scale)?);
        }
        let (mut crossed, mut days) = (false, 0.0);
        // Plain numbers in steps of 100 would be minutes.
        let usual = usual_step(&seconds).filter(|usual| *usual < 30.0)?;
        let mut last = *seconds.first()?;
        for (at, second) in seconds.iter_mut().enumerate().skip(1) {
            if last - *second - days > DAY_S / 2.0 {
                days += DAY_S;
            }
            *second += days;
            let step = *second - last;
            let skipped = (values[at] - values[at - 1]) / scale - step;
            let ends = [40.0, 4040.0].iter().any(|end| (skipped - end).abs() < 1e-3);
            crossed |= ends && (0.0..=5.0 * usual).contains(&step);
            last = *second;
        }
        crossed.then_some(seconds)
    })
}

fn time_of_day(number: f64) -> Option<f64> {
    let whole = number.floor();
    let (hours, minutes) = ((whole / 1e4).floor(), (whole / 100.0).floor() % 100.0);
    let seconds = whole % 100.0 + (number - whole);
    let fits = (0.0..24.0).contains(&hours) && minutes < 60.0 && seconds < 60.0;
    fits.then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

/// Thousandths or millionths of a second that were counted and not padded, `9.8` for
/// 9.008: what has to be added to every stamp's seconds. `None` where the digits can be
/// decimals: time steps back by these and does not by counts.
pub fn unpadded(stamps: &[Stamp]) -> Option<Vec<f64>> {
    let times = || stamps.iter().filter_map(|stamp| stamp.time);
    let most = times().map(|time| time.decimals).max().filter(|most| matches!(most, 3 | 6))?;
    let fraction = |time: &WrittenTime| time.seconds.fract();
    // A count has no zero in front of it.
    let could_be_count =
        |time: WrittenTime| time.decimals <= 1 || (fraction(&time) * 10.0 + 1e-6).floor() >= 1.0;
    if times().all(|time| time.decimals == most) || !times().all(could_be_count) {
        return None;
    }
    let added = |stamp: &Stamp| {
        let time = stamp.time.filter(|time| time.decimals > 0);
        time.map_or(0.0, |time| {
            let short = 10f64.powi(i32::from(time.decimals) - i32::from(most));
            fraction(&time) * (short - 1.0)
        })
    };
    let added: Vec<f64> = stamps.iter().map(added).collect();
    let back = |added: &[f64]| {
        let at = |(stamp, added): (&Stamp, &f64)| Some(stamp.time?.seconds + added);
        let times: Vec<f64> = stamps.iter().zip(added).filter_map(at).collect();
        times.windows(2).filter(|pair| pair[1] < pair[0]).count()
    };
    let (as_decimals, as_counts) = (back(&vec![0.0; added.len()]), back(&added));
    (as_decimals > 1 && as_counts * FEWER_BACK <= as_decimals).then_some(added)
}

/// A clock may step back for other reasons: it is set, or it is midnight.
const FEWER_BACK: usize = 2;

/// Frames of a film a second, where hundredths are none: `13:37:12:24` and then `:13:00`.
pub fn frames(stamps: &[Stamp]) -> Option<f64> {
    const RATES: [usize; 5] = [24, 25, 30, 50, 60];
    let mut seen = [false; 100];
    let mut seconds = std::collections::BTreeSet::new();
    for time in stamps.iter().filter_map(|stamp| stamp.time) {
        let hundredths = time.seconds.fract() * 100.0;
        if (hundredths - hundredths.round()).abs() > 1e-4 {
            return None;
        }
        *seen.get_mut(hundredths.round() as usize)? = true;
        seconds.insert(time.seconds.floor() as i64);
    }
    let count = seen.iter().filter(|seen| **seen).count();
    let highest = seen.iter().rposition(|seen| *seen)?;
    let fits = RATES.contains(&count) && highest + 1 == count && seconds.len() > 3;
    fits.then_some(count as f64)
}
