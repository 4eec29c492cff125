//! The time of every record: which columns are the clock, and in what unit.
//!
//! In: the table and its headings. Out: seconds for every record as the file
//! tells them, still with whatever jumps it has (see `timeline`), or an error when
//! no column can be the clock. Made up from the count of records only where the file
//! says how often they were written (see `counter`), and then said.

use std::borrow::Cow;

use super::counter;
use super::hands;
use super::header::{Heading, is_countdown, is_time};
use super::minutes;
use super::pace::Pace;
use super::parts;
use super::refusals;
use super::scale::{self, Scale};
use super::steps;
use super::table::{Column, Table};
use super::turns::turned_over;
use crate::log::clock::{DAY_S, DateOrder, WrittenDate};
use crate::log::infer::rounded;
use crate::log::{LogError, Problem, roles, swapped};
use crate::unit::Quantity;

/// The clock of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Clock {
    /// Seconds a record; NaN where the cell was blank.
    pub seconds: Vec<f64>,
    /// What has to be added to the first record's seconds for Unix time.
    pub unix_base_s: Option<f64>,
    /// A time of day: may jump by an hour in spring and autumn.
    pub is_wall_clock: bool,
    /// Columns that are clock or date, and no channels.
    pub columns: Vec<usize>,
    /// Those of them that the seconds come from.
    pub used: Vec<usize>,
    /// One line: how it was found.
    pub how: String,
    pub problems: Vec<Problem>,
}

/// What the rest of the file says of its clock.
#[derive(Clone, Copy, Default)]
pub struct Said<'a> {
    /// A line names the columns.
    pub named: bool,
    pub pace: Option<&'a Pace>,
    /// A reading a line: what begins anew is the next channel, and no counter.
    pub is_long: bool,
}

/// Digits of a clock's step in a sentence.
const STEP_DIGITS: usize = 4;

/// One column, or a date and a time of day, that could be the clock.
struct Candidate {
    seconds: Vec<f64>,
    has_unix: bool,
    is_wall_clock: bool,
    columns: Vec<usize>,
    how: String,
    guessed: Option<String>,
    named: bool,
    /// Share of records with a time of their own.
    distinct: f64,
}

pub fn find(
    file: &str,
    table: &Table,
    headings: &[Heading],
    said: Said,
) -> Result<Clock, LogError> {
    let mut candidates = candidates(table, headings, said);
    let all: Vec<usize> = candidates.iter().flat_map(|c| c.columns.clone()).collect();
    // Finest first; of equals the one with a date, then the one further left.
    candidates.sort_by(|a, b| rank(b).total_cmp(&rank(a)));
    let unix = candidates.iter().find(|candidate| candidate.has_unix);
    let Some(best) = candidates.first() else {
        let counted = || said.pace.and_then(|pace| counter::clock(table, headings, pace));
        let found = steps::clock(table, headings).or_else(counted);
        return found.ok_or_else(|| refusals::no_clock(file, table, headings));
    };
    if let Some(step_s) = minutes::slow_step_s(&best.seconds) {
        let at = best.columns.last().copied().unwrap_or(0);
        return Err(minutes::refusal(file, &headings[at], at, step_s));
    }
    // A clock that was set meanwhile is right where most records have it so.
    let unix_base_s = unix.and_then(|unix| {
        let bases = unix.seconds.iter().zip(&best.seconds).map(|(unix, own)| unix - own);
        let mut bases: Vec<f64> = bases.filter(|base| base.is_finite()).collect();
        if leaps(&unix.seconds) {
            bases.sort_unstable_by(f64::total_cmp);
            return bases.get(bases.len() / 2).copied();
        }
        bases.first().copied()
    });
    let mut problems = Vec::new();
    if let Some(text) = &best.guessed {
        problems.push(Problem { code: "unit_guessed", text: text.clone() });
    }
    Ok(Clock {
        seconds: best.seconds.clone(),
        unix_base_s,
        is_wall_clock: best.is_wall_clock,
        columns: all,
        used: best.columns.clone(),
        how: best.how.clone(),
        problems,
    })
}

