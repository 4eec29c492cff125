//! Archives that were not copied to their end: what came before the cut is read and said.
//!
//! A row of the table is `n * 0.1, 800 + n`, so that every reading can be checked against
//! its own time, and a number that lost digits would show.

use std::io::Write;

use pullmark::log::{Log, Role, read};
use pullmark::work::Work;

use crate::refused_packed::{gzip, zipped};

const ROWS: u32 = 4000;

fn table(rows: u32) -> String {
    let row = |n: u32| format!("{:.1},{}\n", f64::from(n) * 0.1, 800 + n);
    format!("Time (s),RPM\n{}", (0..rows).map(row).collect::<String>())
}

/// The engine speeds, each at the time that its row has.
fn speeds(log: &Log) -> usize {
    let speed = log.series(Role::EngineSpeed).unwrap();
    for (n, (t, value)) in speed.time_s.iter().zip(&speed.value).enumerate() {
        let n = n as f64;
        assert!((t - n * 0.1).abs() < 1e-6 && *value == 800.0 + n, "{t} s: {value}");
    }
    speed.len()
}

#[test]
fn a_gzip_cut_anywhere_is_read_up_to_the_last_whole_line() {
    let whole = gzip(table(ROWS).as_bytes());
    let mut last = 0;
    for share in [3, 5, 7, 9] {
        let cut = &whole[..whole.len() * share / 10];
        let log = read("a.csv.gz", cut).unwrap();
        let rows = speeds(&log);
        assert!(rows > last && rows < ROWS as usize, "{rows} of {share} tenths");
        last = rows;
        let text = &log.problems[0].text;
        let begin = format!("The archive was cut short after {} bytes", cut.len());
        assert!(text.starts_with(&begin), "{text}");
        assert!(text.ends_with("up to the last whole line. Copy it again for the rest."), "{text}");
    }
    // The sum behind the end is gone, and nothing else.
    assert_eq!(speeds(&read("a.csv.gz", &whole[..whole.len() - 3]).unwrap()), ROWS as usize);
    assert_eq!(read("a.csv.gz", &whole).unwrap().problems, []);
}

#[test]
fn room_that_was_never_filled_is_a_cut() {
    let whole = gzip(table(ROWS).as_bytes());
    let mut hole = whole[..whole.len() / 2].to_vec();
    hole.resize(whole.len() + 512, 0);
    let log = read("a.csv.gz", &hole).unwrap();
    assert!(speeds(&log) > 100);
    assert!(log.problems[0].text.starts_with("The archive was cut short"), "{:?}", log.problems);
    let padded = [whole.as_slice(), &[0; 1024]].concat();
    assert_eq!(read("a.csv.gz", &padded).unwrap().problems, []);
}

fn opened(zip: &[u8]) -> (Vec<(String, usize)>, String) {
    let mut work = Work::new();
    work.open("a.zip", zip).unwrap();
    let found = work.findings();
    let logs = found.logs.iter().map(|found| (found.log.name.clone(), speeds(&found.log)));
    (logs.collect(), found.problems[0].text.clone())
}

#[test]
fn a_zip_without_its_end_gives_the_files_before_it() {
    let (long, short) = (table(ROWS), table(7));
    let whole = zipped([("a.csv", short.as_bytes()), ("day/b.csv", long.as_bytes())]);
    let list = whole.windows(4).position(|mark| mark == b"PK\x01\x02").unwrap();
    let (logs, said) = opened(&whole[..list + 10]);
    assert_eq!(logs.iter().map(|(_, rows)| *rows).collect::<Vec<_>>(), [7, ROWS as usize]);
    assert_eq!(
        said,
        "a.zip was cut short, as when it was not copied to its end: the list of what it holds is \
         gone. Read were 2 whole files in it. Copy it again for the rest."
    );
    let (logs, said) = opened(&whole[..list * 6 / 10]);
    assert_eq!(logs[0].1, 7);
    assert!(logs[1].1 > 100 && logs[1].1 < ROWS as usize, "{logs:?}");
    assert!(
        said.contains("Read were 1 whole file in it; of day/b.csv, what came before the cut"),
        "{said}"
    );
}

/// Written in one go, sizes stand behind the files (APPNOTE.TXT, 4.3.9).
#[test]
fn a_zip_that_was_written_as_a_stream_is_gone_through_as_well() {
    let mut zip = zip::ZipWriter::new_stream(Vec::new());
    for (name, rows) in [("a.csv", 7), ("b.csv", ROWS)] {
        zip.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(table(rows).as_bytes()).unwrap();
    }
    let whole = zip.finish().unwrap().into_inner();
    let list = whole.windows(4).position(|mark| mark == b"PK\x01\x02").unwrap();
    let (logs, _) = opened(&whole[..list]);
    assert_eq!(logs.iter().map(|(_, rows)| *rows).collect::<Vec<_>>(), [7, ROWS as usize]);
}

/// A file whose sum does not agree is not given.
#[test]
fn a_damaged_file_in_a_cut_zip_is_no_log() {
    let mut whole = zipped([("a.csv", table(7).as_bytes()), ("b.csv", table(9).as_bytes())]);
    let list = whole.windows(4).position(|mark| mark == b"PK\x01\x02").unwrap();
    // The sum in the head of the second file.
    let second = whole.windows(4).rposition(|mark| mark == b"PK\x03\x04").unwrap();
    whole[second + 14] ^= 1;
    let (logs, said) = opened(&whole[..list]);
    assert_eq!(logs.len(), 1, "{said}");
}
