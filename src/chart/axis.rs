//! Axes in the reader's units: values, words, and round ticks.

use super::Axis;
use crate::unit::reader::{Units, number, signed};

impl Axis {
    /// The SI value as this axis shows it.
    pub fn shown(self, value: f64, units: &Units) -> f64 {
        match self {
            Axis::Speed => units.speed.written(value),
            Axis::DistanceFromStart => units.length.written(value),
            Axis::Temperature => units.temperature.written(value),
            Axis::TemperatureDifference => units.temperature.step(value),
            _ => value,
        }
    }

    /// The unit's symbol, empty for a number of pulls.
    pub fn symbol(self, units: &Units) -> &'static str {
        match self {
            Axis::Speed => units.speed.symbol(),
            Axis::DistanceFromStart => units.length.symbol(),
            Axis::Temperature | Axis::TemperatureDifference => units.temperature.symbol(),
            Axis::PullNumber => "",
            _ => "s",
        }
    }

    /// What the axis measures, in words, with its unit.
    pub fn words(self, units: &Units) -> String {
        let symbol = self.symbol(units);
        match self {
            Axis::SecondsOfLog => "time in the log, min:s".to_owned(),
            Axis::SecondsFromStart => "seconds from first motion".to_owned(),
            Axis::DistanceFromStart => format!("distance from rest, {symbol}"),
            Axis::SecondsFromLift => "seconds after the lift".to_owned(),
            Axis::Speed => format!("speed, {symbol}"),
            Axis::Temperature => format!("charge air, {symbol}"),
            Axis::TemperatureDifference | Axis::SecondsDifference => {
                format!("difference, {symbol}")
            }
            Axis::PullNumber => "pull".to_owned(),
        }
    }

    /// A value of this axis as text, without the unit.
    pub fn text(self, value: f64, units: &Units) -> String {
        match self {
            Axis::SecondsOfLog => clock(value),
            Axis::SecondsFromStart => number(value, 2),
            Axis::SecondsFromLift | Axis::PullNumber => number(value, 0),
            Axis::DistanceFromStart => number(self.shown(value, units), 0),
            Axis::Speed => number(self.shown(value, units), 1),
            Axis::Temperature => number(self.shown(value, units), units.temperature.decimals()),
            Axis::TemperatureDifference => signed(self.shown(value, units), 1),
            Axis::SecondsDifference => signed(value, 2),
        }
    }

    /// Whether zero belongs on the axis even if no value comes near.
    pub fn from_zero(self) -> bool {
        matches!(self, Axis::Speed)
    }
}

/// Minutes and seconds of a log.
fn clock(seconds: f64) -> String {
    let whole = seconds.max(0.0).round();
    let minutes = (whole / 60.0).floor();
    format!("{minutes:.0}:{:02.0}", whole - minutes * 60.0)
}

/// A tick: where in SI, and its text.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    pub at: f64,
    pub text: String,
}

/// Round ticks over a range given in SI, at most `most` of them.
pub fn ticks(axis: Axis, (from, to): (f64, f64), most: usize, units: &Units) -> Vec<Tick> {
    let (low, high) = (axis.shown(from, units), axis.shown(to, units));
    if !has_extent(low, high) || most == 0 {
        return Vec::new();
    }
    let step = step(axis, (high - low) / most as f64);
    let decimals = decimals(step);
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    // Linear both ways, so that the place of a round value follows from the ends.
    let place = |shown: f64| from + (to - from) * (shown - low) / (high - low);
    (first..=last)
        .map(|n| {
            let shown = n as f64 * step;
            let text = match axis {
                Axis::SecondsOfLog => clock(shown),
                Axis::TemperatureDifference | Axis::SecondsDifference => signed(shown, decimals),
                _ => number(shown, decimals),
            };
            Tick { at: place(shown), text }
        })
        .collect()
}

/// False for a point, for a range the wrong way round, and for NaN.
pub fn has_extent(from: f64, to: f64) -> bool {
    to - from > 0.0
}

/// The least round step that is no smaller than `least`.
fn step(axis: Axis, least: f64) -> f64 {
    if axis == Axis::SecondsOfLog && least > 1.0 {
        let rounds =
            [2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0];
        return rounds
            .into_iter()
            .find(|s| *s >= least)
            .unwrap_or((least / 3600.0).ceil() * 3600.0);
    }
    if axis == Axis::PullNumber {
        return least.ceil().max(1.0);
    }
    let ten = libm::pow(10.0, libm::log10(least).floor());
    [1.0, 2.0, 4.0, 5.0, 10.0]
        .into_iter()
        .map(|s| s * ten)
        .find(|s| *s >= least * 0.999_999)
        .unwrap_or(ten * 10.0)
}

fn decimals(step: f64) -> usize {
    (-libm::log10(step * 1.000_001)).ceil().max(0.0) as usize
}

/// The range widened to round values, so that the outer ticks stand at the ends.
pub fn widened(axis: Axis, (from, to): (f64, f64), most: usize, units: &Units) -> (f64, f64) {
    let (low, high) = (axis.shown(from, units), axis.shown(to, units));
    if !has_extent(low, high) || most == 0 {
        return (from - 1.0, to + 1.0);
    }
    let step = step(axis, (high - low) / most as f64);
    let (low_round, high_round) = ((low / step).floor() * step, (high / step).ceil() * step);
    let scale = (to - from) / (high - low);
    (from - (low - low_round) * scale, to + (high_round - high) * scale)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::MPS_PER_MPH;

    fn texts(axis: Axis, range: (f64, f64), most: usize) -> Vec<String> {
        ticks(axis, range, most, &Units::US).into_iter().map(|tick| tick.text).collect()
    }

    #[test]
    fn ticks_are_round_in_the_readers_units_and_never_too_many() {
        let range = (0.0, 87.0 * MPS_PER_MPH);
        assert_eq!(texts(Axis::Speed, range, 5), ["0", "20", "40", "60", "80"]);
        assert_eq!(
            texts(Axis::SecondsFromStart, (-0.5, 2.1), 6),
            [
                "-0.5".replace('-', "−"),
                "0.0".into(),
                "0.5".into(),
                "1.0".into(),
                "1.5".into(),
                "2.0".into()
            ]
        );
        assert_eq!(texts(Axis::SecondsOfLog, (0.0, 412.0), 5), ["0:00", "2:00", "4:00", "6:00"]);
        assert_eq!(texts(Axis::PullNumber, (0.5, 3.5), 8), ["1", "2", "3"]);
    }

    #[test]
    fn a_range_without_extent_has_no_ticks() {
        assert!(texts(Axis::Temperature, (20.0, 20.0), 5).is_empty());
        assert!(texts(Axis::Temperature, (f64::NAN, 20.0), 5).is_empty());
    }

    #[test]
    fn a_widened_range_holds_the_given_one_and_ends_on_ticks() {
        let (from, to) = widened(Axis::Temperature, (59.3, 81.2), 5, &Units::METRIC);
        assert!(from <= 59.3 && to >= 81.2);
        assert_eq!((from.round(), to.round()), (55.0, 85.0));
    }
}
