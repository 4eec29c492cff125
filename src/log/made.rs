//! Logs made by hand, for the tests of this room and those below.
//!
//! In: a role and its readings. Out: a [`Channel`], a [`Log`], as if read from a file.

use super::{Channel, Form, Log, Role, Series};

/// A channel in a role, with the readings given.
pub fn channel(role: Role, time_s: &[f64], value: Vec<f64>) -> Channel {
    Channel {
        name: role.code().to_owned(),
        role: Some(role),
        unit: None,
        how: String::new(),
        derived: false,
        series: Series { time_s: time_s.into(), value },
        rate_hz: None,
        resolution: None,
    }
}

/// A channel read `hz` times a second from 0 s on, each reading the value at its time.
pub fn sampled(role: Role, hz: f64, until_s: f64, value: impl Fn(f64) -> f64) -> Channel {
    let time_s: Vec<f64> = (0..(until_s * hz) as u32).map(|i| f64::from(i) / hz).collect();
    let value = time_s.iter().map(|&t| value(t)).collect();
    Channel { rate_hz: Some(hz), ..channel(role, &time_s, value) }
}

/// A log of these channels.
pub fn log(channels: Vec<Channel>) -> Log {
    Log {
        name: "made.csv".to_owned(),
        form: Form::Csv,
        span_s: 0.0,
        rows: 0,
        began_unix_s: None,
        clock_began_s: None,
        channels,
        problems: Vec::new(),
        header_key: String::new(),
        form_found: String::new(),
    }
}
