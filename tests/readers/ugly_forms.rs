//! Receivers' logs, archives and foreign files that were met in ugly folders.
//!
//! Positions and speeds are worked out by hand from the sentences: 4806.0 N is 48.1°,
//! 36.0 knots are 18.52 m/s.

use pullmark::log::{Log, Role, limits, read, unpack};

/// Three instants, half a second apart, at 36 knots, without checksums.
const SENTENCES: [&str; 3] = [
    "$GPRMC,113712.00,A,4806.0,N,01130.0,E,36.0,0.0,140624,,,A",
    "$GPRMC,113712.50,A,4806.6,N,01130.0,E,36.0,0.0,140624,,,A",
    "$GPRMC,113713.00,A,4807.2,N,01130.0,E,36.0,0.0,140624,,,A",
];

/// With the checksum of NMEA 0183: all between `$` and `*`, exclusive or.
fn summed(sentence: &str) -> String {
    let sum = sentence.bytes().skip(1).fold(0, |sum, byte| sum ^ byte);
    format!("{sentence}*{sum:02X}")
}

fn holds_the_drive(log: &Log) {
    let close = |role: Role, wanted: [f64; 3]| {
        let series = log.series(role).unwrap();
        assert_eq!(series.time_s[..], [0.0, 0.5, 1.0]);
        let off = series.value.iter().zip(wanted).map(|(read, wanted)| (read - wanted).abs());
        assert!(off.fold(0.0, f64::max) < 1e-6, "{role:?}: {:?}", series.value);
    };
    close(Role::SatelliteSpeed, [18.52; 3]);
    close(Role::Latitude, [48.1, 48.11, 48.12]);
}

#[test]
fn sentences_without_checksums_are_read_and_said() {
    let log = read("a.nmea", SENTENCES.join("\r\n").as_bytes()).unwrap();
    holds_the_drive(&log);
    let said = "3 sentences carry no checksum; they were used, and damage in them cannot be seen.";
    assert_eq!(log.problems[0].text, said);

    // One that was cut has lost its fields with its checksum.
    let cut = [&summed(SENTENCES[0]), &SENTENCES[1][..30], &summed(SENTENCES[2])].join("\r\n");
    let log = read("a.nmea", cut.as_bytes()).unwrap();
    assert_eq!(log.series(Role::SatelliteSpeed).unwrap().time_s[..], [0.0, 1.0]);
}

/// The third of ten lost its checksum, and its speed says that it lost a digit with it; two
/// lines are none.
#[test]
fn a_sentence_that_lost_its_checksum_is_not_trusted_more_than_the_others() {
    let lines = (0..10).map(|n| {
        let sentence =
            format!("$GPRMC,1137{:02}.00,A,4806.0,N,01130.0,E,36.0,0.0,140624,,,A", 10 + n);
        match n {
            2 => sentence.replace("36.0", "6.0"),
            5 => format!("@@garbage 1,2\r\n{}\r\n\x07\x02", summed(&sentence)),
            _ => summed(&sentence),
        }
    });
    let log = read("a.nmea", lines.collect::<Vec<_>>().join("\r\n").as_bytes()).unwrap();
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert_eq!(speed.len(), 9);
    assert!(speed.value.iter().all(|mps| (mps - 18.52).abs() < 1e-6), "{:?}", speed.value);
    let said: Vec<&str> = log.problems.iter().map(|problem| problem.text.as_str()).collect();
    assert_eq!(
        said,
        [
            "Sentences without the checksum that the others of their kind carry, which were not used: \
             1, the first in line 3.",
            "Lines that are no sentences, which were not used: 2, the first in line 6."
        ]
    );
}

#[test]
fn sentences_of_makers_and_other_radios_stand_between() {
    for other in
        ["$PUBX,00,113712.00,4806.0,N*00", "!AIVDM,1,1,,A,14eG;o@034o8sd<L9i:a;WF>062D,0*7D"]
    {
        let lines: Vec<String> =
            SENTENCES.iter().map(|s| format!("{}\r\n{other}\r\n", summed(s))).collect();
        holds_the_drive(&read("a.nmea", lines.concat().as_bytes()).unwrap());
    }
}