fn rank(candidate: &Candidate) -> f64 {
    let fine = if candidate.distinct > 0.5 { 1.0 } else { candidate.distinct };
    fine * 10.0
        + f64::from(candidate.named) * 4.0
        + f64::from(!goes_back(&candidate.seconds)) * 2.0
        + f64::from(!leaps(&candidate.seconds)) * 2.0
        + f64::from(candidate.has_unix)
        // Of two that are alike, the one whose unit is written.
        + f64::from(candidate.guessed.is_none()) / 2.0
}

/// A clock that was set meanwhile is worse than one that was not: years on, as by a
/// receiver's first fix.
fn leaps(seconds: &[f64]) -> bool {
    const LEAP_S: f64 = 30.0 * DAY_S;
    let mut finite = seconds.iter().filter(|t| t.is_finite());
    let mut last = finite.next().copied().unwrap_or(0.0);
    finite.any(|&t| (t - std::mem::replace(&mut last, t)).abs() > LEAP_S)
}

/// The same, back.
fn goes_back(seconds: &[f64]) -> bool {
    let mut last = f64::NEG_INFINITY;
    seconds.iter().filter(|t| t.is_finite()).any(|&t| std::mem::replace(&mut last, t) > t)
}

fn candidates(table: &Table, headings: &[Heading], said: Said) -> Vec<Candidate> {
    let mut found = Vec::new();
    let records = table.lines.len();
    let date_only = |column: &Column| {
        !column.stamps.is_empty() && column.stamps.iter().all(|stamp| stamp.time.is_none())
    };
    let dates = table.columns.iter().position(date_only);
    let hands = hands::found(table, headings, dates);
    found.extend(hands.map(Candidate::of_hands).filter(is_clock));
    // Columns that only add to another's time.
    let mut beside: Vec<usize> = Vec::new();
    for (index, (column, heading)) in table.columns.iter().zip(headings).enumerate() {
        let candidate = if column.stamps.is_empty() {
            let is_step = steps::is_named(&heading.words) && !steps::is_running(&column.value);
            let counts = counts_time(heading) && !is_step || scale::is_absolute(&column.value);
            let first_of_nameless = !said.named && index == 0;
            (counts || first_of_nameless)
                .then(|| numbers(column, heading, index, records, said))
                .flatten()
        } else if date_only(column) {
            None
        } else {
            let date = dates.map(|at| (at, &table.columns[at]));
            let has_date = date.is_some() || column.stamps.iter().any(|stamp| stamp.date.is_some());
            let column = &with_hours(table, headings, column, has_date);
            let mut candidate = stamps(column, heading, index, date, records);
            candidate.in_counts(column);
            candidate.in_frames(column);
            Some(candidate)
        };
        let mut candidate = candidate;
        if let Some(candidate) = &mut candidate
            && let Some((at, parts)) = parts::beside(table, headings, index)
        {
            candidate.add(at, &parts, &headings[at].name);
            beside.push(at);
        }
        found.extend(candidate.filter(is_clock));
    }
    found.retain(|candidate| !candidate.columns.iter().all(|at| beside.contains(at)));
    if found.is_empty() {
        found.extend(nameless(table, headings, records).filter(is_clock));
    }
    found
}

/// Named like a clock, or in its units: minutes of a position are of an arc, and a
/// German *Tempo* in km/h is no Italian clock.
pub fn counts_time(heading: &Heading) -> bool {
    let in_units = heading.unit.is_some_and(|unit| unit.quantity == Quantity::Time);
    let in_others = heading
        .unit
        .is_some_and(|unit| !matches!(unit.quantity, Quantity::Time | Quantity::Number));
    is_time(&heading.words) && !in_others
        || in_units && roles::named(&heading.words, None).is_none() && !is_countdown(&heading.words)
}

