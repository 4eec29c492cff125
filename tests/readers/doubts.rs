//! What a log leaves open is decided by what is known, and said.
//!
//! Tables are made by hand; a reading is told by its time.

use pullmark::log::{Log, Role, read};

/// Five seconds at ten a second, every column a function of the seconds.
fn table(names: &str, row: impl Fn(f64) -> String) -> Log {
    let rows = (0..50).map(|n| format!("{}.{},{}\n", n / 10, n % 10, row(f64::from(n) / 10.0)));
    read("a.csv", format!("Time (s),{names}\n{}", rows.collect::<String>()).as_bytes()).unwrap()
}

fn said<'a>(log: &'a Log, code: &str) -> Vec<&'a str> {
    let problems = log.problems.iter().filter(|problem| problem.code == code);
    problems.map(|problem| problem.text.as_str()).collect()
}

#[test]
fn two_columns_of_one_role_are_said_with_which_was_used_and_why() {
    let log = table("Charge air upper (°C),Charge air (°C),RPM", |t| {
        format!("{},{},{}", 60.0 + t, 30.0 + t, 900.0 + 100.0 * t)
    });
    assert_eq!(log.series(Role::ChargeAir).unwrap().value[0], 30.0);
    assert_eq!(
        said(&log, "role_twice"),
        [
            "2 columns are named like charge air: \"Charge air\" is used, as its name is the plainer \
          one, and not \"Charge air upper\"."
        ]
    );
    // Twice the readings a second weigh more than the place in the file.
    let log = table("Speed (km/h),Vehicle speed (km/h)", |t| {
        let every_other = ((t * 10.0).round() as u32).is_multiple_of(2);
        format!("{},{}", if every_other { format!("{t}") } else { String::new() }, 2.0 * t)
    });
    let [text] = said(&log, "role_twice")[..] else { panic!("{:?}", log.problems) };
    assert_eq!(
        text,
        "2 columns are named like vehicle speed: \"Vehicle speed\" is used, as it is read more often, \
         and not \"Speed\"."
    );
    // Each wheel and each side of the cooler is a role of its own.
    let log = table(
        "Wheel speed FL (km/h),Wheel speed FR (km/h),T vor LLK (°C),T nach LLK (°C)",
        |t| format!("{t},{t},{},{}", 60.0 + t, 30.0 + t),
    );
    assert_eq!(said(&log, "role_twice"), [""; 0]);
}

/// Receivers write 0°, 0° until they have a fix: no car, and no speed of 2 000 km/s.
#[test]
fn positions_without_a_fix_make_no_speed() {
    let log = table("Latitude,Longitude", |t| match t < 1.0 {
        true => "0.0,0.0".to_owned(),
        false => format!("{:.6},11.5", 48.1 + t * 1e-4),
    });
    assert_eq!(
        said(&log, "no_fix"),
        [
            "10 of 50 positions are 0°, 0° or outside the degrees of the Earth; they were left out as no fix."
        ]
    );
    assert_eq!(log.series(Role::Latitude).unwrap().time_s[0], 1.0);
    // 1e-4° a second are 11.12 m/s on a sphere of 6 371 km.
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert!(speed.value.iter().all(|mps| (mps - 11.12).abs() < 0.02), "{:?}", speed.value);
}

/// A receiver without a fix knows neither its speed nor its height; the car's own speed
/// it did not write.
#[test]
fn without_a_fix_a_receiver_has_no_speed_either() {
    let log = table("Latitude,Longitude,GPS speed (km/h),Speed (km/h)", |t| match t < 1.0 {
        true => format!("0.0,0.0,0.0,{}", 40.0 + t),
        false => format!("{:.6},11.5,{},{}", 48.1 + t * 1e-4, 40.0 + t, 40.0 + t),
    });
    assert_eq!(
        said(&log, "no_fix"),
        [
            "10 of 50 positions are 0°, 0° or outside the degrees of the Earth; they were left out as \
             no fix. So were 10 readings of \"GPS speed\" at these times."
        ]
    );
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert_eq!((speed.time_s[0], speed.len()), (1.0, 40));
    assert_eq!(log.series(Role::VehicleSpeed).unwrap().len(), 50);
}

/// 0.61 bar under the air is what an engine draws at idle; 0.61 psi is not.
#[test]
fn a_boost_without_a_unit_is_in_the_one_in_which_the_engine_idles() {
    let log = table("Boost,Speed (km/h)", |t| format!("{:.2},{t}", -0.61 + 0.32 * t));
    assert_eq!(log.channels[0].unit.map(|unit| unit.symbol), Some("bar gauge"));
    let log = table("Boost,Speed (mph)", |t| format!("{:.2},{t}", -9.0 + 4.6 * t));
    assert_eq!(log.channels[0].unit.map(|unit| unit.symbol), Some("psi gauge"));
}

/// A coolant at 190 can only be in °F, and who writes °F writes mph.
#[test]
fn a_speed_without_a_unit_is_customary_like_the_temperatures() {
    let log = table("Speed,Coolant temp", |t| format!("{},{}", 12.0 * t, 190.0 + t));
    assert_eq!(log.channels[0].unit.map(|unit| unit.symbol), Some("mph"));
}
