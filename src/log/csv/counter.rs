//! A table without a time whose file says how often its records were written.
//!
//! In: the table and its [`Pace`]. Out: a [`Clock`] from the column that counts the
//! records, or, where no column is named like one, from the records themselves. What
//! the time rests on is always said. A counter that does not count is no reason to
//! count the records instead: something was lost, and where is not known.

use super::header::{Heading, is_time};
use super::pace::Pace;
use super::table::{Column, Table};
use super::time::Clock;
use super::turns::turned_over;
use crate::log::Problem;
use crate::log::names::Words;

const COUNTERS: &str = "=sample|=samples|samplenumber|sampleno|samplenr|sampleindex|sampleid|=index|=idx|=no|=nr|=num|=number|=nummer|=numero|=count|=counter|=record|recordnumber|=row|=rows|=line|=scan|=scans|=point|=points|datapoint|=frame|=n|=i|=k|=seq|sequence|=zeile|messpunkt|messwert|=punkt|zahler|=echantillon|=muestra|=campione|=indice|=index|番号|序号|編號|编号|=cnt|=tick|=ticks|=id";

/// The clock of a table in which only the records are counted.
pub fn clock(table: &Table, headings: &[Heading], pace: &Pace) -> Option<Clock> {
    if headings.iter().any(|heading| is_time(&heading.words)) || table.lines.len() < 2 {
        return None;
    }
    let counter = headings.iter().position(|heading| is_counter(&heading.words));
    let first = || headings.first().filter(|first| first.is_nameless).map(|_| 0);
    let unnamed = || first().filter(|&at| table.columns.get(at).is_some_and(counts_all));
    match counter.or_else(unnamed) {
        Some(at) => counted(table, headings, at, pace),
        None => Some(evenly(table, pace)),
    }
}

/// The name of a column that counts records.
pub fn named(headings: &[Heading]) -> Option<&str> {
    headings.iter().find(|heading| is_counter(&heading.words)).map(|heading| heading.name.as_str())
}

/// `Sample`, `Index`, `No.`: nothing but the count, a unit aside.
fn is_counter(words: &Words) -> bool {
    words.words.len() <= 2 && words.has(COUNTERS) && !words.has("rate|=gear|=lap|temp|speed|press")
}

/// Whether numbers count: whole ones, most of them one more than the one before.
pub fn counts(values: &[f64]) -> bool {
    let ones = values.windows(2).filter(|pair| pair[1] - pair[0] == 1.0).count();
    values.len() > 1
        && values.iter().all(|value| value.fract() == 0.0)
        && ones * 10 >= (values.len() - 1) * 9
}

fn counts_all(column: &Column) -> bool {
    column.record.is_none() && column.stamps.is_empty() && counts(&column.value)
}

fn counted(table: &Table, headings: &[Heading], at: usize, pace: &Pace) -> Option<Clock> {
    let (column, name) = (table.columns.get(at)?, &headings.get(at)?.name);
    if !column.stamps.is_empty() || !counts(&column.value) {
        return None;
    }
    let turns = turned_over(&column.value, pace.interval_s);
    let mut seconds = vec![f64::NAN; table.lines.len()];
    for (index, value) in column.value.iter().enumerate() {
        let added = turns.as_ref().map_or(0.0, |turns| turns.added[index]);
        *seconds.get_mut(column.record_of(index))? = (value + added) * pace.interval_s;
    }
    let what = format!("No column is a time. \"{name}\" counts the records, and");
    Some(Clock { columns: vec![at], used: vec![at], ..of(seconds, &what, name, pace) })
}

fn evenly(table: &Table, pace: &Pace) -> Clock {
    let seconds = (0..table.lines.len()).map(|record| record as f64 * pace.interval_s).collect();
    let what = "No column is a time and none counts the records; they were laid evenly, as";
    let mut clock = of(seconds, what, "the records", pace);
    let text = "A record that the recorder left out is not seen: what follows would be too early.";
    clock.problems.iter_mut().for_each(|problem| problem.text = format!("{} {text}", problem.text));
    clock
}

fn of(seconds: Vec<f64>, what: &str, name: &str, pace: &Pace) -> Clock {
    let (interval_s, line) = (pace.interval_s, &pace.line);
    let text = format!(
        "{what} the line \"{line}\" above the table says that they are {interval_s} s apart. Times are \
         as good as that line."
    );
    Clock {
        seconds,
        unix_base_s: None,
        is_wall_clock: false,
        columns: Vec::new(),
        used: Vec::new(),
        how: format!("time from the count of {name}, {interval_s} s each"),
        problems: vec![Problem { code: "time_from_rate", text }],
    }
}