/// What never passes a second and begins anew this often is the part of one.
const SECONDS_BEGUN: usize = 3;

/// Rising nearly everywhere and not standing still.
fn is_clock(candidate: &Candidate) -> bool {
    let times: Vec<f64> = candidate.seconds.iter().copied().filter(|t| t.is_finite()).collect();
    let back = times.windows(2).filter(|pair| pair[1] < pair[0]).count();
    let ends = times.iter().fold((f64::MAX, f64::MIN), |(low, high), &t| (low.min(t), high.max(t)));
    if back >= SECONDS_BEGUN && ends.1 - ends.0 <= 1.0 {
        return false;
    }
    let on = times.windows(2).filter(|pair| pair[1] > pair[0]).count();
    let rises = || back * 3 <= on.max(9) || rises_in_order(&times);
    times.len() * 10 >= candidate.seconds.len() * 8 && on > 0 && rises()
}

/// Rising once records a few places from where they belong are put there.
fn rises_in_order(times: &[f64]) -> bool {
    let rises = |order: &[usize]| order.windows(2).all(|pair| times[pair[0]] < times[pair[1]]);
    swapped::order(times, 0.0).is_some_and(|found| rises(&found.order))
}

impl Candidate {
    fn of_hands(hands: hands::Hands) -> Self {
        let hands::Hands { columns, seconds, has_date, how } = hands;
        Candidate {
            distinct: distinct(&seconds),
            seconds,
            has_unix: has_date,
            is_wall_clock: true,
            columns,
            how,
            guessed: None,
            named: true,
        }
    }

    /// Thousandths without zeros in front are no decimals: `9.8` is 9.008.
    fn in_counts(&mut self, column: &Column) {
        let Some(added) = parts::unpadded(&column.stamps) else { return };
        for (at, added) in added.iter().enumerate() {
            if let Some(seconds) = self.seconds.get_mut(column.record_of(at)) {
                *seconds += added;
            }
        }
        self.distinct = distinct(&self.seconds);
        self.how = format!("{}, its parts of a second counted without zeros in front", self.how);
    }

    /// Frames of a film behind the seconds are no hundredths.
    fn in_frames(&mut self, column: &Column) {
        let Some(rate) = parts::frames(&column.stamps) else { return };
        for seconds in &mut self.seconds {
            // Dates leave a double some tenths of a microsecond.
            let frame = (seconds.fract() * 100.0).round();
            *seconds = seconds.floor() + frame / rate;
        }
        self.how = format!("{}, {rate} frames a second", self.how);
    }

    /// Adds what another column tells of every record's time.
    fn add(&mut self, column: usize, more_s: &[f64], name: &str) {
        self.seconds.iter_mut().zip(more_s).for_each(|(seconds, more)| *seconds += more);
        self.columns.push(column);
        self.distinct = distinct(&self.seconds);
        self.how = format!("{} with the parts of a second in \"{name}\"", self.how);
    }
}

/// The first column, where no header names it and it rises in steps that no count of
/// rows has: how tables with a time index are saved by scripts.
fn nameless(table: &Table, headings: &[Heading], records: usize) -> Option<Candidate> {
    let (column, heading) = (table.columns.first()?, headings.first()?);
    let counts_rows = column.value.iter().all(|value| value.fract() == 0.0);
    let rises = column.value.len() == records
        && column.value.windows(2).all(|pair| pair[1] > pair[0])
        && column.stamps.is_empty();
    if !heading.is_nameless || counts_rows || !rises {
        return None;
    }
    let mut candidate = numbers(column, heading, 0, records, Said::default())?;
    candidate.guessed = Some(
        "The first column has no name; it was taken as the time because it rises with every \
         record."
            .to_owned(),
    );
    Some(candidate)
}

pub fn over_records(column: &Column, records: usize, value: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut seconds = vec![f64::NAN; records];
    for index in 0..column.value.len() {
        if let Some(slot) = seconds.get_mut(column.record_of(index)) {
            *slot = value(index);
        }
    }
    seconds
}

