//! A column ends as a channel, as a clock, or in a sentence with its name.
//!
//! Tables of two hundred records, ten a second, made by hand.

use pullmark::log::{Log, Role, read};

const ROWS: usize = 200;

fn table(names: &str, row: impl Fn(usize) -> String) -> Log {
    let rows = (0..ROWS).map(|n| format!("{}.{},{}\n", n / 10, n % 10, row(n)));
    read("a.csv", format!("Time (s),{names}\n{}", rows.collect::<String>()).as_bytes()).unwrap()
}

fn said<'a>(log: &'a Log, code: &str) -> Vec<&'a str> {
    let problems = log.problems.iter().filter(|problem| problem.code == code);
    problems.map(|problem| problem.text.as_str()).collect()
}

#[test]
fn columns_without_a_number_are_said_by_name() {
    let log = table("Speed (km/h),Mode,Unused,Raw,", |n| format!("{n},sport,,0x{n:02X},"));
    assert_eq!(
        said(&log, "columns_left_out"),
        [
            "3 columns have no numbers and are no channels: \"Mode\" (\"sport\"), \"Unused\" (blank), \
             \"Raw\" (\"0x00\", \"0x01\", …)."
        ]
    );
    let log = table("Speed (km/h),Driver", |n| format!("{n},Kim"));
    assert_eq!(
        said(&log, "columns_left_out"),
        ["One column has no numbers and is no channel: \"Driver\" (\"Kim\")."]
    );
}

#[test]
fn a_column_that_ceases_is_said_with_its_line() {
    let blank = |n: usize| if n < 100 { format!("{n}") } else { String::new() };
    let log = table("Speed (km/h),RPM", |n| format!("{},{}", blank(n), 800 + n));
    assert_eq!(log.series(Role::VehicleSpeed).unwrap().len(), 100);
    assert_eq!(
        said(&log, "column_ceases"),
        [
            "\"Speed\" has no reading from line 102 on, for 100 records up to the end: lost there, it \
             was not carried on."
        ]
    );
    // One reading in four, up to the end: a slow channel does not cease.
    let slow = |n: usize| if n.is_multiple_of(4) { format!("{n}") } else { String::new() };
    let log = table("Speed (km/h),RPM", |n| format!("{},{}", slow(n), 800 + n));
    assert_eq!(said(&log, "column_ceases"), [""; 0]);
    // Words instead of numbers say so themselves.
    let lost = |n: usize| if n < 100 { format!("{n}") } else { "lost".to_owned() };
    let log = table("Speed (km/h),RPM", |n| format!("{},{}", lost(n), 800 + n));
    assert_eq!(
        said(&log, "cells_unread"),
        [
            "\"Speed\": 100 cells are no numbers (\"lost\") and were left blank, the first in line 102."
        ]
    );
    assert_eq!(said(&log, "column_ceases"), [""; 0]);
}

/// The date begins anew every minute, as when its hours and minutes were not written on.
#[test]
fn of_two_clocks_the_one_that_never_goes_back_is_used_and_the_other_named() {
    let log = table("Speed (km/h),Stamp", |n| format!("{n},2024-06-14 10:00:{:02}", n % 60));
    let speed = log.series(Role::VehicleSpeed).unwrap();
    assert_eq!((speed.len(), speed.time_s[ROWS - 1]), (ROWS, 19.9));
    assert!(log.form_found.ends_with("time from \"Time\" in s, also clocks: \"Stamp\""));
}

/// 48.1 and 48.2 are 0.10000000000000142 apart as doubles.
#[test]
fn a_step_is_told_as_people_write_it() {
    let rows: String =
        (0..20).map(|n| format!("{:.1},{n}\n", 48.0 + f64::from(n) / 10.0)).collect();
    let log = read("a.csv", format!("Time,Speed (km/h)\n{rows}").as_bytes()).unwrap();
    assert_eq!(
        said(&log, "unit_guessed"),
        [
            "\"Time\" names no unit; it was taken as s because it steps by 0.1 from record to record."
        ]
    );
}
