//! The shape of the sheet: the written schema, the fixed names, and null for unknown.

use std::fs::write;

use proptest::prelude::*;
use pullmark::sheet::Sheet;
use pullmark::work::Work;
use serde_json::Value;
use tempfile::tempdir;

use super::invent::{self, Car};
use super::run::{RECORDINGS, open_data, sheet};
use super::schema::{self, Judge};

/// Two builds of the invented car, three pulls each, the second 8 K cooler in the rise.
fn invented() -> Value {
    let folder = tempdir().unwrap();
    let stock = Car::default();
    let cooler = Car { rise_c: 4.0, ..Car::default() };
    write(folder.path().join("stock.csv"), stock.log()).unwrap();
    write(folder.path().join("cooler.csv"), cooler.log()).unwrap();
    let day = invent::day(&[("Stock", &["stock.csv"]), ("Cooler", &["cooler.csv"])]);
    write(folder.path().join("day.json"), day).unwrap();
    sheet(folder.path(), &["day.json"])
}

#[test]
fn real_sheets_are_as_the_schema_says_with_nothing_beside() {
    let judge = Judge::strict();
    let recordings = RECORDINGS.map(|name| (name, sheet(open_data(), &[name])));
    for (name, found) in recordings.iter().chain(&[("invented", invented())]) {
        judge.accepts(found).unwrap_or_else(|wrong| panic!("{name}: {wrong}"));
    }
}

/// Broken by hand, so that the schema is known to be able to refuse.
#[test]
fn the_schema_refuses_a_field_left_out_or_of_another_kind() {
    let judge = Judge::lenient();
    let good = invented();
    judge.accepts(&good).unwrap();
    type Break = (&'static str, fn(&mut Value));
    let breaks: [Break; 4] = [
        ("no verdict", |s| drop(s["pulls"][0].as_object_mut().unwrap().remove("verdict"))),
        ("no null heat", |s| drop(s["pulls"][0].as_object_mut().unwrap().remove("heat"))),
        ("time as text", |s| s["pulls"][0]["start_s"] = "3.2".into()),
        ("unknown verdict", |s| s["pulls"][0]["verdict"] = "fine".into()),
    ];
    for (what, broken) in breaks {
        let mut sheet = good.clone();
        broken(&mut sheet);
        assert!(judge.accepts(&sheet).is_err(), "{what} passed");
    }
}

/// The fixed part: these names are promised to outside readers.
const FIXED: [(&str, &[&str]); 11] = [
    ("", &["format", "version", "logs", "pulls", "builds", "comparisons"]),
    ("log", &["name", "form", "span_s", "rows", "channels", "problems"]),
    ("channel", &["name", "role", "unit", "rate_hz", "samples"]),
    (
        "pull",
        &[
            "log",
            "build",
            "outing",
            "number",
            "kind",
            "start_s",
            "end_s",
            "verdict",
            "reasons",
            "marks",
            "spin",
            "peak_accel_mps2",
            "mean_accel_mps2",
            "heat",
        ],
    ),
    (
        "mark",
        &[
            "mark",
            "time_s",
            "plus_minus_s",
            "rollout_time_s",
            "logged_time_s",
            "speed_mps",
            "verdict",
        ],
    ),
    ("spin", &["from_s", "to_s", "peak_slip", "kind"]),
    ("heat", &["start_c", "end_c", "peak_c", "rise_c", "inlet_start_c", "at", "recovery"]),
    ("recovery", &["tau_s", "tau_low_s", "tau_high_s", "settles_at_c", "after_60s_c"]),
    ("outing", &["ambient_c", "relative_humidity_percent", "pressure_kpa", "air_density_kgpm3"]),
    (
        "comparison",
        &[
            "from",
            "to",
            "quantity",
            "mark_speed_mps",
            "mark",
            "difference",
            "low",
            "high",
            "unit",
            "adjusted",
            "raw_difference",
            "verdict",
            "reasons",
        ],
    ),
    ("reason", &["code", "text"]),
];

#[test]
fn every_promised_field_is_required() {
    let schema = schema::text();
    for (row, names) in FIXED {
        let of = if row.is_empty() { &schema } else { &schema["$defs"][row] };
        let required = of["required"].as_array().unwrap_or_else(|| panic!("no {row}"));
        for name in names {
            assert!(required.contains(&Value::from(*name)), "{row} does not promise {name}");
        }
    }
}

#[test]
fn what_is_not_known_is_null_and_not_left_out() {
    let folder = tempdir().unwrap();
    let log = "time (s),speed (km/h),thing\n0,0,1\n1,0,2\n2,3,1\n3,9,2\n";
    write(folder.path().join("a.csv"), log).unwrap();
    let found = sheet(folder.path(), &["a.csv"]);
    let outing = &found["builds"][0]["outings"][0];
    for field in ["ambient_c", "relative_humidity_percent", "pressure_kpa", "air_density_kgpm3"] {
        assert_eq!(outing.get(field), Some(&Value::Null), "{field}");
    }
    assert_eq!(found["logs"][0]["channels"][1]["role"], Value::Null);
}

#[test]
fn a_sheet_read_back_says_the_same() {
    let found = invented();
    let sheet: Sheet = serde_json::from_value(found.clone()).unwrap();
    assert_eq!(serde_json::to_value(&sheet).unwrap(), found);
}

/// Expected: the formulas that the log was made by (see `invent`).
#[test]
fn the_invented_car_is_found_as_it_was_invented() {
    let found = invented();
    let pulls = found["pulls"].as_array().unwrap();
    assert_eq!(pulls.len(), 6);
    for pull in pulls {
        let number = pull["number"].as_f64().unwrap();
        let start_s = invent::FIRST_START_S + (number - 1.0) * invent::EVERY_S;
        assert!((pull["start_s"].as_f64().unwrap() - start_s).abs() < 0.1, "{pull:#}");
        assert_eq!(pull["kind"], "standing");
        let marks = pull["marks"].as_array().unwrap();
        let mark = marks.iter().find(|mark| mark["mark"] == "0-60mph").unwrap();
        let (time_s, half_s) = (mark["time_s"].as_f64(), mark["plus_minus_s"].as_f64());
        let off = (time_s.unwrap() - invent::time_to_s(26.8224)).abs();
        assert!(off <= half_s.unwrap(), "off by {off} s: {mark:#}");
        let rise_c = pull["heat"]["rise_c"].as_f64().unwrap();
        let expected_c = if pull["build"] == 0 { 12.0 } else { 4.0 };
        let half_c = pull["heat"]["rise_plus_minus_c"].as_f64().unwrap();
        assert!((rise_c - expected_c).abs() <= half_c.max(0.3), "{rise_c} for {expected_c}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Whatever small table is opened as a log, the sheet is JSON after the schema.
    #[test]
    fn any_small_log_gives_a_sheet_after_the_schema(
        names in prop::collection::vec("(time|speed|rpm|throttle|charge air|x)( \\((s|km/h|%|C)\\))?", 1..5),
        rows in prop::collection::vec(prop::collection::vec("-?[0-9]{0,4}(\\.[0-9])?|NaN|-", 1..5), 0..40),
    ) {
        let mut text = names.join(",");
        for row in rows {
            text.push('\n');
            text.push_str(&row.join(","));
        }
        let mut work = Work::new();
        if work.open("any.csv", text.as_bytes()).is_ok() {
            let json: Value = serde_json::from_str(&work.sheet().to_json()).unwrap();
            prop_assert_eq!(Judge::strict().accepts(&json), Ok(()));
        }
    }
}