fn distinct(seconds: &[f64]) -> f64 {
    let changes = seconds.windows(2).filter(|pair| pair[0] != pair[1]).count();
    (changes + 1) as f64 / seconds.len().max(1) as f64
}

fn numbers(
    column: &Column,
    heading: &Heading,
    index: usize,
    records: usize,
    said: Said,
) -> Option<Candidate> {
    let written = heading.unit.or(column.unit).filter(|unit| unit.quantity == Quantity::Time);
    if let Some(seconds) = parts::run_together(&column.value).filter(|_| written.is_none()) {
        let seconds = over_records(column, records, |at| seconds[at]);
        return Some(Candidate {
            distinct: distinct(&seconds),
            seconds,
            has_unix: false,
            is_wall_clock: true,
            columns: vec![index],
            how: format!("time from the hours, minutes and seconds in \"{}\"", heading.name),
            guessed: None,
            named: true,
        });
    }
    let scale = Scale::of(&column.value, written)?.by_pace(said.pace, &column.value);
    let turns = turned_over(&column.value, scale.factor).filter(|_| !said.is_long);
    let added = |at: usize| turns.as_ref().map_or(0.0, |turns| turns.added[at]);
    let seconds = over_records(column, records, |at| scale.seconds(column.value[at] + added(at)));
    let name = &heading.name;
    Some(Candidate {
        distinct: distinct(&seconds),
        seconds,
        has_unix: scale.is_unix,
        is_wall_clock: false,
        columns: vec![index],
        how: format!("time from \"{name}\" in {}", scale.words),
        guessed: scale.guessed.then(|| {
            let Scale { words, why, .. } = &scale;
            let step = rounded(scale.step, STEP_DIGITS);
            format!("\"{name}\" names no unit; it was taken as {words} because it steps by {step} {why}.")
        }),
        named: is_time(&heading.words),
    })
}

/// The seconds of a column of numbers, one a reading. `None` where it never rises.
pub fn in_seconds(column: &Column, heading: &Heading) -> Option<Vec<f64>> {
    let written = heading.unit.or(column.unit).filter(|unit| unit.quantity == Quantity::Time);
    let scale = Scale::of(&column.value, written)?;
    Some(column.value.iter().map(|&value| scale.seconds(value)).collect())
}

fn stamps(
    column: &Column,
    heading: &Heading,
    index: usize,
    date: Option<(usize, &Column)>,
    records: usize,
) -> Candidate {
    let own = column.stamps.iter().any(|stamp| stamp.date.is_some());
    let beside = if own { None } else { date.filter(|(at, _)| *at != index) };
    let written: Vec<WrittenDate> = match beside {
        Some((_, dates)) => dates.stamps.iter().filter_map(|stamp| stamp.date).collect(),
        None => column.stamps.iter().filter_map(|stamp| stamp.date).collect(),
    };
    let order = DateOrder::decide(&written);
    let dates = beside.map(|(_, dates)| midnights(dates, order, records));
    let mut unwrap = Unwrap::default();
    // A date that stands only where it is new holds for the records below it.
    let mut carried: Option<(f64, f64)> = None;
    let usual_s = usual_period_s(column);
    let mut seconds = vec![f64::NAN; records];
    for (at, stamp) in column.stamps.iter().enumerate() {
        let record = column.record_of(at);
        let day = match &dates {
            Some(dates) => dates.get(record).copied().filter(|day| day.is_finite()),
            None => midnight(stamp.date, order),
        };
        let Some(time) = stamp.time else { continue };
        let day = day.or_else(|| {
            let (day, last_s) = carried.filter(|_| beside.is_some())?;
            Some(if last_s - time.seconds > DAY_S / 2.0 { day + DAY_S } else { day })
        });
        carried = day.map(|day| (day, time.seconds));
        let zone = stamp.zone_s.unwrap_or(0.0);
        let Some(slot) = seconds.get_mut(record) else { continue };
        *slot = match day {
            Some(day) => day + time.seconds - zone,
            // "10:42" among "10:42:37.6" is what a cut line left: no time of its own.
            None if time.period_s != usual_s => continue,
            None => unwrap.next(time.seconds - zone, time.period_s),
        };
    }
    let has_unix = order.is_some() && !written.is_empty();
    let name = &heading.name;
    let how = match (beside, has_unix) {
        (Some((at, _)), _) => format!("time from \"{name}\" with the date in column {}", at + 1),
        (None, true) => format!("time from the date and clock in \"{name}\""),
        (None, false) => format!("time from the clock in \"{name}\""),
    };
    let columns = beside.map(|(at, _)| at).into_iter().chain([index]).collect();
    let distinct = distinct(&seconds);
    Candidate {
        seconds,
        has_unix,
        is_wall_clock: true,
        columns,
        how,
        guessed: None,
        named: true,
        distinct,
    }
}

