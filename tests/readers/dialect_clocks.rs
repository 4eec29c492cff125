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
    ]
}
