//! CSV as loggers, spreadsheets and scripts write it.
//!
//! In: decoded text, in pieces. Out: a [`Log`]. The csv crate is the reader of record
//! for quoting. A record is never made up: a cell that cannot be read is absent, a
//! line that is no record is counted and reported with its number. The text is never
//! held: it goes into columns piece by piece, and where it ends in pieces decides
//! nothing.
//!
//! Start at [`Reader`]: [`Reader::begin`] tells the shape from the head, [`Body::feed`]
//! fills the table, [`Read::part`] makes channels of it; the steps stand there in order.
//! What is more than one plain table is read as a whole: [`read`].

mod above;
mod again;
mod arcs;
mod blanks;
mod cells;
mod channels;
mod counter;
mod ends;
mod escapes;
mod further;
mod gears;
mod groups;
mod hands;
mod header;
mod holes;
mod kinds;
mod led;
mod left_out;
mod lines;
mod long;
mod minutes;
mod nameless;
mod number;
mod pace;
mod pairs;
mod parts;
mod positions;
mod quoted;
mod read;
mod records;
mod refusals;
mod remade;
mod report;
mod room;
mod scale;
mod slid;
mod sniff;
mod sorted;
mod sources;
mod split;
mod spread;
mod steps;
mod table;
mod time;
mod torn;
mod turns;
mod whole;

use std::collections::BTreeSet;

pub use self::whole::read;

use self::channels::Columns;
use self::escapes::Escapes;
use self::header::Heading;
use self::records::Records;
use self::refusals::no_times;
use self::remade::{must_be, remade};
use self::room::Room;
use self::sniff::Shape;
use self::spread::Spread;
use self::table::{Filler, Kind, Table};
use self::time::Said;
use self::whole::Part;
use super::fresh::Repeated;
use super::limits::WHOLE_LIMIT;
use super::text;
use super::timeline::{self, Places};
use super::{Log, LogError, Problem};

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
    /// It is no plain table: [`read`] has to see all of it at once.
    pub whole: bool,
    /// Every record is to be cut by the csv crate.
    pub by_the_crate: bool,
}

/// How every column is to be read.
pub struct Kinds(Vec<Kind>);

/// A table on its way to a log, fed with decoded text in pieces of any size.
pub struct Reader {
    file: String,
    /// How many bytes of text will come, where that is known.
    size: Option<u64>,
    /// Of the file, above this text.
    lines_before: u64,
    stage: Stage,
    /// What an earlier reading of all the text found.
    kinds: Option<Kinds>,
    by_the_crate: bool,
}

enum Stage {
    /// Lines from which the shape is told.
    Head(Vec<u8>),
    Body(Box<Body>),
    Refused {
        error: LogError,
        /// Something that [`read`] may make a table of, see [`remade`].
        is_remade: bool,
    },
}

/// Behind the header.
struct Body {
    shape: Shape,
    headings: Vec<Heading>,
    problems: Vec<Problem>,
    kinds: Vec<Kind>,
    records: Records,
    spread: Spread,
    /// Where marks stand behind backslashes.
    escapes: Option<Escapes>,
}

impl Reader {
    pub fn new(file: &str, size: Option<u64>) -> Self {
        Reader {
            file: file.to_owned(),
            size,
            lines_before: 0,
            stage: Stage::Head(Vec::new()),
            kinds: None,
            by_the_crate: false,
        }
    }

    /// Takes what an earlier reading found.
    pub fn known(&mut self, kinds: Option<Kinds>) {
        self.kinds = kinds;
    }

    /// Leaves every record to the csv crate, to hold the quick way against it.
    pub fn by_the_crate(&mut self) {
        self.by_the_crate = true;
    }

    /// Whether it is known already that no log will come of it.
    pub fn is_refused(&self) -> bool {
        matches!(self.stage, Stage::Refused { .. })
    }

