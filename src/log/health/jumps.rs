//! Temperatures that jump to another level and stay: as if °C became °F, or a sensor was
//! plugged in.
//!
//! In: an assembled [`Log`]. Out: one problem for each such channel, with the place. What
//! lies before the jump and behind it cannot be compared, and nothing else shows that.

use super::{TEMPERATURES, in_its_unit, means};
use crate::log::{Channel, Log, Problem, Role};

/// Readings on either side that have to keep to their level.
const BESIDE: usize = 5;
/// More than any of these gains between two readings this close: air at full boost heats
/// its sensor by some 10 K a second. Common practice, no source.
const LEAST_K: f64 = 30.0;
const CLOSE_S: f64 = 1.5;
/// How far readings of one level are apart, as a share of the jump.
const LEVEL: f64 = 0.25;

pub fn problems(log: &Log) -> Vec<Problem> {
    TEMPERATURES.into_iter().filter_map(|role| log.channel(role)).filter_map(jump).collect()
}

fn jump(channel: &Channel) -> Option<Problem> {
    let (time, value) = (&channel.series.time_s, &channel.series.value);
    let at = (BESIDE..value.len().checked_sub(BESIDE)?).find(|&at| {
        let by = value[at] - value[at - 1];
        let keeps = |side: &[f64]| {
            let ends = side.iter().fold((f64::MAX, f64::MIN), |(l, h), &v| (l.min(v), h.max(v)));
            ends.1 - ends.0 <= LEVEL * by.abs()
        };
        by.abs() >= LEAST_K
            && time[at] - time[at - 1] <= CLOSE_S
            && keeps(&value[at - BESIDE..at])
            && keeps(&value[at..at + BESIDE])
    })?;
    let (from, to) = (value[at - 1], value[at]);
    // °C read on as °F, or back: within the noise of a sensor.
    let as_fahrenheit = |c: f64, f: f64| (c * 1.8 + 32.0 - f).abs() < 3.0;
    let why = match as_fahrenheit(from, to) || as_fahrenheit(to, from) {
        true => "as if its unit had changed between °C and °F",
        false => "as no air or water does",
    };
    let text = format!(
        "\"{}\" jumps from {} to {} at {:.1} s and stays there, {why}: what lies before cannot be compared \
         with what lies behind. {}",
        channel.name,
        in_its_unit(channel, from),
        in_its_unit(channel, to),
        time[at],
        means(Role::ChargeAir)
    );
    Some(Problem { code: "jump", text })
}
