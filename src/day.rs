//! The test day: builds, their outings and logs, the car, the reader's corrections.
//!
//! This is the document people save and open again next month. In: JSON text.
//! Out: a [`Day`], or a [`DayError`] that says where and what to do. Every field
//! but format, version, builds and logs is optional, and fields that this version
//! does not know are kept as they are.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

pub const FORMAT: &str = "pullmark-day";
pub const VERSION: u32 = 1;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Day {
    pub format: String,
    pub version: u32,
    /// What this day is, for people: "Invented sample day", for example.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    pub builds: Vec<Build>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vehicle: Option<Vehicle>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub speed_marks_mps: Vec<f64>,
    /// Charge air at which a pull should start: how long to wait for it is told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_wanted_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limits: Option<DayLimits>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerances: Option<DayTolerances>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub channel_corrections: Vec<ChannelCorrection>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pull_corrections: Vec<PullCorrection>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub drive_corrections: Vec<DriveCorrection>,
    #[serde(flatten)]
    pub unknown: Map<String, Value>,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Build {
    pub name: String,
    pub outings: Vec<Outing>,
    #[serde(flatten)]
    pub unknown: Map<String, Value>,
}

/// A day's driving of one build, with its air.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Outing {
    /// Paths relative to the day file.
    pub logs: Vec<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient_c: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub relative_humidity_percent: Option<f64>,
    /// At the place itself, not reduced to sea level.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure_kpa: Option<f64>,
    /// Used for the standard atmosphere's pressure where none was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altitude_m: Option<f64>,
    #[serde(flatten)]
    pub unknown: Map<String, Value>,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Vehicle {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
    /// `front`, `rear` or `all`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drive: Option<String>,
    /// `road`, `semi-slick` or `drag`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tyres: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rolling_radius_m: Option<f64>,
    /// `manual`, `dual-clutch` or `torque-converter`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub transmission: Option<String>,
    #[serde(flatten)]
    pub unknown: Map<String, Value>,
}

/// When a mark stands; each part replaces a default of [`crate::launch::Limits`].
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct DayLimits {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short_s: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub long_share: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fewest_hz: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope: Option<f64>,
}

/// When outings are alike; each part replaces a default of [`crate::compare::Tolerances`].
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct DayTolerances {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ambient_k: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub humidity_percent: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure_kpa: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_k: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub end_speed_share: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_share: Option<f64>,
}

/// What the reader said a channel is. Holds for every log with the same header.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ChannelCorrection {
    pub header_key: String,
    pub channel: String,
    /// A role's code, `"none"` to take the role away, absent to leave it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// A unit's symbol; absent to leave it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
}

/// What the reader said of the pulls of one log, by the log's path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PullCorrection {
    pub log: String,
    /// The found start this is about; for an added pull its own start.
    pub start_s: f64,
    #[serde(flatten)]
    pub change: PullChange,
}

/// What the reader said of a log that recorded a drive beside another, by the logs' paths.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DriveCorrection {
    pub log: String,
    /// The log of the engine; absent for a log that is a drive of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// To be added to the log's times; absent for what the speeds show.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shift_s: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "change")]
pub enum PullChange {
    SetAside { why: String },
    Edges { from_s: f64, to_s: f64 },
    Added { from_s: f64, to_s: f64 },
}

/// Why a day file could not be opened.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DayError {
    #[error(
        "{file}, line {line}, column {column}: {what}. \
         Mend the day file there, or save the day again."
    )]
    Broken { file: String, line: usize, column: usize, what: String },
    #[error(
        "{file}, \"version\": the day file is of version {version} and this program opens up to \
         version 1. Open it with a newer Pullmark."
    )]
    TooNew { file: String, version: u32 },
    #[error(
        "{file}, \"format\": this is a saved sheet, which has results and no readings. \
         Open the logs, or the day file, that it was made from."
    )]
    IsSheet { file: String },
    #[error(
        "{file}, \"format\": this is JSON, and neither a log nor a day file, which says \
         \"format\": \"pullmark-day\" and \"version\": 1. Export the log as CSV and open that, or open a day file saved here."
    )]
    NotADay { file: String },
    #[error(
        "{file}, \"type\": this is a map in GeoJSON, not a log: it has no times. \
         Export the track as GPX, or the log as CSV, and open that."
    )]
    IsMap { file: String },
}

