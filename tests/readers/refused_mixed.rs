//! Tables that hold more, or less, than one drive in plain units: counts of a converter,
//! two cars, folded columns, clocks that step too rarely; and channels that are not what
//! they are called.

use pullmark::log::{Log, Role, read};

fn error(text: &str) -> String {
    match read("a.csv", text.as_bytes()) {
        Err(error) => error.to_string(),
        Ok(log) => panic!("read: {:?} {:?}", log.problems, log.channels.len()),
    }
}

fn rows(count: usize, row: impl Fn(usize) -> String) -> String {
    (0..count).map(row).collect()
}

fn opened(text: &str) -> Log {
    read("a.csv", text.as_bytes()).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn rows_of_factors_and_offsets_mean_raw_counts() {
    let records = rows(20, |n| format!("{:.1},{},{}\n", n as f64 / 10.0, 3600 + n, n));
    let bare = format!("Time [s],RPM,Speed [km/h]\n1,0.25,0.01\n0,0,0\n{records}");
    let wanted = "what is below are raw counts. Export the log in physical values, with the factors and \
                  offsets applied.";
    assert_eq!(
        error(&bare),
        format!(
            "a.csv, line 2: the first two records are factors and offsets of the columns: {wanted}"
        )
    );
    let records = rows(20, |n| format!("{n},{:.1},{},{}\n", n as f64 / 10.0, 3600 + n, n));
    let labelled = format!(
        "Channel,Time,RPM,Speed\nUnit,s,rpm,km/h\nFactor,1,0.25,0.01\nOffset,0,0,0\n{records}"
    );
    assert_eq!(
        error(&labelled),
        format!("a.csv, line 3: a row says \"Factor\" for the columns: {wanted}")
    );
    // A drive whose first records are at 1 s and 0 s has no factor of 0 beside them.
    let drive = rows(30, |n| format!("{},{},{}\n", 2 + n, 900 + n, n));
    opened(&format!("Time [s],RPM,Speed [km/h]\n1,901,0\n0,900,0\n{drive}"));
}

#[test]
fn two_cars_in_one_table_are_not_one_drive() {
    let cars = rows(60, |n| {
        let (car, t) = (["A", "B"][n % 2], (n / 2) as f64 / 5.0);
        format!("{car},{t:.1},{},{}\n", 900 + n, (n % 2) * 50)
    });
    assert_eq!(
        error(&format!("car,time_s,rpm,speed_kmh\n{cars}")),
        "a.csv, column \"car\": every time stands there once for each of \"A\", \"B\": the records of several \
         sources are mixed. Save the records of each as a file of their own, and open these together."
    );
    // A word that changes with the drive, and not with every record, parts nothing.
    let modes = rows(60, |n| {
        format!("{},{:.1},{},{}\n", ["eco", "sport"][n / 30], n as f64 / 5.0, 900 + n, n)
    });
    assert_eq!(opened(&format!("mode,time_s,rpm,speed_kmh\n{modes}")).rows, 60);
}

#[test]
fn a_folded_table_is_refused() {
    let first = rows(20, |n| format!("{n}  {:.1}  {}\n", n as f64 / 5.0, 900 + n));
    let second = rows(20, |n| format!("{n}  {n}  30.5\n"));
    let text = format!("   time_s   rpm  \\\n{first}\n   speed_kmh   iat_c\n{second}");
    assert_eq!(
        error(&text),
        "a.csv, line 1: the names end in \"\\\": the table was folded, and its further columns stand below the \
         first. Save the table as CSV instead of printing it, and open that."
    );
}

#[test]
fn a_clock_that_steps_every_few_seconds_is_refused() {
    // Days with four decimals, as a spreadsheet shows them: 8.64 s.
    let days = rows(400, |n| format!("{:.4},{}\n", 45427.5 + n as f64 / 864_000.0, n % 100));
    assert_eq!(
        error(&format!("Time,Speed (km/h)\n{days}")),
        "a.csv, column 1: \"Time\" steps every 8.64 s while many records share a step: its seconds are not in \
         the file. Save the table again with the whole clock in that column (in a spreadsheet: format it as \
         hh:mm:ss.000), and open it anew."
    );
}

#[test]
fn a_document_in_rich_text_is_no_log_though_its_lines_are() {
    let lines = rows(20, |n| format!("{:.1},{}\\par\n", n as f64 / 10.0, n));
    let text = format!("{{\\rtf1\\ansi\n Time (s),Speed (km/h)\\par\n{lines}}}");
    assert!(error(&text).starts_with("a.csv, start: this is a document in rich text, not a log."));
}

#[test]
fn an_engine_that_never_idles_is_none() {
    let log = opened(&format!(
        "Time (s),rpm,Speed (km/h)\n{}",
        rows(100, |n| format!("{:.1},{},{n}\n", n as f64 / 10.0, 8.0 + n as f64 / 2.0))
    ));
    assert!(log.channel(Role::EngineSpeed).is_none());
    let said = log.problems.iter().find(|problem| problem.code == "role_refused").unwrap();
    assert_eq!(
        said.text,
        "\"rpm\" is named like engine speed, but it reads up to 57.0 rpm, slower than any engine idles; it was \
         given no role."
    );
    // One that stands throughout says nothing of its unit.
    let stands = opened(&format!("Time (s),rpm\n{}", rows(100, |n| format!("{n},0\n"))));
    assert!(stands.channel(Role::EngineSpeed).is_some());
}

#[test]
fn a_temperature_that_changes_its_unit_on_the_way_is_said() {
    let log = |jump: fn(f64) -> f64| {
        let row = |n: usize| {
            let air = 30.0 + n as f64 / 50.0;
            let air = if n < 100 { air } else { jump(air) };
            format!("{:.1},{},{air:.1}\n", n as f64 / 10.0, n % 120)
        };
        opened(&format!("Time (s),Speed (km/h),Charge air temp (C)\n{}", rows(200, row)))
    };
    let said = |log: &Log| log.problems.iter().find(|p| p.code == "jump").map(|p| p.text.clone());
    assert_eq!(
        said(&log(|air| air * 1.8 + 32.0)).unwrap(),
        "\"Charge air temp\" jumps from 32.0 °C to 89.6 °C at 10.0 s and stays there, as if its unit had changed \
         between °C and °F: what lies before cannot be compared with what lies behind. The true temperature may \
         be beyond, or its sensor away."
    );
    assert!(said(&log(|air| air + 10.0)).is_none());
}

#[test]
fn a_recorder_that_began_anew_is_not_put_before_itself() {
    // 45 s to 65 s, and then from 0 s to 44.5 s: sorted, half a second is missing.
    let time = |n: usize| if n < 200 { 45.0 + n as f64 / 10.0 } else { (n - 200) as f64 / 10.0 };
    let log = opened(&format!(
        "Time (s),Speed (km/h)\n{}",
        rows(646, |n| format!("{:.1},{}\n", time(n), n % 150))
    ));
    assert!(log.problems.iter().any(|problem| problem.code == "pieces"), "{:?}", log.problems);
    assert!(!log.problems.iter().any(|problem| problem.code == "clock_unordered"));
}

#[test]
fn a_name_that_says_how_its_numbers_were_made_gives_no_unit() {
    let row = |n: usize| format!("{:.1},{},{},{}\n", n as f64 / 10.0, 3600 + 40 * n, 10 * n, 125);
    let log = opened(&format!("time_s,rpm_x4,speed_kmh_x10,coolant_c_plus40\n{}", rows(100, row)));
    assert!(log.channels.iter().all(|channel| channel.role.is_none()), "{:?}", log.channels);
    let said: Vec<&str> = log.problems.iter().map(|problem| problem.text.as_str()).collect();
    assert_eq!(
        said[1],
        "\"speed_kmh_x10\" is named like vehicle speed, but its unit (x10) is not known; it was given no role."
    );
    // The second of two sensors is no factor.
    let row = |n: usize| format!("{:.1},{},{}\n", n as f64 / 10.0, 900 + 40 * n, n);
    let log = opened(&format!("time_s,rpm,speed_kmh_x2\n{}", rows(100, row)));
    assert!(log.channel(Role::VehicleSpeed).is_some(), "{:?}", log.problems);
}

#[test]
fn a_guessed_unit_of_time_that_makes_a_rocket_of_the_car_is_refused() {
    // 0 to 120 km/h in 8 s, back in 20 s, twice; counted in hundredths.
    let speed = |t: f64| match t % 30.0 {
        t if t < 8.0 => 15.0 * t,
        t if t < 28.0 => 120.0 - 6.0 * (t - 8.0),
        _ => 0.0,
    };
    let table = |name: &str, per_s: f64| {
        let row = |n: usize| {
            let t = n as f64 / 10.0;
            format!("{},{:.1}\n", (t * per_s).round(), speed(t))
        };
        format!("{name},Speed (km/h)\n{}", rows(600, row))
    };
    assert_eq!(
        error(&table("Time", 100.0)),
        "a.csv, times: its unit is not written, and as it was taken (time from \"Time\" in ms), \"Speed\" changes \
         by 60.0 km/h in 1.00 s where it is slowest: no car does. Name the column of the time with its true \
         unit, and open the log again."
    );
    assert_eq!(opened(&table("Time", 1000.0)).rows, 600);
    assert_eq!(opened(&table("Time (cs)", 100.0)).rows, 600);
}

#[test]
fn what_an_older_recording_left_behind_a_torn_line_is_said() {
    let row = |n: usize, rpm: usize, kmh: usize| {
        format!("{:.1},{},{},35\n", n as f64 / 10.0, rpm + 20 * (n % 3), kmh + n / 10)
    };
    let file = |rpm: usize, kmh: usize| {
        let own = rows(100, |n| row(n, 4000, 60));
        let old = rows(60, |n| row(101 + n, rpm, kmh));
        format!("Time (s),RPM,Speed (km/h),IAT (C)\n{own}10.0,4020,-0.,3,35\n{old}")
    };
    let said = |text: &str| {
        opened(text).problems.iter().find(|p| p.code == "torn").map(|p| p.text.clone())
    };
    assert_eq!(
        said(&file(2500, 110)).unwrap(),
        "Line 102 is torn, and 2 of 2 columns that move leap there at once: what follows may be the remains of \
         another recording, which this one was written over. If it is, cut the file there."
    );
    // Damage in the midst of one drive.
    assert_eq!(said(&file(4000, 60)), None);
}

#[test]
fn labels_that_the_readings_refute_give_no_role() {
    let row = |n: usize| {
        let t = n as f64 / 10.0;
        format!("{t:.1},{:.2},{},{}\n", (n % 101) as f64 / 100.0, 80 + n / 10, 184 + n % 3)
    };
    let log = opened(&format!(
        "Time (s),Throttle (%),Charge air temp (°C),Coolant temp (°C)\n{}",
        rows(300, row)
    ));
    assert!(log.channels.iter().all(|channel| channel.role.is_none()), "{:?}", log.problems);
    let said: Vec<&str> = log.problems.iter().map(|problem| problem.text.as_str()).collect();
    assert_eq!(
        said[..2],
        [
            "\"Throttle\" is named like throttle, but it reads 0 to 1 where % is written, as a share of 1 does; it \
             was given no role.",
            "\"Charge air temp\" is named like charge air, but \"Coolant temp\", with the same unit, can only be °F: \
             one label may be as wrong as the other; it was given no role.",
        ]
    );
    // A foot that hardly moves, and water that is warm.
    let row = |n: usize| format!("{:.1},{:.2},{},{}\n", n as f64 / 10.0, 0.4, 30 + n / 100, 88);
    let log = opened(&format!(
        "Time (s),Throttle (%),Charge air temp (°C),Coolant temp (°C)\n{}",
        rows(300, row)
    ));
    assert!(log.channels.iter().all(|channel| channel.role.is_some()), "{:?}", log.problems);
}

#[test]
fn a_gauge_pressure_that_never_falls_to_the_air_around_is_in_doubt() {
    let log = |least: usize| {
        let row = |n: usize| format!("{:.1},{},{}\n", n as f64 / 10.0, n % 100, least + n % 120);
        opened(&format!("Time (s),Speed (km/h),Boost gauge (kPa)\n{}", rows(400, row)))
    };
    let said =
        |log: &Log| log.problems.iter().find(|p| p.code == "gauge_doubt").map(|p| p.text.clone());
    assert_eq!(
        said(&log(32)).unwrap(),
        "\"Boost gauge\" is called a gauge pressure and never falls below 33.0 kPa, as an absolute pressure \
         does. If it is absolute, what was added is too much."
    );
    assert_eq!(said(&log(0)), None);
}

#[test]
fn a_countdown_is_no_file_with_its_newest_record_first() {
    let row = |n: usize| format!("{:.1},{},{}\n", 30.0 - n as f64 / 10.0, n % 100, 900 + n);
    let text = error(&format!("Time to end (s),Speed (km/h),rpm\n{}", rows(300, row)));
    assert!(text.starts_with("a.csv, header: no column is a rising time"), "{text}");
}

#[test]
fn a_track_whose_latitudes_lie_beyond_the_pole_is_refused() {
    let point = |n: usize| {
        format!(
            "<trkpt lat=\"{:.5}\" lon=\"48.1\"><time>2024-06-14T11:37:{:02}Z</time></trkpt>\n",
            100.5 + n as f64 / 1e4,
            n
        )
    };
    let text =
        format!("<gpx version=\"1.1\">\n<trk><trkseg>\n{}</trkseg></trk></gpx>", rows(40, point));
    assert_eq!(
        read("a.gpx", text.as_bytes()).unwrap_err().to_string(),
        "a.gpx, line 3: a latitude of 100.5° is beyond the pole, as are most. Latitude and longitude may be \
         exchanged: export the track again."
    );
}

#[test]
fn columns_that_were_sorted_one_by_one_are_no_log() {
    let table = |names: &str, columns: usize| {
        let cells = |n: usize| (1..=columns).map(|k| format!(",{}", n * k)).collect::<String>();
        format!(
            "Time (s),{names}\n{}",
            rows(120, |n| format!("{}{}\n", n as f64 / 5.0, cells(n / 2)))
        )
    };
    let sorted = table("Speed (km/h),RPM,Throttle (%),Coolant (°C)", 4);
    assert_eq!(
        error(&sorted),
        "a.csv, records: \"Speed\", \"RPM\", \"Throttle\" only rise from the first record to the last: each \
         was sorted for itself, and what stands in one record was not measured together. Open the log as \
         it was before it was sorted."
    );
    // Speed, engine and heat may all rise through a pull; so do counters and positions.
    opened(&table("Speed (km/h),RPM,Coolant (°C),Distance (m)", 4));
    opened(&table("Latitude,Longitude,Distance (m),Fuel used (ml)", 1));
    // One that falls once was not sorted, and nor were those beside it.
    let fell = sorted.replace("12,30,60,90,120\n", "12,30,60,90,0\n");
    assert_ne!(fell, sorted);
    opened(&fell);
}

#[test]
fn names_that_cannot_be_told_apart_are_not_laid_over_cells() {
    let records = rows(20, |n| format!("{:.1} {n} {}\n", n as f64 / 5.0, 800 + n));
    let text = error(&format!("Time Vehicle Speed km/h Engine Speed rpm\n{records}"));
    assert!(text.contains("no table of readings was found"), "{text}");
    let log = opened(&format!("Time Speed RPM\n{records}"));
    assert_eq!(log.series(Role::VehicleSpeed).map(|series| series.len()), Some(20));
}

/// Tens of revolutions, or revolutions up to ten: neither is taken for the other.
#[test]
fn a_number_before_a_speed_is_no_unit_that_is_known() {
    let records = rows(20, |n| format!("{:.1},{}\n", n as f64 / 5.0, 80 + n));
    let log = opened(&format!("Time (s),Engine speed 10 rpm\n{records}"));
    assert_eq!(log.channels[0].role, None, "{:?}", log.channels[0]);
    assert!(
        log.problems.iter().any(|p| p.text.contains("its unit (10) is not known")),
        "{:?}",
        log.problems
    );
}

/// A title may have more words than the table has columns.
#[test]
fn a_title_above_names_between_blanks_is_none_of_them() {
    let records = rows(20, |n| format!("{:.1} {n} {}\n", n as f64 / 5.0, 800 + n));
    let log = opened(&format!("Log of the test drive in May with Bob\ntime speed rpm\n{records}"));
    assert_eq!(log.series(Role::EngineSpeed).map(|series| series.len()), Some(20));
}

#[test]
fn lengths_of_time_beside_a_clock_are_no_clock() {
    let records = rows(50, |n| format!("{n};3 h {n} min;{}\n", 900 + n));
    let log = opened(&format!("time;Motorlaufzeit seit Start;rpm\n{records}"));
    assert_eq!(log.span_s, 49.0, "{:?}", log.problems);
}

/// Things beside the car and its engine, what was wanted, and what an hour is part of.
#[test]
fn names_that_hold_a_known_word_are_not_the_known_thing() {
    let role = |name: &str, value: usize| {
        let records = rows(20, |n| format!("{:.1},{}\n", n as f64 / 5.0, value + n));
        opened(&format!("Time (s),{name}\n{records}")).channels[0].role
    };
    for name in [
        "Vindhastighed (km/h)",
        "TargetVehicle.VehicleSpeed (km/h)",
        "Lead_Car/VehicleSpeed (km/h)",
        "Wheelspeed slip (km/h)",
    ] {
        assert_eq!(role(name, 40), None, "{name}");
    }
    for name in [
        "FanMotor.MotorSpeed (rpm)",
        "Turtall vifte (rpm)",
        "Частота вращения вентилятора (rpm)",
        "Omega_motor",
    ] {
        assert_eq!(role(name, 900), None, "{name}");
    }
    assert_eq!(role("Temperatura rashladnog ulja (°C)", 80), None);
    assert_eq!(role("Steering (degr)", 10), None);
    assert_eq!(role("Induction Air Temp (°C)", 30), Some(Role::InletAir));
    assert_eq!(role("Скорость (км/час)", 40), Some(Role::VehicleSpeed));
}

#[test]
fn a_header_of_many_words_is_looked_at_once() {
    let long = format!("time,speed,{}m\n0,1,2\n1,2,3\n", "in ".repeat(50_000));
    opened(&long);
    opened(&format!("time,speed,{}m\n0,1,2\n1,2,3\n", "scale=1,".repeat(2)));
}
