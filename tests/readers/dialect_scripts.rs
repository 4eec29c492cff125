//! Rows of the dialect table that scripts, terminals, mails and spreadsheets of other
//! countries make: steps for a clock, days counted from long ago, clocks in words, lines
//! that all begin with something else.
//!
//! Values are worked out from each file by hand; steps that a double cannot hold in so
//! large a count are not asked for.

use crate::dialects::{Case, case};

const SPEED: &[&str] = &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"];

pub fn clocks() -> Vec<Case> {
    let stamps = |name, [a, b, c]: [&str; 3]| {
        case(name, format!("time;Speed (km/h)\n{a};0\n{b};10.5\n{c};21\n"), SPEED, &[])
    };
    vec![
        case(
            "steps in ms",
            "dt_ms,Speed (km/h)\n17,0\n500,10.5\n500,21\n",
            SPEED,
            &["time_from_steps"],
        ),
        case(
            "steps without a unit",
            "Delta t,Speed (km/h)\n0.5,0\n0.5,10.5\n0.5,21\n",
            SPEED,
            &["time_from_steps"],
        ),
        // 12:00:01.9 is nine thousandths, as no time steps back then.
        case(
            "thousandths without zeros in front",
            "Time,Speed (km/h)\n12:0:0.970,0\n12:0:1.9,1\n12:0:1.48,2\n12:0:1.87,3\n12:0:1.970,4\n\
             12:0:2.9,5\n12:0:2.48,6\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.039:1 0.078:2 0.117:3 1:4 1.039:5 1.078:6"],
            &[],
        ),
        // Zeros at the end left away, as spreadsheets do: these are decimals.
        stamps("decimals cut short", ["12:0:0.75", "12:0:1.25", "12:0:1.75"]),
        // 2⁻¹⁷ of a day, which a double holds.
        case(
            "days since the year 0",
            "datenum;Speed (km/h)\n740123.5;0\n740123.50000762939453125;10.5\n740123.5000152587890625;21\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.6591796875:10.5 1.318359375:21"],
            &[],
        ),
        case(
            "Julian days",
            "JD;Speed (km/h)\n2461180.5;0\n2461180.50000762939453125;10.5\n2461180.5000152587890625;21\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.6591796875:10.5 1.318359375:21"],
            &[],
        ),
        case(
            "time of the week",
            "gps_week,gps_tow_s,Speed (km/h)\n2419,302400,0\n2419,302400.5,10.5\n2419,302401,21\n",
            &["Speed = satellite_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        stamps(
            "days of the year",
            ["2026-142T11:58:00.0", "2026-142T11:58:00.5", "2026-142T11:58:01.0"],
        ),
        stamps(
            "weeks of the year",
            ["2026-W21-3T11:58:00", "2026-W21-3T11:58:00.5", "2026-W21-3T11:58:01"],
        ),
        stamps("the last day of a leap year", ["366:23:59:59.5", "001:00:00:00", "001:00:00:00.5"]),
        stamps("the last day of another", ["365:23:59:59.5", "001:00:00:00", "001:00:00:00.5"]),
        stamps("days, hours, minutes", ["142:23:59:59.5", "143:00:00:00", "143:00:00:00.5"]),
        stamps(
            "points in the clock behind a date",
            ["30-OCT-24 10.09.58.000 AM", "30-OCT-24 10.09.58.500 AM", "30-OCT-24 10.09.59.000 AM"],
        ),
        stamps(
            "letters in the clock",
            [
                "29 févr. 2024 23h59m59,500s",
                "1 mars 2024 00h00m00,000s",
                "1 mars 2024 00h00m00,500s",
            ],
        ),
        stamps(
            "Spanish dates",
            [
                "6 de noviembre de 2024, 16:39:54.0",
                "6 de noviembre de 2024, 16:39:54.5",
                "6 de noviembre de 2024, 16:39:55.0",
            ],
        ),
        stamps(
            "Swedish clocks",
            ["2024-07-31 kl. 14.34.47,0", "2024-07-31 kl. 14.34.47,5", "2024-07-31 kl. 14.34.48,0"],
        ),
        stamps(
            "Chinese halves of a day",
            ["2024/9/10 下午 04:11:19.0", "2024/9/10 下午 04:11:19.5", "2024/9/10 下午 04:11:20.0"],
        ),
        stamps("seventeen digits", ["20240515235959500", "20240516000000000", "20240516000000500"]),
        stamps("lengths of time after ISO 8601", ["PT59.5S", "PT1M0S", "PT1M0.5S"]),
        case(
            "100 ns since 1601",
            "FileTimeUtc,Speed (km/h)\n133756353480000000,0\n133756353485000000,10.5\n133756353490000000,21\n",
            SPEED,
            &[],
        ),
        case(
            "100 ns since the year 1",
            "Ticks,Speed (km/h)\n638536114250000000,0\n638536114256400000,10.5\n638536114262800000,21\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.64:10.5 1.28:21"],
            &[],
        ),
        stamps(
            "days without a year, over the new one",
            ["31.12. 23:59:59,5", "01.01. 00:00:00,0", "01.01. 00:00:00,5"],
        ),
        stamps("a plus before the clock", ["+00:00:59.5", "+00:01:00.0", "+00:01:00.5"]),
        // Both are named like a clock; one has a unit.
        case(
            "a timer beside the time",
            "Timer,Time (s),Speed (km/h)\n1,0.0,0\n2,0.5,10.5\n3,1.0,21\n",
            SPEED,
            &[],
        ),
        case(
            "a comma before the thousandths that parts the cells too",
            "asctime,Speed (km/h),Throttle (%)\n2024-10-07 16:06:58,000,0,5\n2024-10-07 16:06:58,500,10.5,6\n\
             2024-10-07 16:06:59,000,21,7\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Throttle = throttle [%] 0:5 0.5:6 1:7",
            ],
            &[],
        ),
    ]
}

