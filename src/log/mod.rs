//! A log: what a recorder wrote down, as channels of fresh readings.
//!
//! In: the bytes of one file and its name. Out: a [`Log`], or a [`LogError`]
//! that says which file, where in it, and what to do. What is merely odd becomes
//! a [`Problem`] inside the log, so that nobody can drop it on the way.
//!
//! Invariants: every channel holds only readings that were *fresh* when written
//! (a logger that repeats an old value in every row adds nothing), with strictly
//! rising times in seconds from the first record, and finite values in the units
//! of [`crate::unit`]. A blank cell is absent; it is never a zero.

pub mod align;
mod assemble;
mod axes;
mod clock;
mod codes;
pub mod correct;
mod cross;
mod csv;
mod decoder;
mod eastern;
mod foreign;
mod fresh;
mod gauge;
mod gearing;
mod gpx;
mod grid;
mod health;
mod infer;
mod labels;
mod leaps;
pub mod limits;
#[cfg(test)]
pub mod made;
mod mdf4;
mod minutes;
mod named;
mod names;
mod nmea;
mod ordinal;
mod plain;
mod plausible;
mod positions;
mod printed;
mod raw;
pub mod reading;
mod refuted;
mod rivals;
mod roles;
mod spoken;
mod strays;
mod summer_time;
mod swapped;
mod text;
mod thousand;
mod timeline;
mod units;
pub mod unpack;
mod wanted;
mod zones;

pub use self::named::named_like;
use std::sync::Arc;

use self::fresh::Repeated;
use self::reading::{Ended, Reading};
use crate::unit::Unit;

/// One file's recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// The file's name as given, with no folder.
    pub name: String,
    pub form: Form,
    /// From the first record to the last.
    pub span_s: f64,
    pub rows: u64,
    /// Unix time of the first record, where the log tells it; a clock that names no
    /// zone is taken as UTC.
    pub began_unix_s: Option<f64>,
    /// What the table's own clock says at the first record, in seconds: files that a logger
    /// went on in count through.
    pub clock_began_s: Option<f64>,
    pub channels: Vec<Channel>,
    pub problems: Vec<Problem>,
    /// Equal for logs with the same header: what corrections are remembered by.
    pub header_key: String,
    /// How the form was found, in one line: delimiter, decimal sign, header line.
    pub form_found: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    Csv,
    Mdf4,
    Nmea,
    Gpx,
}

impl Form {
    /// The name in the sheet's JSON.
    pub fn code(self) -> &'static str {
        match self {
            Form::Csv => "csv",
            Form::Mdf4 => "mdf4",
            Form::Nmea => "nmea",
            Form::Gpx => "gpx",
        }
    }
}

/// One measured quantity over time.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// As the file names it, unit taken off.
    pub name: String,
    pub role: Option<Role>,
    /// `None` when neither the file nor the values tell; values are then as written.
    pub unit: Option<Unit>,
    /// One line: how role and unit were decided ("named so; km/h because …").
    pub how: String,
    /// Computed from other channels (speed from positions), not recorded.
    pub derived: bool,
    pub series: Series,
    /// Fresh readings a second while the channel was written, holes left out. `None` under two.
    pub rate_hz: Option<f64>,
    /// The smallest step the values move in, `None` if they are not stepped.
    pub resolution: Option<f64>,
}

/// Fresh readings, times strictly rising from the log's first record.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Shared between channels that were written in the same rows.
    pub time_s: Arc<[f64]>,
    pub value: Vec<f64>,
}

/// What a channel is to the findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    VehicleSpeed,
    EngineSpeed,
    Throttle,
    Pedal,
    Brake,
    Gear,
    LongitudinalAcceleration,
    SatelliteSpeed,
    UndrivenWheelSpeed,
    WheelSpeedFrontLeft,
    WheelSpeedFrontRight,
    WheelSpeedRearLeft,
    WheelSpeedRearRight,
    /// Air on its way in, before any compressor (at the air filter).
    InletAir,
    /// Air after compressor and cooler. Never the same as [`Role::InletAir`].
    ChargeAir,
    /// Air after the compressor, before the cooler.
    CompressorOutletAir,
    AmbientAir,
    Coolant,
    /// The coolant of the charge cooler's own loop.
    ChargeCoolant,
    ManifoldPressure,
    BarometricPressure,
    RelativeHumidity,
    Latitude,
    Longitude,
    Altitude,
}

/// Something odd that did not stop the reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Short and fixed, for example `gap`, `unit_guessed`, `clock_back`.
    pub code: &'static str,
    /// A full sentence with place and numbers.
    pub text: String,
}

