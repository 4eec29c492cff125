//! The open recordings in `tests/data/open`, against what their README states.
//!
//! The README's figures were computed from the raw files by other means (linear
//! interpolation in a script); see there for sources and licences.

use pullmark::log::{Channel, Form, Log, Role, Series, read};
use pullmark::unit::{MPS_PER_KMH, MPS_PER_MPH};

fn open(name: &str) -> Log {
    let path = format!("{}/tests/data/open/{name}", env!("CARGO_MANIFEST_DIR"));
    read(name, &std::fs::read(path).unwrap()).unwrap()
}

fn channel(log: &Log, role: Role) -> &Channel {
    log.channel(role).unwrap_or_else(|| panic!("{} has no {role:?}", log.name))
}

fn ends(series: &Series) -> (f64, f64) {
    let values = series.value.iter().copied();
    (values.clone().fold(f64::MAX, f64::min), values.fold(f64::MIN, f64::max))
}

fn near(found: f64, stated: f64, within: f64) {
    assert!((found - stated).abs() <= within, "found {found}, stated {stated} ± {within}");
}

/// The first time after `from_s` at which a rising series crosses a value.
fn crossing(series: &Series, value: f64, from_s: f64) -> f64 {
    let start = series.first_at(from_s);
    let at = (start + 1..series.len()).find(|&k| series.value[k] >= value).unwrap();
    let (t0, t1, v0, v1) =
        (series.time_s[at - 1], series.time_s[at], series.value[at - 1], series.value[at]);
    t0 + (t1 - t0) * (value - v0) / (v1 - v0)
}

/// Seconds from the 1 mph crossing after `from_s` to a speed in mph.
fn from_rest_s(series: &Series, mph: f64, from_s: f64) -> f64 {
    let one = crossing(series, MPS_PER_MPH, from_s);
    crossing(series, mph * MPS_PER_MPH, one) - one
}

#[test]
fn the_car_at_one_hertz_gives_its_speeds_and_starts() {
    let log = open("nds_drive06.csv");
    assert_eq!((log.form, log.rows), (Form::Csv, 547));
    let speed = channel(&log, Role::SatelliteSpeed);
    assert_eq!(speed.name, "speed_mph");
    near(ends(&speed.series).1 / MPS_PER_MPH, 48.1, 0.05);
    near(speed.rate_hz.unwrap(), 1.0, 0.01);
    let rpm = channel(&log, Role::EngineSpeed);
    assert_eq!(log.rows - rpm.series.len() as u64, 10, "engine speed is missing in 10 rows");
    assert_eq!(ends(&rpm.series).1, 2918.0);
    // "The last one 0-20 mph 5.74 s, 0-30 mph 9.51 s", from the 1 mph crossing near 397 s.
    near(from_rest_s(&speed.series, 20.0, 395.0), 5.74, 0.01);
    near(from_rest_s(&speed.series, 30.0, 395.0), 9.51, 0.01);
    assert_eq!(channel(&log, Role::Throttle).name, "engine_throttle");
    assert_eq!(channel(&log, Role::Latitude).name, "gps_lat");
}

#[test]
fn the_second_drive_gives_its_rows_and_ranges() {
    let log = open("nds_drive25.csv");
    let rpm = channel(&log, Role::EngineSpeed);
    assert_eq!((log.rows, rpm.series.len()), (142, 142));
    assert_eq!(ends(&rpm.series).1, 2779.0);
    near(ends(&channel(&log, Role::SatelliteSpeed).series).1 / MPS_PER_MPH, 32.8, 0.05);
}

#[test]
fn a_day_of_satellite_speed_keeps_its_holes_and_starts() {
    let log = open("gps_1hz_4115985_1_2007-04-23.csv");
    assert_eq!(log.rows, 636);
    let speed = channel(&log, Role::SatelliteSpeed);
    let holes = speed.series.time_s.windows(2).filter(|pair| pair[1] - pair[0] > 2.0).count();
    assert_eq!(holes, 9);
    // From the 1 mph crossing: 0-30 mph 9.79 s at 42 s, 0-40 mph 16.36 s, 6.98 s and 6.77 s later.
    near(from_rest_s(&speed.series, 30.0, 41.0), 9.79, 0.01);
    near(from_rest_s(&speed.series, 40.0, 41.0), 16.36, 0.01);
    near(from_rest_s(&speed.series, 30.0, 42324.0), 6.98, 0.01);
    near(from_rest_s(&speed.series, 30.0, 42427.0), 6.77, 0.01);
}

