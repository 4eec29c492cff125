//! The drive itself: car, driver and air stepped through time, 1 ms at a time.
//!
//! In: a [`Car`], a driver's acts, the day's air and the road's slope. Out: a [`Trace`]
//! with every moment of the truth. No sensor sees anything here.

use super::charge::{Cooling, Heat, Work};
use super::driveline::{Ask, Coupling, Driveline, Engine, Gearbox, RADPS_PER_RPM, Thrust};
use super::driver::{Act, Driver, Foot, Manner, Turn};
use super::tyre::{Tyre, slip_ratio};
use super::vehicle::{Air, Vehicle};

pub const STEP_S: f64 = 0.001;

/// Cuts torque in proportion to the slip beyond a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TractionControl {
    pub slip: f64,
    pub gain: f64,
    pub lag_s: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Car {
    pub vehicle: Vehicle,
    pub tyre: Tyre,
    pub engine: Engine,
    pub gearbox: Gearbox,
    pub traction: Option<TractionControl>,
    pub cooling: Cooling,
}

/// Where and how it is driven.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    pub acts: Vec<Act>,
    pub manner: Manner,
    pub air: Air,
    /// Rise over run, uphill positive.
    pub slope: f64,
    /// How far above ambient the cooler starts.
    pub warm_k: f64,
    /// How each pull differs from the plan; what is missing does not.
    pub moods: Vec<Mood>,
}

/// No two pulls are alike: factors on the car as planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mood {
    pub grip: f64,
    pub torque: f64,
    pub engage: f64,
    /// On the wind through the cooler, during the pull and the way back after it.
    pub wind: f64,
}

impl Mood {
    fn on(self, car: &Car) -> Car {
        let mut car = car.clone();
        car.tyre.peak *= self.grip;
        car.gearbox.engage_s *= self.engage;
        car.cooling.wind_wpk_per_mps *= self.wind;
        for point in &mut car.engine.torque {
            point.1 *= self.torque;
        }
        car
    }
}

/// The truth of one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    pub travelled_m: f64,
    pub ground_mps: f64,
    pub wheel_mps: f64,
    pub accel_mps2: f64,
    pub rpm: f64,
    /// Speed of the gearbox's input, as an engine speed.
    pub input_rpm: f64,
    pub pedal: f64,
    /// From 1.
    pub gear: f64,
    pub shifting: bool,
    pub manifold_kpa: f64,
    pub coolant_c: f64,
    pub heat: Heat,
}

/// A whole drive: moment `k` is at `k` times [`STEP_S`].
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    pub moments: Vec<Moment>,
    /// When each pull was let go, and its lift.
    pub pulls: Vec<(usize, usize)>,
    pub air: Air,
    pub slope: f64,
}

impl Trace {
    pub fn span_s(&self) -> f64 {
        self.moments.len().saturating_sub(1) as f64 * STEP_S
    }

    /// A quantity at a time, by a straight line between moments; held at the ends.
    pub fn at(&self, time_s: f64, of: impl Fn(&Moment) -> f64) -> f64 {
        let last = self.moments.len() - 1;
        let place = (time_s / STEP_S).clamp(0.0, last as f64);
        let low = place as usize;
        let share = place - low as f64;
        let (a, b) = (of(&self.moments[low]), of(&self.moments[(low + 1).min(last)]));
        a + (b - a) * share
    }
}

/// Drives.
pub fn drive(car: &Car, drive: &Drive) -> Trace {
    let mut driver = Driver::new(drive.acts.clone(), drive.manner);
    let mut now = Now::at_rest(car, drive);
    let mut trace =
        Trace { moments: Vec::new(), pulls: Vec::new(), air: drive.air, slope: drive.slope };
    let mut released = 0;
    let mut moods = drive.moods.iter();
    let mut today = car.clone();
    while let Some((foot, turn)) = driver.step(now.ground_mps, STEP_S) {
        match turn {
            Some(Turn::Released) => {
                released = trace.moments.len();
                today = moods.next().map_or_else(|| car.clone(), |mood| mood.on(car));
            }
            Some(Turn::Lifted) => trace.pulls.push((released, trace.moments.len())),
            None => {}
        }
        now.step(&today, drive, &foot);
        trace.moments.push(now.moment(&today));
    }
    trace
}

