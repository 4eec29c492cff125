//! Clocks and counters that begin anew at the end of their range.
//!
//! In: the numbers of a column and how many of them are a second. Out: what has to be
//! added to each. A fall from just below the end of a range to just above its beginning
//! is the counter's own; any other is for `timeline` to judge.

use crate::log::clock::DAY_S;
use crate::log::swapped::usual_step;

/// What has to be added to each reading.
pub struct Turns {
    pub added: Vec<f64>,
}

/// Steps by which a reading may miss the end of a long range, and the beginning.
const NEAR_STEPS: f64 = 5.0;
const WEEK_S: f64 = 7.0 * DAY_S;
/// Four bytes with a sign end here and begin at the same below zero.
const SIGNED: f64 = 2_147_483_648.0;

/// The turns of a column; `None` where it has none.
pub fn turned_over(values: &[f64], second: f64) -> Option<Turns> {
    let step = usual_step(values)?;
    let range = long_range(values, second, step).or_else(|| short_range(values, second, step))?;
    let (mut sum, mut added) = (0.0, Vec::with_capacity(values.len()));
    added.extend(values.first().map(|_| 0.0));
    for pair in values.windows(2) {
        if range.ends_between(pair) {
            sum += range.length;
        }
        added.push(sum);
    }
    Some(Turns { added })
}

struct Range {
    begin: f64,
    length: f64,
    /// How far before its end and behind its beginning two readings may lie together.
    least: f64,
    most: f64,
}

impl Range {
    fn ends_between(&self, pair: &[f64]) -> bool {
        let (before, behind) = (self.begin + self.length - pair[0], pair[1] - self.begin);
        before >= 0.0 && behind >= 0.0 && (self.least..=self.most).contains(&(before + behind))
    }
}

/// Two bytes, three, four, the seconds of a day and of a week: no recording ends there by
/// chance and begins anew at zero.
fn long_range(values: &[f64], second: f64, step: f64) -> Option<Range> {
    let near = NEAR_STEPS * step;
    let ranges = [
        (0.0, 65_536.0),
        (-32_768.0, 65_536.0),
        (0.0, 16_777_216.0),
        (0.0, SIGNED),
        (0.0, 2.0 * SIGNED),
        (-SIGNED, 2.0 * SIGNED),
        (0.0, DAY_S / second),
        (0.0, WEEK_S / second),
    ];
    let ranges = ranges.map(|(begin, length)| Range { begin, length, least: 0.0, most: near });
    let long = |range: &Range| range.length > 20.0 * near;
    ranges.into_iter().find(|range| long(range) && values.windows(2).any(|p| range.ends_between(p)))
}

/// One byte, the seconds of a minute and of an hour: a recording may begin anew there by
/// chance, so the step over the end has to be the usual one, and all must lie inside.
fn short_range(values: &[f64], second: f64, step: f64) -> Option<Range> {
    let ranges = [60.0 / second, 3600.0 / second, 256.0].map(|length| {
        let (least, most) = (0.5 * step, 1.5 * step);
        Range { begin: 0.0, length, least, most }
    });
    ranges.into_iter().find(|range| {
        range.length > NEAR_STEPS * step
            && values.iter().all(|value| (0.0..range.length).contains(value))
            && values.windows(2).any(|pair| range.ends_between(pair))
    })
}
