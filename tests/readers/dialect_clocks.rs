//! The dialects of time: seconds, milliseconds, clocks, dates in one column or two.

use crate::dialects::{Case, case};

pub fn clocks() -> Vec<Case> {
    const MINUTE: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20"];
    vec![
        case("milliseconds", "Time (ms),Speed (km/h)\n1000,0\n2000,10\n3000,20\n", MINUTE, &[]),
        case(
            "microseconds",
            "Time [us],Speed (km/h)\n1000000,0\n2000000,10\n3000000,20\n",
            MINUTE,
            &[],
        ),
        case(
            "milliseconds, not said",
            "Time,Speed (km/h)\n0,0\n20,10\n40,20\n60,30\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.02:10 0.04:20 0.06:30"],
            &["unit_guessed"],
        ),
        case(
            "clock past midnight",
            "Time,Speed (km/h)\n23:59:59.0,0\n00:00:00.0,10\n00:00:01.0,20\n",
            MINUTE,
            &[],
        ),
        case(
            "clock with decimal comma",
            "Zeit;Speed (km/h)\n10:00:00,0;0\n10:00:01,0;10\n10:00:02,0;20\n",
            MINUTE,
            &[],
        ),
        case(
            "minutes and seconds past the hour",
            "Time,Speed (km/h)\n59:59.0,0\n00:00.0,10\n00:01.0,20\n",
            MINUTE,
            &[],
        ),
        case(
            "a clock cut to its beginning among whole ones",
            "Time,Speed (km/h)\n10:42:01.0,0\n10:42:02.0,10\n10:42,15\n10:42:03.0,20\n10:42:04.0,30\n10:42:05.0,40\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30 4:40"],
            &["time_missing"],
        ),
        case(
            "half-day clock",
            "Time,Speed (km/h)\n11:59:59 AM,0\n12:00:00 PM,10\n12:00:01 PM,20\n",
            MINUTE,
            &[],
        ),
        case(
            "ISO 8601 with zone",
            "Timestamp,Speed (km/h)\n2024-05-01T12:00:00.000+02:00,0\n2024-05-01T12:00:01.000+02:00,10\n2024-05-01T12:00:02.000+02:00,20\n",
            MINUTE,
            &[],
        ),
        case(
            "date and time in two columns",
            "Date;Time;Speed (km/h)\n01.05.2024;23:59:59;0\n02.05.2024;00:00:00;10\n02.05.2024;00:00:01;20\n",
            MINUTE,
            &[],
        ),
        case(
            "date with slashes, month first",
            "Timestamp,Speed (km/h)\n12/31/2023 11:59:59 PM,0\n1/1/2024 12:00:00 AM,10\n1/1/2024 12:00:01 AM,20\n",
            MINUTE,
            &[],
        ),
        case(
            "Unix seconds",
            "timestamp,Speed (km/h)\n1700000000.0,0\n1700000001.0,10\n1700000002.0,20\n",
            MINUTE,
            &[],
        ),
        case(
            "Unix milliseconds",
            "timestamp,Speed (km/h)\n1700000000000,0\n1700000001000,10\n1700000002000,20\n",
            MINUTE,
            &[],
        ),
        case(
            "spreadsheet days",
            "Time,Speed (km/h)\n45413.5,0\n45413.500011574074,10\n45413.500023148148,20\n",
            MINUTE,
            &[],
        ),
        case(
            "whole seconds on faster records",
            "Time,Speed (km/h)\n10:00:00,0\n10:00:00,1\n10:00:01,2\n10:00:01,3\n10:00:02,4\n10:00:02,5\n10:00:03,6\n10:00:03,7\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.5:1 1:2 1.5:3 2:4 2.5:5 3:6 3.5:7"],
            &["clock_coarse"],
        ),
        case(
            "one wild time",
            "Time (s),Speed (km/h)\n0,0\n1,10\n99999,15\n2,20\n3,30\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30"],
            &["clock_glitch"],
        ),
        case(
            "a time twice",
            "Time (s),Speed (km/h)\n0,0\n1,10\n1,15\n2,20\n3,30\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30"],
            &["clock_repeat"],
        ),
        case(
            "two recordings joined",
            "Time (s),Speed (km/h)\n100,0\n101,10\n102,20\n103,30\n104,40\n0,0\n1,1\n2,2\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 2:20 3:30 4:40 604:0 605:1 606:2"],
            &["pieces", "gap"],
        ),
        case(
            "records out of order",
            "Time (s),Speed (km/h)\n0,0\n0.2,20\n0.1,10\n0.3,30\n0.5,50\n0.4,40\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.1:10 0.2:20 0.3:30 0.4:40 0.5:50"],
            &["clock_unordered"],
        ),
        case(
            "summer time ends",
            "Timestamp,Speed (km/h)\n2024-10-27 02:59:59,0\n2024-10-27 02:00:00,10\n2024-10-27 02:00:01,20\n",
            MINUTE,
            &["summer_time"],
        ),
        // Source: Directive 2000/84/EC: from 2 to 3 in the night of the last Sunday in March.
        case(
            "summer time begins",
            "Zeit;Speed (km/h)\n31.03.2024 01:59:58;0\n31.03.2024 01:59:59;10\n31.03.2024 03:00:00;20\n",
            MINUTE,
            &["summer_time"],
        ),
        case(
            "an hour's pause that begins anywhere",
            "Zeit;Speed (km/h)\n31.03.2024 01:29:59;0\n31.03.2024 01:30:00;10\n31.03.2024 02:30:01;20\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 3602:20"],
            &[],
        ),
    ]
}

