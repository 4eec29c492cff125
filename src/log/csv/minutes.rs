//! Clocks that tell no seconds: `14:31`, `17.05.2024 14:31`.
//!
//! In: the cells of a clock, and the speeds beside them. Out: whether its two numbers are
//! hours and minutes (else they are minutes and seconds), and whether the seconds of a
//! clock only step once a minute, or nearly as rarely, under a car that was logged faster.
//! Such a clock is refused: where within the step a record lies would be made up, and with
//! it every time that is measured. A spreadsheet shows a clock so, and saves what it shows.

use super::header::Heading;
use super::table::{Column, Table};
use crate::log::clock::DAY_S;
use crate::log::infer::rounded;
use crate::log::{LogError, roles, swapped};
use crate::unit::{MPS_PER_KMH, Quantity};

/// Minutes and seconds that could be hours and minutes lie below this: 24:00.
const DAY_IN_MINUTES: f64 = 1440.0;
/// So many records share a stamp, and the stamp is no second.
const MANY: usize = 100;
/// No car gains or loses more in one second (1 g), and any does in a minute's drive.
const MOST_IN_A_SECOND_MPS: f64 = 10.0;
/// All changes within stamps together, of a car that moved at all.
const MOVED_MPS: f64 = 3.0;
/// One stamp in so many with more motion than that is no fault of a reading.
const ONE_IN: usize = 10;
/// Of a clock that steps so rarely: slower records are no log to time anything in. A
/// spreadsheet that shows days with four decimals steps by 8.64 s.
const RECORDS_A_STEP: usize = 15;
const SLOW_STEP_S: f64 = 5.0;

/// Whether the two numbers of a clock are hours and minutes. Behind a date they are;
/// else by how many records share a stamp, and by what the car would have done.
pub fn are_hours(table: &Table, headings: &[Heading], column: &Column, has_date: bool) -> bool {
    let times = || column.stamps.iter().filter_map(|stamp| stamp.time);
    let in_two = || times().filter(|time| time.period_s < DAY_S);
    let could_be =
        in_two().all(|time| time.seconds.fract() == 0.0 && time.seconds < DAY_IN_MINUTES);
    if in_two().next().is_none() || !could_be {
        return false;
    }
    if has_date {
        return true;
    }
    let runs = Runs::of(column);
    let changes = |(column, heading): (&Column, &Heading)| {
        let is_speed = roles::named(&heading.words, heading.unit.map(|unit| unit.quantity))
            .is_some_and(|named| roles::quantity_of(named.role) == Quantity::Speed);
        is_speed.then(|| runs.ranges_mps(column, heading))
    };
    let changes: Vec<Vec<f64>> = table.columns.iter().zip(headings).filter_map(changes).collect();
    let moved = |ranges: &&Vec<f64>| ranges.iter().sum::<f64>() > MOVED_MPS;
    let wild = |ranges: &Vec<f64>| {
        ranges.iter().filter(|range| **range > MOST_IN_A_SECOND_MPS).count() * ONE_IN > ranges.len()
    };
    match changes.iter().find(moved) {
        Some(ranges) => wild(ranges),
        None => column.stamps.len() >= MANY * runs.count,
    }
}

/// Readings that share a stamp.
struct Runs {
    /// The stamp of every record, counted from the first.
    of_record: Vec<u32>,
    count: usize,
}

impl Runs {
    fn of(column: &Column) -> Self {
        let (mut of_record, mut count) = (Vec::new(), 0u32);
        let mut last = None;
        for (at, stamp) in column.stamps.iter().enumerate() {
            count += u32::from(last != Some(stamp.time));
            last = Some(stamp.time);
            of_record.resize(column.record_of(at) + 1, count);
        }
        Runs { of_record, count: count as usize }
    }

    /// By how much a speed changes while the stamp stays, for every stamp.
    fn ranges_mps(&self, column: &Column, heading: &Heading) -> Vec<f64> {
        let unit = heading.unit.or(column.unit).filter(|unit| unit.quantity == Quantity::Speed);
        // The smallest unit that a speed is written in.
        let factor = unit.map_or(MPS_PER_KMH, |unit| unit.factor);
        let mut ends = vec![(f64::MAX, f64::MIN); self.count + 1];
        for (at, value) in column.value.iter().enumerate() {
            let run = self.of_record.get(column.record_of(at)).copied().unwrap_or(0);
            if let Some((low, high)) = ends.get_mut(run as usize) {
                (*low, *high) = (low.min(*value), high.max(*value));
            }
        }
        ends.iter().skip(1).map(|(low, high)| ((high - low) * factor).max(0.0)).collect()
    }
}

/// By how much seconds step, where that is so rare that many records share a step.
pub fn slow_step_s(seconds: &[f64]) -> Option<f64> {
    let on = seconds.windows(2).filter(|pair| pair[1] > pair[0]).count();
    swapped::usual_step(seconds)
        .filter(|step| on > 1 && *step >= SLOW_STEP_S && seconds.len() >= RECORDS_A_STEP * (on + 1))
}

pub fn refusal(file: &str, heading: &Heading, at: usize, step_s: f64) -> LogError {
    let how = if (step_s - 60.0).abs() < 1e-6 {
        "once a minute".to_owned()
    } else {
        format!("every {} s", rounded(step_s, 3))
    };
    let what = format!(
        "\"{}\" steps {how} while many records share a step: its seconds are not in the file.",
        heading.name
    );
    let remedy = "Save the table again with the whole clock in that column (in a spreadsheet: format it \
                  as hh:mm:ss.000), and open it anew.";
    LogError::at(file, format!("column {}", at + 1), what, remedy)
}