#[test]
fn a_track_is_known_by_its_root_whatever_its_prefix_and_decimal_sign() {
    let point = |latitude: &str, second: &str| {
        format!(
            "<g:trkpt lat=\"{latitude}\" lon=\"11,5\"><g:time>2024-06-14T11:37:{second}Z</g:time>\
             <g:speed>18,52</g:speed></g:trkpt>"
        )
    };
    let points = [point("48,1", "12"), point("48,11", "12.5"), point("48,12", "13")].concat();
    let text = format!(
        "<?xml version=\"1.0\"?><g:gpx xmlns:g=\"http://www.topografix.com/GPX/1/0\"><g:trk><g:trkseg>\
         {points}</g:trkseg></g:trk></g:gpx>"
    );
    holds_the_drive(&read("a.gpx", text.as_bytes()).unwrap());
}

#[test]
fn what_is_no_log_is_named() {
    let mut tar = b"a.csv".to_vec();
    tar.resize(257, 0);
    tar.extend(b"ustar\x0000");
    tar.resize(512, 0);
    tar.extend(b"Time (s),RPM\n0,800\n1,900\n2,950\n");
    let error = read("a.tar", &tar).unwrap_err().to_string();
    assert_eq!(
        error,
        "a.tar, start: this is a tar archive, not a log. Unpack it and open the logs themselves."
    );
    let sheet = crate::refused_packed::zipped([
        ("mimetype", &b"application/vnd.oasis.opendocument.spreadsheet"[..]),
        ("content.xml", b"<x/>"),
    ]);
    let error = unpack::entries("a.ods", &sheet, limits::UNPACKED_LIMIT).unwrap_err().to_string();
    assert!(error.starts_with("a.ods, start: this is a spreadsheet or document"), "{error}");
    let mut work = pullmark::work::Work::new();
    let columns = b"{\"time\":[0,1],\n\"rpm\":[800,900]}\n";
    let error = work.open("a.json", columns).unwrap_err().to_string();
    assert!(error.contains("neither a log nor a day file"), "{error}");
    let map = b"{\"type\":\"FeatureCollection\",\"features\":[]}";
    assert_eq!(
        work.open("a.geojson", map).unwrap_err().to_string(),
        "a.geojson, \"type\": this is a map in GeoJSON, not a log: it has no times. Export the track \
         as GPX, or the log as CSV, and open that."
    );
    let rich = br"{\rtf1\ansi Time (s),RPM\par 0,800\par 1,900\par 2,950\par}";
    assert_eq!(
        work.open("a.rtf", rich).unwrap_err().to_string(),
        "a.rtf, start: this is a document in rich text, not a log. Save the table as plain text or \
         CSV, and open that."
    );
}

#[test]
fn sentences_that_ran_together_on_a_line_are_read_one_by_one() {
    let line: String = SENTENCES.iter().map(|sentence| summed(sentence)).collect();
    let whole = format!("{}\r\n{line}\r\n", "$GPGSA,A,3,,,,,,,,,,,,,1.5,1.0,1.2*3A");
    holds_the_drive(&read("a.nmea", whole.as_bytes()).unwrap());
}

/// One stands at 50° N 8° E, the other drives at 48° N: 300 km apart, in turns.
#[test]
fn two_receivers_in_one_file_are_not_mixed_into_one_track() {
    let pair = |n: u32| {
        let second = 12.0 + f64::from(n) / 2.0;
        let car = format!(
            "$GPRMC,1137{second:05.2},A,48{:07.4},N,01130.0,E,36.0,0.0,140624,,,A",
            f64::from(n) / 100.0
        );
        let parked =
            format!("$GPRMC,1137{:05.2},A,5000.0,N,00800.0,E,0.0,0.0,140624,,,A", second + 0.25);
        format!("{}\r\n{}\r\n", summed(&car), summed(&parked))
    };
    let text: String = (0..20).map(pair).collect();
    let log = read("a.nmea", text.as_bytes()).unwrap();
    assert!(log.problems.iter().any(|problem| problem.text
        == "Positions jump more than 2 km to and fro, 39 times in all, as when several receivers write into \
            one file: 20 of 40 fixes are of one that moved the furthest; these were read and the others \
            left out."));
    let latitude = log.series(Role::Latitude).unwrap();
    assert_eq!(latitude.len(), 20);
    assert!(latitude.value.iter().all(|degrees| (48.0..48.004).contains(degrees)));
    assert!(log.series(Role::SatelliteSpeed).unwrap().value.iter().all(|mps| *mps > 18.0));
}