impl Role {
    /// Every role with its fixed name in JSON and day files.
    pub const ALL: [(Role, &'static str); 25] = [
        (Role::VehicleSpeed, "vehicle_speed"),
        (Role::EngineSpeed, "engine_speed"),
        (Role::Throttle, "throttle"),
        (Role::Pedal, "pedal"),
        (Role::Brake, "brake"),
        (Role::Gear, "gear"),
        (Role::LongitudinalAcceleration, "longitudinal_acceleration"),
        (Role::SatelliteSpeed, "satellite_speed"),
        (Role::UndrivenWheelSpeed, "undriven_wheel_speed"),
        (Role::WheelSpeedFrontLeft, "wheel_speed_front_left"),
        (Role::WheelSpeedFrontRight, "wheel_speed_front_right"),
        (Role::WheelSpeedRearLeft, "wheel_speed_rear_left"),
        (Role::WheelSpeedRearRight, "wheel_speed_rear_right"),
        (Role::InletAir, "inlet_air"),
        (Role::ChargeAir, "charge_air"),
        (Role::CompressorOutletAir, "compressor_outlet_air"),
        (Role::AmbientAir, "ambient_air"),
        (Role::Coolant, "coolant"),
        (Role::ChargeCoolant, "charge_coolant"),
        (Role::ManifoldPressure, "manifold_pressure"),
        (Role::BarometricPressure, "barometric_pressure"),
        (Role::RelativeHumidity, "relative_humidity"),
        (Role::Latitude, "latitude"),
        (Role::Longitude, "longitude"),
        (Role::Altitude, "altitude"),
    ];

    /// The name in JSON and day files.
    pub fn code(self) -> &'static str {
        Self::ALL.iter().find(|(role, _)| *role == self).map_or("", |(_, code)| code)
    }

    pub fn from_code(code: &str) -> Option<Role> {
        Self::ALL.iter().find(|(_, known)| *known == code).map(|(role, _)| *role)
    }
}

/// The code of the problem that no line names the columns.
const HEADLESS: &str = "header_missing";

impl Log {
    /// Whether no line of the file names its columns.
    pub fn is_headless(&self) -> bool {
        self.says(HEADLESS)
    }

    /// Whether a problem of this code was found.
    pub fn says(&self, code: &str) -> bool {
        self.problems.iter().any(|problem| problem.code == code)
    }

    /// The best channel in a role: the first that the reading put there.
    pub fn channel(&self, role: Role) -> Option<&Channel> {
        self.channels.iter().find(|channel| channel.role == Some(role))
    }

    /// The readings in a role, absent when there are none.
    pub fn series(&self, role: Role) -> Option<&Series> {
        self.channel(role).map(|channel| &channel.series).filter(|series| !series.is_empty())
    }
}

impl Series {
    pub fn is_empty(&self) -> bool {
        self.value.is_empty()
    }

    pub fn len(&self) -> usize {
        self.value.len()
    }

    /// Keeps the readings of which `is_kept` is true. Out: how many were left out.
    fn keep(&mut self, is_kept: impl Fn(f64) -> bool) -> usize {
        let before = self.value.len();
        let times = self.time_s.iter().zip(&self.value).filter(|(_, value)| is_kept(**value));
        self.time_s = times.map(|(t, _)| *t).collect();
        self.value.retain(|value| is_kept(*value));
        before - self.value.len()
    }

    /// Leaves out the readings at these places, which rise.
    fn leave_out(&mut self, places: &[usize]) {
        let kept = |at: &usize| places.binary_search(at).is_err();
        let all = || (0..self.value.len()).filter(kept);
        let (time_s, value) = (all().map(|at| self.time_s[at]), all().map(|at| self.value[at]));
        (self.time_s, self.value) = (time_s.collect(), value.collect());
    }

    /// Index of the first reading at or after a time.
    pub fn first_at(&self, time_s: f64) -> usize {
        self.time_s.partition_point(|&t| t < time_s)
    }

    /// The readings with `from_s <= time <= to_s`, as times and values.
    pub fn between(&self, from_s: f64, to_s: f64) -> (&[f64], &[f64]) {
        let from = self.first_at(from_s);
        let to = self.time_s.partition_point(|&t| t <= to_s).max(from);
        (&self.time_s[from..to], &self.value[from..to])
    }

    /// Linear between neighbouring readings; `None` outside the record.
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let after = self.first_at(time_s);
        let (&t1, &v1) = (self.time_s.get(after)?, self.value.get(after)?);
        if t1 == time_s {
            return Some(v1);
        }
        let before = after.checked_sub(1)?;
        let (t0, v0) = (self.time_s[before], self.value[before]);
        Some(v0 + (v1 - v0) * (time_s - t0) / (t1 - t0))
    }
}

