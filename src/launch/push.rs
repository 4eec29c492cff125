//! How hard the car pushed: mean and peak acceleration of one pull.
//!
//! In: the [`Motion`], and the accelerometer where the log has one. Out: [`Push`].
//!
//! A peak means nothing without its window, and a sensor on a body that squats adds a part
//! of gravity to what it reads; so the peak is given as the sensor's highest reading, of the
//! sensor over a window, and of the motion over the same window, which is free of the
//! sensor's rest and of the body's pitch.

use super::Motion;
use super::witness::Accelerometer;
use crate::pull::Pull;

/// The windowed peak is the mean over this time (common practice, no source).
pub const PEAK_WINDOW_S: f64 = 0.2;

/// Accelerations of one pull, m/s².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Push {
    /// From first motion to the top speed.
    pub mean_mps2: Option<f64>,
    /// Greatest mean over [`PEAK_WINDOW_S`] of the motion.
    pub peak_mps2: Option<f64>,
    /// The greatest single reading as the sensor gave it, its sign turned forwards.
    pub raw_peak_mps2: Option<f64>,
    /// The sensor's greatest mean over [`PEAK_WINDOW_S`], its sign turned forwards.
    pub raw_window_mps2: Option<f64>,
}

pub fn push(motion: &Motion, sensor: Option<&Accelerometer>, pull: &Pull) -> Push {
    Push {
        mean_mps2: mean(motion),
        peak_mps2: peak(motion),
        raw_peak_mps2: sensor.and_then(|sensor| raw_peak(sensor, motion.start_s, pull.end_s)),
        raw_window_mps2: sensor.and_then(|sensor| raw_window(sensor, motion.start_s, pull.end_s)),
    }
}

/// Greatest mean acceleration over [`PEAK_WINDOW_S`] of the motion.
pub fn peak(motion: &Motion) -> Option<f64> {
    motion
        .time_s
        .iter()
        .zip(&motion.speed_mps)
        .filter_map(|(&t, &v)| Some((motion.speed_at(t + PEAK_WINDOW_S)? - v) / PEAK_WINDOW_S))
        .reduce(f64::max)
}

/// Mean acceleration from first motion to the top speed; `None` where that is not told.
fn mean(motion: &Motion) -> Option<f64> {
    motion.top_speed_mps()?;
    let top = (0..motion.speed_mps.len())
        .max_by(|&a, &b| motion.speed_mps[a].total_cmp(&motion.speed_mps[b]))?;
    let lasts = motion.time_s[top] - motion.time_s.first()?;
    (lasts > 0.2).then(|| (motion.speed_mps[top] - motion.speed_mps[0]) / lasts)
}

fn raw_peak(sensor: &Accelerometer, from_s: f64, to_s: f64) -> Option<f64> {
    let (_, value) = sensor.series.between(from_s, to_s);
    value.iter().map(|value| value + sensor.rest_mps2).reduce(f64::max)
}

/// By the trapezium rule; the far end of a window lies between two readings.
fn raw_window(sensor: &Accelerometer, from_s: f64, to_s: f64) -> Option<f64> {
    let (time_s, value) = sensor.series.between(from_s, to_s);
    let mean = |first: usize| {
        let end_s = time_s[first] + PEAK_WINDOW_S;
        let last = sensor.series.at(end_s).filter(|_| end_s <= to_s)?;
        let inside = time_s[first..].iter().zip(&value[first..]).map(|(&t, &a)| (t, a));
        let inside = inside.take_while(|&(t, _)| t < end_s).chain([(end_s, last)]);
        let rows: Vec<(f64, f64)> = inside.collect();
        let area: f64 = rows.windows(2).map(|w| 0.5 * (w[1].0 - w[0].0) * (w[0].1 + w[1].1)).sum();
        Some(area / PEAK_WINDOW_S + sensor.rest_mps2)
    };
    (0..time_s.len()).filter_map(mean).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::Series;

    /// Exact: 5 m/s² all along, read by a sensor that rests at 0.3 m/s² and once jumps to 8.
    #[test]
    fn a_single_jump_is_the_raw_peak_and_not_the_peak_over_a_window() {
        let time_s: Vec<f64> = (0..40).map(|i| f64::from(i) * 0.05).collect();
        let motion = Motion {
            start_s: 0.0,
            start_sd_s: 0.01,
            ends_untold: false,
            speed_mps: time_s.iter().map(|t| 5.0 * t).collect(),
            speed_sd_mps: vec![0.1; 40],
            distance_m: time_s.iter().map(|t| 2.5 * t * t).collect(),
            accel_mps2: vec![5.0; 40],
            time_s: time_s.clone(),
        };
        let mut value = vec![5.0; 40];
        value[20] = 8.0;
        let sensor = Accelerometer {
            series: Series { time_s: time_s.into(), value },
            bias_sd_mps2: 0.05,
            rest_mps2: 0.3,
        };
        assert_eq!(raw_peak(&sensor, 0.0, 2.0), Some(8.3));
        // The jump is a triangle of 0.1 s and 3 m/s²: 0.15 m/s more over 0.2 s.
        let window = raw_window(&sensor, 0.0, 2.0);
        assert!(window.is_some_and(|peak| (peak - 6.05).abs() < 1e-9), "{window:?}");
        assert!(peak(&motion).is_some_and(|peak| (peak - 5.0).abs() < 1e-9));
    }
}
