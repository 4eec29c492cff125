//! What holds for every log, whatever bytes it was read from.
//!
//! In: a name and bytes. Out: nothing; a broken promise is a panic, which the fuzzer
//! keeps with the bytes that led to it.

use pullmark::log::{self, Log, LogError};
use pullmark::work::Work;

/// Reads one file and holds what comes of it against the promises of `log`.
pub fn read(name: &str, bytes: &[u8]) {
    match log::read(name, bytes) {
        Ok(log) => sound(&log),
        Err(error) => named(name, &error),
    }
}

fn named(name: &str, error: &LogError) {
    assert!(error.to_string().contains(name), "the error does not name the file: {error}");
}

/// Times rise strictly inside the span, values are finite, every problem says something.
fn sound(log: &Log) {
    assert!(log.span_s.is_finite() && log.span_s >= 0.0, "span {}", log.span_s);
    for channel in &log.channels {
        let series = &channel.series;
        assert_eq!(series.time_s.len(), series.value.len(), "{}", channel.name);
        let rising = series.time_s.windows(2).all(|pair| pair[0] < pair[1]);
        assert!(rising, "{}: times do not rise", channel.name);
        assert!(series.value.iter().all(|value| value.is_finite()), "{}", channel.name);
        let inside = |t: &f64| *t >= 0.0 && *t <= log.span_s;
        let ends = [series.time_s.first(), series.time_s.last()];
        assert!(ends.into_iter().flatten().all(inside), "{}: outside the span", channel.name);
    }
    assert!(log.problems.iter().all(|problem| !problem.text.is_empty()));
}

/// Opens one file through the one seam and goes on to its sheet.
pub fn open(name: &str, bytes: &[u8]) {
    let mut work = Work::new();
    match work.open(name, bytes) {
        Ok(()) => {
            let json = work.sheet().to_json();
            let twice = work.sheet().to_json();
            assert!(json == twice, "the same file gives two sheets");
        }
        Err(error) => assert!(error.to_string().contains(name), "{error}"),
    }
}