/// The same instants, and each receiver's height in a sentence of its own.
#[test]
fn two_receivers_of_one_clock_are_told_apart_by_their_places() {
    let burst = |n: u32| {
        let (clock, minutes) = (format!("1137{:02}.00", 12 + n), f64::from(n) / 100.0);
        let rmc = |lat: &str, lon: &str, speed: &str| {
            summed(&format!("$GPRMC,{clock},A,{lat},N,{lon},E,{speed},0.0,140624,,,A")) + "\r\n"
        };
        let gga = |lat: &str, lon: &str, height: &str| {
            summed(&format!("$GPGGA,{clock},{lat},N,{lon},E,1,09,0.9,{height},M,46.0,M,,")) + "\r\n"
        };
        let lat = format!("48{minutes:07.4}");
        let car = [rmc(&lat, "01130.0", "36.0"), gga(&lat, "01130.0", "520.0")];
        let parked = [rmc("5000.0", "00800.0", "0.0"), gga("5000.0", "00800.0", "90.0")];
        [&car[0], &parked[0], &car[1], &parked[1]].map(String::as_str).concat()
    };
    let text: String = (0..20).map(burst).collect();
    let log = read("a.nmea", text.as_bytes()).unwrap();
    for (role, wanted) in [(Role::SatelliteSpeed, 18.52), (Role::Altitude, 520.0)] {
        let series = log.series(role).unwrap();
        assert_eq!(series.len(), 20, "{role:?}");
        assert!(series.value.iter().all(|value| (value - wanted).abs() < 1e-6), "{role:?}");
    }
}

/// So near that they could be one: the talkers' names and what they tell show two.
#[test]
fn two_receivers_in_one_car_are_not_mixed_and_are_said() {
    let pair = |n: u32, other: &str| {
        let rmc = |talker: &str, speed: &str| {
            let clock = format!("1137{:02}.00", 12 + n);
            summed(&format!("${talker}RMC,{clock},A,4806.0,N,01130.0,E,{speed},0.0,140624,,,A"))
                + "\r\n"
        };
        rmc("GP", "36.0") + &rmc("GL", other)
    };
    let read = |other: &str| {
        let text: String = (0..20).map(|n| pair(n, other)).collect();
        read("a.nmea", text.as_bytes()).unwrap()
    };
    let log = read("35.2");
    assert!(log.problems.iter().any(|problem| problem.text
        == "20 RMC sentences tell another speed or position of an instant than another talker's before \
            them, the first in line 2, as when two receivers write into one file; the first of each instant were \
            used."), "{:?}", log.problems);
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert!(speed.value.iter().all(|mps| (mps - 18.52).abs() < 1e-6), "{:?}", speed.value);
    // One receiver that speaks under two names tells the same.
    assert!(!read("36.0").says("receivers_mixed"));
}

/// 66.672 km/h are 18.52 m/s.
#[test]
fn a_speed_in_kilometres_an_hour_alone_is_read() {
    let lines: Vec<String> = (0..3)
        .map(|n| {
            let gga = format!("$GPGGA,11371{n}.00,4806.{n},N,01130.0,E,1,09,0.9,520.0,M,46.0,M,,");
            format!("{}\r\n{}\r\n", summed(&gga), summed("$GPVTG,0.0,T,,M,,N,66.672,K,A"))
        })
        .collect();
    let log = read("a.nmea", lines.concat().as_bytes()).unwrap();
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert!(speed.value.iter().all(|mps| (mps - 18.52).abs() < 1e-6), "{:?}", speed.value);
}

