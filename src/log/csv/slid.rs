//! Records whose cells slid from under their names: a cell too few or too many.
//!
//! In: the table. Out: the records of which nothing is read, and why. Few such records
//! among many that have all are damage. Where they are many and stand in blocks, a column
//! vanished or appeared: they are read only if the cells fit their own columns and would fit
//! no others. Many that stand between whole ones are the manner of a recorder that leaves
//! off what is blank at the end.

use super::table::{Column, Ragged, Table};
use crate::log::Problem;

/// Records that are not read.
#[derive(Default)]
pub struct Slid {
    pub records: Vec<u32>,
    /// What became of ragged records, where it is not that what is there was read.
    pub done: Option<&'static str>,
    pub problem: Option<Problem>,
}

const FEW: &str = "it cannot be told which cell is which, and nothing of it was used";
const BLOCKS: &str = "what is there was read, but for the lines told of next";

/// One ragged record in so many, or fewer, is damage.
const ONE_IN: usize = 20;
/// Ragged records that follow one another, on average, are blocks.
const BLOCK: usize = 10;
/// By how much of its range a column may pass what it reads elsewhere, and of its size.
const BEYOND_RANGE: f64 = 0.25;
const BEYOND_SIZE: f64 = 0.05;

pub fn find(table: &Table) -> Slid {
    let all = table.lines.len();
    let ragged: Vec<Ragged> =
        table.odd.ragged.iter().copied().filter(|r| (r.record as usize) < all).collect();
    let records = ragged.iter().map(|r| r.record).collect();
    if table.odd.ragged.len() * ONE_IN <= all {
        return Slid { records, done: Some(FEW), problem: None };
    }
    let blocks: Vec<&[Ragged]> =
        ragged.chunk_by(|a, b| b.record == a.record + 1 && b.cells == a.cells).collect();
    if blocks.len() * BLOCK > ragged.len() || ragged.len() == all {
        return Slid::default();
    }
    let slid: Vec<&[Ragged]> =
        blocks.into_iter().filter(|block| !stand_in_place(table, block)).collect();
    let problem = slid.first().and_then(|first| told(table, first, &slid));
    let records = slid.concat().iter().map(|r| r.record).collect();
    Slid { records, done: problem.is_some().then_some(BLOCKS), problem }
}

fn told(table: &Table, first: &[Ragged], slid: &[&[Ragged]]) -> Option<Problem> {
    let line = |ragged: &Ragged| table.lines.get(ragged.record as usize).copied();
    let (from, to) = (line(first.first()?)?, line(first.last()?)?);
    let (cells, width) = (first.first()?.cells as usize, table.columns.len());
    let count: usize = slid.iter().map(|block| block.len()).sum();
    let text = format!(
        "Lines {from} to {to} have {cells} cells where there are {width} columns: a column {}, and it \
         cannot be told which. Nothing of {} was used. Save them as a file of their own, with their \
         own header.",
        if cells < width { "vanished" } else { "appeared" },
        match slid.len() {
            1 => "these".to_owned(),
            blocks => format!("{count} such lines in {blocks} stretches"),
        }
    );
    Some(Problem { code: "cells_slid", text })
}

/// Whether the cells of a block are those of their own columns, and could be no others'.
fn stand_in_place(table: &Table, block: &[Ragged]) -> bool {
    let (width, cells) = (table.columns.len(), block[0].cells as usize);
    let whole: Vec<Usual> = table.columns.iter().map(|c| Usual::of(c, &table.odd.ragged)).collect();
    let shift = width.abs_diff(cells);
    let held = cells.min(width);
    let fits = |at: usize, column: usize| {
        whole.get(column).is_none_or(|usual| usual.holds(&table.columns[at], block))
    };
    let other = |at: usize| if cells < width { at + shift } else { at.wrapping_sub(shift) };
    let own: Vec<bool> = (0..held).map(|at| fits(at, at)).collect();
    let others: Vec<bool> = (0..held).map(|at| fits(at, other(at))).collect();
    // Where cells went missing or were put in, those behind belong to other columns.
    let put_in = if cells < width { 0 } else { shift };
    let slid_from = |from: usize| {
        own[..from].iter().all(|own| *own) && others.iter().skip(from + put_in).all(|other| *other)
    };
    own.iter().all(|own| *own) && !(0..held.saturating_sub(put_in)).any(slid_from)
}

/// What a column reads in the records that have all cells.
struct Usual {
    low: f64,
    high: f64,
}

impl Usual {
    fn of(column: &Column, ragged: &[Ragged]) -> Usual {
        let is_whole = |record: u32| ragged.binary_search_by_key(&record, |r| r.record).is_err();
        let values = (0..column.value.len())
            .filter(|at| is_whole(column.record_of(*at) as u32))
            .map(|at| column.value[at]);
        let (mut low, mut high, mut last, mut rises) = (f64::MAX, f64::MIN, f64::MIN, true);
        for value in values {
            rises &= value >= last;
            (low, high, last) = (low.min(value), high.max(value), value);
        }
        let beyond = BEYOND_RANGE * (high - low) + BEYOND_SIZE * low.abs().max(high.abs());
        // A clock goes on.
        let rises = rises && high > low;
        Usual { low: low - beyond, high: if rises { f64::INFINITY } else { high + beyond } }
    }

    fn holds(&self, column: &Column, block: &[Ragged]) -> bool {
        let (first, last) = (block[0].record as usize, block[block.len() - 1].record as usize);
        let from = match &column.record {
            Some(records) => records.partition_point(|&r| (r as usize) < first),
            None => first.min(column.value.len()),
        };
        let own = (from..column.value.len()).take_while(|at| column.record_of(*at) <= last);
        own.map(|at| column.value[at]).all(|v| (self.low..=self.high).contains(&v))
    }
}
