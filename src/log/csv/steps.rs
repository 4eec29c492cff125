//! A table whose clock is the step from record to record: `dt_ms`, `time since last (s)`.
//!
//! In: the table and its headings. Out: a [`Clock`] of the steps added up, or `None` where
//! no column is named like one, or one of its cells is blank: what came behind it would
//! hang on a guess. That the steps were added up is always said.

use super::header::Heading;
use super::table::{Column, Table};
use super::time::Clock;
use crate::log::names::Words;
use crate::log::{Problem, units};
use crate::unit::{Quantity, Unit, by_symbol};

const STEPS: &str = "=dt|deltat|deltatime|timedelta|timestep|steptime|sincelast|sinceprev|timediff|\
    tdelta|tdiff|zeitdifferenz|zeitschritt|deltazeit|zeitdelta|deltatemps|deltatempo|=interval|=intervall|\
    sampleinterval|timeinterval|zeitintervall|=δ|δt|δzeit|=gap|時間差";
/// Loggers write 0.1 to 1000 records a second.
const STEP_S: std::ops::RangeInclusive<f64> = 1e-3..=10.0;

/// Whether a column is named like the step from one record to the next.
pub fn is_named(words: &Words) -> bool {
    words.has(STEPS)
}

/// Whether numbers are a running time, be they called a step: each is above the one before.
pub fn is_running(values: &[f64]) -> bool {
    values.windows(2).all(|pair| pair[1] > pair[0])
}

/// The clock of a table in which only the steps are written.
pub fn clock(table: &Table, headings: &[Heading]) -> Option<Clock> {
    let steps = |&at: &usize| is_named(&headings[at].words);
    let at = (0..headings.len()).filter(steps).find(|&at| holds(&table.columns[at], table))?;
    let (column, heading) = (&table.columns[at], &headings[at]);
    let unit = written(heading, column).or_else(|| likely(&column.value))?;
    // What the first step began at is before the recording.
    let mut seconds = vec![0.0; column.value.len()];
    for (record, step) in column.value.iter().enumerate().skip(1) {
        seconds[record] = seconds[record - 1] + step * unit.factor;
    }
    let name = &heading.name;
    let text = format!(
        "No column is a running time. \"{name}\" is the time from record to record{}; the steps were \
         added up. A record that the recorder left out is not seen: what follows would be too early.",
        if written(heading, column).is_none() {
            format!(", in {} by its size", unit.symbol)
        } else {
            String::new()
        }
    );
    Some(Clock {
        seconds,
        unix_base_s: None,
        is_wall_clock: false,
        columns: vec![at],
        used: vec![at],
        how: format!("time from the steps in \"{name}\", in {}", unit.symbol),
        problems: vec![Problem { code: "time_from_steps", text }],
    })
}

/// One step a record, none of them back.
fn holds(column: &Column, table: &Table) -> bool {
    column.stamps.is_empty()
        && column.record.is_none()
        && column.value.len() == table.lines.len()
        && column.value.len() > 1
        && column.value.iter().all(|step| *step >= 0.0)
}

fn written(heading: &Heading, column: &Column) -> Option<Unit> {
    let glued = || units::glued(&heading.words.words, Some(Quantity::Time));
    let unit = heading.unit.or(column.unit).or_else(glued)?;
    (unit.quantity == Quantity::Time).then_some(unit)
}

/// The unit in which the middle step is a logger's. Of several the largest: 2 is two
/// seconds sooner than two thousandths.
fn likely(steps: &[f64]) -> Option<Unit> {
    let mut sorted = steps.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = *sorted.get(sorted.len() / 2)?;
    let fits = |unit: &Unit| STEP_S.contains(&(middle * unit.factor));
    ["s", "ms", "µs", "ns"].into_iter().filter_map(by_symbol).find(fits)
}