pub fn cells() -> Vec<Case> {
    const ACCELERATION: &[&str] =
        &["Accel x = longitudinal_acceleration [m/s²] 0:-0.5 0.5:0.25 1:-1"];
    vec![
        case(
            "negative numbers in brackets",
            "Time (s),Accel x (m/s2)\n0,(0.5)\n0.5,0.25\n1,(1.00)\n",
            ACCELERATION,
            &[],
        ),
        case(
            "the minus behind the number",
            "Time (s);Accel x (m/s2)\n0;0,5-\n0,5;0,25\n1;1,00-\n",
            ACCELERATION,
            &[],
        ),
        case(
            "doubles of Fortran",
            "  Time(s)   Speed(km/h)\n  0.00D+00   0.000D+00\n  0.50D+00   0.105D+02\n  0.10D+01   0.210D+02\n",
            SPEED,
            &[],
        ),
        case(
            "fields that were too narrow",
            "Time (s)  Speed (km/h)\n0.0   0.0\n0.5  10.5\n0.7  ****\n1.0  21.0\n",
            SPEED,
            &[],
        ),
    ]
}

pub fn names() -> Vec<Case> {
    vec![
        case(
            "quantities over their units",
            "t/s;n_Mot/min-1;v_Fzg/(km/h);T_LL/°C\n0;900;0;30\n0,5;2500;10,5;31\n1;4000;21;33\n",
            &[
                "n_Mot = engine_speed [rpm] 0:900 0.5:2500 1:4000",
                "v_Fzg = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "T_LL = charge_air [°C] 0:30 0.5:31 1:33",
            ],
            &[],
        ),
        case(
            "units before the names",
            "t [s];U/min n;km/h v;% DKW\n0;900;0;5\n0,5;2500;10,5;90\n1;4000;21;100\n",
            &[
                "n = engine_speed [rpm] 0:900 0.5:2500 1:4000",
                "v = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "DKW = throttle [%] 0:5 0.5:90 1:100",
            ],
            &[],
        ),
        // Neither is degrees Celsius, nor hours.
        case(
            "signs that are no fraction",
            "Time (s),Speed (km/h),A/C,Speed km/h avg\n0,0,1,0\n0.5,10.5,1,5\n1,21,0,10\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "A/C = - [-] 0:1 0.5:1 1:0",
                "Speed km/h avg = - [-] 0:0 0.5:5 1:10",
            ],
            &[],
        ),
        case(
            "marks of footnotes in the names",
            "Time¹ (s),Speed² (km/h),Charge air³ (°C)\n0,0,30\n0.5,10.5,31\n1,21,33\n",
            &[
                "Speed² = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Charge air³ = charge_air [°C] 0:30 0.5:31 1:33",
            ],
            &[],
        ),
        case(
            "before and after the cooler in one letter",
            "t [s];T_vLLK [°C];T_nLLK [°C]\n0;30;30\n0,5;80;35\n1;90;38\n",
            &[
                "T_vLLK = compressor_outlet_air [°C] 0:30 0.5:80 1:90",
                "T_nLLK = charge_air [°C] 0:30 0.5:35 1:38",
            ],
            &[],
        ),
        case(
            "the names in the last line",
            "0,0\n0.5,10.5\n1,21\nTime (s),Speed (km/h)\n",
            SPEED,
            &["header_last"],
        ),
    ]
}

