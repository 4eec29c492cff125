//! Logs of an invented car, by formulas whose results are known.
//!
//! The car stands, pulls with v = V (1 - exp(-t/T)), slows down evenly and stands
//! again. Its charge air climbs evenly while it pulls and falls back exponentially.

use std::fmt::Write;

/// Top speed that the pull tends to, m/s, and its time constant, s.
const V: f64 = 60.0;
const T: f64 = 10.0;
const PULL_S: f64 = 9.0;
const SLOWING_S: f64 = 12.0;
/// From one start to the next.
pub const EVERY_S: f64 = 90.0;
pub const FIRST_START_S: f64 = 10.0;
/// Of the charge air's fall.
pub const TAU_S: f64 = 20.0;
const START_C: f64 = 40.0;

pub struct Car {
    pub pulls: u32,
    /// Rise of charge air in one pull.
    pub rise_c: f64,
    /// Adds to every charge-air reading.
    pub warmer_c: f64,
    pub hz: f64,
}

impl Default for Car {
    fn default() -> Self {
        Car { pulls: 3, rise_c: 12.0, warmer_c: 0.0, hz: 20.0 }
    }
}

/// Time from first motion to a speed, by the formula.
pub fn time_to_s(mps: f64) -> f64 {
    -T * libm::log(1.0 - mps / V)
}

impl Car {
    /// The log as CSV.
    pub fn log(&self) -> String {
        let mut text = String::from(
            "Time (s),Vehicle speed (km/h),Throttle (%),Charge air temperature (°C)\n",
        );
        let end_s = FIRST_START_S + f64::from(self.pulls) * EVERY_S;
        let rows = (end_s * self.hz) as u32;
        for row in 0..=rows {
            let time_s = f64::from(row) / self.hz;
            let (kmh, throttle, charge_c) = self.at(time_s);
            let line = writeln!(text, "{time_s:.3},{kmh:.2},{throttle},{charge_c:.2}");
            line.expect("text grows");
        }
        text
    }

    fn at(&self, time_s: f64) -> (f64, u32, f64) {
        let since_s = time_s - FIRST_START_S;
        if since_s < 0.0 {
            return (0.0, 0, START_C + self.warmer_c);
        }
        let since_s = since_s % EVERY_S;
        let top = V * (1.0 - libm::exp(-PULL_S / T));
        let (mps, throttle, above_c) = if since_s <= PULL_S {
            (V * (1.0 - libm::exp(-since_s / T)), 100, self.rise_c * since_s / PULL_S)
        } else {
            let slowing = 1.0 - (since_s - PULL_S) / SLOWING_S;
            let left = libm::exp(-(since_s - PULL_S) / TAU_S);
            (top * slowing.max(0.0), 0, self.rise_c * left)
        };
        (mps * 3.6, throttle, START_C + self.warmer_c + above_c)
    }
}

/// A day file with a build for each entry: a name and the paths of its one outing.
pub fn day(builds: &[(&str, &[&str])]) -> String {
    let build = |(name, logs): &(&str, &[&str])| {
        serde_json::json!({ "name": name, "outings": [{
            "logs": logs,
            "ambient_c": 21.5, "relative_humidity_percent": 40.0, "pressure_kpa": 100.9
        }] })
    };
    let builds: Vec<_> = builds.iter().map(build).collect();
    serde_json::json!({ "format": "pullmark-day", "version": 1, "builds": builds }).to_string()
}