    /// How many numbers the columns hold, and their sum, the first column left out.
    pub fn cells(mut self) -> Option<(u64, f64)> {
        if matches!(self.stage, Stage::Head(_)) {
            self.begin();
        }
        let Stage::Body(body) = self.stage else { return None };
        let table = body.records.finish();
        let columns = || table.columns.iter().skip(1).map(|column| column.value.as_slice());
        let parts = columns().flat_map(|values| values.chunks(SUMMED));
        Some((columns().map(<[f64]>::len).sum::<usize>() as u64, parts.map(sum).sum()))
    }

    pub fn feed(&mut self, text: &[u8]) {
        match &mut self.stage {
            Stage::Head(head) => {
                head.extend_from_slice(text);
                // Looked at anew only when it has doubled: one long line is not to be
                // searched for its end with every piece.
                let doubled = 1 << head.len().checked_ilog2().unwrap_or(0);
                let grew = head.len() - text.len() < doubled;
                if grew
                    && let Some(last) = head.iter().rposition(|&b| b == b'\n')
                    && sniff::is_whole_head(&text::lossy(&head[..=last]))
                {
                    self.begin();
                }
            }
            Stage::Body(body) => body.feed(text),
            Stage::Refused { .. } => {}
        }
    }

    /// Tells the shape from the head, and reads on from the first record.
    fn begin(&mut self) {
        let Stage::Head(head) = &mut self.stage else { return };
        let mut head = std::mem::take(head);
        text::break_lone_returns(&mut head);
        let mut escaping = escapes::has_any(&head).then(Escapes::default);
        if let Some(escapes) = &mut escaping {
            head = escapes.plain(&head).to_vec();
        }
        let text = text::lossy(&head);
        self.stage = match sniff::shape(&self.file, &text) {
            Err(error) => Stage::Refused { error, is_remade: !remade(&text).is_empty() },
            Ok(shape) if must_be(&text) => {
                let error = refusals::lines_led(&self.file, shape.data_line + self.lines_before);
                Stage::Refused { error, is_remade: true }
            }
            Ok(shape) => match room::of(&shape, text.as_bytes(), self.size) {
                Some(room) if !room.is_enough() => {
                    Stage::Refused { error: room.refusal(&self.file), is_remade: false }
                }
                room => {
                    let shape = below(shape, self.lines_before);
                    let mut body = Body::new(
                        shape,
                        self.kinds.take(),
                        room,
                        self.by_the_crate,
                        text.as_bytes(),
                    );
                    body.escapes = escaping;
                    Stage::Body(Box::new(body))
                }
            },
        };
    }

    /// The log, once all text was fed.
    ///
    /// # Errors
    /// [`LogError`] when the text is no table, or has no time.
    pub fn finish(self, encoding: &str) -> Result<Ended, LogError> {
        let (file, fits) = (self.file.clone(), self.can_be_whole());
        match self.told()? {
            Told::Read(read) if fits && read.wants_whole() => Ok(Ended::Again(Known::whole())),
            Told::Read(read) => {
                let part = read.part(&file, encoding, None, Repeated::LeftOut)?;
                Ok(Ended::Log(Box::new(part.log(&file)?)))
            }
            Told::Remade(_) if fits => Ok(Ended::Again(Known::whole())),
            Told::Remade(error) => Err(error),
            Told::Kinds(kinds) => {
                Ok(Ended::Again(Known { kinds: Some(kinds), ..Known::default() }))
            }
        }
    }

    fn can_be_whole(&self) -> bool {
        self.size.is_none_or(|size| size <= WHOLE_LIMIT)
    }

    fn told(mut self) -> Result<Told, LogError> {
        if matches!(self.stage, Stage::Head(_)) {
            self.begin();
        }
        match self.stage {
            Stage::Body(body) => Ok(body.told()),
            Stage::Refused { error, is_remade: true } => Ok(Told::Remade(error)),
            Stage::Refused { error, .. } => Err(error),
            Stage::Head(_) => Err(no_times(&self.file)),
        }
    }
}

/// Numbers that are summed in one call: one long call would stay with the engine's first
/// compiler.
const SUMMED: usize = 1 << 12;

#[inline(never)]
fn sum(values: &[f64]) -> f64 {
    values.iter().sum()
}

