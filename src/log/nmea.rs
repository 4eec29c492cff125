//! NMEA 0183: what a satellite receiver says, sentence by sentence.
//!
//! In: decoded text with `$xxRMC`, `VTG`, `GGA`, `GNS`, `ZDA` sentences among
//! comments and others. Out: a [`Log`] with speed over ground, position, height.
//! A sentence with a wrong checksum is counted and never used; a void fix gives no
//! reading. The nmea crate reads the sentences.

mod dates;
mod gns;
pub mod noise;
mod older;
mod receivers;
mod stamps;
mod sums;

use nmea::sentences::rmc::RmcStatusOfFix;
use nmea::sentences::{FixType, GgaData, GllData, RmcData, VtgData, ZdaData};
use nmea::{Error, ParseResult};

use self::gns::Gns;
use self::receivers::Place;
use self::sums::{Habit, with_sum};
use super::assemble::{self, Parts};
use super::clock::{self, DateOrder};
use super::raw::Raw;
use super::timeline::{self, Places};
use super::{Form, Log, LogError, Problem, Series};
use crate::unit::by_symbol;

/// All that was said of one instant.
#[derive(Debug, Clone, Default, PartialEq)]
struct Epoch {
    line: u32,
    /// Seconds of the UTC day.
    of_day_s: f64,
    /// Midnight before, in Unix seconds.
    midnight_s: Option<f64>,
    /// Talker and kind of every sentence that told of it.
    heads: Vec<String>,
    /// Columns in the order of [`COLUMNS`].
    values: [Option<f64>; COLUMNS.len()],
}

/// Names and units of what is kept, as places in [`Epoch::values`].
const COLUMNS: [(&str, &str); 7] = [
    ("speed over ground", "kn"),
    ("latitude", "°"),
    ("longitude", "°"),
    ("altitude", "m"),
    ("course over ground", "°"),
    ("satellites", ""),
    ("HDOP", ""),
];
const SPEED: usize = 0;
const LATITUDE: usize = 1;
const LONGITUDE: usize = 2;
const ALTITUDE: usize = 3;
const COURSE: usize = 4;
const SATELLITES: usize = 5;
const HDOP: usize = 6;

/// Whether a text is such a log: most of its first lines that are no comments are sentences.
pub fn is_nmea(text: &str) -> bool {
    let (sentences, lines) = sentences_in_head(text);
    sentences > 0 && sentences * 2 > lines
}

/// The same of the first whole lines of a longer text; `None` where they are too few.
pub fn told(head: &str) -> Option<bool> {
    (sentences_in_head(head).1 == HEAD_LINES).then(|| is_nmea(head))
}

/// Lines from which the form is told.
const HEAD_LINES: usize = 50;

fn sentences_in_head(text: &str) -> (usize, usize) {
    let lines = text.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#'));
    let head: Vec<&str> = lines.take(HEAD_LINES).collect();
    // Sentences of others count where one that is read stands among them.
    let any = head.iter().any(|line| sentence(line).is_some());
    (head.iter().filter(|line| any && is_sentence(line)).count(), head.len())
}

/// Any sentence, also a maker's own (`$PUBX,`) and those of other radios (`!AIVDM,`).
fn is_sentence(line: &str) -> bool {
    let head = line.strip_prefix('!').or_else(|| line.strip_prefix("$P"));
    let named = head.and_then(|head| head.split_once(',')).is_some_and(|(name, _)| {
        (2..=8).contains(&name.len()) && name.bytes().all(|b| b.is_ascii_alphanumeric())
    });
    named || sentence(line).is_some()
}

/// The sentence in a line, which may have a receiver's or logger's stamp in front.
fn sentence(line: &str) -> Option<&str> {
    let start = line.find('$')?;
    let sentence = line[start..].trim_end();
    let head = sentence.get(1..6)?;
    (head.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
        && sentence.as_bytes().get(6) == Some(&b','))
    .then_some(sentence)
}

pub fn read(file: &str, text: &str) -> Result<Log, LogError> {
    let positions = ["RMC", "GGA", "GNS"];
    let is_position =
        |line: &str| sentence(line).is_some_and(|said| positions.contains(&&said[3..6]));
    let mut reader = Reader { by_gll: !text.lines().any(is_position), ..Reader::default() };
    let sums = Habit::of(text.lines().flat_map(one_by_one).filter_map(sentence));
    for (index, line) in text.lines().enumerate() {
        let number = index as u32 + 1;
        for sentence in one_by_one(line).filter_map(sentence) {
            reader.sentence(sentence, &sums, number);
        }
        let line = line.trim();
        if !line.is_empty() && !line.starts_with('#') && !one_by_one(line).any(is_sentence) {
            count(&mut reader.strange, number);
        }
    }
    if reader.epochs.is_empty() {
        return Err(reader.no_fix(file));
    }
    reader.log(file)
}

