//! Long tables: a reading a line, with its channel's name in a column of its own.
//!
//! In: text, its shape and headings. Out: the channels, each with the times of its own
//! lines, or `None` where the table is of the ordinary kind. Databases and message
//! loggers write so: `time, channel, value`, the channels mixed or one after the other.
//! A table is long when its header says which column names the channel and which holds
//! the value, and the cells agree: nothing is taken for a name that reads like a number.

use std::collections::{BTreeMap, BTreeSet};

use super::header::{self, Heading};
use super::sniff::{self, Shape};
use super::split;
use super::table::Table;
use super::time::Clock;
use crate::log::limits::COLUMNS_LIMIT;
use crate::log::raw::Raw;
use crate::log::timeline::{self, Places};
use crate::log::{Problem, Series, roles};

/// Which column says what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    name: usize,
    value: usize,
    unit: Option<usize>,
    /// The names are numbers: channels are called by the column's name with each of them.
    numbered: bool,
    /// Numbers the series, as databases do whose series of one name differ in something else.
    series: Option<usize>,
}

const NAMES: &str = "=channel|=signal|=name|=id|sensorid|channelid|signalid|parameter|=sensor|=pid|messgrosse|=kanal|=canal|=canale|variable|=measurement|=tag|=metric|=item|=kanaal|=key|=field|signalname|channelname|チャンネル|信号|=grosse|=grandeur|=quantity";
const VALUES: &str =
    "=value|=wert|=valeur|=valor|=valore|=waarde|=reading|=messwert|値|=val|=data|physvalue";
const UNITS: &str = "=unit|=units|einheit|=unite|=unites|unidad|=unita|eenheid|単位";

/// The layout of a long table. `None` for any other.
pub fn layout(shape: &Shape, headings: &[Heading]) -> Option<Layout> {
    let named =
        |words: &'static str| (0..headings.len()).filter(move |at| headings[*at].words.has(words));
    let find = |words: &'static str| named(words).next();
    let cells = |at: usize| shape.sample.iter().filter_map(move |row| row.get(at));
    let in_words = |at: &usize| cells(*at).all(|cell| sniff::is_text(cell));
    let in_numbers =
        |at: &usize| are_numbers_of_channels(cells(*at)) && only_tells_readings(headings);
    let in_words = named(NAMES).find(in_words);
    let (numbered, value) = (in_words.is_none(), find(VALUES)?);
    let name = in_words.or_else(|| named(NAMES).find(in_numbers))?;
    let readings = cells(value).filter(|cell| sniff::is_reading(cell)).count();
    let has_time = headings.iter().any(|heading| header::is_time(&heading.words));
    let fits = readings * 2 > shape.sample.len() && has_time && name != value;
    let unit = find(UNITS).filter(|at| *at != name);
    fits.then(|| Layout { name, value, unit, numbered, series: find("=table") })
}

/// Whole numbers, few of them, that change from line to line and come again.
fn are_numbers_of_channels<'a>(cells: impl Iterator<Item = &'a String>) -> bool {
    let numbers: Option<Vec<u64>> = cells.map(|cell| cell.trim().parse().ok()).collect();
    let Some(numbers) = numbers else { return false };
    let different: BTreeSet<u64> = numbers.iter().copied().collect();
    let goes_back = numbers.windows(2).any(|pair| pair[1] < pair[0]);
    different.len() > 1 && different.len() * 3 <= numbers.len() && goes_back
}

/// Whether no column is a channel by its own name: a table that has some has one more value.
fn only_tells_readings(headings: &[Heading]) -> bool {
    headings.iter().all(|heading| roles::named(&heading.words, None).is_none())
}

/// Whether a line names the columns of a long table.
pub fn is_header<'a>(cells: impl Iterator<Item = &'a str>) -> bool {
    let headings: Vec<Heading> = cells.map(|cell| header::heading(cell, "")).collect();
    let find = |words: &'static str| headings.iter().position(|heading| heading.words.has(words));
    let apart = find(NAMES).zip(find(VALUES)).is_some_and(|(name, value)| name != value);
    apart && headings.iter().any(|heading| header::is_time(&heading.words))
}

/// The readings of one channel, as places in the table's value column.
struct Channel {
    name: String,
    unit: String,
    /// As its lines number it, where others have its name.
    series: String,
    readings: Vec<usize>,
}

