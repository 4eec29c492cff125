//! Several clocks in one table: `time, engine speed, time, road speed`.
//!
//! In: the table with its found clock. Out: the [`Block`]s of columns that one clock
//! holds for; nearly always a single one. A second clock that tells the same time in
//! another count makes no block of its own.
//!
//! Method: exports of recorders with several rates write each rate as a block, its
//! clock first, from the first line down to where the block ends. Clocks that run
//! apart without that layout are reported, and the best one is used for all.

use std::ops::Range;

use super::header::Heading;
use super::table::Table;
use super::time::{Clock, counts_time};
use crate::log::Problem;
use crate::log::timeline::{self, Places, Timeline};

/// Columns and the times of their records.
#[derive(Debug)]
pub struct Block {
    pub columns: Range<usize>,
    /// The one of them that is its clock, where there are several blocks.
    pub clock: Option<usize>,
    pub timeline: Timeline,
}

/// Clocks that drift apart by less than this share of their span are one clock.
const SAME_SHARE: f64 = 0.02;
/// Two stamps of one instant may be written this far apart.
const SAME_S: f64 = 1.5;
/// Blocks that begin further apart are not of one count of seconds.
const ONE_COUNT_S: f64 = 3600.0;
/// Fewest readings by which a clock is known.
const FEWEST: usize = 3;

/// A column that counts time, and its seconds, one a record from the first.
struct Own {
    column: usize,
    seconds: Vec<f64>,
}

/// The blocks of a table whose first clock was repaired to `timeline`.
pub fn blocks(
    table: &Table,
    headings: &[Heading],
    clock: &Clock,
    timeline: Timeline,
    problems: &mut Vec<Problem>,
) -> Vec<Block> {
    let all = 0..table.columns.len();
    let others: Vec<Own> = all
        .clone()
        .filter(|at| !clock.used.contains(at) && counts_time(&headings[*at]))
        .filter_map(|column| Some(Own { column, seconds: seconds(table, headings, column)? }))
        .collect();
    let apart: Vec<usize> = others
        .iter()
        .filter(|own| !agree(&own.seconds, &clock.seconds))
        .map(|own| own.column)
        .collect();
    let Some(&first_apart) = apart.first() else {
        return vec![Block { columns: all, clock: None, timeline }];
    };
    let main = clock.used.first().copied().unwrap_or(0);
    let mut clocks: Vec<usize> = others.iter().map(|own| own.column).chain([main]).collect();
    clocks.sort_unstable();
    // The clock stands left of its columns, or, where the first column is none and the
    // last is one, right of them.
    let on_the_right = clocks[0] > 0 && clocks.last().is_some_and(|last| last + 1 == all.end);
    let ranges: Vec<Range<usize>> = if on_the_right {
        let begins = [0].into_iter().chain(clocks.iter().map(|at| at + 1));
        begins.zip(&clocks).map(|(begin, &clock)| begin..clock + 1).collect()
    } else {
        let ends = clocks.iter().copied().skip(1).chain([all.end]);
        clocks.iter().copied().zip(ends).map(|(a, b)| a..b).collect()
    };
    let name = |at: usize| format!("\"{}\"", headings[at].name);
    let laid_out = (clocks[0] == 0 || on_the_right) && ranges.iter().all(|range| range.len() > 1);
    if !laid_out || timeline.order.is_some() {
        let text = format!(
            "{} and {} count time and run apart; {} was used for all columns. If each holds for some \
             of them, save those as files of their own.",
            name(main),
            name(first_apart),
            name(main)
        );
        problems.push(Problem { code: "clocks_apart", text });
        return vec![Block { columns: all, clock: None, timeline }];
    }
    let names: Vec<String> = clocks.iter().map(|&at| name(at)).collect();
    let text = format!(
        "The table has {} clocks ({}); each column was read with the clock to its {}.",
        clocks.len(),
        names.join(", "),
        if on_the_right { "right" } else { "left" }
    );
    problems.push(Problem { code: "clocks", text });
    let mut blocks = Vec::with_capacity(ranges.len());
    for columns in ranges {
        let clock = if on_the_right { columns.end - 1 } else { columns.start };
        let own = others.iter().find(|own| own.column == clock);
        let timeline = match own {
            Some(own) => {
                let own_columns = columns.clone().filter(|at| *at != clock).map(name).collect();
                let laid = repaired(table, own, timeline.first_s, problems);
                if laid.is_none() {
                    problems.push(not_laid(name(clock), own_columns));
                }
                laid
            }
            None => Some(timeline.clone()),
        };
        blocks.extend(timeline.map(|timeline| Block { columns, clock: Some(clock), timeline }));
    }
    count_from_the_earliest(&mut blocks);
    blocks
}

/// A column's seconds, when it rises from the first record to its own end.
fn seconds(table: &Table, headings: &[Heading], at: usize) -> Option<Vec<f64>> {
    let column = table.columns.get(at).filter(|column| column.stamps.is_empty())?;
    let values = column.value.len();
    if values < FEWEST || column.record_of(values - 1) + 1 != values {
        return None;
    }
    let seconds = super::time::in_seconds(column, &headings[at])?;
    let rising = seconds.windows(2).filter(|pair| pair[1] > pair[0]).count();
    (rising * 20 >= (values - 1) * 19).then_some(seconds)
}

/// Whether two clocks tell the same time over the records that both have.
fn agree(ours: &[f64], first: &[f64]) -> bool {
    let both = || ours.iter().zip(first).filter(|(a, b)| a.is_finite() && b.is_finite());
    let span = range(both().map(|(a, _)| *a)).max(range(both().map(|(_, b)| *b)));
    range(both().map(|(a, b)| a - b)) <= SAME_S.max(SAME_SHARE * span)
}

fn range(values: impl Iterator<Item = f64>) -> f64 {
    let ends = values.fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    (ends.1 - ends.0).max(0.0)
}

fn not_laid(clock: String, columns: Vec<String>) -> Problem {
    let text = format!(
        "The clock {clock} cannot be laid beside the others; its columns were left out: {}. Save them \
         as a file of their own.",
        columns.join(", ")
    );
    Problem { code: "clocks_apart", text }
}

/// The times of a further block, one a record of the table; `None` where they cannot be
/// laid beside the first clock's.
fn repaired(
    table: &Table,
    own: &Own,
    first_s: f64,
    problems: &mut Vec<Problem>,
) -> Option<Timeline> {
    let places = Places { word: "line", at: &table.lines };
    let mut timeline = timeline::repair(own.seconds.clone(), places, false)
        .filter(|own| own.order.is_none() && (own.first_s - first_s).abs() < ONE_COUNT_S)?;
    problems.append(&mut timeline.problems);
    timeline.time_s.resize(table.lines.len(), f64::NAN);
    Some(timeline)
}

/// All blocks counted from the first record of the earliest.
fn count_from_the_earliest(blocks: &mut [Block]) {
    let earliest_s = blocks.iter().map(|block| block.timeline.first_s).fold(f64::MAX, f64::min);
    for timeline in blocks.iter_mut().map(|block| &mut block.timeline) {
        let shift = timeline.first_s - earliest_s;
        timeline.time_s.iter_mut().for_each(|t| *t += shift);
        timeline.first_s = earliest_s;
    }
}