/// Why a file gave no log. Says which file, where, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LogError {
    #[error("{file} is empty. Save the log again and open the new file.")]
    Empty { file: String },
    #[error("{file}, {place}: {what} {remedy}")]
    Unreadable { file: String, place: String, what: String, remedy: String },
}

impl LogError {
    /// A file that cannot be read, in the four parts every message has.
    pub(crate) fn at(
        file: &str,
        place: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        LogError::Unreadable {
            file: file.to_owned(),
            place: place.into(),
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}

/// Reads one file's bytes. The form is told from the content; the name is only a hint.
///
/// # Errors
/// [`LogError`] when nothing in the bytes can be read as a log.
pub fn read(name: &str, bytes: &[u8]) -> Result<Log, LogError> {
    read_packed(name, bytes, 0)
}

fn read_packed(name: &str, bytes: &[u8], depth: usize) -> Result<Log, LogError> {
    if unpack::is_gzip(bytes) && depth < limits::PACKED_DEPTH_LIMIT {
        return unpacked(name, bytes, depth + 1);
    }
    plain(name, bytes, Repeated::LeftOut)
}

/// Reads one file's bytes with every reading in it, also those that repeat an old value:
/// what another reader shows of the same file. For checks; the findings take [`read`].
///
/// # Errors
/// [`LogError`] when nothing in the bytes can be read as a log.
pub fn read_all(name: &str, bytes: &[u8]) -> Result<Log, LogError> {
    if !unpack::is_gzip(bytes) {
        return plain(name, bytes, Repeated::Kept);
    }
    let mut unpacked = Vec::new();
    unpack::gunzip(name, bytes, |piece| unpacked.extend_from_slice(piece))?;
    plain(name, &unpacked, Repeated::Kept)
}

/// The log in bytes that are no archive.
fn plain(name: &str, bytes: &[u8], repeated: Repeated) -> Result<Log, LogError> {
    if bytes.is_empty() {
        return Err(LogError::Empty { file: name.to_owned() });
    }
    if mdf4::is_mdf(bytes) {
        return mdf4::read(name, bytes, repeated);
    }
    if foreign::is_tar(bytes) || !text::is_text(bytes) {
        if let Some((text, said)) = nmea::noise::text(bytes) {
            let mut log = nmea::read(name, &text)?;
            log.problems.insert(0, said);
            return Ok(log);
        }
        return Err(foreign::refusal(name, bytes).unwrap_or_else(|| no_text(name, bytes)));
    }
    let text = text::decode(bytes);
    let mut log = if nmea::is_nmea(&text.text) {
        nmea::read(name, &text.text)?
    } else if gpx::is_gpx(&text.text) {
        gpx::read(name, &text.text)?
    } else {
        csv::read(name, &text.text, text.encoding, repeated)
            .map_err(|error| foreign::refusal(name, bytes).unwrap_or(error))?
    };
    log.problems.splice(0..0, text.problems);
    Ok(log)
}

/// The log in a gzip, which goes into its columns as it is unpacked.
fn unpacked(name: &str, bytes: &[u8], depth: usize) -> Result<Log, LogError> {
    let mut reading = Reading::within(name, None, depth);
    loop {
        let mut lines = unpack::WholeLines::default();
        let give = |piece: &[u8]| lines.feed(piece, |whole| reading.feed(whole));
        let cut = unpack::gunzip(name, bytes, give)?;
        if cut.is_none() {
            reading.feed(&lines.rest());
        }
        match reading.finish() {
            Ok(Ended::Log(mut log)) => {
                log.problems.splice(0..0, cut);
                return Ok(*log);
            }
            Ok(Ended::Again(knowing)) => reading = *knowing,
            // Too little came for a log: that is why.
            Err(_) if cut.is_some() => return Err(unpack::damaged(name, "archive")),
            Err(error) => return Err(error),
        }
    }
}

fn no_text(name: &str, bytes: &[u8]) -> LogError {
    if bytes.iter().all(|&byte| byte == 0) {
        let what = format!("the file holds {} zero bytes and nothing else.", bytes.len());
        let remedy = "It was never written, or the card is failing: copy it again from the logger.";
        return LogError::at(name, "start", what, remedy);
    }
    let remedy = "Open the log as CSV, MDF 4, NMEA or GPX; if it is one of these, copy it again.";
    LogError::at(name, "start", "this is not text and no known form of log.", remedy)
}

/// A key equal for logs with the same channel names in the same order.
///
/// FNV-1a, 64 bit, over the names parted by line feeds; the same on every target.
/// Source: Fowler, Noll, Vo; parameters as in the IETF draft of that name.
fn header_key<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for name in names {
        for byte in name.trim().to_lowercase().bytes().chain([b'\n']) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}
