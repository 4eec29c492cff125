//! What leaves the program again: names out of hostile files, in CSV, JSON and SVG.
//!
//! A spreadsheet runs a cell that begins with `=`, `+`, `-`, `@`, a tab or a carriage
//! return (OWASP, "CSV injection"), also behind the separator of another country's
//! spreadsheets. A picture runs what is not written as text.

use pullmark::chart::{self, ChartId, Look};
use pullmark::screen::Units;
use pullmark::sheet::Sheet;
use pullmark::work::Work;

/// Names that people would not choose.
const HOSTILE: [&str; 8] = [
    "=HYPERLINK(\"http://a.example\",\"best\")",
    "+1+cmd|' /C calc'!A0",
    "-2+3",
    "@SUM(A1:A9)",
    "\t=1+1",
    "\r=1+1",
    "a;=1+1",
    "</text><script>alert(1)</script>",
];

/// A day of two builds with such names, over real readings.
fn hostile(one: &str, two: &str) -> Work {
    let log = |name: &str| {
        let path = format!("{}/sample-logs/{name}", env!("CARGO_MANIFEST_DIR"));
        let bytes = std::fs::read(path).unwrap();
        // The first pulls are enough, and quicker.
        bytes[..bytes.len() / 3].to_vec()
    };
    let day = serde_json::json!({
        "format": "pullmark-day", "version": 1, "title": one,
        "builds": [
            { "name": one, "outings": [{ "logs": ["a.csv"] }] },
            { "name": two, "outings": [{ "logs": ["b.csv"] }] },
        ],
    });
    let mut work = Work::new();
    work.open("day.json", day.to_string().as_bytes()).unwrap();
    work.open("a.csv", &log("gap-closed.csv")).unwrap();
    work.open("b.csv", &log("works-cooler.csv")).unwrap();
    work
}

/// Cells that a spreadsheet would run, however it parts them.
fn running(csv: &str) -> Vec<String> {
    let mut found = Vec::new();
    for separator in [b',', b';', b'\t'] {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(separator)
            .from_reader(csv.as_bytes());
        for record in reader.records().map(Result::unwrap) {
            let runs = |cell: &&str| {
                cell.trim_start_matches([' ', '"']).starts_with(['=', '+', '-', '@', '\t', '\r'])
                    && cell.parse::<f64>().is_err()
            };
            found.extend(record.iter().filter(runs).map(str::to_owned));
        }
    }
    // Where another separator is expected, our whole line with its numbers is one cell.
    found.retain(|cell| !cell.contains("','") || !cell.starts_with('-'));
    found
}

#[test]
fn no_exported_cell_can_start_a_formula() {
    let mut sheet = hostile("a", "b").sheet();
    for pair in HOSTILE.chunks_exact(2) {
        for (build, name) in sheet.builds.iter_mut().zip(pair) {
            (*name).clone_into(&mut build.name);
        }
        let csv = sheet.to_csv();
        assert!(csv.lines().count() > 20, "there must be rows to judge");
        assert_eq!(running(&csv), [""; 0], "{pair:?}");
    }
}

#[test]
fn the_sheet_in_json_gives_hostile_names_back_unchanged() {
    let sheet = hostile(HOSTILE[0], HOSTILE[7]).sheet();
    let back: Sheet = serde_json::from_str(&sheet.to_json()).unwrap();
    assert_eq!([&back.builds[0].name, &back.builds[1].name], [HOSTILE[0], HOSTILE[7]]);
}

#[test]
fn a_saved_picture_shows_script_as_text() {
    let script = HOSTILE[7];
    let work = hostile(script, "b");
    let (day, findings) = (work.day(), work.findings());
    let look = Look {
        width: 900.0,
        height: 500.0,
        scale: 1.0,
        dark: false,
        units: Units::for_locale("en-GB"),
        title: Some(script.to_owned()),
    };
    let ids = [
        ChartId::Strip { log: 0 },
        ChartId::Launches,
        ChartId::LaunchesOverDistance,
        ChartId::HeatOverSpeed,
        ChartId::Ladder,
        ChartId::BuildMarks,
        ChartId::Builds { seconds: true },
    ];
    let mut drawn = 0;
    for chart in ids.iter().filter_map(|&id| chart::build(&day, &findings, id, 900, None)) {
        let picture = chart::svg(&chart, &look);
        assert!(!picture.contains("<script"), "{:?}", chart.id);
        drawn += usize::from(picture.contains("&lt;script"));
    }
    assert!(drawn > 2, "the name must have been drawn");
}
