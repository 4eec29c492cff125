//! Pulls by the driver's foot: wide-open throttle or pedal with rising speed.
//!
//! In: the log's pedal or throttle channel and the guiding speed. Out: stretches.
//!
//! A pedal is preferred to a throttle: a diesel's throttle stands open at idle. The
//! travel is scaled between what is read at rest and the highest reading, because
//! a closed throttle often reads 12 to 20 % and a full one 75 to 100 % (common
//! practice, no source).

use super::{Cut, Effort, Kind, STANDSTILL_MPS, Stretch, first_motion, longest_step, median_step};
use crate::log::{Log, Role, Series};

/// Below this reading a highest opening is not wide open, however it is scaled.
const FULL_AT_LEAST_PERCENT: f64 = 70.0;
/// Share of the travel that counts as wide open, and that ends it.
const OPEN_SHARE: f64 = 0.9;
const LIFT_SHARE: f64 = 0.7;
/// A torque cut for a shift is shorter than this.
const SHIFT_CUT_S: f64 = 0.7;
const SHORTEST_S: f64 = 1.5;
const LEAST_GAIN_MPS: f64 = 5.0;
/// A launch may roll out of its mark for this long before the foot goes down.
const ROLL_OUT_S: f64 = 3.0;
const ROLL_OUT_MPS: f64 = 5.0;

/// The driver's foot: one channel with its travel.
pub struct Foot<'a> {
    series: &'a Series,
    closed: f64,
    full: f64,
    /// Some stretch of the log reaches full travel.
    reaches_full: bool,
}

impl Foot<'_> {
    fn level(&self, share: f64) -> f64 {
        self.closed + share * (self.full - self.closed)
    }

    /// Full, or the highest opening, over a stretch.
    pub fn effort(&self, stretch: &Stretch) -> Effort {
        let (_, values) = self.series.between(stretch.start_s, stretch.end_s);
        let Some(most) = values.iter().copied().reduce(f64::max) else { return Effort::Unknown };
        if self.reaches_full && most >= self.level(OPEN_SHARE) {
            Effort::Full
        } else {
            Effort::Part { opening_percent: most }
        }
    }
}

/// The channel that tells the foot, `None` when none does.
pub fn foot<'a>(log: &'a Log, speed: &Series) -> Option<Foot<'a>> {
    [Role::Pedal, Role::Throttle].into_iter().find_map(|role| travel(log.series(role)?, speed))
}

/// Scales a channel between rest and its highest reading; `None` if it does not move.
fn travel<'a>(series: &'a Series, speed: &Series) -> Option<Foot<'a>> {
    let full = series.value.iter().copied().reduce(f64::max)?;
    let closed = closed_level(series, speed)?;
    if full - closed < 20.0 {
        return None;
    }
    Some(Foot { series, closed, full, reaches_full: full >= FULL_AT_LEAST_PERCENT })
}

/// What the channel reads with the foot off: its low end, but a channel that reads
/// high while the car stands is no foot.
fn closed_level(series: &Series, speed: &Series) -> Option<f64> {
    let mut all: Vec<f64> = series.value.clone();
    all.sort_by(f64::total_cmp);
    let low = *all.get(all.len() / 50)?;
    let mut standing: Vec<f64> = series
        .time_s
        .iter()
        .zip(&series.value)
        .filter(|&(&t, _)| speed.at(t).is_some_and(|v| v <= STANDSTILL_MPS))
        .map(|(_, &value)| value)
        .collect();
    standing.sort_by(f64::total_cmp);
    let at_rest = standing.get(standing.len() / 2).copied().unwrap_or(low);
    (at_rest < FULL_AT_LEAST_PERCENT).then_some(low)
}

/// Wide-open stretches with rising speed.
pub fn pulls(foot: &Foot, speed: &Series) -> Vec<Stretch> {
    if !foot.reaches_full {
        return Vec::new();
    }
    let mut found: Vec<Stretch> = Vec::new();
    for (open_s, lift_s) in wide_open(foot) {
        let earliest = found.last().map_or(f64::NEG_INFINITY, |last| last.end_s);
        if let Some(stretch) = stretch(speed, open_s, lift_s, earliest) {
            found.push(stretch);
        }
    }
    found
}

