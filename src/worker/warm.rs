//! Before the first file: a table is read for nothing.
//!
//! A browser compiles a page's program in haste at first, and well only what it sees
//! called over and over. Most logs are read before it has come that far. So the worker,
//! which has nothing to do until a file is chosen, reads a table of its own making.

use std::fmt::Write;

use gloo::timers::future::sleep;
use js_sys::Date;
use std::time::Duration;

use crate::work::Opening;

const COLUMNS: usize = 60;
/// Records fed in one go; between two of them the worker hears what the page asks.
const RECORDS: usize = 400;
/// So many times, from where on the reader is seen to be quick; fewer where that takes long.
const TIMES: usize = 24;
const MOST_MS: f64 = 600.0;

/// Reads a made-up table to a log that nobody sees, and again: each time its shape is told
/// anew, from its head.
pub async fn up() {
    let mut text = String::new();
    let ends_ms = Date::now() + MOST_MS;
    for first in (0..TIMES).map(|time| time * RECORDS) {
        if Date::now() > ends_ms {
            return;
        }
        text.clear();
        text.push_str(&header());
        for record in first..first + RECORDS {
            line(record, &mut text);
        }
        let mut opening = Opening::new("nothing.csv", None);
        opening.feed(text.as_bytes());
        sleep(Duration::ZERO).await;
        drop(opening.finish());
        sleep(Duration::ZERO).await;
    }
}

fn header() -> String {
    let names = (1..COLUMNS).map(|column| format!(",Channel {column}"));
    format!("Time (s){}\n", names.collect::<String>())
}

/// Numbers of all lengths, as logs have them.
fn line(record: usize, text: &mut String) {
    // Writing to a text never fails.
    _ = write!(text, "{:.2}", record as f64 * 0.05);
    for column in 1..COLUMNS {
        let value = (record * column * 7919 % 4001) as f64 / 10.0 - 100.0;
        _ = write!(text, ",{value:.digits$}", digits = column % 4);
    }
    text.push('\n');
}