/// The column with its pairs of numbers as the hours and minutes that they are.
fn with_hours<'a>(
    table: &Table,
    headings: &[Heading],
    column: &'a Column,
    has_date: bool,
) -> Cow<'a, Column> {
    if !minutes::are_hours(table, headings, column, has_date) {
        return Cow::Borrowed(column);
    }
    let mut column = column.clone();
    column.stamps.iter_mut().filter_map(|stamp| stamp.time.as_mut()).for_each(|time| {
        *time = time.as_hours();
    });
    Cow::Owned(column)
}

/// After which time most stamps of a column begin anew: a day, or an hour.
fn usual_period_s(column: &Column) -> f64 {
    let periods = || column.stamps.iter().filter_map(|stamp| stamp.time.map(|time| time.period_s));
    let days = periods().filter(|period| *period == DAY_S).count();
    if days * 2 >= periods().count() {
        return DAY_S;
    }
    periods().find(|period| *period != DAY_S).unwrap_or(DAY_S)
}

/// Midnight of every record's date; NaN where it has none.
pub fn midnights(dates: &Column, order: Option<DateOrder>, records: usize) -> Vec<f64> {
    over_records(dates, records, |at| midnight(dates.stamps[at].date, order).unwrap_or(f64::NAN))
}

fn midnight(date: Option<WrittenDate>, order: Option<DateOrder>) -> Option<f64> {
    date?.unix_s(order?)
}

/// Of a clock of twelve hours that does not say which half of the day it is: behind
/// 12:59:59 comes 1:00:00.
const HALF_DAY_S: f64 = DAY_S / 2.0;
const ONE_O_CLOCK_S: f64 = 3600.0;
const CLOSE_S: f64 = 10.0;
const LEAP_YEAR_S: f64 = 366.0 * DAY_S;

/// Adds a day (or hour) whenever the clock starts anew.
#[derive(Default)]
pub struct Unwrap {
    last: Option<f64>,
    added: f64,
}

impl Unwrap {
    pub fn next(&mut self, time: f64, period: f64) -> f64 {
        // Days of the year go to 366 in a leap year, and the next begins with 1.
        let in_leap_year = period > DAY_S && self.last.is_some_and(|last| last >= LEAP_YEAR_S);
        let period = if in_leap_year { LEAP_YEAR_S } else { period };
        // Back by more than half a turn is a new turn; less is a fault of the clock.
        if let Some(back) = self.last.map(|last| last - time) {
            let is_half = period == DAY_S
                && (0.0..CLOSE_S).contains(&(HALF_DAY_S - back))
                && (ONE_O_CLOCK_S..ONE_O_CLOCK_S + CLOSE_S).contains(&time);
            if back > period / 2.0 {
                self.added += period;
            } else if is_half {
                self.added += HALF_DAY_S;
            }
        }
        self.last = Some(time);
        time + self.added
    }
}
