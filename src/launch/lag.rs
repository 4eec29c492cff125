//! How far one witness runs behind another, from the shape of their accelerations.
//!
//! In: two channels and the spans in which the car was pulled. Out: a [`Lag`], positive when
//! the second is late, with how well it is known.
//!
//! Method: both are turned into the mean acceleration over one window, and the lag is
//! where their normalised correlation peaks, to a part of a step by a parabola. A
//! spinning wheel spoils its own stretch only; the rest of the pulls outvotes it.

use crate::log::Series;

/// Lags are sought this far to either side: filters and receivers stay within it.
const FARTHEST_S: f64 = 0.6;
const STEP_S: f64 = 0.02;
/// Both channels are averaged over this window, so that neither is favoured.
const WINDOW_S: f64 = 0.4;
/// Steeper slopes of a logged speed are a wheel's, not a car's.
const FASTEST_MPS2: f64 = 12.0;
/// Below this correlation the peak is no lag.
const LEAST_AGREEMENT: f64 = 0.8;

/// Where nothing tells, filters and receivers are late by about this much (common practice,
/// no source).
const UNTOLD_SD_S: f64 = 0.2;
/// Best case, and how fast it is lost with the agreement.
const TOLD_SD_S: f64 = 0.03;
const LOST_SD_S: f64 = 0.4;

/// How far behind, give or take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lag {
    pub s: f64,
    pub sd_s: f64,
}

impl Lag {
    pub const UNTOLD: Lag = Lag { s: 0.0, sd_s: UNTOLD_SD_S };

    fn of(peak: Option<(f64, f64)>) -> Lag {
        match peak {
            Some((s, agreement)) if agreement.abs() > LEAST_AGREEMENT => {
                Lag { s, sd_s: TOLD_SD_S + LOST_SD_S * (1.0 - agreement.abs()) }
            }
            _ => Lag::UNTOLD,
        }
    }
}

/// Lag of a second speed behind the first.
pub fn of_speed(first: &Series, second: &Series, spans: &[(f64, f64)]) -> Lag {
    let slope = |series: &Series, t: f64| {
        let half = 0.5 * WINDOW_S;
        Some((series.at(t + half)? - series.at(t - half)?) / WINDOW_S)
    };
    // A speed is never put in backwards.
    Lag::of(best(spans, |t| slope(first, t), |t| slope(second, t)).filter(|peak| peak.1 > 0.0))
}

/// Lag of an accelerometer behind a speed, whichever way round it is fixed.
pub fn of_acceleration(speed: &Series, acceleration: &Series, spans: &[(f64, f64)]) -> Lag {
    let half = 0.5 * WINDOW_S;
    let gained = gained(acceleration);
    // No car speeds up faster than this; a wheel that does would rule the correlation.
    let from_speed =
        |t: f64| Some(((speed.at(t + half)? - speed.at(t - half)?) / WINDOW_S).min(FASTEST_MPS2));
    let measured = |t: f64| Some((gained.at(t + half)? - gained.at(t - half)?) / WINDOW_S);
    Lag::of(best(spans, from_speed, measured))
}

/// Speed gained, by the trapezium rule.
fn gained(acceleration: &Series) -> Series {
    let mut speed = 0.0;
    let mut value = Vec::with_capacity(acceleration.len());
    for i in 0..acceleration.len() {
        if i > 0 {
            let step = acceleration.time_s[i] - acceleration.time_s[i - 1];
            speed += 0.5 * step * (acceleration.value[i] + acceleration.value[i - 1]);
        }
        value.push(speed);
    }
    Series { time_s: acceleration.time_s.clone(), value }
}

