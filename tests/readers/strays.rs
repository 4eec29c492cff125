//! Readings that no car has are left out and said, and the channel keeps its role.
//!
//! A hundred readings at ten a second; each stray is put in by hand.

use pullmark::log::{Log, Role, read};

fn drive(name: &str, strays: &[(usize, &str)]) -> Log {
    let value = |n: usize| {
        let stray = strays.iter().find(|(at, _)| *at == n);
        stray.map_or_else(
            // An engine idles far above what is usual for all others.
            || format!("{:.1}", (40.0 + n as f64 / 10.0) * if name == "RPM" { 25.0 } else { 1.0 }),
            |(_, value)| (*value).to_owned(),
        )
    };
    let rows = (0..100).map(|n| format!("{}.{},{}\n", n / 10, n % 10, value(n)));
    read("a.csv", format!("Time (s),{name}\n{}", rows.collect::<String>()).as_bytes()).unwrap()
}

#[test]
fn a_few_readings_beyond_belief_are_left_out_and_said() {
    for (name, role, stray) in [
        ("Speed (km/h)", Role::VehicleSpeed, "1e308"),
        ("Speed (km/h)", Role::VehicleSpeed, "7421"),
        ("ECT (C)", Role::Coolant, "-273.1"),
        ("Latitude", Role::Latitude, "948.5"),
        ("Latitude", Role::Latitude, "0.0"),
    ] {
        let log = drive(name, &[(7, stray)]);
        let series =
            log.series(role).unwrap_or_else(|| panic!("{name} {stray}: {:?}", log.problems));
        assert_eq!(series.len(), 99, "{name} {stray}");
        assert!(!series.time_s.contains(&0.7), "{name} {stray}");
        let said = log.problems.iter().find(|problem| problem.code == "strays");
        let said = said.unwrap_or_else(|| panic!("{name} {stray}: {:?}", log.problems));
        assert!(
            said.text.contains(": one reading that no ")
                && said.text.ends_with("at 0.7 s, was left out."),
            "{}",
            said.text
        );
    }
}

/// A byte, ten or sixteen bits all set, times the factor of the signal; the byte of a
/// temperature that is 0; what a phone writes for a speed that it does not have.
#[test]
fn numbers_for_nothing_are_left_out_and_said() {
    for (name, role, code) in [
        ("RPM", Role::EngineSpeed, "16383.75"),
        ("RPM", Role::EngineSpeed, "65535"),
        ("Speed (km/h)", Role::VehicleSpeed, "655.35"),
        ("Speed (km/h)", Role::VehicleSpeed, "255"),
        ("MAP (kPa)", Role::ManifoldPressure, "6553.5"),
        ("IAT (C)", Role::InletAir, "-40"),
        ("IAT (C)", Role::InletAir, "1.797693e308"),
        ("RPM", Role::EngineSpeed, "3.4028235e+38"),
        ("GPS speed (m/s)", Role::SatelliteSpeed, "-1"),
        ("GPS speed (km/h)", Role::SatelliteSpeed, "-1.00"),
    ] {
        // At the start and in the middle, ten readings each.
        let places: Vec<(usize, &str)> = (0..10).chain(50..60).map(|at| (at, code)).collect();
        let log = drive(name, &places);
        let series = log.series(role).unwrap_or_else(|| panic!("{name}: {:?}", log.problems));
        assert_eq!((series.len(), series.time_s[0]), (80, 1.0), "{name} {code}");
        let written: f64 = code.parse().unwrap();
        let written = if written < 1e16 { format!("{written}") } else { format!("{written:e}") };
        let said = log.problems.iter().find(|problem| problem.code == "code_for_nothing");
        assert_eq!(
            said.unwrap_or_else(|| panic!("{name}: {:?}", log.problems)).text,
            format!(
                "\"{}\" reads {written} 20 times and nothing else near it; that was taken for no reading.",
                name.split(" (").next().unwrap()
            )
        );
    }
}

/// A pressure that runs into the end of its byte was cut off there; a car may roll back.
#[test]
fn a_reading_that_is_a_number_for_nothing_by_chance_stays() {
    let ramp: Vec<(usize, String)> =
        (0..100).map(|n| (n, format!("{}", (100 + 8 * n).min(255)))).collect();
    let ramp: Vec<(usize, &str)> = ramp.iter().map(|(n, text)| (*n, text.as_str())).collect();
    assert_eq!(drive("MAP (kPa)", &ramp).series(Role::ManifoldPressure).unwrap().len(), 100);
    let back = drive("GPS speed (m/s)", &[(0, "-0.5"), (1, "-1"), (2, "-0.4")]);
    assert_eq!(back.series(Role::SatelliteSpeed).unwrap().len(), 100);
}

/// More than one in fifty, and the name is wrong rather than the readings.
#[test]
fn many_readings_beyond_belief_take_the_role() {
    let strays: Vec<(usize, &str)> = (0..20).map(|n| (5 * n, "900")).collect();
    let log = drive("Speed (km/h)", &strays);
    assert_eq!(log.channels[0].role, None);
    assert_eq!(log.channels[0].series.len(), 100);
}

#[test]
fn a_drive_over_the_equator_keeps_its_positions() {
    let rows = (0..100).map(|n| format!("{n},{:.4},9.5\n", (f64::from(n) - 50.0) / 1000.0));
    let log = read(
        "a.csv",
        format!("Time (s),Latitude,Longitude\n{}", rows.collect::<String>()).as_bytes(),
    )
    .unwrap();
    assert_eq!(log.series(Role::Latitude).unwrap().len(), 100);
}
