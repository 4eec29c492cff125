//! The sample day: four builds of one invented coupé, and beside it three logs that test
//! judgement.
//!
//! In: nothing. Out: the files of `sample-logs/` but its README: the logs, the day file,
//! the truth. Names, dates and places are invented; so is every figure.

use serde::Serialize;
use serde_json::{Value, json};

use super::motion::{Car, Drive, drive};
use super::outing::Outing;
use super::truth::{pulls, tidy};
use super::vehicle::Air;
use super::{loggers, sensors::Sensor};

/// A build and its outings, each with the day it was driven.
pub struct Build {
    /// As the day file calls it.
    pub name: &'static str,
    pub outings: Vec<(&'static str, Outing)>,
}

const MPS_PER_MPH: f64 = 0.447_04;

/// In the order of the day file. The first three days are alike within 1 K and 5 %; the
/// fourth is not.
pub fn builds() -> Vec<Build> {
    vec![
        Build { name: "Works cooler", outings: vec![("2025-09-06", loggers::works_cooler())] },
        Build {
            name: "Gap around it closed",
            outings: vec![("2025-09-07", loggers::sealed_duct())],
        },
        Build { name: "Second cooler", outings: vec![("2025-09-13", loggers::twin_coolers())] },
        Build {
            name: "Second cooler, fans run on",
            outings: vec![("2025-09-20", loggers::fans())],
        },
    ]
}

/// Logs that test judgement. They belong to no build, so that they are timed and never
/// compared: another car, another way of logging, tyres let loose.
pub fn apart() -> Vec<Outing> {
    vec![loggers::let_loose(), loggers::touring(), loggers::polled()]
}

/// Every file by its path below `sample-logs/`.
pub fn files() -> Vec<(String, String)> {
    let builds = builds();
    let mut files = vec![("day.json".to_owned(), pretty(&day(&builds)))];
    let (of_builds, apart) = (builds.iter().flat_map(|build| &build.outings), apart());
    for outing in of_builds.map(|(_, outing)| outing).chain(&apart) {
        let (log, truth) = outing.run();
        files.push((format!("truth/{}.json", stem(outing.file)), pretty(&truth)));
        files.push((outing.file.to_owned(), log));
    }
    files.push(("truth/effects.json".to_owned(), pretty(&effects(&builds))));
    files
}

fn stem(file: &str) -> &str {
    file.trim_end_matches(".csv")
}

fn pretty(value: &impl Serialize) -> String {
    // Only a map with keys that are no text could fail, and there is none.
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}

fn day(builds: &[Build]) -> Value {
    let outing = |(date, outing): &(&str, Outing)| {
        json!({
            "logs": [outing.file],
            "date": date,
            "ambient_c": outing.air.ambient_c,
            "relative_humidity_percent": outing.air.humidity_percent,
            "pressure_kpa": outing.air.pressure_kpa,
        })
    };
    let build = |build: &Build| json!({ "name": build.name, "outings": build.outings.iter().map(outing).collect::<Vec<_>>() });
    json!({
        "format": "pullmark-day",
        "version": 1,
        "title": "Sample day: an invented car, driven by a simulation",
        "builds": builds.iter().map(build).collect::<Vec<_>>(),
        "vehicle": { "mass_kg": 1385.0, "drive": "rear", "tyres": "road", "rolling_radius_m": 0.322 },
        "speed_marks_mps": [60.0 * MPS_PER_MPH, 70.0 * MPS_PER_MPH, 80.0 * MPS_PER_MPH],
    })
}

/// What each part truly changes: every build driven alike, in the first one's air, three
/// pulls without any scatter, seen by a sensor without a lag. Third pull against third.
fn effects(builds: &[Build]) -> Value {
    let first = builds.iter().filter_map(|build| Some((build.name, &build.outings.first()?.1)));
    let Some(air) = first.clone().next().map(|(_, outing)| outing.air) else { return Value::Null };
    let thirds: Vec<Value> = first.map(|(name, outing)| third(name, &outing.car, air)).collect();
    json!({ "air": { "ambient_c": air.ambient_c, "relative_humidity_percent": air.humidity_percent, "pressure_kpa": air.pressure_kpa }, "third_pull": thirds })
}

fn third(name: &str, car: &Car, air: Air) -> Value {
    let plan = Drive {
        acts: super::driver::even_drive(3, 39.0),
        manner: loggers::LAUNCH,
        air,
        slope: 0.0,
        warm_k: 9.0,
        moods: Vec::new(),
    };
    let trace = drive(car, &plan);
    let Some(pull) = pulls(&trace, car, 0.0).pop() else { return Value::Null };
    json!({
        "build": name,
        "start_c": pull.heat.start_c,
        "end_c": pull.heat.end_c,
        "rise_c": pull.heat.rise_c,
        "tau_s": pull.heat.tau_s,
        "tau_at_rest_s": tidy(car.cooling.tau_s(0.0)),
        "tau_at_12_5_mps_s": tidy(car.cooling.tau_s(12.5)),
        "time_to_60mph_s": pull.marks.get("0-60mph"),
    })
}

/// How many signals are read in turn: each comes this many rows after its last.
pub fn in_turn(channels: &mut [(super::recorder::Column, Sensor)], row_s: f64) {
    let period_s = row_s * channels.len() as f64;
    for (at, (_, sensor)) in channels.iter_mut().enumerate() {
        sensor.period_s = period_s;
        sensor.first_s = at as f64 * row_s;
    }
}
