//! The words shown for the sheet's codes. A code that is not known here is shown
//! as it stands, so that a newer sheet still reads.

use super::Tone;
pub use crate::launch::marks::{SPOKEN as MARKS, spoken as mark};
use crate::sheet::{PullRow, Sheet};
use crate::unit::reader::{LengthUnit, SpeedUnit, Units};

/// The marks an overview shows first, by what the reader drives in.
pub fn first_marks(units: &Units) -> [&'static str; 4] {
    match (units.speed, units.length) {
        (SpeedUnit::Mph, _) => ["60ft", "0-60mph", "0-100mph", "1/4mi"],
        (SpeedUnit::Kmh, LengthUnit::Foot) => ["60ft", "0-100kmh", "0-200kmh", "1/4mi"],
        (SpeedUnit::Kmh, LengthUnit::Metre) => ["0-60mph", "0-100kmh", "0-200kmh", "1/4mi"],
    }
}

pub fn verdict(code: &str) -> (&str, Tone) {
    match code {
        "stands" => ("stands", Tone::Good),
        "in_doubt" => ("in doubt", Tone::Doubt),
        "void" => ("void", Tone::Bad),
        other => (other, Tone::Plain),
    }
}

pub fn worth(code: &str) -> (&str, Tone) {
    match code {
        "real" => ("real", Tone::Good),
        "not_shown" => ("not shown", Tone::Doubt),
        "cannot_compare" => ("cannot compare", Tone::Bad),
        other => (other, Tone::Plain),
    }
}

pub fn kind(code: &str) -> &str {
    match code {
        "standing" => "from rest",
        "rolling" => "rolling",
        other => other,
    }
}

pub fn effort(code: &str) -> &str {
    match code {
        "full" => "wide open",
        "part" => "part throttle",
        "unknown" => "not logged",
        other => other,
    }
}

pub fn spin(code: &str) -> &str {
    match code {
        "tyre" => "tyre slip",
        "converter" => "converter slip",
        "clutch" => "clutch slip",
        "unknown" => "slip of unknown kind",
        other => other,
    }
}

pub fn witness(code: &str) -> &str {
    match code {
        "logged_speed" => "logged speed",
        "engine_through_gear" => "engine speed through the gear",
        "accelerometer" => "accelerometer",
        "satellite_speed" => "satellite speed",
        "undriven_wheel" => "undriven wheel",
        other => other,
    }
}

/// `vehicle_speed` is read as "vehicle speed".
pub fn role(code: &str) -> String {
    code.replace('_', " ")
}

pub fn form(code: &str) -> &str {
    match code {
        "csv" => "Delimited text",
        "mdf4" => "ASAM MDF 4",
        "nmea" => "NMEA 0183",
        "gpx" => "GPX",
        other => other,
    }
}

/// "Stock, pull 2"; the log's name instead where the build alone does not tell.
pub fn pull(sheet: &Sheet, row: &PullRow) -> String {
    let log = sheet.logs.get(row.log).map_or("", |log| log.name.as_str());
    let build = row.build.and_then(|b| sheet.builds.get(b)).map(|build| build.name.as_str());
    let logs_of_build =
        sheet.drives().filter(|(_, log)| row.build.is_some() && log.build == row.build).count();
    match build {
        Some(build) if sheet.builds.len() > 1 && logs_of_build == 1 => {
            format!("{build}, pull {}", row.number)
        }
        _ if sheet.drives().count() > 1 => format!("{log}, pull {}", row.number),
        _ => format!("Pull {}", row.number),
    }
}

pub fn build(sheet: &Sheet, index: usize) -> String {
    sheet
        .builds
        .get(index)
        .map_or_else(|| format!("Build {}", index + 1), |build| build.name.clone())
}

/// `1:23.4` minutes from the log's first record; short spans stay in seconds.
pub fn log_time(time_s: f64) -> String {
    let tenths = (time_s * 10.0).round();
    let minutes = (tenths / 600.0).floor();
    format!("{minutes:.0}:{:04.1}", (tenths - minutes * 600.0) / 10.0)
}

/// "58.3 s", "6 min 52 s".
pub fn span(span_s: f64) -> String {
    if span_s < 120.0 {
        return format!("{span_s:.1} s");
    }
    let whole = span_s.round();
    let minutes = (whole / 60.0).floor();
    format!("{minutes:.0} min {:02.0} s", whole - minutes * 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn log_times_carry_over_at_the_minute() {
        assert_eq!(log_time(83.44), "1:23.4");
        assert_eq!(log_time(59.96), "1:00.0");
        assert_eq!(log_time(0.0), "0:00.0");
    }

    #[test]
    fn every_mark_of_the_launch_room_has_a_name() {
        for (code, _) in crate::launch::MARKS {
            assert!(MARKS.iter().any(|(known, _)| known == &code), "{code} has no name");
        }
    }
}
