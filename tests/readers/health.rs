//! Health: what was stuck or cut off is said with its place; sound recordings are not.
//!
//! The drives here are made of plain arithmetic, so that the place and the value of
//! each fault are known.

use pullmark::log::{Log, read};

/// A drive of one minute, ten records a second: speeds rise and fall between 20 and
/// 100 km/h within 20 s, the accelerometer follows; `change` spoils a record.
fn drive(names: &str, change: impl Fn(f64, &mut Vec<f64>)) -> Log {
    let mut text = format!("Time (s),{names}\n");
    for n in 0..600u32 {
        let t = f64::from(n) / 10.0;
        let wave = libm::sin(t / 20.0 * std::f64::consts::TAU);
        // A few thousandths that differ from record to record.
        let noise = f64::from(n * 7919 % 101) / 1000.0;
        let speed = 60.0 + 40.0 * wave;
        let push = 0.35 * libm::cos(t / 20.0 * std::f64::consts::TAU);
        let mut row = vec![
            speed + noise,
            speed + 0.5 - noise,
            2000.0 + 1500.0 * wave + noise,
            push + noise / 10.0,
        ];
        change(t, &mut row);
        let cells: Vec<String> = row.iter().map(|value| format!("{value:.3}")).collect();
        text.push_str(&format!("{t},{}\n", cells.join(",")));
    }
    read("drive.csv", text.as_bytes()).unwrap()
}

const NAMES: &str = "Speed (km/h),GPS speed (km/h),RPM,Longitudinal acceleration (g)";
const SPEED: usize = 0;
const ENGINE: usize = 2;
const PUSH: usize = 3;

fn texts(log: &Log) -> Vec<&str> {
    let of_health = log.problems.iter().filter(|p| matches!(p.code, "stuck" | "clipped" | "dead"));
    of_health.map(|problem| problem.text.as_str()).collect()
}

#[test]
fn a_sound_drive_has_nothing_to_report() {
    assert_eq!(texts(&drive(NAMES, |_, _| ())), [""; 0]);
}

#[test]
fn a_speed_that_stands_while_another_moves_on_was_stuck() {
    let log = drive(NAMES, |t, row| {
        if (21.95..30.05).contains(&t) {
            row[SPEED] = 84.5;
        }
    });
    assert_eq!(
        texts(&log),
        [
            "\"Speed\" stands at 84.5 km/h from 22.0 s to 30.0 s while \"GPS speed\" moves on: it was \
          stuck. Times and distances that rest on it there are not to be believed."
        ]
    );
}

#[test]
fn an_engine_speed_that_stands_while_the_car_moves_on_was_stuck() {
    let log = drive("Speed (km/h),Note 1,RPM,Note 2", |t, row| {
        if (40.0..48.0).contains(&t) || (50.0..58.0).contains(&t) {
            row[ENGINE] = 2500.25;
        }
    });
    assert_eq!(
        texts(&log),
        ["\"RPM\" stands at 2500 rpm from 40.0 s to 47.9 s while \"Speed\" moves on \
          (2 such stretches): it was stuck. Gears and slip cannot be told from it there."]
    );
}

/// Out of gear an engine idles while the car rolls to a stop; but no car pulls away so.
#[test]
fn an_engine_that_idles_while_the_car_rolls_out_is_not_stuck() {
    let rolling = |from: f64, to: f64| {
        drive("Speed (km/h),Note 1,RPM,Note 2", move |t, row| {
            let along = ((t - 40.0) / 15.0).clamp(0.0, 1.0);
            if t < 5.0 {
                (row[SPEED], row[ENGINE]) = (0.0, 860.0);
            }
            if (40.0..55.0).contains(&t) {
                (row[SPEED], row[ENGINE]) = (from + (to - from) * along, 860.0);
            }
        })
    };
    assert_eq!(texts(&rolling(90.0, 0.0)), [""; 0]);
    let pulling_away = rolling(0.0, 90.0);
    let [stuck] = texts(&pulling_away)[..] else { panic!("not told") };
    assert!(stuck.starts_with("\"RPM\" stands at 860 rpm from 40.0 s to 54.9 s"), "{stuck}");
}

