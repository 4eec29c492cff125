//! How long a log takes to read, beside the csv crate turning the same cells into numbers.
//!
//! `cargo bench --profile study --bench read`. Logs are of the shapes that loggers write: dense, and sparse
//! with one cell in six filled. The peer does less: it knows the delimiter, guesses no
//! units or roles, and checks nothing; what we add to it is the ratio. Both sums must agree.

use std::fmt::Write;
use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use pullmark::work::Work;

struct Made {
    name: &'static str,
    text: String,
}

/// Rows at 20 Hz; every column a smooth curve of its own, to three digits.
fn made(name: &'static str, rows: u32, columns: u32, filled: u32) -> Made {
    let mut text = String::from("Time [s]");
    for column in 0..columns {
        let _ = write!(text, ",Channel {column}");
    }
    text.push('\n');
    for row in 0..rows {
        let _ = write!(text, "{:.2}", f64::from(row) * 0.05);
        for column in 0..columns {
            if (row + column) % filled == 0 {
                let turn = f64::from(row * (column + 3)) * 0.001;
                let _ = write!(text, ",{:.3}", 100.0 + 20.0 * libm::sin(turn));
            } else {
                text.push(',');
            }
        }
        text.push('\n');
    }
    Made { name, text }
}

/// The csv crate and the number parser that we use too: the sum of every cell.
fn peer(text: &str) -> f64 {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut columns: Vec<Vec<f64>> = Vec::new();
    while reader.read_byte_record(&mut record).is_ok_and(|more| more) {
        columns.resize_with(record.len().max(columns.len()), Vec::new);
        for (column, cell) in columns.iter_mut().zip(&record) {
            column.push(fast_float2::parse(cell).unwrap_or(f64::NAN));
        }
    }
    columns.iter().skip(1).flatten().filter(|x| x.is_finite()).sum()
}

fn ours(text: &str) -> f64 {
    let mut work = Work::new();
    work.open("made.csv", text.as_bytes()).expect("a made log opens");
    let logs = work.logs();
    let channels = &logs[0].log.channels;
    channels.iter().filter(|c| !c.derived).flat_map(|c| &c.series.value).sum()
}

fn read(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("read");
    group.sample_size(10);
    for log in [made("dense, 14 columns", 60_000, 14, 1), made("sparse, 60 columns", 60_000, 60, 6)]
    {
        let (a, b) = (ours(&log.text), peer(&log.text));
        assert!((a / b - 1.0).abs() < 1e-9, "{}: {a} and {b}", log.name);
        group.throughput(Throughput::Bytes(log.text.len() as u64));
        group.bench_with_input(BenchmarkId::new("Pullmark", log.name), &log.text, |b, text| {
            b.iter(|| black_box(ours(text)));
        });
        group.bench_with_input(BenchmarkId::new("csv crate", log.name), &log.text, |b, text| {
            b.iter(|| black_box(peer(text)));
        });
    }
    group.finish();
}

/// The whole sample day, from bytes to sheet.
fn sample_day(criterion: &mut Criterion) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-logs");
    let day = std::fs::read(folder.join("day.json")).expect("the day is there");
    let mut work = Work::new();
    work.open("day.json", &day).expect("the day opens");
    let logs: Vec<(String, Vec<u8>)> = work
        .missing_logs()
        .into_iter()
        .map(|log| {
            let bytes = std::fs::read(folder.join(&log.path)).expect("the log is there");
            (log.path, bytes)
        })
        .collect();
    let mut group = criterion.benchmark_group("sample day");
    group.sample_size(10);
    group.bench_function("from bytes to sheet", |b| {
        b.iter(|| {
            let mut work = Work::new();
            work.open("day.json", &day).expect("the day opens");
            for (path, bytes) in &logs {
                work.open(path, bytes).expect("the log opens");
            }
            black_box(work.sheet())
        });
    });
    group.finish();
}

criterion_group!(benches, read, sample_day);
criterion_main!(benches);
