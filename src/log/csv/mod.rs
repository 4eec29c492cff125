//! CSV as loggers, spreadsheets and scripts write it.
//!
//! In: decoded text. Out: a [`Log`]. The csv crate is the reader of record for
//! quoting. A record is never made up: a cell that cannot be read is absent, a
//! line that is no record is counted and reported with its number.
//!
//! Start at [`read`]; the steps stand there in order.

mod cells;
mod groups;
mod header;
mod sniff;
mod table;
mod time;

use std::sync::Arc;

use self::cells::{Cell, Decimal};
use self::groups::Block;
use self::header::Heading;
use self::sniff::Shape;
use self::table::{Column, Kind, Table};
use super::assemble::{self, Parts};
use super::fresh::{self, Held, Kept};
use super::raw::Raw;
use super::timeline::{self, Places, Timeline};
use super::{Form, Log, LogError, Problem, Role, Series, clock, roles};

pub fn read(file: &str, text: &str, encoding: &str) -> Result<Log, LogError> {
    let shape = sniff::shape(file, text)?;
    let named = shape.header_line.is_some();
    let (headings, mut problems) = header::headings(&shape.header, &shape.units);
    let kinds = kinds(&shape, &headings);
    let mut table = table::read(text, &shape, &kinds);
    report_oddities(&table, &shape, &mut problems);
    let clock = match time::find(file, &table, &headings, named) {
        Ok(clock) => clock,
        Err(error) => {
            table.reverse();
            let clock = time::find(file, &table, &headings, named).map_err(|_| error)?;
            problems.push(timeline::newest_first());
            clock
        }
    };
    problems.extend(clock.problems.iter().cloned());
    let timeline = timeline::repair(
        clock.seconds.clone(),
        Places { word: "line", at: &table.lines },
        clock.is_wall_clock,
    );
    let Some(timeline) = timeline else { return Err(no_times(file)) };
    problems.extend(timeline.problems.iter().cloned());
    let rows = timeline.time_s.iter().filter(|t| t.is_finite()).count();
    if let Some(order) = &timeline.order {
        reorder(&mut table, order);
    }
    let blocks = groups::blocks(&table, &headings, &clock, timeline, &mut problems);
    let mut raws = Vec::new();
    for block in &blocks {
        raws.extend(read_block(&table, &headings, &clock.columns, block, &mut problems));
    }
    let times = || blocks.iter().flat_map(|block| &block.timeline.time_s).filter(|t| t.is_finite());
    let first_s = blocks.first().map_or(0.0, |block| block.timeline.first_s);
    Ok(assemble::log(Parts {
        file,
        form: Form::Csv,
        raws,
        span_s: times().copied().fold(0.0, f64::max),
        rows: rows as u64,
        began_unix_s: clock.unix_base_s.map(|base| base + first_s),
        header_key: super::header_key(headings.iter().map(|heading| heading.name.as_str())),
        form_found: form_found(&shape, &kinds, encoding, &clock.how),
        problems,
    }))
}

fn form_found(shape: &Shape, kinds: &[Kind], encoding: &str, clock: &str) -> String {
    let delimiter = match shape.delimiter {
        b',' => "comma",
        b';' => "semicolon",
        b'\t' => "tab",
        _ => "bar",
    };
    let comma = kinds.iter().any(|kind| matches!(kind, Kind::Number(Decimal::Comma)));
    let decimal = if comma { "decimal comma" } else { "decimal point" };
    let header = match shape.header_line {
        Some(line) => format!("header in line {line}"),
        None => "no header".to_owned(),
    };
    let units = if shape.units.is_empty() { "" } else { ", units in a row of their own" };
    format!("{encoding}, {delimiter} between cells, {decimal}, {header}{units}, {clock}")
}

/// How each column is to be read, from the sample.
fn kinds(shape: &Shape, headings: &[Heading]) -> Vec<Kind> {
    let column =
        |at: usize| shape.sample.iter().filter_map(move |row| row.get(at)).map(String::as_str);
    let written =
        |sign| (0..headings.len()).any(|at| column(at).any(|cell| is_decimal(cell, sign)));
    let elsewhere = Signs { points: written('.'), commas: written(',') };
    (0..headings.len())
        .map(|at| {
            let decimal = decimal_sign(column(at), elsewhere);
            let number = |cell: &&str| {
                !matches!(cells::parse(cell.as_bytes(), decimal), Cell::Text | Cell::Blank)
            };
            let numbers = column(at).filter(number).count();
            let stamps = column(at).filter(|cell| clock::parse(cell.as_bytes()).is_some()).count();
            let is_date = headings[at].words.has("date|datum|fecha") && stamps >= numbers;
            let named = roles::named(&headings[at].words, None);
            let gear = named.is_some_and(|named| named.role == Role::Gear);
            match (stamps > numbers || (is_date && stamps > 0), gear) {
                (true, _) => Kind::Clock,
                (_, true) => Kind::Gear(decimal),
                _ => Kind::Number(decimal),
            }
        })
        .collect()
}

