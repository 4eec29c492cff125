//! Before the first file: a table is read for nothing.
//!
//! A browser compiles a page's program in haste at first, and well only what it sees
//! called over and over. Most logs are read before it has come that far. So the worker,
//! which has nothing to do until a file is chosen, reads a table of its own making.

use std::fmt::Write;

use gloo::timers::future::sleep;
use std::time::Duration;

use crate::work::Opening;

const COLUMNS: usize = 60;
/// Records fed in one go; between two of them the worker hears what the page asks.
const RECORDS: usize = 400;
/// So many times; some 1.5 MB in all, from where on the reader is seen to be quick.
const TIMES: usize = 10;

/// Reads a made-up table to a log that nobody sees.
pub async fn up() {
    let mut opening = Opening::new("nothing.csv", None);
    opening.feed(header().as_bytes());
    let mut text = String::new();
    for first in (0..TIMES).map(|time| time * RECORDS) {
        text.clear();
        for record in first..first + RECORDS {
            line(record, &mut text);
        }
        opening.feed(text.as_bytes());
        sleep(Duration::ZERO).await;
    }
    drop(opening.finish());
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
