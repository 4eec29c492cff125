//! Real recordings through the whole program, against what is known of them.
//!
//! The facts stand in `tests/data/open/README.md`; they were worked out from the raw files
//! by linear interpolation, apart from this program. None of these drives holds a
//! full-throttle pull or wheelspin, and none is logged fast enough to carry a time.

use std::path::Path;

use pullmark::sheet::{PullRow, Sheet};
use pullmark::work::Work;

fn sheet(name: &str) -> Sheet {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/open").join(name);
    let bytes = std::fs::read(&path).expect("the recording is there");
    let mut work = Work::new();
    work.open(name, &bytes).expect("the recording is read without help");
    work.sheet()
}

fn starting_near(sheet: &Sheet, start_s: f64) -> &PullRow {
    let near = |pull: &&PullRow| (pull.start_s - start_s).abs() < 1.5;
    sheet.pulls.iter().find(near).unwrap_or_else(|| panic!("no start near {start_s} s"))
}

/// The known range of a 0-30 mph, from the 1 mph crossing to the last rest, lies within
/// the interval.
fn thirty_lies_within(pull: &PullRow, (least_s, most_s): (f64, f64)) {
    let mark = pull.marks.iter().find(|mark| mark.mark == "0-30mph").expect("it reached 30 mph");
    let (time_s, half_s) = (mark.time_s.expect("timed"), mark.plus_minus_s.expect("interval"));
    assert!(time_s - half_s <= least_s && most_s <= time_s + half_s, "{time_s} ± {half_s} s");
}

fn stands_or_spins_nowhere(sheet: &Sheet) {
    for pull in &sheet.pulls {
        assert_eq!(pull.verdict, "void", "start at {} s", pull.start_s);
        assert_eq!(pull.spin, [], "start at {} s", pull.start_s);
    }
}

#[test]
fn a_car_at_one_reading_a_second_gives_its_starts_and_no_time() {
    let sheet = sheet("nds_drive06.csv");
    assert_eq!(sheet.pulls.len(), 3);
    for start_s in [78.0, 272.0, 397.0] {
        starting_near(&sheet, start_s);
    }
    thirty_lies_within(starting_near(&sheet, 397.0), (9.51, 9.73));
    stands_or_spins_nowhere(&sheet);
    assert_eq!(self::sheet("nds_drive25.csv").pulls.len(), 1);
}

#[test]
fn a_survey_of_satellite_speed_gives_its_six_starts() {
    let sheet = sheet("gps_1hz_4115985_1_2007-04-23.csv");
    assert_eq!(sheet.pulls.len(), 6);
    for (start_s, range) in
        [(42.0, (9.79, 10.31)), (42325.0, (6.98, 7.20)), (42428.0, (6.77, 6.99))]
    {
        thirty_lies_within(starting_near(&sheet, start_s), range);
    }
    stands_or_spins_nowhere(&sheet);
}

/// Pairing a new engine speed with an old vehicle speed shows wheelspin on every start.
#[test]
fn signals_asked_for_in_turn_invent_no_wheelspin() {
    let sheet = sheet("obd_city_drive_20min.csv");
    assert_eq!(sheet.pulls.len(), 5);
    thirty_lies_within(starting_near(&sheet, 435.0), (12.0, 12.0));
    stands_or_spins_nowhere(&sheet);
}

#[test]
fn drives_without_a_start_have_no_pull() {
    for name in [
        "moving_in_car_bt451.nmea",
        "around-visnjan-with-car.gpx",
        "wheelspeed_imu_15s.csv",
        "wheelspeed_imu_15s.mf4",
    ] {
        assert_eq!(sheet(name).pulls.len(), 0, "{name}");
    }
}