/// A speed that is ten times the seconds that have gone by, so that every reading tells
/// the time it should have.
const TELLS: &str = "Speed = vehicle_speed [km/h] 0:0 0.2:2 0.4:4 0.6:6 0.8:8";

/// A table whose rows are 0.2 s apart by its clock.
fn table(header: &str, clocks: [&str; 5]) -> String {
    let rows = clocks.iter().enumerate().map(|(n, clock)| format!("{clock},{}\n", 2 * n));
    format!("{header},Speed (km/h)\n{}", rows.collect::<String>())
}

/// A clock that is read as it is meant, with nothing to say about it.
fn ticks(name: &'static str, header: &str, clocks: [&str; 5]) -> Case {
    case(name, table(header, clocks), &[TELLS], &[])
}

/// Clocks in several columns or run together in one number, at the end of a minute.
pub fn in_parts() -> Vec<Case> {
    vec![
        ticks(
            "seconds and nanoseconds",
            "stamp.secs,stamp.nsecs",
            [
                "1718365032,400000000",
                "1718365032,600000000",
                "1718365032,800000000",
                "1718365033,0",
                "1718365033,200000000",
            ],
        ),
        ticks(
            "seconds and microseconds",
            "tv_sec,tv_usec",
            [
                "1718365032,400000",
                "1718365032,600000",
                "1718365032,800000",
                "1718365033,0",
                "1718365033,200000",
            ],
        ),
        ticks(
            "whole Unix seconds and milliseconds",
            "unix,ms",
            [
                "1718365032,400",
                "1718365032,600",
                "1718365032,800",
                "1718365033,0",
                "1718365033,200",
            ],
        ),
        ticks(
            "hours and minutes, and the seconds beside them",
            "HHMM,Sec",
            ["1337,59.4", "1337,59.6", "1337,59.8", "1338,0.0", "1338,0.2"],
        ),
        ticks(
            "hours, minutes, seconds and their thousandths in four columns",
            "HH,MM,SS,MS",
            ["13,59,59,400", "13,59,59,600", "13,59,59,800", "14,00,00,000", "14,00,00,200"],
        ),
        ticks(
            "hours, minutes and seconds with decimals, past midnight",
            "Stunde,Minute,Sekunde",
            ["23,59,59.4", "23,59,59.6", "23,59,59.8", "0,0,0.0", "0,0,0.2"],
        ),
        ticks(
            "a date beside hours, minutes and seconds, at midnight",
            "Date,Hours,Minutes,Seconds",
            [
                "2023-12-31,23,59,59.4",
                "2023-12-31,23,59,59.6",
                "2023-12-31,23,59,59.8",
                "2024-01-01,0,0,0.0",
                "2024-01-01,0,0,0.2",
            ],
        ),
        ticks(
            "a date and a clock in fourteen digits",
            "timestamp",
            [
                "20231231235959.4",
                "20231231235959.6",
                "20231231235959.8",
                "20240101000000.0",
                "20240101000000.2",
            ],
        ),
        ticks(
            "a date and a clock under one name",
            "Timestamp",
            [
                "2023-12-31,23:59:59.4",
                "2023-12-31,23:59:59.6",
                "2023-12-31,23:59:59.8",
                "2024-01-01,00:00:00.0",
                "2024-01-01,00:00:00.2",
            ],
        ),
        ticks(
            "the half of the day as Spanish spreadsheets write it",
            "Hora",
            [
                "11:59:59.4 a. m.",
                "11:59:59.6 a. m.",
                "11:59:59.8 a. m.",
                "12:00:00.0 p. m.",
                "12:00:00.2 p. m.",
            ],
        ),
        ticks(
            "the half of the day as Japanese spreadsheets write it",
            "時刻",
            [
                "午前11:59:59.4",
                "午前11:59:59.6",
                "午前11:59:59.8",
                "午後12:00:00.0",
                "午後12:00:00.2",
            ],
        ),
        ticks(
            "a date and a clock in six columns",
            "year,month,day,hour,minute,second",
            [
                "2023,12,31,23,59,59.4",
                "2023,12,31,23,59,59.6",
                "2023,12,31,23,59,59.8",
                "2024,1,1,0,0,0.0",
                "2024,1,1,0,0,0.2",
            ],
        ),
        ticks(
            "hours, minutes, seconds in one number",
            "Time",
            ["133759.4", "133759.6", "133759.8", "133800.0", "133800.2"],
        ),
        ticks(
            "the same at the hour, with zeros in front",
            "UTC time",
            ["005959.40", "005959.60", "005959.80", "010000.00", "010000.20"],
        ),
        ticks(
            "the same with thousandths",
            "Time",
            ["133759400", "133759600", "133759800", "133800000", "133800200"],
        ),
        case(
            "milliseconds in steps of 100 are no minutes",
            "Time,Speed (km/h)\n0,0\n100,10\n200,20\n300,30\n400,40\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.1:10 0.2:20 0.3:30 0.4:40"],
            &["unit_guessed"],
        ),
        case(
            "milliseconds in steps of 50 are no minutes",
            "Time,Speed (km/h)\n0,0\n50,10\n100,20\n150,30\n200,40\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.05:10 0.1:20 0.15:30 0.2:40"],
            &["unit_guessed"],
        ),
        case(
            "seconds that pass 60, 80 and 100 are seconds",
            "Time,Speed (km/h)\n59.0,0\n60.0,10\n99.0,20\n100.0,30\n101.0,40\n",
            &["Speed = vehicle_speed [km/h] 0:0 1:10 40:20 41:30 42:40"],
            &["unit_guessed", "gap"],
        ),
        ticks(
            "the date only where it is new",
            "Date,Time",
            [
                "2024-06-14,13:37:12.4",
                ",13:37:12.6",
                ",13:37:12.8",
                "2024-06-14,13:37:13.0",
                ",13:37:13.2",
            ],
        ),
        ticks(
            "a word behind the clock",
            "Zeit",
            [
                "13:37:12.4 Uhr",
                "13:37:12.6 Uhr",
                "13:37:12.8 Uhr",
                "13:37:13.0 Uhr",
                "13:37:13.2 Uhr",
            ],
        ),
        ticks(
            "a place behind the clock, and an offset behind the compact form",
            "ts,Time",
            [
                "2024-06-14 13:37:12.4 Europe/Berlin,20240614T133712.4+0200",
                "2024-06-14 13:37:12.6 Europe/Berlin,20240614T133712.6+0200",
                "2024-06-14 13:37:12.8 Europe/Berlin,20240614T133712.8+0200",
                "2024-06-14 13:37:13.0 Europe/Berlin,20240614T133713.0+0200",
                "2024-06-14 13:37:13.2 Europe/Berlin,20240614T133713.2+0200",
            ],
        ),
        case(
            "milliseconds since the start",
            table("Milliseconds since start", ["400", "600", "800", "1000", "1200"]),
            &[TELLS],
            &["unit_guessed"],
        ),
        ticks(
            "a clock of twelve hours",
            "Time",
            ["12:59:59.4", "12:59:59.6", "12:59:59.8", "1:00:00.0", "1:00:00.2"],
        ),
    ]
}

