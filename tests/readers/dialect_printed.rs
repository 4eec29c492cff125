//! Rows of the dialect table for what programs print rather than write: times with words
//! around them, units in words or set as mathematics, tables of wikis, cells parted by
//! unusual signs; and names in further languages.
//!
//! Values are worked out from each file by hand. Factors of units: NIST SP 811 (2008),
//! appendix B.8 (from memory).

use crate::dialects::{Case, case};

const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

pub fn clocks() -> Vec<Case> {
    let stamps = |name, [a, b, c]: [&str; 3]| {
        case(name, format!("time;Speed (km/h)\n{a};0\n{b};10.5\n{c};21\n"), SPEED, &[])
    };
    let seconds = |name, [a, b, c]: [&str; 3]| {
        let speed = &["Speed = vehicle_speed [km/h] 0:0 1:10.5 2:21"];
        case(name, format!("time;Speed (km/h)\n{a};0\n{b};10.5\n{c};21\n"), speed, &[])
    };
    vec![
        seconds(
            "a script's Date in full",
            [
                "Sun Mar 31 2024 23:59:59 GMT+0200 (Central European Summer Time)",
                "Mon Apr 01 2024 00:00:00 GMT+0200 (Central European Summer Time)",
                "Mon Apr 01 2024 00:00:01 GMT+0200 (Central European Summer Time)",
            ],
        ),
        seconds(
            "the year last",
            ["Wed Jun  5 23:59:59 2024", "Thu Jun  6 00:00:00 2024", "Thu Jun  6 00:00:01 2024"],
        ),
        seconds(
            "a mail's date",
            [
                "\"Wed, 05 Jun 2024 14:02:11 +0200\"",
                "\"Wed, 05 Jun 2024 14:02:12 +0200\"",
                "\"Wed, 05 Jun 2024 14:02:13 +0200\"",
            ],
        ),
        stamps(
            "a web server's date",
            [
                "[05/Jun/2024:14:02:11.500 +0200]",
                "[05/Jun/2024:14:02:12.000 +0200]",
                "[05/Jun/2024:14:02:12.500 +0200]",
            ],
        ),
        stamps(
            "zone and running clock behind the date",
            [
                "2024-06-05 14:02:11.5 +0200 CEST m=+3.042100000",
                "2024-06-05 14:02:12 +0200 CEST m=+3.542100000",
                "2024-06-05 14:02:12.5 +0200 CEST m=+4.042100000",
            ],
        ),
        stamps(
            "an array's dates",
            [
                "numpy.datetime64('2024-06-05T14:02:11.500')",
                "numpy.datetime64('2024-06-05T14:02:12.000')",
                "numpy.datetime64('2024-06-05T14:02:12.500')",
            ],
        ),
        stamps(
            "calls that make dates",
            [
                "\"datetime.datetime(2024, 6, 5, 14, 2, 11, 500000)\"",
                "\"datetime.datetime(2024, 6, 5, 14, 2, 12)\"",
                "\"datetime.datetime(2024, 6, 5, 14, 2, 12, 500000)\"",
            ],
        ),
        stamps("intervals of a database", ["@ 59.5 secs", "@ 1 min", "@ 1 min 0.5 secs"]),
        stamps("minutes once there are some", ["59.5s", "1m 0.0s", "1m 0.5s"]),
        stamps(
            "hours, minutes and seconds by letters",
            ["14h02m59.5s", "14h03m00.0s", "14h03m00.5s"],
        ),
        stamps(
            "differences of time",
            [
                "Time difference of 0 secs",
                "Time difference of 0.5 secs",
                "Time difference of 1 secs",
            ],
        ),
        stamps("time since the start", ["T+00:00:59.5", "T+00:01:00.0", "T+00:01:00.5"]),
        stamps("thousandths apart", ["14:02:11 500ms", "14:02:12 000ms", "14:02:12 500ms"]),
        stamps(
            "Greek halves of the day",
            ["15/6/2024 11:59:59.5 πμ", "15/6/2024 12:00:00.0 μμ", "15/6/2024 12:00:00.5 μμ"],
        ),
        stamps(
            "Hungarian halves of the day",
            [
                "2024. 06. 05. de. 11:59:59.5",
                "2024. 06. 05. du. 12:00:00.0",
                "2024. 06. 05. du. 12:00:00.5",
            ],
        ),
        case(
            "seconds since midnight beside the date",
            "Date,s since midnight,Speed (km/h)\n5.6.2024,50531,0\n5.6.2024,50531.5,10.5\n5.6.2024,50532,21\n",
            SPEED,
            &["unit_guessed", "columns_left_out"],
        ),
        case(
            "thousandths in two bytes with a sign",
            "t_ms,Speed (km/h)\n31768,0\n32268,10.5\n-32768,21\n-32268,31.5\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:31.5"],
            &[],
        ),
        case(
            "a clock that was set beside one that was not",
            "Date time,Uptime (s),Speed (km/h)\n2019-12-31 23:50:00.0,4,0\n2019-12-31 23:50:00.5,4.5,10.5\n2024-06-05 14:02:36.0,5,21\n",
            SPEED,
            &[],
        ),
    ]
}