/// Sentences that ran together on a line: each begins with its sign.
fn one_by_one(line: &str) -> impl Iterator<Item = &str> {
    let begins = line.match_indices('$').map(|(at, _)| at).filter(|at| *at > 0);
    let mut ends: Vec<usize> = begins.chain([line.len()]).collect();
    ends.sort_unstable();
    let mut from = 0;
    ends.into_iter().map(move |end| &line[std::mem::replace(&mut from, end)..end])
}

#[derive(Default)]
struct Reader {
    epochs: Vec<Epoch>,
    sentences: u64,
    wrong_checksum: (u64, u32),
    garbled: (u64, u32),
    /// Sentences without the checksum that others of their kind carry.
    lost_sum: (u64, u32),
    /// Sentences that tell otherwise of an instant than another talker's.
    contradicted: (u64, u32),
    /// Lines that hold no sentence.
    strange: (u64, u32),
    void: u64,
    /// Sentences that carry no checksum.
    unsummed: u64,
    /// No other sentence gives a position.
    by_gll: bool,
    /// Speeds of VTG, kept apart: they count only where no RMC gives one.
    vtg_speed: Vec<(usize, f64)>,
    /// Talker and kind of the sentence that is read.
    head: String,
    /// The epoch that the last sentence was of.
    current: Option<usize>,
}

impl Reader {
    fn sentence(&mut self, sentence: &str, sums: &Habit, line: u32) {
        self.sentences += 1;
        sentence.get(1..6).unwrap_or_default().clone_into(&mut self.head);
        let summed = with_sum(sentence);
        if summed.is_some() && sums.wants(sentence) {
            count(&mut self.lost_sum, line);
            return;
        }
        self.unsummed += u64::from(summed.is_some());
        let summed = older::in_full(summed.as_deref().unwrap_or(sentence)).or(summed);
        match nmea::parse_str(summed.as_deref().unwrap_or(sentence)) {
            Ok(ParseResult::RMC(rmc)) => self.rmc(&rmc, line),
            Ok(ParseResult::GGA(gga)) => self.gga(&gga, line),
            Ok(ParseResult::GNS(data)) => self.gns(Gns::of(&data), line),
            Ok(ParseResult::VTG(vtg)) => self.vtg(&vtg, sentence),
            Ok(ParseResult::ZDA(zda)) => self.zda(&zda, line),
            Ok(ParseResult::GLL(gll)) if self.by_gll => self.gll(&gll, line),
            Ok(_) | Err(Error::DisabledSentence) => {}
            Err(Error::ChecksumMismatch { .. }) => count(&mut self.wrong_checksum, line),
            Err(_) if let Some(gns) = Gns::parsed(sentence) => self.gns(Some(gns), line),
            // Only sentences that would have been used are worth a word.
            Err(_) if is_used(sentence) => count(&mut self.garbled, line),
            Err(_) => {}
        }
    }

    /// The epoch of an instant and, of two receivers that write into one file, of a place;
    /// of readings that share a stamp without a fraction, each has its own (see `stamps`).
    fn at(&mut self, of_day_s: f64, line: u32, place: Option<Place>) -> &mut Epoch {
        let is_same = |epoch: &Epoch| {
            (epoch.of_day_s - of_day_s).abs() < 5e-4 && !receivers::is_elsewhere(epoch, place)
        };
        let lately = self.epochs.len().saturating_sub(receivers::MOST);
        let same = self.epochs[lately..].iter().rposition(is_same).map(|at| lately + at);
        let same = same.filter(|&at| !stamps::is_next(&self.epochs[at], &self.head));
        let at = same.unwrap_or(self.epochs.len());
        if same.is_none() {
            self.epochs.push(Epoch { line, of_day_s, ..Epoch::default() });
        }
        self.current = Some(at);
        let epoch = &mut self.epochs[at];
        epoch.heads.push(self.head.clone());
        epoch
    }

