//! A file read in pieces gives what the whole file gives: the same log, or the same words.
//! So it does where the csv crate cuts every line, and not our own quick way.
//!
//! Files are every dialect of the tables, made long enough to be streamed, and the
//! seeds of `mutated` with their damage. They are cut anywhere: within letters, line
//! ends, and quotation marks.

use crate::fed::fed;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRunner};
use pullmark::log::reading::Reading;
use pullmark::log::{Log, LogError, read};

/// Pieces of these lengths in turn, over and over.
fn in_pieces(name: &str, bytes: &[u8], lengths: &[usize]) -> Result<Log, LogError> {
    fed(Reading::new(name, Some(bytes.len() as u64)), bytes, lengths)
}

fn by_the_crate(name: &str, bytes: &[u8]) -> Result<Log, LogError> {
    fed(Reading::new(name, Some(bytes.len() as u64)).by_the_crate(), bytes, &[4096])
}

fn differs(name: &str, bytes: &[u8], lengths: &[usize]) -> Option<String> {
    let whole = read(name, bytes);
    let pieces = format!("in pieces of {lengths:?}");
    unequal(name, &whole, &pieces, &in_pieces(name, bytes, lengths))
        .or_else(|| unequal(name, &whole, "by the csv crate", &by_the_crate(name, bytes)))
}

/// What is not the same, NaN being no reading: equal logs compare equal.
fn unequal(
    name: &str,
    whole: &Result<Log, LogError>,
    way: &str,
    other: &Result<Log, LogError>,
) -> Option<String> {
    let told = |read: &Result<Log, LogError>| match read {
        Ok(log) => format!(
            "{} rows, {} channels, {}, {:?}",
            log.rows,
            log.channels.len(),
            log.form_found,
            log.problems
        ),
        Err(error) => error.to_string(),
    };
    (whole != other).then(|| format!("{name}:\n  whole: {}\n  {way}: {}", told(whole), told(other)))
}

/// Long enough that the form is told from the first bytes: with a preamble, and with
/// everything, header included, over and over.
fn made_long(bytes: &[u8]) -> [Vec<u8>; 2] {
    let preamble: String = (0..60).map(|line| format!("note {line}: {:-<70}\n", "")).collect();
    let times = 6000 / bytes.len().max(1) + 1;
    [[preamble.as_bytes(), bytes].concat(), bytes.repeat(times)]
}

#[test]
fn every_dialect_reads_the_same_however_it_is_cut() {
    let mut wrong = Vec::new();
    for (name, bytes) in crate::dialects::files() {
        for bytes in made_long(&bytes).iter().chain([&bytes]) {
            for lengths in [&[1][..], &[7], &[4096], &[1000, 3]] {
                wrong.extend(differs(name, bytes, lengths));
            }
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// Damaged files in pieces of lengths drawn with them.
fn hunt(runner: &mut TestRunner, count: u32) {
    let seeds: Vec<_> = crate::mutated::seeds()
        .into_iter()
        .filter(|seed| !seed.name.ends_with(".zip") && !seed.name.ends_with(".mf4"))
        .collect();
    let lengths = prop::collection::vec(prop_oneof![1..20usize, 20..5000usize], 1..6);
    let drawn = (0..seeds.len(), prop::collection::vec(crate::mutated::damage(), 0..8), lengths);
    for _ in 0..count {
        let (which, damages, lengths) = drawn.new_tree(runner).unwrap().current();
        let mut seed = seeds[which].clone();
        damages.iter().for_each(|damage| damage.to(&mut seed.bytes));
        let wrong = differs(&seed.name, &seed.bytes, &lengths);
        assert!(wrong.is_none(), "after {damages:?}: {}", wrong.unwrap_or_default());
    }
}

#[test]
fn a_damaged_file_reads_the_same_however_it_is_cut() {
    hunt(&mut TestRunner::deterministic(), 200);
}

/// As many as `PIECES` says, every draw another.
#[test]
#[ignore = "draws as many files as PIECES says"]
fn pieces_for_long() {
    let count = std::env::var("PIECES").ok().and_then(|text| text.parse().ok()).unwrap_or(5000);
    hunt(&mut TestRunner::new(Config::default()), count);
}

/// What only later lines show: a decimal comma, a letter that is no UTF-8.
#[test]
fn what_a_late_line_shows_holds_from_the_first() {
    let mut comma = String::from("Time [s];Speed [km/h];Note\n");
    let mut accent = b"Time [s];Speed [km/h];\xc3\x96l\n".to_vec();
    for row in 0..2000 {
        let late = row >= 1000;
        let speed = if late { format!("{},5", row / 100) } else { "0".to_owned() };
        comma.push_str(&format!("{row};{speed};1.250\n"));
        accent.extend_from_slice(format!("{row};{};", row / 100).as_bytes());
        accent.extend_from_slice(if late { b"\xb0\n" } else { b"1\n" });
    }
    for bytes in [comma.as_bytes(), &accent] {
        let whole = read("late.csv", bytes).unwrap();
        assert_eq!(whole.rows, 2000);
        assert_eq!(differs("late.csv", bytes, &[4096]), None);
    }
}

/// Fed with the first bytes of a file of that size: why it is refused before it is begun.
fn refused_at_once(size: u64, start: &[u8]) -> String {
    let mut reading = Reading::new("long.csv", Some(size));
    reading.feed(start);
    assert!(reading.is_settled(), "no further bytes are wanted");
    match reading.finish() {
        Err(error) => error.to_string(),
        Ok(_) => "read".to_owned(),
    }
}

/// A record of 16 bytes makes two readings of 8 bytes and 40 bytes on the way, so that
/// 1600 MB of them ask for 1e8 × 56 bytes; the limit is 900 MB.
#[test]
fn what_will_not_fit_is_refused_before_it_is_begun() {
    let rows = (0..1000).map(|row| format!("{row:08.2},100.25\n"));
    let table = format!("Time [s],Speed [km/h]\n{}", rows.collect::<String>());
    assert_eq!(
        refused_at_once(1_600_000_000, table.as_bytes()),
        "long.csv, start: the file is 1600 MB, and its columns would take about 5600 MB of memory; \
         about 257 MB of such a file fit. Split it, or export a shorter stretch, fewer channels or \
         a lower rate."
    );
    let mut measurement = b"MDF     4.10".to_vec();
    measurement.resize(5000, 0);
    assert_eq!(
        refused_at_once(600_000_000, &measurement),
        "long.csv, start: the file is 600 MB, and a file of this form has to fit in memory as a \
         whole; 537 MB is the most. Split it, or export a shorter stretch or fewer channels, and \
         open the parts."
    );
}
