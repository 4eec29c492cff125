//! CSV as loggers, spreadsheets and scripts write it.
//!
//! In: decoded text, in pieces. Out: a [`Log`]. The csv crate is the reader of record
//! for quoting. A record is never made up: a cell that cannot be read is absent, a
//! line that is no record is counted and reported with its number. The text is never
//! held: it goes into columns piece by piece, and where it ends in pieces decides
//! nothing.
//!
//! Start at [`Reader`]: [`Reader::begin`] tells the shape from the head, [`Body::feed`]
//! fills the table, [`Read::log`] makes the log of it; the steps stand there in order.

mod cells;
mod channels;
mod groups;
mod header;
mod kinds;
mod positions;
mod records;
mod report;
mod room;
mod sniff;
mod spread;
mod table;
mod time;

use self::cells::Decimal;
use self::channels::Columns;
use self::header::Heading;
use self::records::Records;
use self::room::Room;
use self::sniff::Shape;
use self::spread::Spread;
use self::table::{Filler, Kind, Table};
use super::assemble::{self, Parts};
use super::timeline::{self, Places};
use super::{Form, Log, LogError, Problem};

/// What became of a table.
pub enum Ended {
    Log(Box<Log>),
    /// Something was taken for another than all of the text shows. Fed to a reader that
    /// knows this, the same text gives the log.
    Again(Known),
}

/// What all of a text showed.
#[derive(Default)]
pub struct Known {
    pub encoding: Option<&'static encoding_rs::Encoding>,
    pub kinds: Option<Kinds>,
}

/// How every column is to be read.
pub struct Kinds(Vec<Kind>);

/// A table on its way to a log, fed with decoded text in pieces of any size.
pub struct Reader {
    file: String,
    /// How many bytes of text will come, where that is known.
    size: Option<u64>,
    stage: Stage,
    /// What an earlier reading of all the text found.
    kinds: Option<Kinds>,
}

enum Stage {
    /// Lines from which the shape is told.
    Head(Vec<u8>),
    Body(Box<Body>),
    Refused(LogError),
}

/// Behind the header.
struct Body {
    shape: Shape,
    headings: Vec<Heading>,
    problems: Vec<Problem>,
    kinds: Vec<Kind>,
    records: Records,
    spread: Spread,
}

/// Reads a text that is there as a whole.
pub fn read(file: &str, text: &str, encoding: &str) -> Result<Log, LogError> {
    let mut reader = Reader::new(file, Some(text.len() as u64));
    loop {
        // No larger than the cache of a processor holds.
        text.as_bytes().chunks(1 << 18).for_each(|piece| reader.feed(piece));
        match reader.finish(encoding)? {
            Ended::Log(log) => return Ok(*log),
            Ended::Again(known) => {
                reader = Reader::new(file, Some(text.len() as u64));
                reader.known(known.kinds);
            }
        }
    }
}

impl Reader {
    pub fn new(file: &str, size: Option<u64>) -> Self {
        Reader { file: file.to_owned(), size, stage: Stage::Head(Vec::new()), kinds: None }
    }

    /// Takes what an earlier reading found.
    pub fn known(&mut self, kinds: Option<Kinds>) {
        self.kinds = kinds;
    }

    /// Whether it is known already that no log will come of it.
    pub fn is_refused(&self) -> bool {
        matches!(self.stage, Stage::Refused(_))
    }

    /// How many numbers the columns hold, and their sum, the first column left out.
    pub fn cells(mut self) -> Option<(u64, f64)> {
        if matches!(self.stage, Stage::Head(_)) {
            self.begin();
        }
        let Stage::Body(body) = self.stage else { return None };
        let table = body.records.finish();
        let values = || table.columns.iter().skip(1).flat_map(|column| &column.value);
        Some((values().count() as u64, values().sum()))
    }

    pub fn feed(&mut self, text: &[u8]) {
        match &mut self.stage {
            Stage::Head(head) => {
                head.extend_from_slice(text);
                // Looked at anew only when it has doubled: one long line is not to be
                // searched for its end with every piece.
                let doubled = 1 << head.len().checked_ilog2().unwrap_or(0);
                let grew = head.len() - text.len() < doubled;
                if grew && let Some(last) = head.iter().rposition(|&b| b == b'\n') {
                    let text = String::from_utf8_lossy(&head[..=last]);
                    if sniff::is_whole_head(&text) {
                        self.begin();
                    }
                }
            }
            Stage::Body(body) => body.feed(text),
            Stage::Refused(_) => {}
        }
    }