/// Cruising for half a minute at whole km/h, or standing still, is nothing odd.
#[test]
fn cruising_and_standing_are_not_stuck() {
    let cruise = drive(NAMES, |t, row| {
        if (10.0..40.0).contains(&t) {
            (row[SPEED], row[SPEED + 1], row[ENGINE]) = (70.0, 70.0 + t / 100.0, 2200.0 + t);
        }
        row[SPEED] = row[SPEED].round();
    });
    assert_eq!(texts(&cruise), [""; 0]);
    let stop = drive(NAMES, |t, row| {
        if (10.0..40.0).contains(&t) {
            *row = vec![0.0, 0.0, 800.0 + t, 0.01];
        }
    });
    assert_eq!(texts(&stop), [""; 0]);
}

/// 0.35 g at most, in a sensor that ends at 0.3 g.
#[test]
fn an_accelerometer_at_its_end_was_cut_off() {
    let log = drive(NAMES, |_, row| row[PUSH] = row[PUSH].min(0.3));
    let [text] = texts(&log)[..] else { panic!("{:?}", texts(&log)) };
    assert!(text.starts_with("\"Longitudinal acceleration\" reads exactly 0.30 g "), "{text}");
    assert!(
        text.ends_with("it was cut off there. What the car gained there is not in it."),
        "{text}"
    );
}

/// 8-bit parameters of SAE J1979 end at 255 kPa.
#[test]
fn a_manifold_pressure_at_the_end_of_its_byte_was_cut_off() {
    let names = "Speed (km/h),Note 1,Manifold pressure (kPa),Note 2";
    let log = drive(names, |t, row| {
        row[ENGINE] =
            (180.0 + 120.0 * libm::sin(t / 20.0 * std::f64::consts::TAU)).min(255.0).round();
    });
    let [text] = texts(&log)[..] else { panic!("{:?}", texts(&log)) };
    assert!(text.starts_with("\"Manifold pressure\" reads exactly 255 kPa "), "{text}");
    assert!(text.ends_with("The true pressure may be beyond."), "{text}");
}

#[test]
fn channels_that_only_a_missing_sensor_gives_are_dead() {
    let names = "Speed (km/h),Inlet air (°C),RPM,Coolant (°C)";
    let log = drive(names, |_, row| (row[SPEED], row[1], row[3]) = (0.0, -40.0, 85.0));
    assert_eq!(
        texts(&log),
        [
            "\"Inlet air\" reads -40.0 °C from end to end, as a sensor does that is not connected. The \
          true temperature may be beyond, or its sensor away.",
            "\"Speed\" reads 0 from end to end while \"RPM\" reaches 3500 rpm: the car stood, or its \
          speed was not recorded."
        ]
    );
    let log = drive("Speed (km/h),Inlet air (°C),RPM,Coolant (°C)", |_, row| {
        (row[1], row[ENGINE], row[3]) = (21.0, 0.0, 85.0);
    });
    assert_eq!(
        texts(&log),
        [
            "\"RPM\" reads 0 from end to end while \"Speed\" reaches 100 km/h: the car rolled, or its \
          engine speed was not recorded."
        ]
    );
    // A warm engine, and a car that idles, are sound.
    let log = drive(names, |_, row| *row = vec![0.0, 21.0, 850.0, 85.0]);
    assert_eq!(texts(&log), [""; 0]);
}

/// Nothing is known to be wrong with these; see their README.
#[test]
fn no_real_recording_and_no_sample_log_is_reported() {
    let mut seen = 0;
    for folder in ["tests/data/open", "sample-logs"] {
        let folder = format!("{}/{folder}", env!("CARGO_MANIFEST_DIR"));
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if [".csv", ".mf4", ".nmea", ".gpx"].iter().any(|end| name.ends_with(end)) {
                let log = read(&name, &std::fs::read(&path).unwrap()).unwrap();
                assert_eq!(texts(&log), [""; 0], "{name}");
                seen += 1;
            }
        }
    }
    assert!(seen > 12, "only {seen} files were seen");
}
