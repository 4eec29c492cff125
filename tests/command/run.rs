//! Runs the command and keeps what it said.

use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

pub struct Said {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs `pullmark` in a folder, in a country that measures in metres.
pub fn pullmark(folder: &Path, words: &[&str]) -> Said {
    let output = Command::new(env!("CARGO_BIN_EXE_pullmark"))
        .args(words)
        .current_dir(folder)
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .output()
        .expect("the built command starts");
    Said {
        code: output.status.code().expect("the command is not killed"),
        out: String::from_utf8(output.stdout).expect("the command writes UTF-8"),
        err: String::from_utf8(output.stderr).expect("the command writes UTF-8"),
    }
}

/// The sheet of files that can be read, as JSON.
pub fn sheet(folder: &Path, files: &[&str]) -> Value {
    let words: Vec<&str> = ["sheet", "--json"].iter().chain(files).copied().collect();
    let said = pullmark(folder, &words);
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{files:?}");
    serde_json::from_str(&said.out).expect("the sheet is JSON")
}

/// The one line that the command complains in, ending with code 1.
pub fn complaint(folder: &Path, files: &[&str]) -> String {
    let words: Vec<&str> = ["sheet"].iter().chain(files).copied().collect();
    let said = pullmark(folder, &words);
    assert_eq!((said.code, said.out.as_str()), (1, ""), "{files:?}: {}", said.err);
    assert_eq!(said.err.lines().count(), 1, "one line: {}", said.err);
    said.err.trim_end().to_owned()
}

/// The open recordings that the project keeps.
pub fn open_data() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/open"))
}

/// Every open recording with readings in it.
pub const RECORDINGS: [&str; 8] = [
    "around-visnjan-with-car.gpx",
    "gps_1hz_4115985_1_2007-04-23.csv",
    "moving_in_car_bt451.nmea",
    "nds_drive06.csv",
    "nds_drive25.csv",
    "obd_city_drive_20min.csv",
    "wheelspeed_imu_15s.csv",
    "wheelspeed_imu_15s.mf4",
];