struct Now {
    travelled_m: f64,
    ground_mps: f64,
    wheel_mps: f64,
    accel_mps2: f64,
    pedal: f64,
    torque_share: f64,
    manifold_kpa: f64,
    coolant_c: f64,
    density_kgpm3: f64,
    driveline: Driveline,
    heat: Heat,
}

impl Now {
    fn at_rest(car: &Car, drive: &Drive) -> Self {
        Self {
            travelled_m: 0.0,
            ground_mps: 0.0,
            wheel_mps: 0.0,
            accel_mps2: 0.0,
            pedal: 0.0,
            torque_share: 1.0,
            manifold_kpa: 40.0,
            coolant_c: 88.0,
            density_kgpm3: drive.air.density_kgpm3(),
            driveline: Driveline::at_rest(&car.engine, &car.gearbox),
            heat: Heat::driven(&drive.air, drive.warm_k),
        }
    }

    fn step(&mut self, car: &Car, drive: &Drive, foot: &Foot) {
        let resistance = car.vehicle.resistance_n(self.ground_mps, self.density_kgpm3, drive.slope);
        let brake_mps2 = self.press(car, foot, resistance);
        self.choose_gear(car, foot);
        let ask = self.ask(car, foot);
        let parts = (&car.vehicle, &car.engine, &car.gearbox);
        let thrust = self.driveline.step(parts, self.wheel_mps, &ask, STEP_S);
        self.step_wheel_and_car(car, thrust, resistance, brake_mps2, foot.held);
        self.step_traction(car);
        self.step_heat(car, drive);
    }

    /// Sets the pedal; returns the braking asked for. A wanted speed is approached at a
    /// comfortable rate, with the pedal uphill and the brake downhill of it.
    fn press(&mut self, car: &Car, foot: &Foot, resistance_n: f64) -> f64 {
        if let Some(pedal) = foot.pedal {
            self.pedal = pedal;
            return foot.brake_mps2;
        }
        let wanted = ((foot.wanted_mps - self.ground_mps) * 0.5).clamp(-1.5, 1.6);
        let force = car.vehicle.mass_kg * wanted + resistance_n;
        let lever = self.driveline.ratio / car.vehicle.radius_m * car.gearbox.efficiency;
        let rpm = self.driveline.rpm();
        let full = car.engine.full_nm(rpm) * car.engine.unboosted_share;
        let share = (force / lever + Engine::drag_nm(rpm)) / (full + Engine::drag_nm(rpm));
        self.pedal += (share.clamp(0.0, 0.55) - self.pedal) * (STEP_S / 0.15);
        if force < 0.0 { -wanted.min(0.0) } else { 0.0 }
    }

    fn choose_gear(&mut self, car: &Car, foot: &Foot) {
        let input = self.driveline.input_radps(&car.vehicle, self.wheel_mps) / RADPS_PER_RPM;
        let line = &mut self.driveline;
        if line.shifting.is_some() {
            return;
        }
        let pulling = foot.released_s.is_some();
        let flares = pulling && is_converter(&car.gearbox);
        let turned_rpm = if flares { line.rpm().min(1.1 * input) } else { input };
        let up_rpm = if pulling { car.gearbox.shift_rpm } else { 2900.0 };
        if turned_rpm > up_rpm && line.gear + 1 < car.gearbox.ratios.len() {
            line.start_shift(line.gear + 1, &car.gearbox);
        } else if !pulling && turned_rpm < 1250.0 && line.gear > 0 {
            line.start_shift(line.gear - 1, &car.gearbox);
        }
    }

    fn ask(&self, car: &Car, foot: &Foot) -> Ask {
        let (hold, engaged) = match foot.released_s {
            Some(since) => {
                (Some(car.gearbox.launch_rpm), (since / car.gearbox.engage_s).clamp(0.0, 1.0))
            }
            None if foot.held || (foot.brake_mps2 > 0.0 && self.ground_mps < 3.0) => (None, 0.0),
            None => (Some(1400.0), 1.0),
        };
        let governed = !is_converter(&car.gearbox)
            && !self.driveline.locked
            && self.driveline.shifting.is_none()
            && (foot.held || foot.released_s.is_some());
        let over = ((self.driveline.rpm() - car.gearbox.launch_rpm) / 300.0).clamp(0.0, 1.0);
        let pedal = if governed { self.pedal * (1.0 - over) } else { self.pedal };
        let hot = 1.0 - 0.002 * (self.heat.charge_c - 40.0);
        Ask { pedal, hold_rpm: hold, engaged, torque_share: self.torque_share * hot }
    }

