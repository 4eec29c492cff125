//! GPX 1.0 and 1.1: a track of positions, times, and sometimes speeds.
//!
//! In: decoded text. Out: a [`Log`]. Speed is read where the file has it (an
//! element of GPX 1.0, an extension in 1.1, metres per second); else it is
//! derived from positions and marked so. Read as a stream of tags: no entity is
//! expanded and depth costs nothing. A file cut short keeps its points.

use std::borrow::Cow;

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::assemble::{self, Parts};
use super::clock::{self, DateOrder};
use super::raw::Raw;
use super::timeline::{self, Places};
use super::{Form, Log, LogError, Problem, Series, positions, units};
use crate::unit::by_symbol;

/// Names and units of what is kept, as places in [`Point::values`].
const COLUMNS: [(&str, &str); 5] =
    [("latitude", "°"), ("longitude", "°"), ("elevation", "m"), ("gps speed", "m/s"), ("HDOP", "")];
const LATITUDE: usize = 0;
const LONGITUDE: usize = 1;
const SPEED: usize = 3;

#[derive(Debug, Clone, Default)]
struct Point {
    line: u32,
    unix_s: Option<f64>,
    values: [Option<f64>; COLUMNS.len()],
}

pub fn is_gpx(text: &str) -> bool {
    let mut end = text.len().min(4096);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let head = &text[..end];
    // The root may carry the prefix of its namespace: <g:gpx>.
    let is_root = |(at, _): (usize, &str)| {
        let name = head[..at].rsplit('<').next().unwrap_or_default();
        name.is_empty() || name.ends_with(':') && !name.contains(|c: char| !is_name(c))
    };
    text.trim_start().starts_with('<') && head.match_indices("gpx").any(is_root)
}

/// A letter of a namespace prefix.
fn is_name(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, ':' | '_' | '-' | '.')
}

pub fn read(file: &str, text: &str) -> Result<Log, LogError> {
    let mut problems = Vec::new();
    let mut points = points(text, &mut problems);
    leave_out_doubles(&mut points, &mut problems);
    if points.iter().all(|point| point.values.iter().all(Option::is_none)) {
        let what = match points.len() {
            0 => "there is no track point in it.".to_owned(),
            all => format!("none of {all} track points has a position or a speed."),
        };
        return Err(LogError::at(file, "track", what, "Export the track as it was recorded."));
    }
    if let Some(error) = beyond_poles(file, &points) {
        return Err(error);
    }
    let seconds = points.iter().map(|point| point.unix_s.unwrap_or(f64::NAN)).collect();
    let lines: Vec<u32> = points.iter().map(|point| point.line).collect();
    let places = Places { word: "line", at: &lines };
    let Some(timeline) = timeline::repair(seconds, places, true) else {
        return Err(too_few_times(file, points.len(), 0));
    };
    let (rising, repeats) = timeline.rising(places);
    if rising < 2 {
        return Err(too_few_times(file, points.len(), rising));
    }
    problems.extend(timeline.problems.iter().cloned().chain(repeats));
    let columns = 0..COLUMNS.len();
    let mut raws: Vec<Raw> = columns.filter_map(|column| raw(&points, column, &timeline)).collect();
    problems.extend(speed_by_positions(&mut raws));
    let times = || timeline.time_s.iter().copied().filter(|t| t.is_finite());
    Ok(assemble::log(Parts {
        file,
        form: Form::Gpx,
        raws,
        span_s: times().fold(0.0, f64::max),
        rows: points.len() as u64,
        began_unix_s: Some(timeline.first_s),
        clock_began_s: None,
        header_key: super::header_key(COLUMNS.iter().map(|(name, _)| *name)),
        form_found: format!("GPX, {} track points", points.len()),
        problems,
    }))
}

/// A point that stands there twice was written twice. One that stands there over and over
/// is another fault.
fn leave_out_doubles(points: &mut Vec<Point>, problems: &mut Vec<Problem>) {
    let is_double = |next: &Point, last: &Point| {
        next.unix_s.is_some() && next.unix_s == last.unix_s && next.values == last.values
    };
    let doubles = points.windows(2).filter(|pair| is_double(&pair[1], &pair[0])).count();
    if doubles == 0 || doubles * 2 > points.len() {
        return;
    }
    points.dedup_by(|next, last| is_double(next, last));
    let text = format!("{doubles} track points stand there twice; one of each was read.");
    problems.push(Problem { code: "twice", text });
}

fn too_few_times(file: &str, points: usize, times: usize) -> LogError {
    let what = format!(
        "the track points number {points} and the times among them {times}; a drive needs at least \
         two of each."
    );
    let remedy = "Export the track as recorded, with its times; a planned route has none.";
    LogError::at(file, "track", what, remedy)
}