/// Counters at the end of their range. Ranges: 2^31, 2^32, 604 800 s in a week.
pub fn turns() -> Vec<Case> {
    vec![
        ticks(
            "microseconds in four bytes with a sign",
            "t_us",
            ["2147083648", "2147283648", "-2147483648", "-2147283648", "-2147083648"],
        ),
        ticks("time of week", "iTOW [ms]", ["604799400", "604799600", "604799800", "0", "200"]),
        ticks("seconds of the minute", "Time (s)", ["59.4", "59.6", "59.8", "0.0", "0.2"]),
        // A fall from anywhere else begins a second recording.
        case(
            "a recording that began anew after 57 s",
            table("Time (s)", ["56.6", "56.8", "57.0", "0.0", "0.2"]),
            &["Speed = vehicle_speed [km/h] 0:0 0.2:2 0.4:4 600.4:6 600.6:8"],
            &["pieces", "gap"],
        ),
    ]
}

/// Frames at 25 a second, through four seconds; the speed counts the frames.
#[test]
fn frames_of_a_film_are_no_hundredths() {
    let rows = (0..125).map(|n| format!("13:37:{:02}:{:02},{n}\n", 12 + n / 25, n % 25));
    let table = format!("Timecode,Speed (km/h)\n{}", rows.collect::<String>());
    let log = pullmark::log::read("a.csv", table.as_bytes()).unwrap();
    for (t, v) in log.channels[0].series.time_s.iter().zip(&log.channels[0].series.value) {
        assert!((t * 25.0 - v * 3.6).abs() < 1e-6, "{t} s: {v}");
    }
}
