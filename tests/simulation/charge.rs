//! Charge air: heated by the compressor, cooled by a cooler that has a heat of its own.
//!
//! In: engine speed, manifold pressure, road speed and the day's air. Out: air at the
//! filter, after the compressor and after the cooler, and the cooler's own temperatures.
//!
//! The cooler's metal takes the air's heat and gives it to the wind, directly or over a
//! loop of coolant. At rest the bay heats the air at the filter; that air is not the
//! charge air, and says little about it.
//!
//! Sources: isentropic compression with an efficiency, k = 1.4; effectiveness as Kays and
//! London, Compact Heat Exchangers, define it; Newton's law of cooling.

use super::vehicle::Air;

const AIR_HEAT_JPKGK: f64 = 1005.0;
const KELVIN: f64 = 273.15;

/// A coolant loop between the cooler's metal and the wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    pub heat_jpk: f64,
    /// From the metal into the coolant.
    pub exchange_wpk: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    pub compressor_efficiency: f64,
    /// Of the cooler at little flow, and what full flow takes from it.
    pub effectiveness: f64,
    pub effectiveness_lost: f64,
    pub metal_jpk: f64,
    /// Conductance into the wind at rest, and what each m/s adds.
    pub still_wpk: f64,
    pub wind_wpk_per_mps: f64,
    pub coolant: Option<Loop>,
    /// How much hotter the air around the cooler is while the car stands.
    pub bay_k: f64,
    /// How much hotter the filter's air becomes at rest.
    pub filter_k: f64,
    pub displacement_l: f64,
    /// Air flow that counts as full.
    pub full_flow_kgps: f64,
}

/// Temperatures of a moment, in degrees Celsius.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    pub filter_c: f64,
    pub compressor_c: f64,
    pub charge_c: f64,
    pub metal_c: f64,
    pub coolant_c: f64,
}

/// What the engine and the road do to the air at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    pub speed_mps: f64,
    pub rpm: f64,
    pub manifold_kpa: f64,
}

/// Outlet of a compressor from inlet, pressure ratio and efficiency.
pub fn compressor_outlet_c(inlet_c: f64, pressure_ratio: f64, efficiency: f64) -> f64 {
    let kelvin = inlet_c + KELVIN;
    let gain = libm::pow(pressure_ratio.max(1.0), 2.0 / 7.0) - 1.0;
    kelvin * (1.0 + gain / efficiency) - KELVIN
}

/// What a cooler of this effectiveness leaves of the heat.
pub fn cooler_outlet_c(inlet_c: f64, cold_c: f64, effectiveness: f64) -> f64 {
    inlet_c - effectiveness * (inlet_c - cold_c)
}

/// One step of y' = (x - y) / tau, exact for an x that holds still.
pub fn lagged(before: f64, towards: f64, tau_s: f64, dt: f64) -> f64 {
    if tau_s <= 0.0 {
        return towards;
    }
    towards + (before - towards) * libm::exp(-dt / tau_s)
}

impl Cooling {
    pub fn conductance_wpk(&self, speed_mps: f64) -> f64 {
        self.still_wpk + self.wind_wpk_per_mps * speed_mps
    }

    /// Time constant of the way back at a steady speed, the loop and the metal as one.
    pub fn tau_s(&self, speed_mps: f64) -> f64 {
        let heat = self.metal_jpk + self.coolant.map_or(0.0, |coolant| coolant.heat_jpk);
        heat / self.conductance_wpk(speed_mps)
    }

    /// Four strokes, 0.92 of the cylinders filled.
    pub fn flow_kgps(&self, work: &Work, charge_c: f64) -> f64 {
        let density = work.manifold_kpa * 1000.0 / (287.05 * (charge_c + KELVIN));
        self.displacement_l / 1000.0 * work.rpm / 120.0 * 0.92 * density
    }

    pub fn effectiveness_at(&self, flow_kgps: f64) -> f64 {
        self.effectiveness - self.effectiveness_lost * (flow_kgps / self.full_flow_kgps).min(1.2)
    }
}

impl Heat {
    /// A car that was driven here: the cooler a little above the day's air.
    pub fn driven(air: &Air, above_k: f64) -> Self {
        let at = air.ambient_c + above_k;
        Self {
            filter_c: air.ambient_c + 2.0,
            compressor_c: at,
            charge_c: at,
            metal_c: at,
            coolant_c: at,
        }
    }

    pub fn step(&mut self, cooling: &Cooling, air: &Air, work: &Work, dt: f64) {
        self.step_filter(cooling, air, work, dt);
        let ratio = work.manifold_kpa / (air.pressure_kpa - 2.0);
        self.compressor_c =
            compressor_outlet_c(self.filter_c, ratio, cooling.compressor_efficiency);
        let flow = cooling.flow_kgps(work, self.charge_c);
        let effectiveness = cooling.effectiveness_at(flow);
        self.charge_c = cooler_outlet_c(self.compressor_c, self.metal_c, effectiveness);
        let taken_w = flow * AIR_HEAT_JPKGK * (self.compressor_c - self.charge_c);
        self.step_cooler(cooling, air, work.speed_mps, taken_w, dt);
    }

    /// Still air warms in half a minute; moving air is fresh in seconds.
    fn step_filter(&mut self, cooling: &Cooling, air: &Air, work: &Work, dt: f64) {
        let still = libm::exp(-work.speed_mps / 3.0);
        let towards = air.ambient_c + 1.5 + cooling.filter_k * still;
        let tau_s = 3.0 + 25.0 * still;
        self.filter_c = lagged(self.filter_c, towards, tau_s, dt);
    }

    fn step_cooler(&mut self, cooling: &Cooling, air: &Air, speed_mps: f64, taken_w: f64, dt: f64) {
        let around_c = air.ambient_c + cooling.bay_k * libm::exp(-speed_mps / 4.0);
        let conductance = cooling.conductance_wpk(speed_mps);
        match cooling.coolant {
            None => {
                let given_w = conductance * (self.metal_c - around_c);
                self.metal_c += (taken_w - given_w) / cooling.metal_jpk * dt;
                self.coolant_c = self.metal_c;
            }
            Some(coolant) => {
                let passed_w = coolant.exchange_wpk * (self.metal_c - self.coolant_c);
                let given_w = conductance * (self.coolant_c - around_c);
                self.metal_c += (taken_w - passed_w) / cooling.metal_jpk * dt;
                self.coolant_c += (passed_w - given_w) / coolant.heat_jpk * dt;
            }
        }
    }
}