/// All track points in file order, as far as the file can be read.
fn points(text: &str, problems: &mut Vec<Problem>) -> Vec<Point> {
    let mut reader = Reader::from_str(text);
    let mut lines = Lines { text, at: 0, line: 1 };
    let mut points: Vec<Point> = Vec::new();
    let mut inside = false;
    let mut open = 0usize;
    // A field counts once its element is closed: what a cut file ends in may lack digits.
    let mut field = None;
    let mut unit = None;
    let mut written = String::new();
    loop {
        let at = reader.buffer_position() as usize;
        match reader.read_event() {
            Ok(Event::Start(tag)) if tag.local_name().as_ref() == "trkpt" => {
                points.push(point(&tag, lines.at(at)));
                inside = true;
                open += 1;
            }
            Ok(Event::Empty(tag)) if tag.local_name().as_ref() == "trkpt" => {
                points.push(point(&tag, lines.at(at)));
            }
            Ok(Event::Start(tag)) => {
                field = field_of(tag.local_name().as_ref()).filter(|_| inside);
                unit = unit_of(&tag);
                written.clear();
                open += 1;
            }
            Ok(Event::Text(value)) if field.is_some() => written.push_str(value.as_ref()),
            Ok(Event::CData(value)) if field.is_some() => written.push_str(value.as_ref()),
            Ok(Event::End(tag)) => {
                if let (Some(field), Some(point)) = (field.take(), points.last_mut()) {
                    point.set(field, &written, unit.take());
                }
                inside &= tag.local_name().as_ref() != "trkpt";
                open = open.saturating_sub(1);
            }
            Ok(Event::Eof) if open == 0 => return points,
            Ok(Event::Eof) | Err(_) => {
                let line = lines.at(at);
                let text = format!(
                    "Line {line}: the file is cut short or damaged; what came before was read."
                );
                problems.push(Problem { code: "cut_short", text });
                return points;
            }
            Ok(_) => {}
        }
    }
}

/// Counts lines up to rising positions.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: u32,
}

impl Lines<'_> {
    fn at(&mut self, position: usize) -> u32 {
        let to = position.clamp(self.at, self.text.len());
        let passed = &self.text.as_bytes()[self.at..to];
        self.line += passed.iter().filter(|&&b| b == b'\n').count() as u32;
        self.at = to;
        self.line
    }
}

#[derive(Clone, Copy)]
enum Field {
    Time,
    Value(usize),
}

fn field_of(tag: &str) -> Option<Field> {
    Some(match tag {
        "time" => Field::Time,
        "ele" => Field::Value(2),
        "speed" | "Speed" => Field::Value(SPEED),
        "hdop" => Field::Value(4),
        _ => return None,
    })
}

/// The unit that an element says of itself: `<speed uom="km/h">`.
fn unit_of(tag: &BytesStart) -> Option<String> {
    let says = |key: &str| matches!(key, "unit" | "units" | "uom");
    for attribute in tag.attributes().with_checks(false).flatten() {
        if says(attribute.key.as_ref()) {
            return Some(attribute.value.trim_ascii().to_owned());
        }
    }
    None
}

fn point(tag: &BytesStart, line: u32) -> Point {
    let mut point = Point { line, ..Point::default() };
    for attribute in tag.attributes().with_checks(false).flatten() {
        let value = number(plain(attribute.value.trim_ascii()).as_bytes());
        match attribute.key.as_ref() {
            "lat" => point.values[LATITUDE] = value,
            "lon" => point.values[LONGITUDE] = value,
            _ => {}
        }
    }
    point
}

/// Signs written by their number, `&#52;` or `&#x34;`, as some writers of XML do.
fn plain(text: &str) -> Cow<'_, str> {
    if !text.contains("&#") {
        return text.into();
    }
    let mut parts = text.split("&#");
    let mut plain = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (number, rest) = part.split_once(';').unwrap_or((part, ""));
        let code = match number.strip_prefix(['x', 'X']) {
            Some(hex) => u32::from_str_radix(hex, 16).ok(),
            None => number.parse().ok(),
        };
        plain.extend(code.and_then(char::from_u32));
        plain.push_str(rest);
    }
    plain.into()
}

impl Point {
    fn set(&mut self, field: Field, text: &str, unit: Option<String>) {
        let text = text.trim_ascii().as_bytes();
        match field {
            Field::Time => self.unix_s = unix_s(text).or(self.unix_s),
            Field::Value(column) => {
                let value = number(text).and_then(|value| in_own_unit(column, value, unit));
                self.values[column] = value.or(self.values[column]);
            }
        }
    }
}