    fn rmc(&mut self, rmc: &RmcData, line: u32) {
        let valid = rmc.status_of_fix != RmcStatusOfFix::Invalid;
        let (Some(time), true) = (rmc.fix_time.and_then(of_day_s), valid) else {
            self.void += 1;
            return;
        };
        let epoch = self.at(time, line, rmc.lat.zip(rmc.lon));
        epoch.midnight_s = rmc.fix_date.and_then(midnight_s).or(epoch.midnight_s);
        let speed = rmc.speed_over_ground.map(decimal);
        if receivers::is_of_another(epoch) {
            if receivers::tells_other(epoch, speed, rmc.lat.zip(rmc.lon)) {
                count(&mut self.contradicted, line);
            }
            return;
        }
        epoch.values[SPEED] = speed;
        epoch.values[COURSE] = rmc.true_course.map(decimal);
        epoch.values[LATITUDE] = rmc.lat.or(epoch.values[LATITUDE]);
        epoch.values[LONGITUDE] = rmc.lon.or(epoch.values[LONGITUDE]);
    }

    fn gga(&mut self, gga: &GgaData, line: u32) {
        let fixed = !matches!(gga.fix_type, None | Some(FixType::Invalid));
        let (Some(time), true) = (gga.fix_time.and_then(of_day_s), fixed) else { return };
        let epoch = self.at(time, line, gga.latitude.zip(gga.longitude));
        epoch.values[LATITUDE] = gga.latitude.or(epoch.values[LATITUDE]);
        epoch.values[LONGITUDE] = gga.longitude.or(epoch.values[LONGITUDE]);
        epoch.values[ALTITUDE] = gga.altitude.map(decimal);
        epoch.values[SATELLITES] = gga.fix_satellites.map(f64::from);
        epoch.values[HDOP] = gga.hdop.map(decimal);
    }

    /// The position alone, where nothing else tells it.
    fn gll(&mut self, gll: &GllData, line: u32) {
        let (Some(time), true) = (gll.fix_time.and_then(of_day_s), gll.valid) else {
            self.void += 1;
            return;
        };
        let epoch = self.at(time, line, gll.latitude.zip(gll.longitude));
        epoch.values[LATITUDE] = epoch.values[LATITUDE].or(gll.latitude);
        epoch.values[LONGITUDE] = epoch.values[LONGITUDE].or(gll.longitude);
    }

    fn gns(&mut self, gns: Option<Gns>, line: u32) {
        let Some(gns) = gns else { return };
        let epoch = self.at(gns.of_day_s, line, Some(gns.place));
        epoch.values[LATITUDE] = Some(gns.place.0);
        epoch.values[LONGITUDE] = Some(gns.place.1);
        epoch.values[ALTITUDE] = gns.altitude_m.or(epoch.values[ALTITUDE]);
        epoch.values[SATELLITES] = gns.satellites.or(epoch.values[SATELLITES]);
        epoch.values[HDOP] = gns.hdop.or(epoch.values[HDOP]);
    }

    fn vtg(&mut self, vtg: &VtgData, sentence: &str) {
        let speed_kn = vtg.speed_over_ground.map(decimal).or_else(|| kmh_in_kn(sentence));
        if let (Some(speed), Some(last)) = (speed_kn, self.current) {
            self.vtg_speed.push((last, speed));
        }
    }

    fn zda(&mut self, zda: &ZdaData, line: u32) {
        let date = zda.utc_date().and_then(midnight_s);
        if let (Some(time), Some(date)) = (zda.utc_time.and_then(of_day_s), date) {
            self.at(time, line, None).midnight_s = Some(date);
        }
    }

    fn no_fix(&self, file: &str) -> LogError {
        let (all, void, wrong) = (self.sentences, self.void, self.wrong_checksum.0);
        let what = format!(
            "none of {all} sentences gives a position or a speed (no fix: {void}, wrong checksum: \
             {wrong})."
        );
        let remedy = match (void, wrong) {
            (0, 1..) => "The file was damaged on its way: copy it again from the receiver.",
            (1.., _) => "Wait until the receiver has a fix, then log.",
            _ => "Log RMC sentences, or GGA and VTG.",
        };
        LogError::at(file, "sentences", what, remedy)
    }