/// The channels, and the written seconds that their times count from.
pub fn read(
    text: &str,
    shape: &Shape,
    table: &Table,
    clock: &Clock,
    layout: Layout,
    problems: &mut Vec<Problem>,
) -> Option<(Vec<Raw>, f64)> {
    let channels = joined(channels(text, shape, table, layout, problems), table, clock, layout);
    let mut read = Vec::with_capacity(channels.len());
    for channel in channels {
        let value = &table.columns[layout.value];
        let records: Vec<usize> = channel.readings.iter().map(|&at| value.record_of(at)).collect();
        let lines: Vec<u32> = records.iter().map(|&record| table.lines[record]).collect();
        let seconds = records.iter().map(|&record| clock.seconds[record]).collect();
        let places = Places { word: "line", at: &lines };
        let Some(timeline) = timeline::repair(seconds, places, clock.is_wall_clock) else {
            continue;
        };
        for problem in &timeline.problems {
            let text = format!("\"{}\": {}", channel.name, problem.text);
            problems.push(Problem { code: problem.code, text });
        }
        let (mut time_s, mut values) = (Vec::new(), Vec::new());
        for (place, &t) in timeline.time_s.iter().enumerate() {
            let at = timeline.order.as_ref().map_or(place, |order| order[place]);
            if t > time_s.last().copied().unwrap_or(f64::NEG_INFINITY) {
                time_s.push(t);
                values.push(value.value[channel.readings[at]]);
            }
        }
        read.push((channel, timeline.first_s, time_s, values));
    }
    let first_s = read.iter().map(|(_, first_s, ..)| *first_s).reduce(f64::min)?;
    let raws = read.into_iter().map(|(channel, own_s, mut time_s, value)| {
        time_s.iter_mut().for_each(|t| *t += own_s - first_s);
        let heading = header::heading(&channel.name, &channel.unit);
        let series = Series { time_s: time_s.into(), value };
        let mut raw = Raw::new(&heading.name, heading.unit, series);
        raw.words = heading.words;
        raw.unknown_unit = heading.unknown_unit;
        if !channel.series.is_empty() {
            raw.name = format!("{} (series {})", raw.name, channel.series);
        }
        raw
    });
    Some((raws.collect(), first_s))
}

/// Reads the names, line by line, beside the records that the table kept.
fn channels(
    text: &str,
    shape: &Shape,
    table: &Table,
    layout: Layout,
    problems: &mut Vec<Problem>,
) -> Vec<Channel> {
    let value = &table.columns[layout.value];
    let mut channels: Vec<Channel> = Vec::new();
    let mut places: BTreeMap<(String, String), usize> = BTreeMap::new();
    let mut lines = text[shape.data_at..].lines().zip(shape.data_line..);
    let mut beyond = 0;
    let prefix = shape.header.get(layout.name).map_or("", String::as_str);
    for at in 0..value.value.len() {
        let wanted = u64::from(table.lines[value.record_of(at)]);
        let Some((line, _)) = lines.by_ref().find(|(_, number)| *number >= wanted) else { break };
        let cells = split::split(line, shape.delimiter);
        let cell = |at: usize| cells.get(at).map_or("", |cell| cell.trim());
        let own = match layout.numbered {
            true => format!("{} {}", prefix.trim(), cell(layout.name)),
            false => cell(layout.name).to_owned(),
        };
        let name = own.trim();
        if cell(layout.name).is_empty() {
            continue;
        }
        let key = (name.to_owned(), layout.series.map_or("", cell).to_owned());
        let known = places.get(&key).copied();
        let place = known.unwrap_or(channels.len());
        if known.is_none() {
            if channels.len() >= COLUMNS_LIMIT {
                beyond += 1;
                continue;
            }
            let unit = layout.unit.map_or("", cell).to_owned();
            let (name, series) = key.clone();
            channels.push(Channel { name, unit, series, readings: Vec::new() });
            places.insert(key, place);
        }
        channels[place].readings.push(at);
    }
    if beyond > 0 {
        let text = format!(
            "There are more than {COLUMNS_LIMIT} channel names; {beyond} readings of further ones were \
             left out."
        );
        problems.push(Problem { code: "channels_beyond", text });
    }
    channels
}

/// Series of one name that follow one another are one channel, cut by the database; such
/// that run side by side are several, told apart by their number.
fn joined(channels: Vec<Channel>, table: &Table, clock: &Clock, layout: Layout) -> Vec<Channel> {
    let value = &table.columns[layout.value];
    let seconds = |at: &usize| clock.seconds.get(value.record_of(*at)).copied();
    let span = |channel: &Channel| {
        let times = || channel.readings.iter().filter_map(seconds).filter(|t| t.is_finite());
        (times().fold(f64::INFINITY, f64::min), times().fold(f64::NEG_INFINITY, f64::max))
    };
    let mut joined: Vec<Channel> = Vec::with_capacity(channels.len());
    for mut channel in channels {
        let (begin, end) = span(&channel);
        let apart = |own: &&mut Channel| {
            let (own_begin, own_end) = span(own);
            own.name == channel.name && (own_end < begin || end < own_begin)
        };
        match joined.iter_mut().find(apart) {
            Some(own) if layout.series.is_some() => own.readings.append(&mut channel.readings),
            _ => joined.push(channel),
        }
    }
    let names: Vec<String> = joined.iter().map(|channel| channel.name.clone()).collect();
    for (channel, name) in joined.iter_mut().zip(&names) {
        if names.iter().filter(|other| *other == name).count() < 2 {
            channel.series.clear();
        }
    }
    joined
}
