//! Day files: their logs beside them, their corrections, and what is wrong with them.

use std::fs::{create_dir, write};
use std::io::Write;
use std::path::Path;

use pullmark::day::Day;
use serde_json::{Value, json};
use tempfile::{TempDir, tempdir};

use super::invent::{self, Car, EVERY_S, FIRST_START_S};
use super::run::{complaint, sheet};

/// A folder with `may/day.json`, `may/stock.csv` and `may/new/cooler.csv`.
fn may(change: impl Fn(&mut Value)) -> TempDir {
    let folder = tempdir().unwrap();
    let may = folder.path().join("may");
    create_dir(&may).unwrap();
    create_dir(may.join("new")).unwrap();
    write(may.join("stock.csv"), Car::default().log()).unwrap();
    write(may.join("new/cooler.csv"), Car { rise_c: 4.0, ..Car::default() }.log()).unwrap();
    let day = invent::day(&[("Stock", &["stock.csv"]), ("Cooler", &["new/cooler.csv"])]);
    let mut day: Value = serde_json::from_str(&day).unwrap();
    change(&mut day);
    write(may.join("day.json"), day.to_string()).unwrap();
    folder
}

fn codes(rows: &Value) -> Vec<&str> {
    rows.as_array().unwrap().iter().map(|row| row["code"].as_str().unwrap()).collect()
}

#[test]
fn logs_are_read_from_beside_the_day_file_wherever_the_command_stands() {
    let folder = may(|_| {});
    let from_above = sheet(folder.path(), &["may/day.json"]);
    let from_beside = sheet(&folder.path().join("may"), &["day.json"]);
    assert_eq!(from_above, from_beside);
    let places: Vec<_> =
        from_above["logs"].as_array().unwrap().iter().map(|l| (&l["name"], &l["build"])).collect();
    assert_eq!(places, [(&json!("stock.csv"), &json!(0)), (&json!("cooler.csv"), &json!(1))]);
    let whole = folder.path().join("may/day.json");
    assert_eq!(sheet(Path::new("/"), &[whole.to_str().unwrap()]), from_above);
}

#[test]
fn typed_air_gives_density_and_says_that_it_was_typed() {
    let folder = may(|_| {});
    let found = sheet(folder.path(), &["may/day.json"]);
    let outing = &found["builds"][0]["outings"][0];
    assert_eq!(outing["ambient_c"], 21.5);
    assert_eq!(outing["ambient_from"], "typed");
    // 100.9 kPa, 21.5 °C, 40 %: ideal gas with vapour at 0.378 of its pressure
    // (saturation 2565 Pa, WMO Guide No. 8, annex 4.B) gives 1.1890 kg/m³; the real
    // gas is 0.04 % denser.
    let density = outing["air_density_kgpm3"].as_f64().unwrap();
    let ideal = (100_900.0 - 0.378 * 0.4 * 2565.0) / (287.05 * 294.65);
    assert!((density / ideal - 1.0).abs() < 1e-3, "{density} against {ideal}");
}

#[test]
fn a_pressure_not_measured_is_that_of_the_standard_atmosphere_and_said_so() {
    let folder = may(|day| {
        let outing = day["builds"][0]["outings"][0].as_object_mut().unwrap();
        outing.remove("pressure_kpa");
        outing.insert("altitude_m".to_owned(), json!(1000.0));
    });
    let found = sheet(folder.path(), &["may/day.json"]);
    let outing = &found["builds"][0]["outings"][0];
    // ISO 2533: 898.746 hPa at 1000 m geopotential; 1000 m geometric is 0.16 m lower.
    assert!((outing["pressure_kpa"].as_f64().unwrap() - 89.8746).abs() < 0.003);
    assert_eq!(outing["pressure_from"], "standard atmosphere at 1000 m");
}

#[test]
fn air_that_cannot_be_is_not_used_and_is_said() {
    let folder = may(|day| day["builds"][0]["outings"][0]["pressure_kpa"] = json!(1009.0));
    let found = sheet(folder.path(), &["may/day.json"]);
    assert_eq!(found["builds"][0]["outings"][0]["pressure_kpa"], Value::Null);
    assert_eq!(codes(&found["problems"]), ["air_not_possible"]);
}

#[test]
fn a_missing_log_is_named_with_the_day_file_that_names_it() {
    let folder = may(|_| {});
    std::fs::remove_file(folder.path().join("may/new/cooler.csv")).unwrap();
    let said = complaint(folder.path(), &["may/day.json"]);
    assert!(said.contains("may/day.json") && said.contains("may/new/cooler.csv"), "{said}");
    assert!(said.contains("is not there"), "{said}");
}

#[test]
fn a_log_given_beside_the_day_file_stands_in_for_the_one_it_names() {
    let folder = may(|_| {});
    std::fs::rename(folder.path().join("may/stock.csv"), folder.path().join("stock.csv")).unwrap();
    let found = sheet(folder.path(), &["stock.csv", "may/day.json"]);
    assert_eq!(found["logs"][0]["name"], "stock.csv");
    assert_eq!(found["logs"][0]["build"], 0);
}