    /// Tells the shape from the head, and reads on from the first record.
    fn begin(&mut self) {
        let Stage::Head(head) = &mut self.stage else { return };
        let head = std::mem::take(head);
        let text = String::from_utf8_lossy(&head);
        self.stage = match sniff::shape(&self.file, &text) {
            Err(error) => Stage::Refused(error),
            Ok(shape) => match room::of(&shape, text.as_bytes(), self.size) {
                Some(room) if !room.is_enough() => Stage::Refused(room.refusal(&self.file)),
                room => {
                    let body = Body::new(shape, self.kinds.take(), room, text.as_bytes());
                    Stage::Body(Box::new(body))
                }
            },
        };
    }

    /// The log, once all text was fed.
    ///
    /// # Errors
    /// [`LogError`] when the text is no table, or has no time.
    pub fn finish(mut self, encoding: &str) -> Result<Ended, LogError> {
        if matches!(self.stage, Stage::Head(_)) {
            self.begin();
        }
        match self.stage {
            Stage::Body(body) => body.finish(&self.file, encoding),
            Stage::Refused(error) => Err(error),
            Stage::Head(_) => Err(no_times(&self.file)),
        }
    }
}

impl Body {
    fn new(shape: Shape, kinds: Option<Kinds>, room: Option<Room>, text: &[u8]) -> Self {
        let (headings, problems) = header::headings(&shape.header, &shape.units);
        let kinds =
            kinds.map_or_else(|| kinds::likely(&shape.sample, &headings), |Kinds(kinds)| kinds);
        let mut filler = Filler::new(kinds.clone(), shape.header.clone());
        if let Some(room) = room {
            filler.reserve(room.records, &room.filled);
        }
        let records = Records::new(filler, shape.delimiter, shape.data_line);
        let data = shape.data_at;
        let mut body = Body { shape, headings, problems, kinds, records, spread: Spread::new() };
        body.feed(&text[data.min(text.len())..]);
        body
    }

    fn feed(&mut self, text: &[u8]) {
        self.records.feed(text);
        self.spread.feed(text);
    }

    fn finish(self, file: &str, encoding: &str) -> Result<Ended, LogError> {
        let Body { mut shape, headings, problems, kinds, records, spread } = self;
        let table = records.finish();
        let further = spread.lines().filter_map(|line| sniff::sampled(line, &shape));
        let further: Vec<Vec<String>> = further.collect();
        shape.sample.extend(further);
        let wanted = kinds::kinds(&shape.sample, &headings);
        let mut read = kinds.iter().zip(&wanted).zip(&table.columns);
        if !read.all(|((read, wanted), column)| kinds::same(*read, *wanted, column)) {
            return Ok(Ended::Again(Known { encoding: None, kinds: Some(Kinds(wanted)) }));
        }
        let read = Read { shape, headings, kinds: wanted, problems, table };
        Ok(Ended::Log(Box::new(read.log(file, encoding)?)))
    }
}

/// A table with all that is known of how it is written.
struct Read {
    shape: Shape,
    headings: Vec<Heading>,
    kinds: Vec<Kind>,
    problems: Vec<Problem>,
    table: Table,
}

impl Read {
    fn log(self, file: &str, encoding: &str) -> Result<Log, LogError> {
        let Read { shape, headings, kinds, mut problems, mut table } = self;
        let named = shape.header_line.is_some();
        report::oddities(&table, &shape, &mut problems);
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
        let began_unix_s = clock
            .unix_base_s
            .map(|base| base + blocks.first().map_or(0.0, |block| block.timeline.first_s));
        let form_found = form_found(&shape, &kinds, encoding, &clock.how);
        let satellite_speed = channels::names_satellite_source(&table, &headings);
        let columns = Columns { headings: &headings, clocks: &clock.columns, satellite_speed };
        let mut raws = Vec::new();
        let mut span_s = 0.0f64;
        for block in blocks {
            let times = block.timeline.time_s.iter().copied().filter(|t| t.is_finite());
            span_s = times.fold(span_s, f64::max);
            raws.extend(columns.read(&mut table, block, &mut problems));
        }
        Ok(assemble::log(Parts {
            file,
            form: Form::Csv,
            raws,
            span_s,
            rows: rows as u64,
            began_unix_s,
            header_key: super::header_key(headings.iter().map(|heading| heading.name.as_str())),
            form_found,
            problems,
        }))
    }
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

fn no_times(file: &str) -> LogError {
    LogError::at(
        file,
        "time column",
        "no record has a time that can be read.",
        "Check the time column and save the log again.",
    )
}
