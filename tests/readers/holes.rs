//! Stretches that a recorder wrote as zeros are no readings; a car that stands is one.
//!
//! Four hundred records, ten a second, made by hand.

use pullmark::log::{Log, Role, read};

const ROWS: usize = 400;

fn table(names: &str, row: impl Fn(usize) -> String) -> Log {
    let rows: String = (0..ROWS).map(|n| row(n) + "\n").collect();
    read("a.csv", format!("{names}\n{rows}").as_bytes()).unwrap()
}

fn drive(n: usize) -> String {
    format!("{}.{},{},{},80,0", n / 10, n % 10, 30 + n / 4, 800 + n)
}

const NAMES: &str = "Time (s),Speed (km/h),RPM,ECT (C),Flag";

fn said(log: &Log) -> Option<&str> {
    let hole = log.problems.iter().find(|problem| problem.code == "zero_hole");
    hole.map(|problem| problem.text.as_str())
}

#[test]
fn zeros_in_all_channels_at_once_are_left_out_and_said() {
    let hole = |n: usize, with_clock: bool| match (150..200).contains(&n) {
        true if with_clock => "0,0,0,0,0".to_owned(),
        true => format!("{}.{},0,0,0,0", n / 10, n % 10),
        false => drive(n),
    };
    for with_clock in [false, true] {
        let log = table(NAMES, |n| hole(n, with_clock));
        let speed = log.series(Role::EngineSpeed).unwrap();
        assert_eq!(speed.len(), ROWS - 50);
        for (t, v) in speed.time_s.iter().zip(&speed.value) {
            assert!((t * 10.0 + 800.0 - v).abs() < 1e-6, "{t} s: {v}");
        }
        assert_eq!(
            said(&log),
            Some(
                "From line 152 to 201 every channel is exactly 0 at once, and neither before nor after: \
                 the recorder wrote nothing there. 50 records were left out."
            )
        );
    }
}

/// A car that stops and stalls, a temperature that stays, and zeros before it was begun.
#[test]
fn a_car_that_stands_is_no_hole() {
    let slow = |n: usize| n.abs_diff(200);
    let log = table("Time (s),Speed (km/h),RPM,Throttle (%)", |n| {
        let speed = slow(n).saturating_sub(20) / 2;
        let rpm = if slow(n) < 10 { 0 } else { 800 + 20 * speed };
        format!("{}.{},{speed},{rpm},{}", n / 10, n % 10, speed / 3)
    });
    assert_eq!((said(&log), log.series(Role::EngineSpeed).unwrap().len()), (None, ROWS));
    let log = table(NAMES, |n| match (150..200).contains(&n) {
        true => format!("{}.{},0,0,80,0", n / 10, n % 10),
        false => drive(n),
    });
    assert_eq!(said(&log), None);
    let log = table(NAMES, |n| match n < 50 {
        true => format!("{}.{},0,0,0,0", n / 10, n % 10),
        false => drive(n),
    });
    assert_eq!((said(&log), log.series(Role::EngineSpeed).unwrap().len()), (None, ROWS));
}