#[test]
fn a_log_that_the_day_does_not_name_has_no_build() {
    let folder = may(|_| {});
    write(folder.path().join("other.csv"), Car { pulls: 1, ..Car::default() }.log()).unwrap();
    let found = sheet(folder.path(), &["may/day.json", "other.csv"]);
    assert_eq!(found["logs"][2]["build"], Value::Null);
    let last = found["pulls"].as_array().unwrap().last().unwrap();
    assert_eq!((&last["log"], &last["build"]), (&json!(2), &Value::Null));
    assert_eq!(last["number_in_outing"], Value::Null);
}

#[test]
fn without_a_day_file_every_log_is_a_build_named_by_its_file() {
    let folder = may(|_| {});
    let one = sheet(folder.path(), &["may/stock.csv"]);
    assert_eq!(one["builds"].as_array().unwrap().len(), 1);
    assert_eq!(one["builds"][0]["name"], "stock");
    let two = sheet(folder.path(), &["may/stock.csv", "may/new/cooler.csv"]);
    let names: Vec<_> = two["builds"].as_array().unwrap().iter().map(|b| &b["name"]).collect();
    assert_eq!(names, ["stock", "cooler"]);
    assert!(!two["comparisons"].as_array().unwrap().is_empty());
}

#[test]
fn two_logs_of_one_name_are_two_logs_and_one_recording_twice_is_one() {
    let folder = may(|_| {});
    let may = folder.path().join("may");
    write(may.join("new/stock.csv"), Car { rise_c: 6.0, ..Car::default() }.log()).unwrap();
    write(may.join("copy.csv"), Car::default().log()).unwrap();
    let found = sheet(&may, &["stock.csv", "new/stock.csv", "copy.csv"]);
    let builds: Vec<_> = found["builds"].as_array().unwrap().iter().map(|b| &b["name"]).collect();
    assert_eq!(builds, ["stock.csv", "new/stock.csv"]);
    let problems = codes(&found["logs"][0]["problems"]);
    assert!(problems.contains(&"opened_twice"), "{problems:?}");
    let text = found["logs"][0]["problems"].to_string();
    assert!(text.contains("copy.csv"), "{text}");
}

#[test]
fn pulls_are_numbered_over_the_logs_of_an_outing() {
    let folder = tempdir().unwrap();
    write(folder.path().join("a.csv"), Car { pulls: 2, ..Car::default() }.log()).unwrap();
    write(folder.path().join("b.csv"), Car { pulls: 1, rise_c: 9.0, ..Car::default() }.log())
        .unwrap();
    write(folder.path().join("day.json"), invent::day(&[("One", &["a.csv", "b.csv"])])).unwrap();
    let found = sheet(folder.path(), &["day.json"]);
    let numbers: Vec<_> = found["pulls"]
        .as_array()
        .unwrap()
        .iter()
        .map(|pull| (pull["number"].as_u64().unwrap(), pull["number_in_outing"].as_u64().unwrap()))
        .collect();
    assert_eq!(numbers, [(1, 1), (2, 2), (1, 3)]);
}

#[test]
fn a_pull_set_aside_is_kept_and_numbered_and_not_compared() {
    let pairs = |found: &Value| {
        let rows = found["comparisons"].as_array().unwrap();
        let rise = rows.iter().find(|row| row["quantity"] == "charge_rise");
        rise.map_or(0, |row| row["pairs"].as_u64().unwrap())
    };
    let before = sheet(may(|_| {}).path(), &["may/day.json"]);
    assert_eq!(pairs(&before), 3);
    let second_s = FIRST_START_S + EVERY_S;
    let folder = may(|day| {
        day["pull_corrections"] = json!([{ "log": "stock.csv", "start_s": second_s,
            "change": "set_aside", "why": "missed a gear" }]);
    });
    let found = sheet(folder.path(), &["may/day.json"]);
    let second = &found["pulls"][1];
    assert_eq!(second["set_aside"], "missed a gear");
    assert_eq!((&second["number"], &second["number_in_outing"]), (&json!(2), &json!(2)));
    assert_eq!(found["pulls"].as_array().unwrap().len(), 6);
    assert_eq!(pairs(&found), 2);
}

#[test]
fn a_corrected_role_holds_for_every_log_with_the_same_header() {
    let plain = sheet(may(|_| {}).path(), &["may/day.json"]);
    let key = &plain["logs"][0]["header_key"];
    let folder = may(|day| {
        day["channel_corrections"] = json!([{ "header_key": key, "channel": "Charge air temperature", "role": "inlet_air" }]);
    });
    let found = sheet(folder.path(), &["may/day.json"]);
    for log in found["logs"].as_array().unwrap() {
        let channels = log["channels"].as_array().unwrap();
        let changed = channels.iter().find(|c| c["name"] == "Charge air temperature").unwrap();
        assert_eq!((&changed["role"], &changed["corrected"]), (&json!("inlet_air"), &json!(true)));
    }
    assert!(found["pulls"].as_array().unwrap().iter().all(|pull| pull["heat"] == Value::Null));
}

