//! Positions in every form that a receiver or a spreadsheet gives them, and the speed that
//! their digits allow.
//!
//! A car drives north from 48° 6' at ten records a second. A degree of latitude is
//! 111 194.9 m on a sphere of 6 371 008.8 m, the Earth's mean radius (IUGG 1980).

use pullmark::log::{Log, Role, read};

const METRE: f64 = 1.0 / 111_194.9;
const ROWS: usize = 300;

fn table(names: &str, row: impl Fn(usize) -> String) -> Log {
    let rows = (0..ROWS).map(|n| format!("{}.{},{}\n", n / 10, n % 10, row(n)));
    read("a.csv", format!("Time (s),{names}\n{}", rows.collect::<String>()).as_bytes()).unwrap()
}

/// From rest at 3 m/s², in degrees.
fn latitude(n: usize) -> f64 {
    let t = n as f64 / 10.0;
    48.1 + 1.5 * t * t * METRE
}

fn said<'a>(log: &'a Log, code: &str) -> Vec<&'a str> {
    let problems = log.problems.iter().filter(|problem| problem.code == code);
    problems.map(|problem| problem.text.as_str()).collect()
}

/// North or south by `sign`, and every position within a metre.
fn holds_the_drive(log: &Log, sign: f64) {
    let close = |role: Role, wanted: &dyn Fn(usize) -> f64| {
        let series = log.series(role).unwrap_or_else(|| panic!("{role:?}: {:?}", log.problems));
        assert_eq!(series.len(), ROWS);
        for (n, value) in series.value.iter().enumerate() {
            assert!((value - wanted(n)).abs() < METRE, "{role:?} {n}: {value}");
        }
    };
    close(Role::Latitude, &|n| sign * latitude(n));
    close(Role::Longitude, &|_| sign * 11.5);
}

#[test]
fn degrees_and_minutes_in_columns_of_their_own_are_one_position() {
    let minutes = |n: usize| format!("48,{:.6},11,30.000000", (latitude(n) - 48.0) * 60.0);
    let log = table("Lat deg,Lat min,Lon deg,Lon min", minutes);
    holds_the_drive(&log, 1.0);
    assert_eq!(
        said(&log, "position_parts"),
        [
            "\"Lat deg\" was read as one position with \"Lat min\".",
            "\"Lon deg\" was read as one position with \"Lon min\"."
        ]
    );
    assert!(log.channels.iter().all(|channel| !channel.name.contains("min")));
    let signed = |n: usize| format!("-48,{:.6},-11,30", (latitude(n) - 48.0) * 60.0);
    holds_the_drive(&table("Lat deg,Lat min,Lon deg,Lon min", signed), -1.0);
    let seconds = |n: usize| {
        let seconds = (latitude(n) - 48.1) * 3600.0;
        format!("48,{},{:.5},S,11,30,0,W", 6 + (seconds / 60.0) as u32, seconds % 60.0)
    };
    let log = table("Lat deg,Lat min,Lat sec,N/S,Lon deg,Lon min,Lon sec,E/W", seconds);
    holds_the_drive(&log, -1.0);
    assert_eq!(
        said(&log, "position_parts")[0],
        "\"Lat deg\" was read as one position with \"Lat min\" and \"Lat sec\" and \"N/S\"."
    );
}

#[test]
fn a_hemisphere_beside_a_position_is_its_sign() {
    let row = |n: usize| format!("{:.7},S,11.5,W", latitude(n));
    holds_the_drive(&table("Latitude,NS,Longitude,EW", row), -1.0);
    // Over the meridian of Greenwich: 0.05° west to 0.05° east.
    let log = table("Latitude,NS,Longitude,EW", |n| {
        let east = (n as f64 - 150.0) / 3000.0;
        format!("51.5,N,{:.6},{}", east.abs(), if east < 0.0 { "W" } else { "E" })
    });
    let longitude = log.series(Role::Longitude).unwrap();
    for (n, value) in longitude.value.iter().enumerate() {
        assert!((value - (n as f64 - 150.0) / 3000.0).abs() < 1e-6, "{n}: {value}");
    }
    // A gear box in neutral and sport stands nowhere near one.
    let log = table("Speed (km/h),Gear", |n| format!("{n},{}", if n < 9 { "N" } else { "S" }));
    assert_eq!(log.series(Role::Gear).map(|gear| gear.value.clone()), Some(vec![0.0; 9]));
}

#[test]
fn degrees_and_minutes_run_together_are_told_by_what_no_degree_can_be() {
    let written = |n: usize| format!("{:.5}", 4800.0 + (latitude(n) - 48.0) * 60.0);
    let log = table("Latitude,Longitude", |n| format!("{},1130.00000", written(n)));
    holds_the_drive(&log, 1.0);
    assert_eq!(
        said(&log, "position_minutes"),
        [
            "\"Latitude\" reads up to 4807, which is no latitude in degrees; it and \"Longitude\" were \
             taken as degrees and minutes run together, as receivers write them."
        ]
    );
    let log = table("Lat,N/S,Lon,E/W", |n| format!("{},S,01130.00000,W", written(n)));
    holds_the_drive(&log, -1.0);
    // 75 minutes are none: what it is cannot be told, and nothing is made of it.
    let log = table("Latitude,Longitude", |n| format!("48{:.4},1130.0", 75.0 + n as f64 / 1e3));
    assert!(log.series(Role::Latitude).is_none());
    assert!(log.series(Role::SatelliteSpeed).is_none());
}

/// The speed is the mean over 0.2 s: a step of 1.11 m makes 5.56 m/s of it, one of 0.111 m
/// 0.556 m/s.
#[test]
fn no_speed_is_made_of_positions_with_too_few_digits() {
    let with = |decimals: usize| {
        table("Latitude,Longitude", move |n| format!("{:.decimals$},11.5", latitude(n)))
    };
    let log = with(5);
    assert!(log.series(Role::SatelliteSpeed).is_none());
    assert_eq!(
        said(&log, "positions_coarse"),
        ["The positions are written in steps of 1.11 m; a speed from them would move in steps of \
             5.56 m/s, so that none was worked out. Log the receiver's own speed, or positions with \
             more digits."]
    );
    let log = with(6);
    assert_eq!(said(&log, "positions_coarse"), [""; 0]);
    let speed = log.channel(Role::SatelliteSpeed).unwrap();
    assert!((speed.resolution.unwrap() - 0.556).abs() < 0.001, "{:?}", speed.resolution);
    assert!(speed.how.ends_with(", in steps of 0.56 m/s"), "{}", speed.how);
    // A pace that keeps to the grid shows nothing of it.
    let even = table("Latitude,Longitude", |n| format!("{:.7},11.5", 48.1 + n as f64 * 2e-5));
    let speed = even.channel(Role::SatelliteSpeed).unwrap();
    assert!(speed.series.value.iter().all(|v| (v - 2e-4 / METRE).abs() < 0.01));
    // Of whole degrees there is none, however still they stand.
    let whole = table("Latitude,Longitude", |_| "48,11".to_owned());
    assert!(whole.series(Role::SatelliteSpeed).is_none());
}