/// The lag of greatest absolute correlation, with that correlation.
fn best(
    spans: &[(f64, f64)],
    first: impl Fn(f64) -> Option<f64>,
    second: impl Fn(f64) -> Option<f64>,
) -> Option<(f64, f64)> {
    let farthest = (FARTHEST_S / STEP_S) as i32;
    let scores: Vec<f64> = (-farthest..=farthest)
        .map(|k| correlation(spans, &first, |t| second(t + f64::from(k) * STEP_S)))
        .collect::<Option<_>>()?;
    let peak = (0..scores.len()).max_by(|&a, &b| scores[a].abs().total_cmp(&scores[b].abs()))?;
    let part = match (peak.checked_sub(1).map(|i| scores[i].abs()), scores.get(peak + 1)) {
        (Some(before), Some(after)) => {
            let bend = before - 2.0 * scores[peak].abs() + after.abs();
            if bend < 0.0 { 0.5 * (before - after.abs()) / bend } else { 0.0 }
        }
        // At the end of the range there is no peak to speak of.
        _ => return None,
    };
    let lag_s = (peak as f64 - f64::from(farthest) + part) * STEP_S;
    Some((lag_s, scores[peak]))
}

/// Normalised correlation over the spans; `None` below ten shared points.
fn correlation(
    spans: &[(f64, f64)],
    first: impl Fn(f64) -> Option<f64>,
    second: impl Fn(f64) -> Option<f64>,
) -> Option<f64> {
    let (mut n, mut sx, mut sy, mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for &(from_s, to_s) in spans {
        let points = ((to_s - from_s) / 0.05) as u32;
        for k in 0..points.min(1200) {
            let t = from_s + f64::from(k) * 0.05;
            if let (Some(x), Some(y)) = (first(t), second(t)) {
                n += 1.0;
                sx += x;
                sy += y;
                sxx += x * x;
                syy += y * y;
                sxy += x * y;
            }
        }
    }
    let spread = (n * sxx - sx * sx) * (n * syy - sy * sy);
    (n >= 10.0 && spread > 0.0).then(|| (n * sxy - sx * sy) / libm::sqrt(spread))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ramp(delay_s: f64, step_s: f64) -> Series {
        let time_s: Vec<f64> = (0..(20.0 / step_s) as u32).map(|i| f64::from(i) * step_s).collect();
        let speed = |t: f64| {
            let t = t - delay_s - 3.0;
            if t < 0.0 {
                0.0
            } else {
                7.0 * t.min(2.0) + 4.0 * (t - 2.0).clamp(0.0, 4.0) - 3.0 * (t - 7.0).clamp(0.0, 9.0)
            }
        };
        Series { value: time_s.iter().map(|&t| speed(t)).collect(), time_s: time_s.into() }
    }

    #[test]
    fn a_late_receiver_is_found_late_by_as_much() {
        for delay_s in [-0.2, 0.0, 0.13, 0.35] {
            let lag = of_speed(&ramp(0.0, 0.1), &ramp(delay_s, 0.1), &[(1.0, 18.0)]);
            assert!((lag.s - delay_s).abs() < 0.01, "{lag:?} for {delay_s}");
            assert!(lag.sd_s < 0.05, "{lag:?}");
        }
    }

    #[test]
    fn an_accelerometer_put_in_backwards_is_aligned_all_the_same() {
        let speed = ramp(0.0, 0.1);
        let time_s: Vec<f64> = (0..1000).map(|i| f64::from(i) * 0.02).collect();
        let backwards = |t: f64| Some(-(speed.at(t + 0.05)? - speed.at(t - 0.05)?) / 0.1);
        let value = time_s.iter().map(|&t| backwards(t).unwrap_or(0.0)).collect();
        let sensor = Series { time_s: time_s.into(), value };
        let lag = of_acceleration(&speed, &sensor, &[(1.0, 18.0)]);
        assert!(lag.s.abs() < 0.02 && lag.sd_s < 0.06, "{lag:?}");
    }

    #[test]
    fn channels_that_have_nothing_in_common_tell_no_lag() {
        let still = Series { time_s: vec![0.0, 20.0].into(), value: vec![3.0, 3.0] };
        assert_eq!(of_speed(&ramp(0.0, 0.1), &still, &[(1.0, 18.0)]), Lag::UNTOLD);
    }
}
