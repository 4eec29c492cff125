//! Columns and their times become channels as written.
//!
//! In: the table and the blocks of columns that one clock holds for. Out: [`Raw`]
//! channels, fresh readings only. Values leave the table here and are not copied where
//! all of a column is kept; columns written in the same records share their times.

use std::sync::Arc;

use super::groups::Block;
use super::header::Heading;
use super::left_out::Ceased;
use super::report;
use super::table::{Column, Table};
use crate::log::fresh::{Held, Kept, Repeated};
use crate::log::raw::Raw;
use crate::log::timeline;
use crate::log::{Problem, Series};

/// What is known of all columns.
pub struct Columns<'a> {
    pub headings: &'a [Heading],
    /// Those that are clock or date.
    pub clocks: &'a [usize],
    /// The speed comes from satellites.
    pub satellite_speed: bool,
    pub repeated: Repeated,
}

impl Columns<'_> {
    /// The channels of a block; their columns are taken out of the table.
    pub fn read(&self, table: &mut Table, block: Block, problems: &mut Vec<Problem>) -> Vec<Raw> {
        let Block { columns, clock, timeline } = block;
        let is_clock = |at: usize| self.clocks.contains(&at) || clock == Some(at);
        let is_used = |at: &usize| table.columns[*at].is_channel() && !is_clock(*at);
        let used: Vec<usize> = columns.clone().filter(is_used).collect();
        let records = timeline.time_s.iter().rposition(|t| t.is_finite()).map_or(0, |at| at + 1);
        let mut ceased = Ceased::default();
        let held: Vec<Held> = used
            .iter()
            .map(|&at| &table.columns[at])
            .map(|column| Held { value: &column.value, record: column.record.as_deref() })
            .collect();
        let kept = self.repeated.keep(&held, table.lines.len());
        let mut times = Times::of(timeline.time_s);
        let mut raws = Vec::with_capacity(used.len());
        for (at, kept) in used.into_iter().zip(kept) {
            let (column, heading) = (std::mem::take(&mut table.columns[at]), &self.headings[at]);
            report::texts(&column, heading, problems);
            ceased.look(&column, &heading.name, records);
            let unit = heading.unit.or(column.unit);
            let series = match &kept {
                Some(kept) => times.some(&column, kept),
                None => times.all(column),
            };
            let mut raw = Raw::new(&heading.name, unit, series);
            raw.words = heading.words.clone();
            raw.unknown_unit = heading.unknown_unit.clone().filter(|_| raw.unit.is_none());
            raw.fresh = kept.map_or_else(String::new, |kept| kept.how);
            if self.satellite_speed && heading.words.has("speed|geschwindigkeit|vitesse") {
                raw.words.words.push("gps".to_owned());
            }
            raws.push(raw);
        }
        problems.extend(ceased.problems(&table.lines[..records.min(table.lines.len())]));
        problems.extend(times.repeats.problem(&table.lines));
        raws
    }
}

/// A text column that says the speed comes from satellites: `speed_source` = gps.
pub fn names_satellite_source(table: &Table, headings: &[Heading]) -> bool {
    table.columns.iter().zip(headings).any(|(column, heading)| {
        heading.words.has("source|src|quelle")
            && heading.words.has("speed|geschwindigkeit|vitesse")
            && column
                .texts
                .iter()
                .any(|text| ["gps", "gnss", "sat"].contains(&text.to_lowercase().as_str()))
    })
}

/// The times of the records, and of the sets of records that columns were written in.
struct Times {
    time_s: Vec<f64>,
    /// Of all records.
    every: Option<Arc<[f64]>>,
    sets: Vec<(Vec<u32>, Arc<[f64]>)>,
    repeats: Repeats,
}

/// Sets of records that are remembered: a logger has few groups of signals.
const MOST_SETS: usize = 64;

impl Times {
    fn of(time_s: Vec<f64>) -> Self {
        let every = is_rising(&time_s).then(|| Arc::from(time_s.as_slice()));
        Times { time_s, every, sets: Vec::new(), repeats: Repeats::default() }
    }

    /// A column of which every reading is kept.
    fn all(&mut self, mut column: Column) -> Series {
        let shared = match (&column.record, &self.every) {
            (None, Some(every)) if every.len() == column.value.len() => Some(Arc::clone(every)),
            (Some(_), _) => self.set(&mut column),
            _ => None,
        };
        match shared {
            Some(time_s) => Series { time_s, value: column.value },
            None => self.one_by_one(&column, 0..column.value.len()),
        }
    }

    fn some(&mut self, column: &Column, kept: &Kept) -> Series {
        self.one_by_one(column, kept.index.iter().copied())
    }

    /// The times of a column's own records, where they rise.
    fn set(&mut self, column: &mut Column) -> Option<Arc<[f64]>> {
        let records = column.record.as_ref()?;
        if let Some((_, time_s)) = self.sets.iter().find(|(known, _)| known == records) {
            return Some(Arc::clone(time_s));
        }
        let time = |&record: &u32| self.time_s.get(record as usize).copied().unwrap_or(f64::NAN);
        let time_s: Vec<f64> = records.iter().map(time).collect();
        let time_s: Arc<[f64]> = is_rising(&time_s).then(|| time_s.into())?;
        if self.sets.len() < MOST_SETS {
            self.sets.extend(column.record.take().map(|records| (records, Arc::clone(&time_s))));
        }
        Some(time_s)
    }

    fn one_by_one(
        &mut self,
        column: &Column,
        kept: impl ExactSizeIterator<Item = usize>,
    ) -> Series {
        let mut time_s = Vec::with_capacity(kept.len());
        let mut value = Vec::with_capacity(kept.len());
        let mut last = f64::NEG_INFINITY;
        for at in kept {
            let record = column.record_of(at);
            let t = self.time_s.get(record).copied().unwrap_or(f64::NAN);
            // Not later than the one before: the first of two readings at one time stays.
            if t > last {
                last = t;
                time_s.push(t);
                value.push(column.value[at]);
            } else if t <= last {
                self.repeats.add(record);
            }
        }
        Series { time_s: time_s.into(), value }
    }
}

/// Whether no time is missing and every one is later than the last.
fn is_rising(time_s: &[f64]) -> bool {
    time_s.windows(2).all(|pair| pair[1] > pair[0]) && time_s.iter().all(|t| t.is_finite())
}

/// Readings left out because their channel has one at that time already.
#[derive(Default)]
struct Repeats {
    records: std::collections::BTreeSet<usize>,
}

impl Repeats {
    fn add(&mut self, record: usize) {
        self.records.insert(record);
    }

    fn problem(&self, lines: &[u32]) -> Option<Problem> {
        let first = lines.get(*self.records.first()?)?;
        Some(timeline::repeats(self.records.len(), &format!("line {first}")))
    }
}