    /// The wheel is light and the tyre stiff, so its step looks ahead along the tyre's
    /// curve; the car's step then takes the tyre as it is after it.
    fn step_wheel_and_car(
        &mut self,
        car: &Car,
        thrust: Thrust,
        resistance_n: f64,
        brake_mps2: f64,
        held: bool,
    ) {
        if held && self.ground_mps <= 0.05 {
            (self.ground_mps, self.wheel_mps, self.accel_mps2) = (0.0, 0.0, 0.0);
            return;
        }
        let load = car.vehicle.driven_load_n(self.accel_mps2);
        let grip = |wheel: f64| load * car.tyre.thrust_share(slip_ratio(wheel, self.ground_mps));
        let before = grip(self.wheel_mps);
        let stiffness = ((grip(self.wheel_mps + 0.01) - before) / 0.01).max(0.0);
        let gain = (thrust.force_n - before) * STEP_S / (thrust.inertia_kg + STEP_S * stiffness);
        self.wheel_mps = (self.wheel_mps + gain).max(0.0);
        let mass = car.vehicle.mass_kg + car.vehicle.free_inertia_kg;
        let pushed = grip(self.wheel_mps) - resistance_n - brake_mps2 * car.vehicle.mass_kg;
        let next = (self.ground_mps + pushed / mass * STEP_S).max(0.0);
        self.accel_mps2 = (next - self.ground_mps) / STEP_S;
        self.travelled_m += 0.5 * (self.ground_mps + next) * STEP_S;
        self.ground_mps = next;
    }

    fn step_traction(&mut self, car: &Car) {
        let Some(control) = car.traction else { return };
        let over = slip_ratio(self.wheel_mps, self.ground_mps) - control.slip;
        let wanted = (1.0 - control.gain * over.max(0.0)).clamp(0.12, 1.0);
        self.torque_share += (wanted - self.torque_share) * (STEP_S / control.lag_s).min(1.0);
    }

    fn step_heat(&mut self, car: &Car, drive: &Drive) {
        let full = car.engine.boost_kpa * self.driveline.boost;
        let throttled = drive.air.pressure_kpa * (0.32 + 0.68 * (self.pedal * 1.6).min(1.0));
        let towards = throttled + if self.pedal > 0.6 { full } else { 0.0 };
        self.manifold_kpa += (towards - self.manifold_kpa) * (STEP_S / 0.08);
        let work = Work {
            speed_mps: self.ground_mps,
            rpm: self.driveline.rpm(),
            manifold_kpa: self.manifold_kpa,
        };
        self.heat.step(&car.cooling, &drive.air, &work, STEP_S);
        let wanted_c = 86.0 + 9.0 * self.pedal + if self.ground_mps < 2.0 { 5.0 } else { 0.0 };
        self.coolant_c += (wanted_c - self.coolant_c) * STEP_S / 35.0;
    }

    fn moment(&self, car: &Car) -> Moment {
        let input = self.driveline.input_radps(&car.vehicle, self.wheel_mps);
        Moment {
            travelled_m: self.travelled_m,
            ground_mps: self.ground_mps,
            wheel_mps: self.wheel_mps,
            accel_mps2: self.accel_mps2,
            rpm: self.driveline.rpm(),
            input_rpm: input / RADPS_PER_RPM,
            pedal: self.pedal,
            gear: self.driveline.gear as f64 + 1.0,
            shifting: self.driveline.shifting.is_some(),
            manifold_kpa: self.manifold_kpa,
            coolant_c: self.coolant_c,
            heat: self.heat,
        }
    }
}

fn is_converter(gearbox: &Gearbox) -> bool {
    matches!(gearbox.coupling, Coupling::Converter { .. })
}