pub fn cells() -> Vec<Case> {
    vec![
        case(
            "Indian groups of figures",
            "Time (ms),Speed (km/h)\n\"12,83,45,000\",0\n\"12,83,45,500\",10.5\n\"12,83,46,000\",21\n",
            SPEED,
            &[],
        ),
        case(
            "decimal points at half height",
            "Time (s);Speed (km/h)\n0·0;0·0\n0·5;10·5\n1·0;21·0\n",
            SPEED,
            &[],
        ),
    ]
}

pub fn units() -> Vec<Case> {
    const METRES: &[&str] = &["Speed = vehicle_speed [m/s] 0:0 0.5:2.5 1:5"];
    let named = |name, header: &str, rows: [&str; 3], channel| {
        let [a, b, c] = rows;
        case(name, format!("Time (s);{header}\n0;{a}\n0.5;{b}\n1;{c}\n"), channel, &[])
    };
    vec![
        named("in a unit", "Speed (in m/s)", ["0", "2.5", "5"], METRES),
        named("a unit set as mathematics", "Speed ($m \\cdot s^{-1}$)", ["0", "2.5", "5"], METRES),
        named(
            "degrees set as mathematics",
            "Coolant ($^{\\circ}C$)",
            ["80", "81", "82"],
            &["Coolant = coolant [°C] 0:80 0.5:81 1:82"],
        ),
        named(
            "degrees Rankine",
            "Coolant (°R)",
            ["635.67", "637.47", "639.27"],
            &["Coolant = coolant [°R] 0:635.67 0.5:637.47 1:639.27"],
        ),
        named(
            "the degree sign of another code page",
            "Coolant (░C)",
            ["80", "81", "82"],
            &["Coolant = coolant [°C] 0:80 0.5:81 1:82"],
        ),
        named(
            "metres a minute",
            "Vehicle speed (m/min)",
            ["0", "300", "600"],
            &["Vehicle speed = vehicle_speed [m/min] 0:0 0.5:300 1:600"],
        ),
        named(
            "tenths in words",
            "Vehicle speed (tenths of km/h)",
            ["0", "105", "210"],
            &["Vehicle speed = vehicle_speed [0.1 km/h] 0:0 0.5:105 1:210"],
        ),
        named(
            "a scale beside the unit",
            "Vehicle speed (scale=0.01, km/h)",
            ["0", "1050", "2100"],
            &["Vehicle speed = vehicle_speed [0.01 km/h] 0:0 0.5:1050 1:2100"],
        ),
        named(
            "tenths without brackets",
            "Vehicle speed 0.1 km/h",
            ["0", "105", "210"],
            &["Vehicle speed = vehicle_speed [0.1 km/h] 0:0 0.5:105 1:210"],
        ),
        named(
            "per mille",
            "Throttle [‰]",
            ["0", "500", "1000"],
            &["Throttle = throttle [‰] 0:0 0.5:500 1:1000"],
        ),
        named(
            "cm/s²",
            "Longitudinal acceleration (cm/s²)",
            ["0", "250", "500"],
            &["Longitudinal acceleration = longitudinal_acceleration [cm/s²] 0:0 0.5:250 1:500"],
        ),
        named(
            "km/h per second",
            "Longitudinal acceleration (km/h per s)",
            ["0", "9", "18"],
            &["Longitudinal acceleration = longitudinal_acceleration [km/h/s] 0:0 0.5:9 1:18"],
        ),
        case(
            "whole turns in 32 bits",
            "Time (s);lat_semicircles;lon_semicircles\n0;574299166;138101094\n0.5;574299166;138101094\n1;574299166;138101094\n",
            &[
                "lat_semicircles = latitude [180°/2³¹] 0:574299166 0.5:574299166 1:574299166",
                "lon_semicircles = longitude [180°/2³¹] 0:138101094 0.5:138101094 1:138101094",
            ],
            &[],
        ),
        case(
            "gauge behind the unit without brackets of its own",
            "Time (s);Boost pressure kPa(g)\n0;-60\n0.5;0\n1;80\n",
            &["Boost pressure = manifold_pressure [kPa gauge] 0:-60 0.5:0 1:80"],
            &["gauge_pressure"],
        ),
        case(
            "inches of water",
            "Time (s);Boost (inH2O gauge)\n0;-240\n0.5;0\n1;330\n",
            &["Boost = manifold_pressure [inH₂O gauge] 0:-240 0.5:0 1:330"],
            &["gauge_pressure"],
        ),
    ]
}