/// What all of a text came to.
enum Told {
    Read(Box<Read>),
    /// Its columns are of other kinds than was taken for granted.
    Kinds(Kinds),
    /// Not a table, as long as its cells are not told apart by blanks.
    Remade(LogError),
}

impl Known {
    fn whole() -> Known {
        Known { whole: true, ..Known::default() }
    }
}

/// The shape with the file's own numbers of lines.
fn below(mut shape: Shape, lines_before: u64) -> Shape {
    shape.data_line += lines_before;
    shape.header_line = shape.header_line.map(|line| line + lines_before);
    shape
}

impl Body {
    fn new(
        shape: Shape,
        kinds: Option<Kinds>,
        room: Option<Room>,
        by_the_crate: bool,
        text: &[u8],
    ) -> Self {
        let (headings, problems) = header::headings(&shape.header, &shape.units);
        let kinds =
            kinds.map_or_else(|| kinds::likely(&shape.sample, &headings), |Kinds(kinds)| kinds);
        let mut filler = Filler::new(kinds.clone(), shape.header.clone());
        filler.written_in(headings.iter().map(|heading| heading.unit).collect());
        if let Some(room) = room {
            filler.reserve(room.records, &room.filled);
        }
        let mut records = Records::new(filler, shape.delimiter, shape.data_line);
        if by_the_crate {
            records.by_the_crate();
        }
        let data = shape.data_at;
        let (spread, escapes) = (Spread::new(), None);
        let mut body = Body { shape, headings, problems, kinds, records, spread, escapes };
        body.feed(&text[data.min(text.len())..]);
        body
    }

    fn feed(&mut self, text: &[u8]) {
        let text = self.escapes.as_mut().map_or(text, |escapes| escapes.plain(text));
        self.records.feed(text);
        self.spread.feed(text);
    }