/// Times from opening to lift, shift cuts bridged. A hole in the record ends a span.
fn wide_open(foot: &Foot) -> Vec<(f64, f64)> {
    let (open, lift) = (foot.level(OPEN_SHARE), foot.level(LIFT_SHARE));
    let mut spans: Vec<(f64, f64)> = Vec::new();
    let mut from: Option<f64> = None;
    let mut last_s = f64::NEG_INFINITY;
    let longest_s = longest_step(foot.series);
    for (&t, &value) in foot.series.time_s.iter().zip(&foot.series.value) {
        if t - last_s > longest_s {
            spans.extend(from.take().map(|start| (start, last_s)));
        }
        match from {
            None if value >= open => from = Some(t),
            Some(start) if value < lift => {
                // The foot came up somewhere between the two readings.
                spans.push((start, 0.5 * (last_s + t)));
                from = None;
            }
            _ => {}
        }
        last_s = t;
    }
    if let (Some(start), Some(&last)) = (from, foot.series.time_s.last()) {
        spans.push((start, last));
    }
    bridge(spans, median_step(foot.series))
}

/// Joins spans that a shift's torque cut parts.
fn bridge(spans: Vec<(f64, f64)>, step_s: f64) -> Vec<(f64, f64)> {
    let longest = SHIFT_CUT_S.max((1.5 * step_s).min(super::LONGEST_STEP_S));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.0 - last.1 <= longest => last.1 = span.1,
            _ => joined.push(span),
        }
    }
    joined
}

/// One wide-open span as a pull, `None` when it is too short or gains no speed.
fn stretch(speed: &Series, open_s: f64, lift_s: f64, earliest_s: f64) -> Option<Stretch> {
    let from = speed.first_at(open_s);
    let to = speed.time_s.partition_point(|&t| t <= lift_s).min(speed.len());
    if from >= to {
        return None;
    }
    let end_s = lift_s;
    let inside = &speed.value[from..to];
    let top = inside.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top - inside[0] < LEAST_GAIN_MPS || end_s - open_s < SHORTEST_S {
        return None;
    }
    let rest = rest_before(speed, from, open_s, earliest_s);
    // The record's own ends, or a hole, cut a pull alike.
    let longest_s = longest_step(speed);
    let at_end = speed.time_s.get(to).is_none_or(|&next| next - speed.time_s[to - 1] > longest_s);
    let before = from.checked_sub(1).map(|before| speed.time_s[before]);
    let at_start = before.is_none_or(|before| speed.time_s[from] - before > longest_s);
    let cut = Cut { at_start: at_start && rest.is_none(), at_end };
    Some(match rest {
        Some(rest) => Stretch {
            kind: Kind::Standing,
            start_s: first_motion(speed, rest),
            end_s,
            cut,
            how: format!(
                "Wide-open throttle from {open_s:.2} s to {lift_s:.2} s of the log; the car stood before it."
            ),
        },
        None => Stretch {
            kind: Kind::Rolling,
            start_s: open_s,
            end_s,
            cut,
            how: format!(
                "Wide-open throttle from {open_s:.2} s to {lift_s:.2} s of the log, with the car \
                 already rolling."
            ),
        },
    })
}

/// Index of the last reading at standstill before the launch, if it began at rest.
fn rest_before(speed: &Series, from: usize, open_s: f64, earliest_s: f64) -> Option<usize> {
    // The foot may go down before the car moves: look ahead as well.
    let ahead = (from..speed.len()).take_while(|&i| speed.value[i] <= STANDSTILL_MPS).last();
    if ahead.is_some() {
        return ahead;
    }
    if speed.value[from] > ROLL_OUT_MPS {
        let before = from.checked_sub(1)?;
        let step = median_step(speed);
        let unseen =
            speed.value[before] <= STANDSTILL_MPS && open_s - speed.time_s[before] <= 2.0 * step;
        return unseen.then_some(before);
    }
    (0..from)
        .rev()
        .take_while(|&i| {
            open_s - speed.time_s[i] <= ROLL_OUT_S
                && speed.time_s[i] > earliest_s
                && speed.value[i] <= ROLL_OUT_MPS
        })
        .find(|&i| speed.value[i] <= STANDSTILL_MPS)
}