/// Lines that begin with what is not theirs, and cells parted in other ways.
pub fn led() -> Vec<Case> {
    vec![
        case(
            "quoted in a mail",
            "Here is the log:\n> Time (s),Speed (km/h)\n> 0,0\n> 0.5,10.5\n> 1,21\n> \n> 1.5,22\n> 2,23\n> 2.5,24\n> 3,25\n> 3.5,26\n",
            &["Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:22 2:23 2.5:24 3:25 3.5:26"],
            &["lines_led"],
        ),
        case(
            "a terminal's clock before the records' own",
            "14:02:11.254 -> t_ms,Speed (km/h)\n14:02:11.260 -> 100,0\n14:02:11.771 -> 600,10.5\n14:02:12.290 -> 1100,21\n",
            SPEED,
            &["lines_led"],
        ),
        case(
            "a terminal's clock alone",
            "[14:02:11.000] Speed (km/h),Throttle (%)\n[14:02:11.250] 0,5\n[14:02:11.750] 10.5,6\n[14:02:12.250] 21,7\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Throttle = throttle [%] 0:5 0.5:6 1:7",
            ],
            &["clock_of_terminal"],
        ),
        case(
            "a terminal's clock before cells parted by blanks",
            "[14:02:11.000] speed_kmh throttle_pct\n[14:02:11.250] 0.0 5\n[14:02:11.750] 10.5 6\n[14:02:12.250] 21.0 7\n",
            &["speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["clock_of_terminal"],
        ),
        case(
            "a pager's numbers",
            "     1\tTime (s),Speed (km/h)\n     2\t0,0\n     3\t0.5,10.5\n     4\t1,21\n",
            SPEED,
            &["lines_led"],
        ),
        case(
            "quotation marks of a word processor",
            "„Time (s)“,„Speed (km/h)“\n„0,0“,„0“\n„0,5“,„10,5“\n„1,0“,„21“\n",
            SPEED,
            &[],
        ),
        case(
            "as many tabs as it takes",
            "Time (s)\tSpeed (km/h)\tThrottle (%)\n0\t\t0\t\t5\n0.5\t\t10.5\t\t6\n1\t\t21\t\t7\n",
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
                "Throttle = throttle [%] 0:5 0.5:6 1:7",
            ],
            &[],
        ),
        case(
            "names before their values",
            "t=0.0 speed_kmh=0\nt=0.5 speed_kmh=10.5\nt=1.0 speed_kmh=21\n",
            &["speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &["unit_guessed"],
        ),
        case(
            "objects of JSON",
            "{\"ts\":1748000000000,\"car\":{\"speed_kmh\":0}}\n{\"ts\":1748000000500,\"car\":{\"speed_kmh\":10.5}}\n\
             {\"ts\":1748000001000,\"car\":{\"speed_kmh\":21}}\n",
            &["car speed_kmh = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        case(
            "labels before values with units",
            "T: 100 ms; speed: 0.0 km/h\nT: 600 ms; speed: 10.5 km/h\nT: 1100 ms; speed: 21 km/h\n",
            &["speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21"],
            &[],
        ),
        case("broken bars", "Time (s)¦Speed (km/h)\n0¦0\n0.5¦10.5\n1¦21\n", SPEED, &[]),
    ]
}

const EAST: &[&str] = &[
    "エンジン回転数 = engine_speed [rpm] 0:900 0.5:2500 1:4000",
    "車速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
];
const EAST_CHINESE: &[&str] = &[
    "发动机转速 = engine_speed [rpm] 0:900 0.5:2500 1:4000",
    "车速 = vehicle_speed [km/h] 0:0 0.5:10.5 1:21",
];

/// Encodings of the East, with a date in words in every record, and two in one file.
pub fn encodings() -> Vec<Case> {
    let japanese = "日時,エンジン回転数(rpm),車速(km/h)\n2024年6月1日 午前11時59分30.0秒,900,0\n\
                    2024年6月1日 午前11時59分30.5秒,2500,10.5\n2024年6月1日 午前11時59分31.0秒,4000,21\n";
    let chinese = "时间,发动机转速(rpm),车速(km/h)\n2024/9/10 下午 04:11:19.0,900,0\n\
                   2024/9/10 下午 04:11:19.5,2500,10.5\n2024/9/10 下午 04:11:20.0,4000,21\n";
    let encoded =
        |encoding: &'static encoding_rs::Encoding, text| encoding.encode(text).0.into_owned();
    let head = "Time (s),Speed (km/h)\r\n0,0\r\n0.5,10.5\r\n";
    let tail = "1,21\r\n1.5,30\r\n2,40\r\n2.5,50\r\n3,60\r\n3.5,70\r\n4,80\r\n4.5,90\r\n5,95\r\n5.5,96\r\n6,97\r\n";
    let wide: Vec<u8> = head.encode_utf16().flat_map(u16::to_le_bytes).collect();
    vec![
        case(
            "Shift-JIS with dates",
            encoded(encoding_rs::SHIFT_JIS, japanese),
            EAST,
            &["encoding"],
        ),
        case("EUC-JP with dates", encoded(encoding_rs::EUC_JP, japanese), EAST, &["encoding"]),
        case(
            "GBK with halves of the day",
            encoded(encoding_rs::GBK, chinese),
            EAST_CHINESE,
            &["encoding"],
        ),
        case(
            "a script's lines behind UTF-16",
            [b"\xff\xfe", wide.as_slice(), tail.as_bytes()].concat(),
            &[
                "Speed = vehicle_speed [km/h] 0:0 0.5:10.5 1:21 1.5:30 2:40 2.5:50 3:60 3.5:70 4:80 4.5:90 5:95 \
               5.5:96 6:97",
            ],
            &["encoding_mixed"],
        ),
    ]
}
