//! Rows whose cells slid from under their names, quotation marks that nothing closes, line
//! breaks of two kinds: no reading is ever taken for another channel's.
//!
//! Row n of the table is `n / 10, n, 800 + n, 80`, so that a cell in a wrong place shows.

use pullmark::log::{Log, Role, read};

const ROWS: usize = 200;

fn row(n: usize) -> String {
    format!("{}.{},{n},{},80", n / 10, n % 10, 800 + n)
}

fn table(change: impl Fn(usize) -> Option<String>, end: &str) -> Log {
    let rows = (0..ROWS).map(|n| change(n).unwrap_or_else(|| row(n)) + end);
    let text = format!("Time (s),Speed (km/h),RPM,ECT (C){end}{}", rows.collect::<String>());
    read("a.csv", text.as_bytes()).unwrap()
}

/// Every engine speed stands at its own time; how many there are.
fn speeds(log: &Log) -> usize {
    let speed = log.series(Role::EngineSpeed).unwrap();
    for (t, v) in speed.time_s.iter().zip(&speed.value) {
        assert!((t * 10.0 + 800.0 - v).abs() < 1e-6, "{t} s: {v}");
    }
    speed.len()
}

#[test]
fn a_row_with_a_cell_too_few_or_too_many_among_whole_ones_is_left_out() {
    let short = table(|n| (n == 50).then(|| format!("5.0,{},80", 850)), "\n");
    assert_eq!(speeds(&short), ROWS - 1);
    assert_eq!(
        short.problems[0].text,
        "Line 52 has fewer cells than the header; it cannot be told which cell is which, and nothing of it was used."
    );
    let long = table(|n| (n == 50).then(|| "5.0,50,99,850,80".to_owned()), "\n");
    assert_eq!(speeds(&long), ROWS - 1);
    // A recorder that leaves off what is blank at the end does so all the time.
    let often =
        table(|n| (n % 3 == 0).then(|| format!("{}.{},{n},{}", n / 10, n % 10, 800 + n)), "\n");
    assert_eq!(speeds(&often), ROWS);
}

/// From line 102 on a column is gone, or one more is there: no cell is another's.
#[test]
fn a_column_that_vanishes_or_appears_half_way_ends_the_reading_there() {
    let time = |n: usize| format!("{}.{}", n / 10, n % 10);
    let gone = table(|n| (n >= 100).then(|| format!("{},{},80", time(n), 800 + n)), "\n");
    assert_eq!(speeds(&gone), 100);
    assert_eq!(gone.series(Role::VehicleSpeed).unwrap().value.len(), 100);
    let said = gone.problems.iter().find(|problem| problem.code == "cells_slid").unwrap();
    assert_eq!(
        said.text,
        "Lines 102 to 201 have 3 cells where there are 4 columns: a column vanished, and it cannot be \
         told which. Nothing of these was used. Save them as a file of their own, with their own header."
    );
    let more = table(|n| (n >= 100).then(|| format!("{},{n},7,{},80", time(n), 800 + n)), "\n");
    assert_eq!(speeds(&more), 100);
    // In the middle, for some lines.
    let some =
        table(|n| (50..90).contains(&n).then(|| format!("{},{},80", time(n), 800 + n)), "\n");
    assert_eq!(speeds(&some), ROWS - 40);
    // What stands at the end is plainly left off there: each cell fits its own column alone.
    let end = table(|n| (n >= 100).then(|| format!("{},{n},{}", time(n), 800 + n)), "\n");
    assert_eq!(speeds(&end), ROWS);
    assert_eq!(end.series(Role::Coolant).unwrap().len(), 100);
}

#[test]
fn a_quotation_mark_that_closes_rows_later_holds_no_rows() {
    let log = table(
        |n| match n {
            50 => Some("5.0,50,850,\"80".to_owned()),
            90 => Some("9.0,90,890,80\"".to_owned()),
            _ => None,
        },
        "\n",
    );
    assert!(speeds(&log) >= ROWS - 2, "{:?}", log.problems);
}

#[test]
fn lone_carriage_returns_break_lines_among_others() {
    assert_eq!(speeds(&table(|_| None, "\r")), ROWS);
    // Of a head from one machine and records from another.
    let rows: String = (0..ROWS).map(|n| row(n) + "\n").collect();
    let text = format!("Logger\rVersion 2\r\rTime (s),Speed (km/h),RPM,ECT (C)\r{rows}");
    assert_eq!(speeds(&read("a.csv", text.as_bytes()).unwrap()), ROWS);
    let half =
        |from: usize, end: &str| (from..from + 100).map(|n| row(n) + end).collect::<String>();
    let text = format!("Time (s),Speed (km/h),RPM,ECT (C)\r{}{}", half(0, "\r"), half(100, "\n"));
    assert_eq!(speeds(&read("a.csv", text.as_bytes()).unwrap()), ROWS);
}

/// Counts of a converter are not shown as km/h.
#[test]
fn rows_of_factors_and_offsets_are_not_passed_over() {
    let rows: String = (0..20).map(|n| format!("{n},{},{}\n", 105 * n, 120 + n)).collect();
    let text = format!("Time (s),Speed (km/h),Coolant (C)\nFactor,0.1,1\nOffset,0,-40\n{rows}");
    let error = read("a.csv", text.as_bytes()).unwrap_err().to_string();
    assert!(
        error.contains("a row says \"Factor\" for the columns: what is below are raw counts."),
        "{error}"
    );
}

/// As databases write them: \\" in a cell, and not at its end.
#[test]
fn quotation_marks_behind_backslashes_stay_in_their_cell() {
    let rows = |n: usize| {
        format!("\"{}.{}\",\"he said \\\"go, now\\\"\",\"{n}\",\"{}\"\n", n / 10, n % 10, 800 + n)
    };
    let text = format!(
        "\"Time (s)\",\"Note \\\"free\\\"\",\"Speed (km/h)\",\"RPM\"\n{}",
        (0..ROWS).map(rows).collect::<String>()
    );
    let log = read("a.csv", text.as_bytes()).unwrap();
    assert_eq!(speeds(&log), ROWS);
    assert_eq!(log.series(Role::VehicleSpeed).unwrap().len(), ROWS);
}
