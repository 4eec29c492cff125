//! Locked gears, learned from the log: engine speed over road speed gathers at a few
//! values, and whatever lies above one is slip somewhere between engine and road.
//!
//! In: engine and road speed of the whole log. Out: [`Gears`], the logarithms of the
//! locked ratios in rpm per m/s, shortest gear last.
//!
//! Engine and road speed are paired at equal times by interpolation between fresh
//! readings. Below [`FEWEST_HZ`] that says nothing, and no gear is learned: pairing a
//! fresh engine speed with a stale road speed is the classic way to invent wheelspin.

use crate::log::Series;

/// Both channels must be at least this fresh.
pub const FEWEST_HZ: f64 = 2.5;
/// Below this road speed ratios are ruled by rounding and clutch.
const SLOWEST_MPS: f64 = 3.0;
const BIN: f64 = 0.01;
/// Half-width of a cluster in ln(n/v); tyre creep and rounding stay inside.
const CLUSTER: f64 = 0.03;
/// Neighbouring gears lie further apart than this.
const APART: f64 = 0.10;
/// A ratio that moves faster than this, per second, is a clutch or a shift at work.
const STEADY_PER_S: f64 = 0.10;
const FEWEST_IN_CLUSTER: usize = 8;

/// The locked ratios of one log.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Gears {
    /// ln of rpm per m/s, rising.
    pub locked: Vec<f64>,
}

/// One engine reading paired with the road speed at its time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    pub time_s: f64,
    pub rpm: f64,
    pub speed_mps: f64,
}

impl Pair {
    /// ln of rpm per m/s.
    pub fn ratio(&self) -> f64 {
        libm::log(self.rpm / self.speed_mps)
    }
}

impl Gears {
    /// The gear whose locked ratio is nearest, with the distance above it.
    pub fn nearest(&self, ratio: f64) -> Option<(usize, f64)> {
        self.locked
            .iter()
            .enumerate()
            .map(|(gear, &locked)| (gear, ratio - locked))
            .min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
    }

    /// Learns the locked ratios of a whole log; none when the log is too coarse.
    pub fn learn(engine: &Series, road: &Series) -> Gears {
        let pairs = pairs(engine, road, SLOWEST_MPS);
        let steady: Vec<f64> = pairs
            .windows(3)
            .filter(|three| {
                let span = three[2].time_s - three[0].time_s;
                span < 1.5 && (three[2].ratio() - three[0].ratio()).abs() < STEADY_PER_S * span
            })
            .map(|three| three[1].ratio())
            .collect();
        Gears { locked: clusters(&steady) }
    }
}

/// Pairs engine readings with interpolated road speed above `slowest_mps`. Road
/// readings too far apart to interpolate between give no pair.
pub fn pairs(engine: &Series, road: &Series, slowest_mps: f64) -> Vec<Pair> {
    engine
        .time_s
        .iter()
        .zip(&engine.value)
        .filter_map(|(&time_s, &rpm)| {
            let after = road.first_at(time_s);
            let gap = road.time_s.get(after)? - road.time_s[after.checked_sub(1)?];
            let speed_mps = road.at(time_s)?;
            let usable = gap <= 1.0 / FEWEST_HZ && speed_mps >= slowest_mps && rpm > 300.0;
            usable.then_some(Pair { time_s, rpm, speed_mps })
        })
        .collect()
}

/// Centres of the dense places of a set of ratios, rising.
fn clusters(ratios: &[f64]) -> Vec<f64> {
    let Some(least) = ratios.iter().copied().reduce(f64::min) else { return Vec::new() };
    let most = ratios.iter().copied().fold(least, f64::max);
    let bins = ((most - least) / BIN) as usize + 1;
    let mut counts = vec![0usize; bins];
    for &ratio in ratios {
        counts[(((ratio - least) / BIN) as usize).min(bins - 1)] += 1;
    }
    let dense = |i: usize| -> usize { counts[i.saturating_sub(2)..(i + 3).min(bins)].iter().sum() };
    let fewest = FEWEST_IN_CLUSTER.max(ratios.len() / 50);
    let mut peaks: Vec<usize> = (0..bins).filter(|&i| dense(i) >= fewest).collect();
    peaks.sort_by_key(|&i| core::cmp::Reverse(dense(i)));
    let mut centres: Vec<f64> = Vec::new();
    for peak in peaks {
        let rough = least + (peak as f64 + 0.5) * BIN;
        if centres.iter().all(|&centre| (centre - rough).abs() > APART) {
            centres.push(median_near(ratios, rough));
        }
    }
    centres.sort_by(f64::total_cmp);
    centres
}

fn median_near(ratios: &[f64], centre: f64) -> f64 {
    let mut near: Vec<f64> =
        ratios.iter().copied().filter(|ratio| (ratio - centre).abs() <= CLUSTER).collect();
    near.sort_by(f64::total_cmp);
    near.get(near.len() / 2).copied().unwrap_or(centre)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three gears of a car driven gently, 10 Hz, speed in whole km/h.
    #[test]
    fn gears_are_learned_from_coarse_speeds() {
        let ratios = [262.0, 150.0, 98.0];
        let time_s: Vec<f64> = (0..900).map(|i| f64::from(i) * 0.1).collect();
        let true_speed = |t: f64| 6.0 + 0.25 * t;
        let gear = |t: f64| ((t / 30.0) as usize).min(2);
        let speed = time_s.iter().map(|&t| (true_speed(t) * 3.6).round() / 3.6).collect();
        let rpm = time_s.iter().map(|&t| true_speed(t) * ratios[gear(t)]).collect();
        let shared: std::sync::Arc<[f64]> = time_s.into();
        let road = Series { time_s: shared.clone(), value: speed };
        let engine = Series { time_s: shared, value: rpm };

        let gears = Gears::learn(&engine, &road);

        let learned: Vec<f64> = gears.locked.iter().rev().map(|&r| libm::exp(r)).collect();
        assert_eq!(learned.len(), 3, "{learned:?}");
        for (ours, truth) in learned.iter().zip(ratios) {
            assert!((ours / truth - 1.0).abs() < 0.01, "{ours} against {truth}");
        }
    }

    #[test]
    fn a_log_read_every_other_second_teaches_no_gear() {
        let time_s: Vec<f64> = (0..100).map(|i| f64::from(i) * 1.35).collect();
        let road = Series { time_s: time_s.clone().into(), value: vec![20.0; 100] };
        let engine = Series { time_s: time_s.into(), value: vec![2000.0; 100] };
        assert_eq!(Gears::learn(&engine, &road), Gears::default());
    }
}