#[test]
fn the_time_of_day_runs_on_over_a_date_that_is_wrong() {
    let sentence = |clock: &str, date: &str| {
        summed(&format!("$GPRMC,{clock},A,4806.0,N,01130.0,E,36.0,0.0,{date},,,A")) + "\r\n"
    };
    let times = |text: String| {
        read("a.nmea", text.as_bytes())
            .unwrap()
            .series(Role::SatelliteSpeed)
            .unwrap()
            .time_s
            .to_vec()
    };
    // Before it knew the week: 6 January 1980.
    let first = [
        sentence("113712.00", "060180"),
        sentence("113712.50", "060180"),
        sentence("113713.00", "140624"),
        sentence("113713.50", "140624"),
    ];
    assert_eq!(times(first.concat()), [0.0, 0.5, 1.0, 1.5]);
    // The date of before midnight, for good; and for one sentence.
    let stale = [
        sentence("235959.00", "140624"),
        sentence("235959.50", "140624"),
        sentence("000000.00", "140624"),
        sentence("000000.50", "140624"),
    ];
    assert_eq!(times(stale.concat()), [0.0, 0.5, 1.0, 1.5]);
    let late = [
        sentence("235959.00", "140624"),
        sentence("235959.50", "140624"),
        sentence("000000.00", "140624"),
        sentence("000000.50", "150624"),
    ];
    assert_eq!(times(late.concat()), [0.0, 0.5, 1.0, 1.5]);
}

/// 18.52 m/s are 66.672 km/h and 36 knots.
#[test]
fn a_track_s_speed_is_in_the_unit_that_its_element_names() {
    for speed in [
        "<speed>18.52</speed>",
        "<speed unit=\"km/h\">66.672</speed>",
        "<speed uom=\"kn\">36.0</speed>",
        "<speed><![CDATA[18.52]]></speed>",
    ] {
        let point = |latitude: &str, second: &str| {
            format!(
                "<trkpt lat=\"{latitude}\" lon=\"11.5\"><time>2024-06-14T11:37:{second}Z</time>{speed}</trkpt>"
            )
        };
        let points =
            [point("&#52;8.1", "12"), point("48.11", "12.5"), point("48.1&#x32;", "13")].concat();
        let text =
            format!("<?xml version=\"1.0\"?><gpx><trk><trkseg>{points}</trkseg></trk></gpx>");
        holds_the_drive(&read("a.gpx", text.as_bytes()).unwrap());
        // Each point twice.
        let twice = [
            point("48.1", "12"),
            point("48.1", "12"),
            point("48.11", "12.5"),
            point("48.11", "12.5"),
            point("48.12", "13"),
        ];
        let text = format!(
            "<?xml version=\"1.0\"?><gpx><trk><trkseg>{}</trkseg></trk></gpx>",
            twice.concat()
        );
        let log = read("a.gpx", text.as_bytes()).unwrap();
        holds_the_drive(&log);
        assert_eq!(log.problems[0].text, "2 track points stand there twice; one of each was read.");
    }
    let point = |second: &str| {
        format!(
            "<trkpt lat=\"48\" lon=\"11\"><time>2024-06-14T11:37:{second}Z</time><speed uom=\"furlongs\">9</speed></trkpt>"
        )
    };
    let text = format!(
        "<gpx><trk><trkseg>{}{}{}</trkseg></trk></gpx>",
        point("12"),
        point("13"),
        point("14")
    );
    let log = read("a.gpx", text.as_bytes()).unwrap();
    assert!(log.channels.iter().all(|channel| channel.name != "gps speed"));
}

/// A minute of latitude is 1853 m on a sphere of 6371 km: 0.001 min in a second are
/// 1.853 m/s, and 0.01 min 18.53 m/s or 66.7 km/h.
#[test]
fn a_track_s_speed_without_a_unit_is_held_against_its_positions() {
    let track = |speed: f64| {
        let point = |n: u32| {
            let latitude = 48.0 + f64::from(n) * 0.01 / 60.0;
            format!(
                "<trkpt lat=\"{latitude:.8}\" lon=\"11.5\"><time>2024-06-14T11:37:{n:02}Z</time><speed>{speed}</speed></trkpt>"
            )
        };
        let points: String = (0..30).map(point).collect();
        read("a.gpx", format!("<gpx><trk><trkseg>{points}</trkseg></trk></gpx>").as_bytes())
            .unwrap()
    };
    for (written, unit) in [(18.53, "m/s"), (66.7, "km/h"), (36.02, "kn")] {
        let log = track(written);
        let speed = log.channel(Role::SatelliteSpeed).unwrap();
        assert_eq!(speed.unit.unwrap().symbol, unit, "{written}");
        assert!(speed.series.value.iter().all(|v| (v - 18.53).abs() < 0.02), "{written}");
        assert_eq!(log.problems.iter().any(|p| p.code == "unit_guessed"), unit != "m/s");
    }
}
