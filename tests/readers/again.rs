//! Records that stand in a file twice, or not in the order they were recorded in.
//!
//! Every table is made here from one drive, so that what is right is what was made.

use crate::fed::fed;
use pullmark::log::reading::Reading;
use pullmark::log::{Log, Role, read};

const NAMES: &str = "Time (s),Speed (km/h),RPM\n";

/// Twenty seconds at ten a second: five at rest, then faster every record.
fn rows(from_s: f64) -> Vec<String> {
    let row = |n: usize| {
        let faster = n.saturating_sub(50) as f64;
        format!(
            "{:.2},{:.1},{:.0}\n",
            from_s + n as f64 / 10.0,
            faster * 0.7,
            860.0 + 31.0 * faster
        )
    };
    (0..200).map(row).collect()
}

fn text(rows: &[String]) -> String {
    format!("{NAMES}{}", rows.concat())
}

/// Both readers, which have to agree.
fn log(text: &str) -> Log {
    let whole = read("a.csv", text.as_bytes()).unwrap();
    let pieces = fed(Reading::new("a.csv", None), text.as_bytes(), &[97]).unwrap();
    assert_eq!(whole.problems, pieces.problems);
    assert_eq!(whole.series(Role::VehicleSpeed), pieces.series(Role::VehicleSpeed));
    whole
}

fn codes(log: &Log) -> Vec<&'static str> {
    log.problems.iter().map(|problem| problem.code).collect()
}

fn is_the_drive(log: &Log) {
    let drive = log_of_the_drive();
    for role in [Role::VehicleSpeed, Role::EngineSpeed] {
        assert_eq!(log.series(role), drive.series(role), "{role:?}");
    }
}

fn log_of_the_drive() -> Log {
    read("a.csv", text(&rows(0.0)).as_bytes()).unwrap()
}

#[test]
fn a_file_laid_behind_itself_is_read_once() {
    let once = text(&rows(0.0));
    let log = log(&format!("{once}{once}"));
    is_the_drive(&log);
    assert_eq!(codes(&log), ["header_repeated", "records_again"]);
    assert_eq!(
        log.problems[1].text,
        "200 records stand in the file a second time, the first in line 203, the same in every \
         channel; each was read once."
    );
}

/// The end of one sector once more in the place of the next, and the file goes on.
#[test]
fn a_stretch_that_stands_there_again_is_read_once() {
    let mut rows = rows(0.0);
    let again = rows[120..150].to_vec();
    rows.splice(150..150, again);
    let log = log(&text(&rows));
    is_the_drive(&log);
    assert_eq!(codes(&log), ["records_again"]);
}

#[test]
fn a_table_of_which_every_row_is_there_twice_is_read_once() {
    let twice: Vec<String> = rows(0.0).iter().flat_map(|row| [row.clone(), row.clone()]).collect();
    let log = log(&text(&twice));
    is_the_drive(&log);
    assert_eq!(codes(&log), ["records_again"]);
}

/// Drives that both begin at rest are the same for a while, laps count from 0 each, and
/// what differs in one reading was read anew.
#[test]
fn what_is_another_reading_is_kept() {
    let first = rows(0.0);
    let other = |change: &dyn Fn(usize, &String) -> String| -> String {
        let second = first.iter().enumerate().map(|(n, row)| change(n, row)).collect::<Vec<_>>();
        text(&[first.clone(), second].concat())
    };
    let slower = other(&|n, row| if n < 52 { row.clone() } else { row.replacen(",", ",1", 1) });
    let one_reading =
        other(&|n, row| if n == 100 { row.replace('\n', "1\n") } else { row.clone() });
    for text in [slower, one_reading] {
        let log = log(&text);
        assert_eq!(log.rows, 400);
        assert!(!codes(&log).contains(&"records_again"), "{:?}", log.problems);
    }
}

#[test]
fn a_table_sorted_by_something_else_is_put_in_order() {
    let mut by_speed = rows(0.0);
    let speed = |row: &String| row.split(',').nth(1).and_then(|cell| cell.parse::<f64>().ok());
    by_speed.sort_by(|a, b| speed(b).partial_cmp(&speed(a)).unwrap());
    let mut as_text = rows(0.0);
    as_text.sort();
    let in_blocks: Vec<String> =
        [2, 0, 3, 1].iter().flat_map(|block| rows(0.0)[50 * block..][..50].to_vec()).collect();
    for sorted in [by_speed, as_text, in_blocks] {
        let log = log(&text(&sorted));
        is_the_drive(&log);
        assert_eq!(codes(&log), ["clock_unordered"]);
    }
}

/// Two recordings of one count, the second half a step beside the first: sorted they are
/// an even count too, and a drive that never was.
#[test]
fn two_recordings_are_not_dealt_into_one_another() {
    let both = [rows(0.0), rows(0.05)].concat();
    let log = log(&text(&both));
    assert!(codes(&log).contains(&"pieces"), "{:?}", log.problems);
    let speed = log.series(Role::VehicleSpeed).unwrap();
    let backwards = speed.value.windows(2).filter(|pair| pair[1] < pair[0]).count();
    assert_eq!(backwards, 1, "one fall, from the end of the first to the start of the second");
}

/// Half the drive before the hour is set back and half behind: by their clocks the halves
/// lie an hour apart, the second first.
#[test]
fn an_hour_that_comes_twice_is_no_shuffle() {
    let clock = |n: usize| match n {
        0..100 => format!("02:59:5{}.{}", n / 10, n % 10),
        _ => format!("02:00:0{}.{}", n / 10 - 10, n % 10),
    };
    let row = |n: usize| format!("2024-10-27 {},{n}\n", clock(n));
    let text = format!("Time,Speed (km/h)\n{}", (0..200).map(row).collect::<String>());
    let log = log(&text);
    assert!((log.span_s - 19.9).abs() < 1e-6, "{}: {:?}", log.span_s, log.problems);
}

/// Times that a spreadsheet rounded away, and steps in the place of times.
#[test]
fn a_clock_that_stands_is_refused() {
    for time in [
        |n: usize| if n < 90 { 1.709e9 } else { 1.709000008e9 },
        |n: usize| if n == 0 { 0.0 } else { 0.1 },
    ] {
        let rows = (0..100).map(|n| format!("{},{n}\n", time(n)));
        let text = format!("Time (s),Speed (km/h)\n{}", rows.collect::<String>());
        let error = read("a.csv", text.as_bytes()).unwrap_err().to_string();
        assert_eq!(
            error,
            "a.csv, column \"Time\": only 2 of 100 records have a time of their own: it tells no time. \
             If it was rounded when it was saved, save the log with all digits of its times; if it \
             holds the seconds from one record to the next, add them up in a column of their own."
        );
    }
}

/// A clock that was set, years on, is a pause of unknown length, also where a record stands
/// out of order besides; and what looks for pairs of channels does not walk through the years.
#[test]
fn years_between_two_records_are_no_drive() {
    let mut rows = rows(0.0);
    rows.swap(60, 61);
    rows.extend((0..30).map(|n| format!("{:.2},{n},900\n", 1.7e9 + f64::from(n) / 10.0)));
    let with_push: Vec<String> = rows.iter().map(|row| row.replacen(',', ",0.1,", 1)).collect();
    let text = text(&with_push).replace("Speed", "Accel (g),Speed");
    let log = log(&text);
    assert!(codes(&log).contains(&"pieces"), "{:?}", log.problems);
    // 20 s, a pause of 600 s, 3 s.
    assert!((620.0..625.0).contains(&log.span_s), "{}", log.span_s);
}
