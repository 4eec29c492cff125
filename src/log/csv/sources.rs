//! Tables in which two cars, or two devices, take turns.
//!
//! In: records of the head. Out: a refusal where every time stands there once for each word
//! of one column: read as one recording, the speeds of one car would be the other's at every
//! second record.

use std::collections::BTreeSet;

use super::header::Heading;
use super::sniff::{Shape, is_text};
use super::{long, refusals};
use crate::log::LogError;

/// More words than that are no sources, but states.
const MOST: usize = 6;
/// Share of the records, in percent, that stand in a full turn.
const TURNS: usize = 80;

pub fn refusal(
    file: &str,
    shape: &Shape,
    headings: &[Heading],
    clock: &[usize],
) -> Option<LogError> {
    let time: Vec<Vec<&str>> = shape.sample.iter().map(|row| cells(row, clock)).collect();
    if time.is_empty() || clock.is_empty() || long::layout(shape, headings).is_some() {
        return None;
    }
    (0..shape.width).filter(|at| !clock.contains(at)).find_map(|at| {
        let words: Vec<&str> =
            shape.sample.iter().map(|row| row.get(at).map_or("", String::as_str)).collect();
        let all: BTreeSet<&str> = words.iter().copied().collect();
        let plain = (2..=MOST).contains(&all.len()) && words.iter().all(|word| is_text(word));
        let name = headings.get(at).map_or("", |heading| heading.name.as_str());
        let sources: Vec<&str> = all.iter().copied().collect();
        (plain && take_turns(&time, &words, all.len()))
            .then(|| refusals::several_sources(file, name, &sources))
    })
}

fn cells<'a>(row: &'a [String], columns: &[usize]) -> Vec<&'a str> {
    columns.iter().map(|&at| row.get(at).map_or("", String::as_str)).collect()
}

/// Whether most records stand in stretches of one time that hold every word once.
fn take_turns(time: &[Vec<&str>], words: &[&str], sources: usize) -> bool {
    let (mut in_turns, mut from) = (0, 0);
    for to in 1..=time.len() {
        if to < time.len() && time[to] == time[from] {
            continue;
        }
        let turn: BTreeSet<&str> = words[from..to].iter().copied().collect();
        if to - from == sources && turn.len() == sources {
            in_turns += sources;
        }
        from = to;
    }
    in_turns * 100 >= words.len() * TURNS
}
