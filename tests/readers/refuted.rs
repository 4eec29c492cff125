//! Labels that the car's motion refutes: speeds in another unit, times a thousand times off.

use pullmark::log::{Log, Role, read};

/// A drive of 200 s, ten records a second: up to 25 m/s and back in every 40 s, due north.
/// Each row is given the time, s, the speed, m/s, and the latitude, degrees.
fn drive(header: &str, row: impl Fn(f64, f64, f64) -> String) -> Result<Log, String> {
    // Degrees to a metre: a 360th of the mean circumference.
    const DEGREES_PER_METRE: f64 = 360.0 / (std::f64::consts::TAU * 6_371_008.8);
    let (mut latitude, mut before) = (48.0, 0.0);
    let rows: String = (0..2000)
        .map(|n| {
            let phase = f64::from(n % 400) / 10.0;
            let speed = if phase < 20.0 { 1.25 * phase } else { 50.0 - 1.25 * phase };
            latitude += (before + speed) / 2.0 * 0.1 * DEGREES_PER_METRE;
            before = speed;
            row(f64::from(n) / 10.0, speed, latitude)
        })
        .collect();
    read("a.csv", format!("{header}\n{rows}").as_bytes()).map_err(|error| error.to_string())
}

fn said(log: &Log) -> Vec<&str> {
    let refuted = log.problems.iter().filter(|problem| problem.code == "unit_refuted");
    refuted.map(|problem| problem.text.as_str()).collect()
}

#[test]
fn a_speed_that_moves_in_another_unit_than_its_own_is_said() {
    let beside_positions = |header: &str, factor: f64| {
        let row = |t, v: f64, lat| format!("{t:.1},{:.2},{lat:.7},11.0\n", v * factor);
        drive(&format!("Time (s),{header},Latitude,Longitude"), row).unwrap()
    };
    let log = beside_positions("Speed (mph)", 3.6);
    assert_eq!(
        said(&log),
        [
            "\"Speed\" is labelled mph, but against the positions it moves as km/h would: they give 0.621 \
             of it throughout. If the label is wrong, name the column with its true unit and open the log \
             again."
        ]
    );
    assert_eq!(said(&beside_positions("Speed (km/h)", 1.0)).len(), 1);
    assert_eq!(said(&beside_positions("Speed (m/s)", 3.6)).len(), 1);
    // Right labels, also of tyres that are worn by 4 %.
    for factor in [3.6, 3.6 * 1.04] {
        assert_eq!(said(&beside_positions("Speed (km/h)", factor)), [""; 0]);
    }
    assert_eq!(said(&beside_positions("Speed (kn)", 3600.0 / 1852.0)), [""; 0]);
}

#[test]
fn two_speeds_that_differ_as_two_units_do_are_said() {
    let both = |factor: f64| {
        let row = |t, v: f64, _| format!("{t:.1},{:.2},{:.2}\n", v * factor, v * 3.6);
        drive("Time (s),Speed (mph),GPS speed (km/h)", row).unwrap()
    };
    let log = both(3.6);
    assert_eq!(
        said(&log),
        [
            "\"Speed\" [mph] and \"GPS speed\" [km/h] differ by 0.621 throughout, as km/h and mph do: one of \
             the two labels is wrong. Name that column with its true unit and open the log again."
        ]
    );
    assert_eq!(said(&both(3.6 / 1.609_344)), [""; 0]);
}

#[test]
fn times_a_thousand_times_a_cars_are_refused() {
    let timed = |header: &str, factor: f64| {
        let row = |t: f64, v: f64, _| format!("{:.4},{:.1}\n", t * factor, v * 3.6);
        drive(&format!("{header},Speed (km/h)"), row)
    };
    for (header, factor, much, true_one) in [
        ("Time (s)", 1000.0, "as much as 9900 s", "shorter: ms in a column of s"),
        ("Time (ms)", 1.0, "only 9.9e-3 s", "longer: s in a column of ms"),
    ] {
        let refused = timed(header, factor).unwrap_err();
        let found = format!("\"Speed\" takes {much} for 44.6 km/h where it is ");
        let end = format!(
            "the times of a car would be a thousand times {true_one}. Name the column of the time with \
             its true unit, and open the log again."
        );
        assert!(
            refused.starts_with("a.csv, times: as they are read (time from \"Time\" in "),
            "{refused}"
        );
        assert!(refused.contains(&found) && refused.ends_with(&end), "{refused}");
    }
    for (header, factor) in [("Time (s)", 1.0), ("Time (ms)", 1000.0), ("Time (min)", 1.0 / 60.0)] {
        let log = timed(header, factor).unwrap();
        assert_eq!(
            log.channel(Role::VehicleSpeed).map(|speed| speed.series.len()),
            Some(2000),
            "{header}"
        );
    }
}