#[test]
fn an_archive_of_a_day_is_as_good_as_its_folder() {
    let folder = may(|_| {});
    let may = folder.path().join("may");
    let file = std::fs::File::create(folder.path().join("may.zip")).unwrap();
    let mut archive = zip::ZipWriter::new(file);
    for name in ["day.json", "stock.csv", "new/cooler.csv"] {
        archive.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(&std::fs::read(may.join(name)).unwrap()).unwrap();
    }
    archive.finish().unwrap();
    assert_eq!(sheet(folder.path(), &["may.zip"]), sheet(&may, &["day.json"]));
}

#[test]
fn broken_day_files_say_where_and_what_to_do() {
    let folder = tempdir().unwrap();
    let rows = [
        (
            "{\"format\":\"pullmark-day\",\n\"version\":1,\"builds\":[}",
            "line 2",
            "Mend the day file",
        ),
        (
            "{\"format\":\"pullmark-day\",\"version\":1}",
            "missing field `builds`",
            "Mend the day file",
        ),
        (
            "{\"format\":\"pullmark-day\",\"version\":1,\"builds\":[{\"name\":\"x\",\"outings\":[{\"logs\":[],\n\"ambient_c\":\"warm\"}]}]}",
            "line 2",
            "Mend the day file",
        ),
        (
            "{\"format\":\"pullmark-day\",\"version\":2,\"builds\":[]}",
            "version 2",
            "newer Pullmark",
        ),
        ("{\"format\":\"pullmark-sheet\",\"version\":1}", "saved sheet", "Open the logs"),
        ("{\"a\":1}", "this is JSON, and neither a log nor a day file", "Export the log as CSV"),
    ];
    for (text, place, remedy) in rows {
        write(folder.path().join("day.json"), text).unwrap();
        let said = complaint(folder.path(), &["day.json"]);
        for part in ["day.json", place, remedy] {
            assert!(said.contains(part), "{text}: no \"{part}\" in: {said}");
        }
    }
}

#[test]
fn a_day_saved_again_keeps_what_this_version_does_not_know() {
    let text = json!({
        "format": "pullmark-day", "version": 1, "weather_service": { "id": 7 },
        "vehicle": { "mass_kg": 1450.0, "colour": "green" },
        "builds": [{ "name": "Stock", "invoice": "A-1", "outings": [
            { "logs": ["a.csv"], "driver": "K", "altitude_m": 120.5 }] }],
        "speed_marks_mps": [20.0],
        "pull_corrections": [
            { "log": "a.csv", "start_s": 3.5, "change": "edges", "from_s": 3.0, "to_s": 9.0 }],
    });
    let day = Day::from_json("day.json", &text.to_string()).unwrap();
    let saved: Value = serde_json::from_str(&day.to_json()).unwrap();
    assert_eq!(saved, text);
}

/// The cooler's rises are 8 K lower; starts are equal. A limit below nothing is named, and
/// the default is used.
#[test]
fn the_days_own_limits_rule_what_counts_as_alike() {
    let air = |k: f64| {
        move |day: &mut Value| {
            day["builds"][1]["outings"][0]["ambient_c"] = json!(21.5 + 2.0);
            day["tolerances"] = json!({ "ambient_k": k, "humidity_percent": 5.0 });
        }
    };
    let names_air = |k: f64| {
        let found = sheet(may(air(k)).path(), &["may/day.json"]);
        let rows = found["comparisons"].as_array().unwrap();
        let rise = rows.iter().find(|row| row["quantity"] == "charge_rise").unwrap();
        (codes(&rise["reasons"]).contains(&"air_differs"), codes(&found["problems"]).len())
    };
    assert_eq!(names_air(1.0), (true, 0));
    assert_eq!(names_air(3.0), (false, 0));
    assert_eq!(names_air(-1.0), (true, 1));
}

/// The cooling law has one time for a temperature: a hotter start is reached sooner.
#[test]
fn the_wait_for_a_wanted_start_is_told() {
    let wait_s = |wanted_c: f64| {
        let folder = may(|day| day["start_wanted_c"] = json!(wanted_c));
        let found = sheet(folder.path(), &["may/day.json"]);
        let ladder = &found["ladders"][0];
        let first_c = ladder["wait_for_first"]["target_c"].as_f64().unwrap();
        (first_c, ladder["wait_for_wanted"]["wait_s"].as_f64())
    };
    let (first_c, _) = wait_s(0.0);
    let (hotter, cooler) = (wait_s(first_c + 1.0).1, wait_s(first_c - 0.2).1);
    assert!(hotter.unwrap() < cooler.unwrap_or(f64::INFINITY), "{hotter:?} {cooler:?}");
    assert_eq!(wait_s(-40.0).1, None, "charge air never gets there");
}
