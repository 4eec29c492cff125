//! Sentences of a receiver that sends another protocol on the same wire.

use pullmark::log::{Role, read};

/// A sentence with its checksum: the exclusive or of what stands between the signs (NMEA 0183).
fn summed(body: &str) -> String {
    format!("${body}*{:02X}\r\n", body.bytes().fold(0, |sum, byte| sum ^ byte))
}

fn wire(sentences: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    for n in 0..sentences {
        // No text in any encoding: bytes of all values, another start each time.
        let noise = (0..97).map(|k| (k * 89 + n * 31) as u8).filter(|byte| *byte != b'$');
        bytes.extend([0xb5, 0x62]);
        bytes.extend(noise);
        let body = format!(
            "GPRMC,1200{:02}.{}0,A,4807.0380,N,01131.0000,E,{}.50,84.4,230394,,,A",
            n / 5,
            2 * (n % 5),
            n
        );
        bytes.extend(summed(&body).bytes());
    }
    bytes
}

#[test]
fn sentences_among_other_bytes_are_read_and_the_rest_is_said() {
    let log = read("a.log", &wire(40)).unwrap();
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert_eq!(speed.len(), 40);
    // Knots of 1852 m an hour.
    assert!((speed.value[39] - 39.5 * 1852.0 / 3600.0).abs() < 1e-9);
    assert_eq!(
        log.problems[0].text,
        "Bytes of another protocol stand between the sentences; they were left out, and 40 sentences \
         with a right checksum were used."
    );
}

/// A few may be chance, and a wrong checksum is none.
#[test]
fn what_may_be_chance_is_no_log() {
    let wrong: Vec<u8> = wire(40).iter().map(|&b| if b == b'M' { b'N' } else { b }).collect();
    for bytes in [wire(4), wrong] {
        let error = read("a.log", &bytes).unwrap_err().to_string();
        assert!(
            error.starts_with("a.log, start: this is not text and no known form of log."),
            "{error}"
        );
    }
}

/// Source: NMEA 0183 version 2.0, where RMC may end with its date (from memory).
#[test]
fn sentences_of_older_versions_are_read() {
    let rmc = |n: usize| {
        summed(&format!("GPRMC,1200{n:02},A,4807.0380,N,01131.0000,E,{n}.5,84.4,230394"))
    };
    let text: String = (0..20).map(rmc).collect();
    let log = read("a.nmea", text.as_bytes()).unwrap();
    let speed = log.series(Role::SatelliteSpeed).unwrap();
    assert_eq!((speed.len(), speed.time_s[19]), (20, 19.0));
    // A wrong sum stays one.
    let wrong = text.replace("E,3.5", "E,9.5");
    let log = read("a.nmea", wrong.as_bytes()).unwrap();
    assert_eq!(log.series(Role::SatelliteSpeed).map(|series| series.len()), Some(19));
    assert!(log.says("checksum"), "{:?}", log.problems);
}

/// Positions and speeds apart, as receivers of boats send them.
#[test]
fn positions_by_gll_count_where_nothing_else_gives_one() {
    let pair = |n: usize| {
        let gll = summed(&format!("GPGLL,4807.{n:04},N,01131.0000,E,1200{n:02},A"));
        gll + &summed(&format!("GPVTG,84.4,T,,M,{n}.5,N,,K"))
    };
    let text: String = (0..20).map(pair).collect();
    let log = read("a.nmea", text.as_bytes()).unwrap();
    let of = |role| log.series(role).map(|series| (series.len(), series.time_s[19]));
    assert_eq!(of(Role::SatelliteSpeed), Some((20, 19.0)), "{:?}", log.problems);
    assert_eq!(of(Role::Latitude), Some((20, 19.0)));
}