/// Decimal signs that are certain somewhere in the file.
#[derive(Clone, Copy)]
struct Signs {
    points: bool,
    commas: bool,
}

/// Digits, one sign, digits, and not a group of three behind a leading digit.
fn is_decimal(cell: &str, sign: char) -> bool {
    let Some((whole, fraction)) = cell.trim().split_once(sign) else { return false };
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    let whole = whole.trim_start_matches(['-', '+']);
    let could_be_group =
        fraction.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    digits(whole) && digits(fraction) && !fraction.is_empty() && !could_be_group
}

/// A column's decimal sign: comma where commas are written as decimals, or could
/// be and nothing in the file is written with a point.
fn decimal_sign<'a>(cells: impl Iterator<Item = &'a str> + Clone, elsewhere: Signs) -> Decimal {
    let with = |sign: char| cells.clone().filter(move |cell| cell.contains(sign)).count();
    let (commas, points) = (with(','), with('.'));
    let comma_decimals = cells.clone().filter(|cell| is_decimal(cell, ',')).count();
    let point_decimals = cells.clone().filter(|cell| is_decimal(cell, '.')).count();
    let both = cells.clone().find(|cell| cell.contains(',') && cell.contains('.'));
    let grouped = points > 0 && point_decimals == 0 && commas == 0;
    match both {
        Some(cell) if cell.rfind(',') > cell.rfind('.') => Decimal::Comma,
        Some(_) => Decimal::Point,
        None if comma_decimals > 0 && point_decimals == 0 => Decimal::Comma,
        None if commas > 0 && points == 0 && !elsewhere.points => Decimal::Comma,
        // 1.250 beside 0,5 in the next column: points part thousands in this file.
        None if grouped && elsewhere.commas && !elsewhere.points => Decimal::Comma,
        None => Decimal::Point,
    }
}

fn reorder(table: &mut Table, order: &[usize]) {
    let mut place = vec![0u32; order.len()];
    for (new, &old) in order.iter().enumerate() {
        place[old] = new as u32;
    }
    table.lines = order.iter().map(|&old| table.lines[old]).collect();
    for column in &mut table.columns {
        let mut readings: Vec<(u32, f64)> = (0..column.value.len())
            .map(|at| (place[column.record_of(at)], column.value[at]))
            .collect();
        readings.sort_by_key(|(record, _)| *record);
        column.record = Some(readings.iter().map(|(record, _)| *record).collect());
        column.value = readings.into_iter().map(|(_, value)| value).collect();
    }
}

fn read_block(
    table: &Table,
    headings: &[Heading],
    clocks: &[usize],
    Block { columns, timeline }: &Block,
    problems: &mut Vec<Problem>,
) -> Vec<Raw> {
    let held =
        |column: &'_ Column| -> bool { !column.value.is_empty() && column.stamps.is_empty() };
    let is_clock = |at: usize| {
        clocks.contains(&at) || columns.len() < table.columns.len() && at == columns.start
    };
    let used: Vec<usize> =
        columns.clone().filter(|&at| held(&table.columns[at]) && !is_clock(at)).collect();
    let columns: Vec<Held> = used
        .iter()
        .map(|&at| Held {
            value: &table.columns[at].value,
            record: table.columns[at].record.as_deref(),
        })
        .collect();
    let kept = fresh::keep(&columns, table.lines.len());
    let all = shared_times(&timeline.time_s);
    let satellite_speed = names_satellite_source(table, headings);
    let mut raws = Vec::with_capacity(used.len());
    let mut repeats = Repeats::default();
    for (&at, kept) in used.iter().zip(kept) {
        let (column, heading) = (&table.columns[at], &headings[at]);
        report_texts(column, heading, problems);
        let series = series(column, kept.as_ref(), timeline, all.as_ref(), &mut repeats);
        let mut raw = Raw::new(&heading.name, heading.unit.or(column.unit), series);
        raw.words = heading.words.clone();
        raw.fresh = kept.map_or_else(String::new, |kept| kept.how);
        if satellite_speed && heading.words.has("speed|geschwindigkeit|vitesse") {
            raw.words.words.push("gps".to_owned());
        }
        raws.push(raw);
    }
    problems.extend(repeats.problem(&table.lines));
    raws
}

