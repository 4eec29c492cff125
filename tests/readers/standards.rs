//! Examples out of the standards, read through the one door.
//!
//! Sources: the sentences of NMEA 0183 as widely reprinted, their checksums the XOR of
//! what stands between `$` and `*` (also parsed by pynmea2 1.19.0); RFC 4180, section
//! 2; RFC 3339, section 5.8; GPX 1.1, whose times are `xsd:dateTime`.

use pullmark::log::{Log, Role, Series, read};

const GGA: &str = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\n";
const RMC: &str = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n";
const VTG: &str = "$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48\n";
const ZDA: &str = "$GPZDA,201530.00,04,07,2002,00,00*60\n";
/// The same fix one second on; its checksum by the same XOR.
const NEXT: &str = "$GPRMC,123520,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*60\n";

fn opened(name: &str, text: &str) -> Log {
    read(name, text.as_bytes()).unwrap()
}

fn series(log: &Log, role: Role) -> &Series {
    log.series(role).unwrap_or_else(|| panic!("no {role:?}"))
}

fn codes(log: &Log) -> Vec<&str> {
    log.problems.iter().map(|problem| problem.code).collect()
}

/// Rows H2-01 to H2-04 of the check values: each sentence is right with its checksum
/// and wrong with any other.
#[test]
fn the_printed_checksums_are_right_and_others_are_not() {
    for sentence in [GGA, RMC, VTG, ZDA] {
        let right = opened("a.nmea", &[RMC, sentence, NEXT].concat());
        assert_eq!(codes(&right), [""; 0], "{sentence}");
        let (body, sum) = sentence.trim_end().rsplit_once('*').unwrap();
        let other = u8::from_str_radix(sum, 16).unwrap() ^ 1;
        let wrong = opened("a.nmea", &format!("{RMC}{body}*{other:02X}\n{NEXT}"));
        assert_eq!(codes(&wrong), ["checksum"], "{sentence}");
    }
}

/// Rows H2-05 to H2-07: 48°07.038' is 48.1173°, 11°31.000' is 11.5166667°, 22.4 kn are
/// 11.523556 m/s, 1994-03-23T12:35:19Z is 764 426 119 s after 1970.
#[test]
fn the_printed_fix_gives_its_place_speed_and_date() {
    let log = opened("a.nmea", &[RMC, NEXT].concat());
    let first = |role| series(&log, role).value[0];
    assert!((first(Role::Latitude) - 48.117_300_0).abs() < 1e-7);
    assert!((first(Role::Longitude) - 11.516_666_7).abs() < 1e-7);
    assert!((first(Role::SatelliteSpeed) - 11.523_556).abs() < 1e-6);
    assert_eq!(log.began_unix_s, Some(764_426_119.0));
}

/// Row H2-08: the same speed in knots and km/h differs by its printed digits only.
#[test]
fn a_speed_in_knots_is_the_speed_in_kilometres_an_hour() {
    let without_speed = |sentence: &str| {
        let body = sentence.trim_start_matches('$').split('*').next().unwrap().replace("022.4", "");
        let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
        format!("${body}*{sum:02X}\n")
    };
    let text = [without_speed(RMC), VTG.into(), without_speed(NEXT), VTG.into()].concat();
    let kmh = series(&opened("a.nmea", &text), Role::SatelliteSpeed).value[0] * 3.6;
    assert!((10.2 - kmh - 0.014).abs() < 1e-4, "{kmh}");
}

/// Row H2-18, rule 7: `"aaa","b""bb","ccc"` are aaa, b"bb and ccc.
#[test]
fn a_doubled_quotation_mark_is_one() {
    let log = opened("a.csv", "\"time (s)\",\"aaa\",\"b\"\"bb\",\"ccc\"\r\n0,1,2,3\r\n1,2,3,4\r\n");
    let names: Vec<&str> = log.channels.iter().map(|channel| channel.name.as_str()).collect();
    assert_eq!(names, ["aaa", "b\"bb", "ccc"]);
}

/// Row H2-19, rule 6: a field in quotation marks may hold line breaks, in the header
/// and below it, and stays one field of one record.
#[test]
fn a_line_break_in_quotation_marks_parts_nothing() {
    let text = "\"time\r\n(s)\",\"b\r\nbb\",\"Speed\r\n(km/h)\",note\r\n0,1,36,\r\n1,2,72,\"go\r\nnow\"\r\n2,3,108,\r\n";
    let log = opened("a.csv", text);
    let names: Vec<&str> = log.channels.iter().map(|channel| channel.name.as_str()).collect();
    assert_eq!(names, ["b bb", "Speed"]);
    let speed = series(&log, Role::VehicleSpeed);
    assert_eq!((&speed.time_s[..], &speed.value[..]), (&[0., 1., 2.][..], &[10., 20., 30.][..]));
    assert_eq!(log.rows, 3);
}

/// Rows H2-09 to H2-11: the examples of RFC 3339, in the logs they would stand in.
#[test]
fn the_printed_instants_are_where_they_should_be() {
    let began = |first: &str, second: &str| {
        opened("a.csv", &format!("timestamp,rpm\n{first},800\n{second},900\n")).began_unix_s
    };
    // 1996-12-20T00:39:57Z and 1985-04-12T23:20:50.52Z by Python's datetime.
    let west = began("1996-12-19T16:39:57-08:00", "1996-12-19T16:39:58-08:00");
    assert_eq!(west, Some(851_042_397.0));
    let finer = began("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:51.52Z").unwrap();
    assert!((finer - 482_196_050.52).abs() < 0.005);
    let leap = opened(
        "a.csv",
        "timestamp,rpm\n1990-12-31T23:59:59Z,800\n1990-12-31T23:59:60Z,900\n1991-01-01T00:00:01Z,950\n",
    );
    assert_eq!(leap.rows, 3);
}

/// Row H2-22: the parts of a second in a track's times are kept.
#[test]
fn a_track_keeps_its_parts_of_a_second() {
    let point = |time: &str| {
        format!(
            "<trkpt lat=\"48.1173\" lon=\"11.5166667\"><time>2024-05-01T12:00:{time}Z</time></trkpt>"
        )
    };
    let text =
        format!("<gpx><trk><trkseg>{}{}</trkseg></trk></gpx>", point("00.250"), point("00.500"));
    let log = opened("a.gpx", &text);
    assert!((log.began_unix_s.unwrap() - 1_714_564_800.25).abs() < 1e-3);
    assert!((series(&log, Role::Longitude).time_s[1] - 0.25).abs() < 1e-3);
    assert_eq!(series(&log, Role::Longitude).value[0], 11.516_666_7);
}
