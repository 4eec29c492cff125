//! Clocks that stand while records go on: seconds are shared out, minutes are refused.

use pullmark::log::{Log, LogError, Role, read};

/// Records `each_s` apart for 400 s, with a speed that rises to 90 km/h and falls to 0 in
/// every 40 s; `clock` gives the cell of the time.
fn drive(header: &str, each_s: f64, clock: impl Fn(f64) -> String) -> Result<Log, LogError> {
    let records = (400.0 / each_s) as usize;
    let row = |n: usize| {
        let t = n as f64 * each_s;
        let phase = t % 40.0;
        let speed = if phase < 20.0 { 4.5 * phase } else { 180.0 - 4.5 * phase };
        format!("{},{speed:.1},{:.0}\n", clock(t), 900.0 + 50.0 * speed)
    };
    let rows: String = (0..records).map(row).collect();
    read("a.csv", format!("{header}\n{rows}").as_bytes())
}

fn hh_mm(t: f64) -> String {
    format!("14:{:02}", 7 + (t / 60.0) as u32)
}

fn mm_ss(t: f64) -> String {
    format!("{:02}:{:02}", 7 + (t / 60.0) as u32, (t % 60.0) as u32)
}

const REFUSED: &str = "a.csv, column 1: \"Time\" steps once a minute while many records share a step: its \
     seconds are not in the file. Save the table again with the whole clock in that column (in a \
     spreadsheet: format it as hh:mm:ss.000), and open it anew.";

#[test]
fn a_clock_without_seconds_is_refused() {
    let full = "Time,Speed (km/h),RPM";
    let dated = |t: f64| format!("17.05.2024 {}", hh_mm(t));
    let halved = |t: f64| format!("02:{:02} PM", 7 + (t / 60.0) as u32);
    let zeros = |t: f64| format!("{}:00", hh_mm(t));
    for (case, found) in [
        ("by the motion, 20 Hz", drive(full, 0.05, hh_mm)),
        ("by the motion, 1 Hz", drive(full, 1.0, hh_mm)),
        ("by the count alone", drive("Time,Oil pressure (bar),A", 0.25, hh_mm)),
        ("behind a date", drive(full, 1.0, dated)),
        ("with a half of the day", drive(full, 0.05, halved)),
        ("with seconds that are always 0", drive(full, 0.05, zeros)),
    ] {
        assert_eq!(
            found.map(|log| log.problems).map_err(|e| e.to_string()),
            Err(REFUSED.to_owned()),
            "{case}"
        );
    }
}

#[test]
fn minutes_and_seconds_stay_what_they_are() {
    let full = "Time,Speed (km/h),RPM";
    for (case, found) in [
        ("10 Hz", drive(full, 0.1, mm_ss)),
        ("200 Hz, by the motion", drive(full, 0.005, mm_ss)),
        ("20 Hz, no speed", drive("Time,Oil pressure (bar),A", 0.05, mm_ss)),
        ("1 Hz", drive(full, 1.0, mm_ss)),
    ] {
        let log = found.unwrap_or_else(|error| panic!("{case}: {error}"));
        assert!((log.span_s - 400.0).abs() < 1.1, "{case}: {} s", log.span_s);
    }
}

#[test]
fn a_step_is_said_as_it_was_written() {
    for (each_s, said) in
        [(0.05, "because it steps by 0.05 from"), (0.1, "because it steps by 0.1 from")]
    {
        let log = drive("Time,Speed (km/h),RPM", each_s, |t| format!("{:.2}", t + 71.9)).unwrap();
        assert!(
            log.problems.iter().any(|problem| problem.text.contains(said)),
            "{:?}",
            log.problems
        );
    }
}

/// Ten sentences a second, or five, that all bear the second's whole stamp.
#[test]
fn readings_of_a_receiver_that_stamps_whole_seconds_are_laid_over_the_second() {
    for (rate, kinds) in [(10, 1), (5, 2)] {
        let sentences: String = (0..20 * rate)
            .map(|n| {
                let (second, knots) = (n / rate, f64::from(n) * 0.5);
                let rmc = format!(
                    "GPRMC,1431{second:02},A,4807.{n:04},N,01131.0000,E,{knots:.1},0.0,170524,,"
                );
                let gga = format!(
                    "GPGGA,1431{second:02},4807.{n:04},N,01131.0000,E,1,08,0.9,500.0,M,46.9,M,,"
                );
                [rmc, gga][..kinds].iter().map(|body| format!("${body}\n")).collect::<String>()
            })
            .collect();
        let log = read("a.nmea", sentences.as_bytes()).unwrap();
        let speed =
            log.series(Role::SatelliteSpeed).unwrap_or_else(|| panic!("{:?}", log.problems));
        assert_eq!(speed.len(), 20 * rate as usize, "{:?}", log.problems);
        for (n, (t, value)) in speed.time_s.iter().zip(&speed.value).enumerate() {
            // A date leaves a double some tenths of a microsecond.
            assert!((t - n as f64 / f64::from(rate)).abs() < 1e-6, "{n}: {t}");
            assert!((value - n as f64 * 0.5 * 1852.0 / 3600.0).abs() < 1e-3, "{n}: {value}");
        }
        assert!(log.problems.iter().any(|problem| problem.code == "clock_coarse"));
    }
}

/// Every sentence twice: one receiver whose line was written twice, and no two readings.
#[test]
fn sentences_written_twice_are_one_reading() {
    let sentences: String = (0..20)
        .map(|n| {
            format!("$GPRMC,1431{n:02},A,4807.{n:04},N,01131.0000,E,{n}.0,0.0,170524,,\n").repeat(2)
        })
        .collect();
    let log = read("a.nmea", sentences.as_bytes()).unwrap();
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert_eq!((speed.len(), speed.time_s[19]), (20, 19.0));
    assert!(
        !log.problems.iter().any(|problem| problem.code.starts_with("clock")),
        "{:?}",
        log.problems
    );
}