#[test]
fn the_receiver_log_gives_thirteen_fixes_and_no_run() {
    let log = open("moving_in_car_bt451.nmea");
    assert_eq!((log.form, log.rows), (Form::Nmea, 144));
    let speed = channel(&log, Role::SatelliteSpeed);
    assert_eq!(speed.series.len(), 13);
    near(speed.rate_hz.unwrap(), 2.0, 1e-9);
    let kmh: Vec<f64> = speed.series.value.iter().map(|v| v / MPS_PER_KMH).collect();
    assert_eq!(kmh.iter().filter(|v| **v < 1.0).count(), 8, "8 standing");
    let moving = kmh.iter().filter(|v| (56.0..=60.0).contains(*v)).count();
    assert_eq!(moving, 5, "5 in a car at 56 to 60 km/h");
    let codes: Vec<&str> = log.problems.iter().map(|problem| problem.code).collect();
    assert!(codes.contains(&"pieces") && !codes.contains(&"checksum"), "{codes:?}");
    assert!(log.problems.iter().any(|p| p.code == "no_fix" && p.text.starts_with("4 RMC")));
}

#[test]
fn the_track_gives_its_points_and_a_speed_marked_as_derived() {
    let log = open("around-visnjan-with-car.gpx");
    assert_eq!((log.form, log.rows, log.span_s), (Form::Gpx, 104, 514.0));
    let speed = channel(&log, Role::SatelliteSpeed);
    assert!(speed.derived);
    near(ends(&speed.series).1 / MPS_PER_KMH, 91.0, 1.0);
    assert_eq!(channel(&log, Role::Latitude).series.len(), 104);
}

/// The three clocks of the wheel-speed recording: role, samples, rate.
const WHEELS: [(Role, usize, f64); 7] = [
    (Role::VehicleSpeed, 1244, 82.9),
    (Role::WheelSpeedFrontLeft, 1244, 82.9),
    (Role::WheelSpeedFrontRight, 1244, 82.9),
    (Role::WheelSpeedRearLeft, 1244, 82.9),
    (Role::WheelSpeedRearRight, 1244, 82.9),
    (Role::LongitudinalAcceleration, 1564, 104.3),
    (Role::SatelliteSpeed, 144, 9.6),
];

#[test]
fn both_containers_of_the_wheel_speeds_hold_the_same_readings() {
    let (csv, mdf) = (open("wheelspeed_imu_15s.csv"), open("wheelspeed_imu_15s.mf4"));
    assert_eq!((csv.form, mdf.form), (Form::Csv, Form::Mdf4));
    for (role, samples, rate) in WHEELS {
        let (a, b) = (channel(&csv, role), channel(&mdf, role));
        assert_eq!((a.series.len(), b.series.len()), (samples, samples), "{role:?}");
        near(a.rate_hz.unwrap(), rate, 0.05);
        near(b.rate_hz.unwrap(), rate, 0.05);
        for at in 0..samples {
            // The CSV was written with times to 0.1 ms and values to nine digits.
            near(a.series.time_s[at], b.series.time_s[at], 1.1e-4);
            near(a.series.value[at], b.series.value[at], 1e-8 * b.series.value[at].abs().max(1.0));
        }
    }
    let (lowest, highest) = ends(&channel(&csv, Role::VehicleSpeed).series);
    near(lowest, 7.97, 0.005);
    near(highest, 19.84, 0.005);
}

#[test]
fn polled_in_turn_each_signal_keeps_its_own_readings_only() {
    let log = open("obd_city_drive_20min.csv");
    assert_eq!((log.rows, log.span_s.round()), (8903, 1205.0));
    for channel in &log.channels {
        // "Each signal is refreshed about every 1.35 s": one of ten in every row.
        near(1.0 / channel.rate_hz.unwrap(), 1.35, 0.01);
        assert!((890..=891).contains(&channel.series.len()), "{}", channel.name);
    }
    assert_eq!(ends(&channel(&log, Role::EngineSpeed).series).1, 2785.0);
    assert_eq!(ends(&channel(&log, Role::InletAir).series), (-2.0, 17.0));
    assert!(log.channel(Role::ChargeAir).is_none(), "before the engine, not after a cooler");
    for role in
        [Role::Coolant, Role::ManifoldPressure, Role::AmbientAir, Role::Throttle, Role::Pedal]
    {
        channel(&log, role);
    }
}

/// "Engine speed over vehicle speed, each at its own poll, gathers near 58.5, 37.3,
/// 25.7 and 20.3 rpm per km/h": with stale pairs it would smear.
#[test]
fn fresh_pairs_of_engine_and_road_speed_gather_at_the_gears() {
    let log = open("obd_city_drive_20min.csv");
    let speed = &channel(&log, Role::VehicleSpeed).series;
    let rpm = &channel(&log, Role::EngineSpeed).series;
    let ratios: Vec<f64> = (0..speed.len())
        .filter(|&at| speed.value[at] > 15.0 * MPS_PER_KMH)
        .filter_map(|at| Some(rpm.at(speed.time_s[at])? / (speed.value[at] / MPS_PER_KMH)))
        .collect();
    for gear in [58.5, 37.3, 25.7, 20.3] {
        let close = |share: f64| ratios.iter().filter(|r| (**r / gear - 1.0).abs() < share).count();
        // Twice as dense within 3 % as an even spread over 12 % would be.
        assert!(close(0.03) * 2 > close(0.12), "{gear}: {} of {}", close(0.03), close(0.12));
    }
}