/// What a day file says it is, read before anything else is believed.
#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<u32>,
    #[serde(rename = "type")]
    kind: Option<serde_json::Value>,
}

impl Head {
    /// Source of the types: RFC 7946, section 1.4.
    fn is_map(&self) -> bool {
        const TYPES: [&str; 9] = [
            "FeatureCollection",
            "Feature",
            "Point",
            "MultiPoint",
            "LineString",
            "MultiLineString",
            "Polygon",
            "MultiPolygon",
            "GeometryCollection",
        ];
        self.kind.as_ref().and_then(|kind| kind.as_str()).is_some_and(|kind| TYPES.contains(&kind))
    }
}

/// The reading's own words for what is wrong, with the place told apart from them.
fn broken(file: &str, error: &serde_json::Error) -> DayError {
    let (line, column) = (error.line(), error.column());
    let what = error.to_string();
    let what = what.strip_suffix(&format!(" at line {line} column {column}")).unwrap_or(&what);
    DayError::Broken { file: file.to_owned(), line, column, what: what.to_owned() }
}

impl Day {
    pub fn empty() -> Self {
        Day {
            format: FORMAT.to_owned(),
            version: VERSION,
            title: None,
            builds: Vec::new(),
            vehicle: None,
            speed_marks_mps: Vec::new(),
            start_wanted_c: None,
            limits: None,
            tolerances: None,
            channel_corrections: Vec::new(),
            pull_corrections: Vec::new(),
            drive_corrections: Vec::new(),
            unknown: Map::new(),
        }
    }

    /// Whether bytes are meant as a day file: no log begins with a brace, but for one that is
    /// an object a line. Rich text begins with one too, with a backslash behind it.
    pub fn is_day_file(bytes: &[u8]) -> bool {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let bytes = bytes.trim_ascii_start();
        bytes.starts_with(b"{") && !bytes.starts_with(b"{\\") && !is_object_a_line(bytes)
    }

    /// Opens a day file's text.
    ///
    /// # Errors
    /// [`DayError`] when it is no JSON of the day's shape, or of a later version.
    pub fn from_json(file: &str, text: &str) -> Result<Self, DayError> {
        let text = text.trim_start_matches('\u{feff}');
        let head: Head =
            serde_json::from_str(text).map_err(|error| match text.contains(FORMAT) {
                true => broken(file, &error),
                // Records in JSON, or something else in curly brackets.
                false => DayError::NotADay { file: file.to_owned() },
            })?;
        match (head.format.as_deref(), head.version) {
            (Some(FORMAT), Some(1..=VERSION)) => {}
            (Some(FORMAT), Some(version)) if version > VERSION => {
                return Err(DayError::TooNew { file: file.to_owned(), version });
            }
            (Some("pullmark-sheet"), _) => {
                return Err(DayError::IsSheet { file: file.to_owned() });
            }
            _ if head.is_map() => return Err(DayError::IsMap { file: file.to_owned() }),
            _ => return Err(DayError::NotADay { file: file.to_owned() }),
        }
        serde_json::from_str(text).map_err(|error| broken(file, &error))
    }

    /// The text to save. Ends with a line break.
    pub fn to_json(&self) -> String {
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}

/// Whether the first line is an object, and the next begins another.
fn is_object_a_line(bytes: &[u8]) -> bool {
    let mut lines = bytes.splitn(3, |b| *b == b'\n').map(<[u8]>::trim_ascii);
    let first = lines.next().unwrap_or_default();
    (first.ends_with(b"}") || first.ends_with(b"},"))
        && lines.next().is_some_and(|next| next.starts_with(b"{"))
}