    fn told(mut self) -> Told {
        if let Some(escapes) = self.escapes.take() {
            self.feed(escapes.rest());
        }
        let Body { mut shape, headings, problems, kinds, records, spread, .. } = self;
        let table = records.finish();
        let further = spread.lines().filter_map(|line| sniff::sampled(line, &shape));
        let further: Vec<Vec<String>> = further.collect();
        shape.sample.extend(further);
        let wanted = kinds::kinds(&shape.sample, &headings);
        let mut read = kinds.iter().zip(&wanted).zip(&table.columns);
        if !read.all(|((read, wanted), column)| kinds::same(*read, *wanted, column)) {
            return Told::Kinds(Kinds(wanted));
        }
        Told::Read(Box::new(Read { shape, headings, kinds: wanted, problems, table }))
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
    /// There is more in the text than one plain table.
    fn wants_whole(&self) -> bool {
        self.table.odd.other_table.is_some() || long::layout(&self.shape, &self.headings).is_some()
    }

    /// The channels of the table. A long one needs its text once more for its names.
    fn part(
        self,
        file: &str,
        encoding: &str,
        text: Option<&str>,
        repeated: Repeated,
    ) -> Result<Part, LogError> {
        let Read { shape, headings, kinds, mut problems, mut table } = self;
        let named = shape.header_line.is_some();
        let slid = slid::find(&table);
        report::oddities(&table, &shape, slid.done, &mut problems);
        problems.extend(slid.problem);
        problems.extend(report::mixed_signs(&kinds, &headings));
        let slid = slid.records;
        let parts = arcs::join(&mut table, &headings, &kinds, &mut problems);
        let pace = pace::said(&shape.preamble);
        let is_long = long::layout(&shape, &headings).is_some();
        let said = Said { named, pace: pace.as_ref(), is_long };
        let mut clock = match time::find(file, &table, &headings, said) {
            Ok(clock) => clock,
            Err(error) => {
                table.reverse();
                let clock = time::find(file, &table, &headings, said).map_err(|_| error)?;
                problems.push(timeline::newest_first());
                clock
            }
        };
        let refused = report::scales(file, &table, &clock.used)
            .or_else(|| sources::refusal(file, &shape, &headings, &clock.used));
        if let Some(error) = refused {
            return Err(error);
        }
        for &record in &slid {
            clock.seconds.iter_mut().skip(record as usize).take(1).for_each(|t| *t = f64::NAN);
        }
        problems.extend(torn::problem(&table, &slid, &clock.used));
        let holes = holes::find(&table, &clock.used);
        problems.extend(holes::problem(&holes, &table.lines));
        for record in holes.iter().cloned().flatten() {
            clock.seconds.iter_mut().skip(record as usize).take(1).for_each(|t| *t = f64::NAN);
        }
        let again = again::find(&table, &clock.seconds);
        problems.extend(again::problem(&again, &table.lines));
        again.iter().for_each(|&record| clock.seconds[record] = f64::NAN);
        problems.extend(clock.problems.iter().cloned());
        let mut part = Part {
            raws: Vec::new(),
            first_s: 0.0,
            unix_base_s: clock.unix_base_s,
            is_wall_clock: clock.is_wall_clock,
            span_s: 0.0,
            rows: table.lines.len() as u64,
            names: headings.iter().map(|heading| heading.name.clone()).collect(),
            clock_found: clock.how.clone(),
            form_found: report::form_found(&shape, &kinds, encoding, &clock.how),
            problems,
            next: table.odd.other_table.clone(),
        };
        if let Some((layout, text)) = long::layout(&shape, &headings).zip(text)
            && let Some((raws, first_s)) =
                long::read(text, &shape, &table, &clock, layout, &mut part.problems)
        {
            let ends = raws.iter().filter_map(|raw| raw.series.time_s.last().copied());
            part.span_s = ends.fold(0.0, f64::max);
            part.form_found += ", one reading a line";
            (part.raws, part.first_s) = (raws, first_s);
            return Ok(part);
        }
        let places = Places { word: "line", at: &table.lines };
        let timeline = timeline::repair(clock.seconds.clone(), places, clock.is_wall_clock);
        let Some(timeline) = timeline else { return Err(no_times(file)) };
        // Why these have no time was said.
        let is_said = !slid.is_empty() || !holes.is_empty() || !again.is_empty();
        let said = |problem: &&Problem| !is_said || problem.code != "time_missing";
        part.problems.extend(timeline.problems.iter().filter(said).cloned());
        part.rows = timeline.time_s.iter().filter(|t| t.is_finite()).count() as u64;
        let span_s = timeline.time_s.iter().copied().filter(|t| t.is_finite()).fold(0.0, f64::max);
        let refused = refusals::standing_clock(file, &table, &clock, &headings, &timeline)
            .or_else(|| sorted::refusal(file, &table, &headings, span_s));
        if let Some(error) = refused {
            return Err(error);
        }
        if let Some(order) = &timeline.order {
            reorder(&mut table, order);
        }
        let blocks = groups::blocks(&table, &headings, &clock, timeline, &mut part.problems);
        part.first_s = blocks.first().map_or(0.0, |block| block.timeline.first_s);
        let satellite_speed = channels::names_satellite_source(&table, &headings);
        let columns =
            Columns { headings: &headings, clocks: &clock.columns, satellite_speed, repeated };
        let clocks = || blocks.iter().filter_map(|block| block.clock).chain(clock.columns.clone());
        let mut left: Vec<usize> = (0..table.columns.len()).collect();
        left.retain(|at| {
            !table.columns[*at].is_channel()
                && !clocks().chain(parts.iter().copied()).any(|other| other == *at)
        });
        part.problems.extend(left_out::columns(&table, &headings, &left));
        let beside: BTreeSet<usize> = clocks().filter(|at| !clock.used.contains(at)).collect();
        part.form_found += &left_out::clocks(&headings, &beside);
        for block in blocks {
            let times = block.timeline.time_s.iter().copied().filter(|t| t.is_finite());
            part.span_s = times.fold(part.span_s, f64::max);
            part.raws.extend(columns.read(&mut table, block, &mut part.problems));
        }
        Ok(part)
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