    fn log(mut self, file: &str) -> Result<Log, LogError> {
        if self.epochs.iter().all(|epoch| epoch.values[SPEED].is_none()) {
            for &(at, speed) in &self.vtg_speed {
                self.epochs[at].values[SPEED] = Some(speed);
            }
        }
        // A date sentence alone is no reading.
        self.epochs.retain(|epoch| epoch.values.iter().any(Option::is_some));
        stamps::merge_repeats(&mut self.epochs);
        let dated = dates::fill(&mut self.epochs);
        let mixed = receivers::keep_one(&mut self.epochs);
        let seconds =
            self.epochs.iter().map(|e| e.midnight_s.unwrap_or(0.0) + e.of_day_s).collect();
        let lines: Vec<u32> = self.epochs.iter().map(|epoch| epoch.line).collect();
        let places = Places { word: "line", at: &lines };
        let Some(timeline) = timeline::repair(seconds, places, dated) else {
            return Err(self.no_fix(file));
        };
        let (rising, repeats) = timeline.rising(places);
        if rising < 2 {
            let what = format!("the {} sentences are all of one instant.", self.sentences);
            return Err(LogError::at(file, "sentences", what, "Open a longer log."));
        }
        let mut problems = self.problems();
        problems.extend(mixed);
        problems.extend(timeline.problems.iter().cloned().chain(repeats));
        let raws = (0..COLUMNS.len()).filter_map(|column| self.raw(column, &timeline)).collect();
        let times = || timeline.time_s.iter().copied().filter(|t| t.is_finite());
        Ok(assemble::log(Parts {
            file,
            form: Form::Nmea,
            raws,
            span_s: times().fold(0.0, f64::max),
            rows: self.sentences,
            began_unix_s: dated.then_some(timeline.first_s),
            clock_began_s: None,
            header_key: super::header_key(COLUMNS.iter().map(|(name, _)| *name)),
            form_found: format!("NMEA 0183, {} sentences", self.sentences),
            problems,
        }))
    }

    fn raw(&self, column: usize, timeline: &timeline::Timeline) -> Option<Raw> {
        let (mut time_s, mut value) = (Vec::new(), Vec::new());
        for (place, &t) in timeline.time_s.iter().enumerate() {
            let at = timeline.order.as_ref().map_or(place, |order| order[place]);
            let Some(reading) = self.epochs[at].values[column] else { continue };
            if t > time_s.last().copied().unwrap_or(f64::NEG_INFINITY) {
                time_s.push(t);
                value.push(reading);
            }
        }
        let (name, symbol) = COLUMNS[column];
        let series = Series { time_s: time_s.into(), value };
        (!series.is_empty()).then(|| Raw::new(name, by_symbol(symbol), series))
    }

    fn problems(&self) -> Vec<Problem> {
        let counted = [
            (self.wrong_checksum, "checksum", "Sentences with a wrong checksum"),
            (self.garbled, "sentence_garbled", "Sentences that cannot be read"),
            (
                self.lost_sum,
                "checksum_lost",
                "Sentences without the checksum that the others of their kind carry",
            ),
            (self.strange, "line_strange", "Lines that are no sentences"),
        ];
        let mut problems: Vec<Problem> = counted
            .into_iter()
            .filter(|((count, _), ..)| *count > 0)
            .map(|((count, line), code, what)| Problem {
                code,
                text: format!("{what}, which were not used: {count}, the first in line {line}."),
            })
            .collect();
        problems.extend(receivers::contradiction(self.contradicted));
        if self.unsummed > 0 {
            let text = format!(
                "{} sentences carry no checksum; they were used, and damage in them cannot be seen.",
                self.unsummed
            );
            problems.push(Problem { code: "no_checksum", text });
        }
        if self.void > 0 {
            let text = format!("{} RMC sentences say that there was no fix.", self.void);
            problems.push(Problem { code: "no_fix", text });
        }
        problems
    }
}

fn count((count, first): &mut (u64, u32), line: u32) {
    *count += 1;
    if *count == 1 {
        *first = line;
    }
}

fn is_used(sentence: &str) -> bool {
    ["RMC", "GGA", "GNS", "VTG", "ZDA"].iter().any(|kind| sentence.get(3..6) == Some(kind))
}

/// The speed of a VTG sentence that gives it in km/h alone, in knots.
fn kmh_in_kn(sentence: &str) -> Option<f64> {
    const KMH_FIELD: usize = 7;
    const KMH_PER_KNOT: f64 = 1.852;
    let kmh = sentence.split([',', '*']).nth(KMH_FIELD)?.trim().parse::<f64>().ok()?;
    kmh.is_finite().then_some(kmh / KMH_PER_KNOT)
}

/// The decimal number that was written, not its nearest single-precision one.
fn decimal(value: f32) -> f64 {
    value.to_string().parse().unwrap_or(f64::from(value))
}

/// Seconds of the day of one of the crate's times, through its text: no calendar
/// crate is named here for one type.
fn of_day_s(time: impl std::fmt::Display) -> Option<f64> {
    Some(clock::parse(time.to_string().as_bytes())?.time?.seconds)
}

/// Unix seconds of the midnight before one of the crate's dates.
fn midnight_s(date: impl std::fmt::Display) -> Option<f64> {
    clock::parse(date.to_string().as_bytes())?.date?.unix_s(DateOrder::YearMonthDay)
}