/// A text column that says the speed comes from satellites: `speed_source` = gps.
fn names_satellite_source(table: &Table, headings: &[Heading]) -> bool {
    table.columns.iter().zip(headings).any(|(column, heading)| {
        heading.words.has("source|src|quelle")
            && heading.words.has("speed|geschwindigkeit|vitesse")
            && column
                .texts
                .iter()
                .any(|text| ["gps", "gnss", "sat"].contains(&text.to_lowercase().as_str()))
    })
}

/// The times of all records, when none was left out and every one is later than the last.
fn shared_times(time_s: &[f64]) -> Option<Arc<[f64]>> {
    let rising =
        time_s.windows(2).all(|pair| pair[1] > pair[0]) && time_s.iter().all(|t| t.is_finite());
    rising.then(|| Arc::from(time_s))
}

fn series(
    column: &Column,
    kept: Option<&Kept>,
    timeline: &Timeline,
    all: Option<&Arc<[f64]>>,
    repeats: &mut Repeats,
) -> Series {
    if let (None, None, Some(all)) = (kept, &column.record, all)
        && all.len() == column.value.len()
    {
        return Series { time_s: Arc::clone(all), value: column.value.clone() };
    }
    let mut time_s = Vec::with_capacity(column.value.len());
    let mut value = Vec::with_capacity(column.value.len());
    let mut last = f64::NEG_INFINITY;
    let mut push = |at: usize| {
        let t = timeline.time_s.get(column.record_of(at)).copied().unwrap_or(f64::NAN);
        // Not later than the one before: the first of two readings at one time stays.
        if t > last {
            last = t;
            time_s.push(t);
            value.push(column.value[at]);
        } else if t <= last {
            repeats.add(column.record_of(at));
        }
    };
    match kept {
        Some(kept) => kept.index.iter().for_each(|&at| push(at)),
        None => (0..column.value.len()).for_each(&mut push),
    }
    Series { time_s: time_s.into(), value }
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

fn report_texts(column: &Column, heading: &Heading, problems: &mut Vec<Problem>) {
    if column.text_count == 0 {
        return;
    }
    let texts: Vec<String> =
        column.texts.iter().take(3).map(|text| format!("\"{text}\"")).collect();
    let (name, texts, line) = (&heading.name, texts.join(", "), column.first_text_line);
    let text = match column.text_count {
        1 => format!(
            "\"{name}\": the cell in line {line} is no number ({texts}) and was left blank."
        ),
        all => format!(
            "\"{name}\": {all} cells are no numbers ({texts}) and were left blank, the first in \
             line {line}."
        ),
    };
    problems.push(Problem { code: "cells_unread", text });
}

fn report_oddities(table: &Table, shape: &Shape, problems: &mut Vec<Problem>) {
    let odd = &table.odd;
    let counted = [
        (
            odd.short,
            "rows_short",
            ["has fewer cells than the header", "have fewer cells than the header"],
            "what is there was read",
        ),
        (
            odd.long,
            "rows_long",
            ["has more cells than the header", "have more cells than the header"],
            "the cells beyond it were left out",
        ),
        (
            odd.no_record,
            "rows_dropped",
            ["holds no reading", "hold no reading"],
            "nothing of it was used",
        ),
        (
            odd.header_again,
            "header_repeated",
            ["repeats the header", "repeat the header"],
            "the table was read on below",
        ),
        (
            odd.open_quote,
            "open_quote",
            [
                "opens a quotation mark that is never closed",
                "open a quotation mark that is never closed",
            ],
            "what follows was read line by line",
        ),
    ];
    for (count, code, says, done) in counted.into_iter().filter(|(count, ..)| count.count > 0) {
        problems.push(Problem { code, text: format!("{}; {done}.", lines(count, says)) });
    }
    if let Some(line) = odd.cut_last {
        let text = format!("Line {line}, the last, was cut short and was left out.");
        problems.push(Problem { code: "cut_short", text });
    }
    if let Some((line, names)) = &odd.other_table {
        let text = format!(
            "Line {line} begins a second table with other columns ({}); it was not read. Save it as a \
             file of its own, and open both.",
            names.join(", ")
        );
        problems.push(Problem { code: "second_table", text });
    }
    if shape.header_line.is_none() {
        let text =
            "No line names the columns; they are numbered. Give each its role by hand.".to_owned();
        problems.push(Problem { code: "header_missing", text });
    }
}

/// One line by its number, or how many and the first, with what they do.
fn lines(count: table::Count, [one, many]: [&str; 2]) -> String {
    match count.count {
        1 => format!("Line {} {one}", count.first_line),
        all => format!("{all} lines, the first being line {}, {many}", count.first_line),
    }
}

fn no_times(file: &str) -> LogError {
    LogError::at(
        file,
        "time column",
        "no record has a time that can be read.",
        "Check the time column and save the log again.",
    )
}
