//! The way back: how fast a cooler gives away what a pull left in it.
//!
//! In: the trace of a drive and its car. Out: [`WayBack`], which says the time constant over
//! any stretch of the log. The engine's own air carries heat off beside the wind; of a
//! coolant loop's two time constants the slow one counts.

use super::charge::{Cooling, Work};
use super::motion::{Car, Moment, Mood, STEP_S, Trace};

const RATE_STEP_S: f64 = 0.1;
const AIR_HEAT_JPKGK: f64 = 1005.0;

#[derive(Debug, Clone)]
pub struct WayBack {
    /// 1/s, every [`RATE_STEP_S`] of the log.
    rates: Vec<f64>,
}

impl WayBack {
    /// `moods` are the pulls'; each holds until the next pull.
    pub fn of(trace: &Trace, moods: &[Mood], car: &Car, first_row_s: f64) -> Self {
        let each = (RATE_STEP_S / STEP_S) as usize;
        let from = (first_row_s / STEP_S) as usize;
        let rate = |at: usize| {
            let begun = trace.pulls.iter().filter(|(released, _)| *released <= at).count();
            let mood = begun.checked_sub(1).and_then(|pull| moods.get(pull));
            let wind = car.cooling.wind_wpk_per_mps * mood.map_or(1.0, |mood| mood.wind);
            rate_per_s(&Cooling { wind_wpk_per_mps: wind, ..car.cooling }, &trace.moments[at])
        };
        Self { rates: (from..trace.moments.len()).step_by(each).map(rate).collect() }
    }

    /// The time constant over a stretch, by its mean rate.
    pub fn tau_s(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let place = |s: f64| (s / RATE_STEP_S).max(0.0) as usize;
        let rates = self.rates.get(place(from_s)..place(to_s).min(self.rates.len()))?;
        let sum: f64 = rates.iter().sum();
        (!rates.is_empty()).then(|| rates.len() as f64 / sum)
    }
}

fn rate_per_s(cooling: &Cooling, moment: &Moment) -> f64 {
    let work =
        Work { speed_mps: moment.ground_mps, rpm: moment.rpm, manifold_kpa: moment.manifold_kpa };
    let flow_kgps = cooling.flow_kgps(&work, moment.heat.charge_c);
    let engine_wpk = flow_kgps * AIR_HEAT_JPKGK * cooling.effectiveness_at(flow_kgps);
    let wind_wpk = cooling.conductance_wpk(moment.ground_mps);
    let Some(coolant) = cooling.coolant else {
        return (wind_wpk + engine_wpk) / cooling.metal_jpk;
    };
    // The smaller of two eigenvalues: metal and coolant, joined by the exchange.
    let metal = (coolant.exchange_wpk + engine_wpk) / cooling.metal_jpk;
    let water = (coolant.exchange_wpk + wind_wpk) / coolant.heat_jpk;
    let joined =
        coolant.exchange_wpk * coolant.exchange_wpk / (cooling.metal_jpk * coolant.heat_jpk);
    let half = 0.5 * (metal - water);
    0.5 * (metal + water) - (half * half + joined).sqrt()
}
