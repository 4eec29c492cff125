//! The unit of a road speed from the engine's: what no gear box could do is another unit.
//!
//! In: a road speed as written with the unit it was taken for, and the engine speed. Out:
//! a better [`Guess`], or `None` where the first is believable or nothing clearly better
//! is found. Only metres per second are told so: between km/h and mph the gears of
//! different cars overlap.
//!
//! Method: over the fastest part of the log, engine speed over road speed lies at the gear
//! ratio of a higher gear.

use super::Series;
use super::infer::{Guess, short};
use crate::unit::{MPS_PER_KMH, Unit, by_symbol};

/// Revolutions a minute for each km/h, in the gears a car is fast in. Common practice, no
/// source: 1500 to 7500 rpm at 100 km/h.
const USUAL: (f64, f64) = (15.0, 75.0);
/// Beyond these no road car is at its fastest: first gear, and a coasting engine.
const BELIEVABLE: (f64, f64) = (8.0, 110.0);
/// The fast part: from this share of the highest speed on.
const FAST_SHARE: f64 = 0.7;
/// An engine below this may be idling, uncoupled.
const LEAST_RPM: f64 = 1200.0;
const FEWEST: usize = 20;

pub fn speed_unit(speed: &Series, rpm: &Series, taken: Unit) -> Option<Guess> {
    let fastest = speed.value.iter().copied().fold(0.0, f64::max);
    let mut ratios: Vec<f64> = speed
        .time_s
        .iter()
        .zip(&speed.value)
        .filter(|(_, v)| **v > FAST_SHARE * fastest)
        .filter_map(|(&t, &v)| Some(rpm.at(t).filter(|rpm| *rpm > LEAST_RPM)? / v))
        .collect();
    ratios.sort_by(f64::total_cmp);
    let written = *ratios.get(ratios.len() / 2).filter(|_| ratios.len() >= FEWEST)?;
    let per_kmh = |unit: &Unit| written * MPS_PER_KMH / unit.factor;
    let within = |unit: &Unit, (low, high): (f64, f64)| (low..=high).contains(&per_kmh(unit));
    if within(&taken, BELIEVABLE) {
        return None;
    }
    let units = ["km/h", "mph", "m/s"].iter().filter_map(|symbol| by_symbol(symbol));
    let mut fitting = units.filter(|unit| within(unit, USUAL));
    let (unit, None) = (fitting.next()?, fitting.next()) else { return None };
    let because = format!(
        "the engine then turns at {} rpm for each km/h, and at {} if it were {}",
        short(per_kmh(&unit)),
        short(per_kmh(&taken)),
        taken.symbol
    );
    Some(Guess { unit, because })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A car in fourth gear at 37 rpm for each km/h, from 50 to 110 km/h.
    #[test]
    fn metres_per_second_are_told_from_the_engine_and_mph_is_left_alone() {
        let kmh: Vec<f64> = (0..60).map(|i| 50.0 + f64::from(i)).collect();
        let series = |value: Vec<f64>| Series {
            time_s: (0..value.len()).map(|i| i as f64 * 0.1).collect(),
            value,
        };
        let rpm = series(kmh.iter().map(|v| v * 37.0).collect());
        let written = |factor: f64| series(kmh.iter().map(|v| v * factor).collect());
        let taken = by_symbol("km/h").unwrap();
        let found = |speed: &Series| speed_unit(speed, &rpm, taken).map(|guess| guess.unit.symbol);
        assert_eq!(found(&written(1.0 / 3.6)), Some("m/s"));
        assert_eq!(found(&written(1.0)), None);
        assert_eq!(found(&written(1.0 / 1.609_344)), None);
    }
}