/// A value in its column's unit. One that is said to be in a unit of another kind, or in
/// none that is known, is no value.
fn in_own_unit(column: usize, value: f64, unit: Option<String>) -> Option<f64> {
    let own = by_symbol(COLUMNS[column].1);
    match unit {
        None => Some(value),
        Some(said) => units::spelled(&said)
            .filter(|said| own.is_some_and(|own| own.quantity == said.quantity))
            .map(|said| own.map_or(value, |own| own.written(said.inside(value)))),
    }
}

/// A finite number; programs that follow their country's habit write `48,1`.
fn number(text: &[u8]) -> Option<f64> {
    let point: Vec<u8> = text.iter().map(|&b| if b == b',' { b'.' } else { b }).collect();
    fast_float2::parse::<f64, _>(&point).ok().filter(|value| value.is_finite())
}

fn unix_s(text: &[u8]) -> Option<f64> {
    let stamp = clock::parse(text)?;
    let midnight = stamp.date?.unix_s(DateOrder::YearMonthDay)?;
    Some(midnight + stamp.time?.seconds - stamp.zone_s.unwrap_or(0.0))
}

/// A speed that is not in m/s, though the form says so, is told by the positions: it is
/// so many times the speed from one to the next all the way.
fn speed_by_positions(raws: &mut [Raw]) -> Option<Problem> {
    /// Below, positions are too coarse to tell.
    const LEAST_MPS: f64 = 5.0;
    const FEWEST: usize = 10;
    const SAME_SHARE: f64 = 0.05;
    let of = |column: usize| raws.iter().position(|raw| raw.name == COLUMNS[column].0);
    let (lat, lon, speed) = (of(LATITUDE)?, of(LONGITUDE)?, of(SPEED)?);
    let (lat, lon) = (&raws[lat].series, &raws[lon].series);
    let own = positions::between(&lat.time_s, &lat.value, &lon.value);
    let moving = own.time_s.iter().zip(&own.value).filter(|(_, own)| **own > LEAST_MPS);
    let ratio = |(t, own): (&f64, &f64)| Some(raws[speed].series.at(*t)? / own);
    let mut ratios: Vec<f64> = moving.filter_map(ratio).collect();
    ratios.sort_by(f64::total_cmp);
    let ratio = ratios.get(ratios.len() / 2).filter(|_| ratios.len() >= FEWEST)?;
    let unit = ["km/h", "mph", "kn"].into_iter().filter_map(by_symbol);
    let unit = unit.into_iter().find(|unit| (ratio * unit.factor - 1.0).abs() < SAME_SHARE)?;
    raws[speed].unit = Some(unit);
    let text = format!(
        "The speeds of the track are {ratio:.2} times those between its positions: they were taken as \
         {}, not as m/s.",
        unit.symbol
    );
    Some(Problem { code: "unit_guessed", text })
}

/// Most latitudes beyond a pole are no latitudes: the two were exchanged. Speeds of the
/// track's own are as good without.
fn beyond_poles(file: &str, points: &[Point]) -> Option<LogError> {
    if points.iter().any(|point| point.values[SPEED].is_some()) {
        return None;
    }
    let latitudes =
        || points.iter().filter_map(|point| Some((point.line, point.values[LATITUDE]?)));
    let beyond = latitudes().filter(|(_, degrees)| degrees.abs() > 90.0).count();
    let (line, first) = latitudes().find(|(_, degrees)| degrees.abs() > 90.0)?;
    (beyond * 2 > latitudes().count()).then(|| {
        let what = format!("a latitude of {first}° is beyond the pole, as are most.");
        let remedy = "Latitude and longitude may be exchanged: export the track again.";
        LogError::at(file, format!("line {line}"), what, remedy)
    })
}

fn raw(points: &[Point], column: usize, timeline: &timeline::Timeline) -> Option<Raw> {
    let (mut time_s, mut value) = (Vec::new(), Vec::new());
    for (place, &t) in timeline.time_s.iter().enumerate() {
        let at = timeline.order.as_ref().map_or(place, |order| order[place]);
        let Some(reading) = points.get(at).and_then(|point| point.values[column]) else { continue };
        if t > time_s.last().copied().unwrap_or(f64::NEG_INFINITY) {
            time_s.push(t);
            value.push(reading);
        }
    }
    let (name, symbol) = COLUMNS[column];
    let series = Series { time_s: time_s.into(), value };
    (!series.is_empty()).then(|| Raw::new(name, by_symbol(symbol), series))
}
