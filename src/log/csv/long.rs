//! Long tables: a reading a line, with its channel's name in a column of its own.
//!
//! In: text, its shape and headings. Out: the channels, each with the times of its own
//! lines, or `None` where the table is of the ordinary kind. Databases and message
//! loggers write so: `time, channel, value`, the channels mixed or one after the other.
//! A table is long when its header says which column names the channel and which holds
//! the value, and the cells agree: nothing is taken for a name that reads like a number.

use std::collections::BTreeMap;

use super::header::{self, Heading};
use super::sniff::{self, Shape};
use super::table::Table;
use super::time::Clock;
use crate::log::limits::COLUMNS_LIMIT;
use crate::log::raw::Raw;
use crate::log::timeline::{self, Places};
use crate::log::{Problem, Series};

/// Which column says what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    name: usize,
    value: usize,
    unit: Option<usize>,
}

const NAMES: &str = "=channel|=signal|=name|parameter|=sensor|=pid|messgrosse|=kanal|=canal|=canale|variable|=measurement|=tag|=metric|=item|=kanaal|=key|=field|signalname|channelname|チャンネル|信号|=grosse|=grandeur|=quantity";
const VALUES: &str =
    "=value|=wert|=valeur|=valor|=valore|=waarde|=reading|=messwert|値|=val|=data|physvalue";
const UNITS: &str = "=unit|=units|einheit|=unite|=unites|unidad|=unita|eenheid|単位";

/// The layout of a long table. `None` for any other.
pub fn layout(shape: &Shape, headings: &[Heading]) -> Option<Layout> {
    let find = |words: &'static str| headings.iter().position(|heading| heading.words.has(words));
    let (name, value) = (find(NAMES)?, find(VALUES)?);
    let cells = |at: usize| shape.sample.iter().filter_map(move |row| row.get(at));
    let is_named = cells(name).all(|cell| sniff::is_text(cell));
    let readings = cells(value).filter(|cell| sniff::is_reading(cell)).count();
    let has_time = headings.iter().any(|heading| header::is_time(&heading.words));
    let fits = is_named && readings * 2 > shape.sample.len() && has_time && name != value;
    fits.then(|| Layout { name, value, unit: find(UNITS).filter(|at| *at != name) })
}

/// The readings of one channel, as places in the table's value column.
struct Channel {
    name: String,
    unit: String,
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
    let channels = channels(text, shape, table, layout, problems);
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
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut lines = text[shape.data_at..].lines().zip(shape.data_line..);
    let mut beyond = 0;
    for at in 0..value.value.len() {
        let wanted = u64::from(table.lines[value.record_of(at)]);
        let Some((line, _)) = lines.by_ref().find(|(_, number)| *number >= wanted) else { break };
        let cells = sniff::split(line, shape.delimiter);
        let cell = |at: usize| cells.get(at).map_or("", |cell| cell.trim());
        let name = cell(layout.name);
        if name.is_empty() {
            continue;
        }
        let known = places.get(name).copied();
        let place = known.unwrap_or(channels.len());
        if known.is_none() {
            if channels.len() >= COLUMNS_LIMIT {
                beyond += 1;
                continue;
            }
            places.insert(name.to_owned(), place);
            let unit = layout.unit.map_or("", cell).to_owned();
            channels.push(Channel { name: name.to_owned(), unit, readings: Vec::new() });
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