pub fn names() -> Vec<Case> {
    let speed = |name, header: &str, channel| {
        case(name, format!("Time (s);{header} (km/h)\n0;0\n0.5;10.5\n1;21\n"), channel, &[])
    };
    vec![
        speed("Turkish", "Araç hızı", &["Araç hızı = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"]),
        speed(
            "Danish",
            "Køretøjets hastighed",
            &["Køretøjets hastighed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
        ),
        speed(
            "Finnish",
            "Ajoneuvon nopeus",
            &["Ajoneuvon nopeus = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
        ),
        case(
            "Polish speeds of the car and the engine",
            "Czas;Prędkość pojazdu [km/h];Prędkość obrotowa silnika [obr/min]\n0;0;800\n0.5;10.5;2000\n1;21;3000\n",
            &[
                "Prędkość pojazdu = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Prędkość obrotowa silnika = engine_speed [rpm] 0:800 0.5:2000 1:3000",
            ],
            &["unit_guessed"],
        ),
        case(
            "letters of full width",
            "Ｔｉｍｅ（ｓ）,Ｖｅｈｉｃｌｅ　ｓｐｅｅｄ（ｋｍ／ｈ）\n0,0\n0.5,10.5\n1,21\n",
            &["Ｖｅｈｉｃｌｅ ｓｐｅｅｄ = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        case(
            "a path to the name",
            "Time (s),ECU.Engine.VehicleSpeed (km/h)\n0,0\n0.5,10.5\n1,21\n",
            &["ECU.Engine.VehicleSpeed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        // What was asked for is not measured, nor is another thing's speed.
        case(
            "a path through what is not measured",
            "Time (s),Speed (km/h),Target.VehicleSpeed (km/h),Turbo.ShaftSpeed (km/h)\n0,0,1,1\n0.5,10.5,2,2\n1,21,3,3\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Target.VehicleSpeed = - [km/h] 0:1 0.5:2 1:3",
                "Turbo.ShaftSpeed = - [km/h] 0:1 0.5:2 1:3",
            ],
            &[],
        ),
        case(
            "letters between shifts",
            b"\x1b$B;~9o\x1b(B (s),\x1b$B<VB.\x1b(B (km/h)\n0,0\n0.5,10.5\n1,21\n",
            &["車速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["encoding"],
        ),
    ]
}

pub fn forms() -> Vec<Case> {
    let parted = |name, sign: &str| {
        let text = "Time (s);Speed (km/h);x\n0;0;1\n0.5;10.5;2\n1;21;3\n".replace(';', sign);
        case(
            name,
            text,
            &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21", "x = - [-] 0:1 0.5:2 1:3"],
            &[],
        )
    };
    let tailed = |name, tail: &str| {
        let lines = ["Time (s),Speed (km/h)", "0,0", "0.5,10.5", "1,21"];
        let text: String = lines.iter().map(|line| format!("{line}{tail}\n")).collect();
        case(name, text, SPEED, &[])
    };
    vec![
        parted("carets", "^"),
        parted("tildes", "~"),
        parted("double colons", " :: "),
        tailed("line ends in letters", "\\n"),
        tailed("a semicolon at every end", ";"),
        case(
            "a wiki's table",
            "||Time (s)||rpm||Speed (km/h)||\n|0|800|0|\n|0.5||10.5|\n|1|900|21|\n",
            &[
                "rpm = engine_speed [rpm] 0:800 1:900",
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
            ],
            &[],
        ),
        case(
            "pairs in any order",
            "t_s:0 Speed_kmh:0 rpm:800\nt_s:0.5 rpm:2000 Speed_kmh:10.5\nt_s:1 Speed_kmh:21 rpm:3000\n",
            &[
                "Speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "rpm = engine_speed [rpm] 0:800 0.5:2000 1:3000",
            ],
            &[],
        ),
        case(
            "names of several words between blanks",
            "Time (s) Vehicle speed (km/h) Engine speed (rpm)\n0 0 800\n0.5 10.5 2000\n1 21 3000\n",
            &[
                "Vehicle speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Engine speed = engine_speed [rpm] 0:800 0.5:2000 1:3000",
            ],
            &[],
        ),
        case(
            "a channel more under the names again",
            "time_s,Speed_kmh\n0,0\n0.5,10.5\n1,21\ntime_s,Speed_kmh,rpm\n1.5,31.5,900\n2,42,1000\n2.5,52.5,1100\n",
            &[
                "Speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:31.5 2:42 2.5:52.5",
                "rpm = engine_speed [rpm] 1.5:900 2:1000 2.5:1100",
            ],
            &["second_table"],
        ),
        // A minute of one channel, then a minute of the next: no clock that began anew.
        case(
            "a reading a line, channel after channel",
            "channel;time_s;value\nSpeed_kmh;0;0\nSpeed_kmh;20;10.5\nSpeed_kmh;40;21\nrpm;0;800\nrpm;20;2000\nrpm;40;3000\n",
            &[
                "Speed_kmh = vehicle_speed [km/h] 0:0 20:10.5 40:21",
                "rpm = engine_speed [rpm] 0:800 20:2000 40:3000",
            ],
            &[],
        ),
    ]
}
