//! GNS sentences as most receivers write them.
//!
//! The nmea crate refuses a mode with more letters than it knows, and one with a blank at
//! its end: they are told field by field here. Source: NMEA 0183 (4.10), GNS.

use super::receivers::Place;
use super::{decimal, of_day_s};

/// What a GNS sentence tells of its instant.
pub struct Gns {
    pub of_day_s: f64,
    pub place: Place,
    pub altitude_m: Option<f64>,
    pub satellites: Option<f64>,
    pub hdop: Option<f64>,
}

impl Gns {
    pub fn of(data: &nmea::sentences::GnsData) -> Option<Gns> {
        Some(Gns {
            of_day_s: data.fix_time.and_then(of_day_s)?,
            place: data.lat.zip(data.lon)?,
            altitude_m: data.alt.map(decimal),
            satellites: Some(f64::from(data.nsattelites)),
            hdop: data.hdop.map(decimal),
        })
    }

    /// The same of a sentence that the crate does not read, its checksum found right.
    pub fn parsed(sentence: &str) -> Option<Gns> {
        let body = sentence.split('*').next()?;
        let fields: Vec<&str> = body.split(',').collect();
        let [head, time, lat, north, lon, east, mode, satellites, hdop, altitude, ..] = fields[..]
        else {
            return None;
        };
        // N in every system's place: no fix.
        if !head.ends_with("GNS") || mode.chars().all(|letter| letter == 'N') {
            return None;
        }
        let number = |field: &str| field.parse::<f64>().ok().filter(|value| value.is_finite());
        Some(Gns {
            of_day_s: of_digits(time)?,
            place: (degrees(lat, north, "NS")?, degrees(lon, east, "EW")?),
            altitude_m: number(altitude),
            satellites: number(satellites),
            hdop: number(hdop),
        })
    }
}

/// Seconds of the day from `hhmmss.ss`.
fn of_digits(time: &str) -> Option<f64> {
    let pair = |at: usize| time.get(at..at + 2)?.parse::<u32>().ok().map(f64::from);
    let seconds: f64 = time.get(4..)?.parse().ok().filter(|s| (0.0..61.0).contains(s))?;
    Some(pair(0)? * 3600.0 + pair(2)? * 60.0 + seconds)
}

/// Degrees from `dddmm.mmmm` and the letter of its half of the Earth.
fn degrees(written: &str, half: &str, halves: &str) -> Option<f64> {
    let value: f64 = written.parse().ok().filter(|v| (0.0..=18_000.0).contains(v))?;
    let size = (value / 100.0).floor() + value % 100.0 / 60.0;
    match halves.find(half).filter(|_| half.len() == 1)? {
        0 => Some(size),
        _ => Some(-size),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fields_are_those_of_the_standard() {
        let gns =
            Gns::parsed("$GNGNS,091622.20,4704.80780,N,00230.29695,W,AAN,12,0.8,237.2,47.6,,*10")
                .unwrap();
        assert_eq!(gns.of_day_s, 33_382.2);
        assert!((gns.place.0 - (47.0 + 4.8078 / 60.0)).abs() < 1e-9, "{:?}", gns.place);
        assert!((gns.place.1 + 2.0 + 30.29695 / 60.0).abs() < 1e-9, "{:?}", gns.place);
        assert_eq!(
            (gns.altitude_m, gns.satellites, gns.hdop),
            (Some(237.2), Some(12.0), Some(0.8))
        );
        for none in [
            "$GNGNS,091622.20,,,,,NNN,00,,,,,*10",
            "$GNGNS,091622.20,4704.80780,X,00230.29695,W,AAN,12,0.8,237.2,47.6,,*10",
            "$GNGNS,0916nan,4704.80780,N,00230.29695,W,AAN,12,0.8,237.2,47.6,,*10",
            "$GNGNS,091622.20,inf,N,00230.29695,W,AAN,12,0.8,237.2,47.6,,*10",
            "$GNGNS,091622.20",
        ] {
            assert!(Gns::parsed(none).is_none(), "{none}");
        }
    }
}
