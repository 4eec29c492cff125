//! Engine, clutch or converter, and gears: what turns the driven wheels.
//!
//! In: the pedal and the wheels' speed. Out: thrust at the tread and the engine's speed.
//!
//! A locked clutch makes one inertia of engine and wheels; a slipping one passes a torque
//! of its own and leaves the engine free; a converter passes torque by its speed ratio.
//! Gears that are handed over under power slide from ratio to ratio; a manual shift opens
//! the clutch.

use super::vehicle::Vehicle;

pub const RADPS_PER_RPM: f64 = std::f64::consts::PI / 30.0;

#[derive(Debug, Clone, PartialEq)]
pub struct Engine {
    /// (rpm, N m) at full boost, rising in rpm.
    pub torque: Vec<(f64, f64)>,
    pub inertia_kgm2: f64,
    pub idle_rpm: f64,
    pub limit_rpm: f64,
    /// Boost over the barometer at full load.
    pub boost_kpa: f64,
    /// First-order rise of the boost.
    pub spool_s: f64,
    /// Torque without boost, as a share of the full one.
    pub unboosted_share: f64,
}

impl Engine {
    /// Full torque by straight lines between the table's points.
    pub fn full_nm(&self, rpm: f64) -> f64 {
        let after = self.torque.partition_point(|&(at, _)| at <= rpm);
        let (Some(&low), Some(&high)) =
            (self.torque.get(after.saturating_sub(1)), self.torque.get(after))
        else {
            return self.torque.last().map_or(0.0, |&(_, nm)| nm);
        };
        if after == 0 {
            return high.1;
        }
        low.1 + (high.1 - low.1) * (rpm - low.0) / (high.0 - low.0)
    }

    /// What a closed throttle takes.
    pub fn drag_nm(rpm: f64) -> f64 {
        18.0 + 0.006 * rpm
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coupling {
    /// The driver's foot; the shift cuts the drive.
    Manual,
    /// Two clutches; the shift hands over.
    DualClutch,
    /// A converter of this capacity, N m per (rad/s)², and torque ratio at stall.
    Converter { capacity: f64, stall_ratio: f64 },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Gearbox {
    pub coupling: Coupling,
    /// Overall, engine to wheel.
    pub ratios: Vec<f64>,
    pub efficiency: f64,
    pub shift_rpm: f64,
    pub shift_s: f64,
    /// Share of the torque that stays during a shift under power.
    pub shift_torque: f64,
    pub clutch_nm: f64,
    /// Where the clutch holds the engine until the car has caught up.
    pub launch_rpm: f64,
    /// From first touch to full clutch.
    pub engage_s: f64,
}

/// What the driveline needs to know of a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ask {
    pub pedal: f64,
    /// Where the clutch holds the engine; `None` keeps it open.
    pub hold_rpm: Option<f64>,
    /// Clutch engagement, 0 to 1.
    pub engaged: f64,
    /// What traction control and heat leave of the torque.
    pub torque_share: f64,
}

/// The driveline in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct Driveline {
    pub engine_radps: f64,
    /// From 0.
    pub gear: usize,
    pub ratio: f64,
    pub locked: bool,
    /// Seconds left of a shift, and the ratio it came from.
    pub shifting: Option<(f64, f64)>,
    /// 0 to 1.
    pub boost: f64,
}

/// What reaches the wheels: a thrust, and the mass of what turns with them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thrust {
    pub force_n: f64,
    pub inertia_kg: f64,
}

impl Driveline {
    pub fn at_rest(engine: &Engine, gearbox: &Gearbox) -> Self {
        Self {
            engine_radps: engine.idle_rpm * RADPS_PER_RPM,
            gear: 0,
            ratio: gearbox.ratios[0],
            locked: false,
            shifting: None,
            boost: 0.0,
        }
    }

    pub fn rpm(&self) -> f64 {
        self.engine_radps / RADPS_PER_RPM
    }

    /// Speed of the gearbox's input as the wheels turn it.
    pub fn input_radps(&self, vehicle: &Vehicle, wheel_mps: f64) -> f64 {
        wheel_mps * self.ratio / vehicle.radius_m
    }

    /// Torque of the engine at its own speed, governed at idle and at the limit.
    fn engine_nm(&self, engine: &Engine, ask: &Ask) -> f64 {
        let rpm = self.rpm();
        let charge = engine.unboosted_share + (1.0 - engine.unboosted_share) * self.boost;
        let full = engine.full_nm(rpm) * charge * ask.torque_share;
        let held = ((engine.limit_rpm - rpm) / 120.0).clamp(0.0, 1.0);
        let driven = ask.pedal * held * full - (1.0 - ask.pedal * held) * Engine::drag_nm(rpm);
        let idling = (engine.idle_rpm - rpm) * 0.6 + Engine::drag_nm(rpm);
        driven.max(idling.min(0.35 * full))
    }

    /// One step: the engine goes on, and the thrust comes out.
    pub fn step(
        &mut self,
        car: (&Vehicle, &Engine, &Gearbox),
        wheel_mps: f64,
        ask: &Ask,
        dt: f64,
    ) -> Thrust {
        let (vehicle, engine, gearbox) = car;
        let target = if ask.pedal > 0.6 { ask.pedal } else { 0.25 * ask.pedal };
        let revs = ((self.rpm() - 1200.0) / 1800.0).clamp(0.05, 1.0);
        self.boost += (target * revs - self.boost) * (dt / engine.spool_s).min(1.0);
        let ratio_rate = self.step_shift(gearbox, dt);
        let torque = self.engine_nm(engine, ask) * self.cut(gearbox);
        match gearbox.coupling {
            Coupling::Converter { capacity, stall_ratio } => {
                let input = self.input_radps(vehicle, wheel_mps);
                let (taken, given) = converter(self.engine_radps, input, capacity, stall_ratio);
                self.engine_radps += (torque - taken) / engine.inertia_kgm2 * dt;
                self.engine_radps = self.engine_radps.max(40.0);
                self.thrust(vehicle, gearbox, given, 0.02)
            }
            _ if self.locked => self.step_locked(car, wheel_mps, torque, ratio_rate, ask),
            _ => self.step_slipping(car, wheel_mps, torque, ask, dt),
        }
    }

    fn thrust(&self, vehicle: &Vehicle, gearbox: &Gearbox, input_nm: f64, inertia: f64) -> Thrust {
        let lever = self.ratio / vehicle.radius_m;
        let loss = if input_nm > 0.0 { gearbox.efficiency } else { 1.0 };
        Thrust {
            force_n: input_nm * lever * loss,
            inertia_kg: vehicle.driven_inertia_kg + inertia * lever * lever,
        }
    }

    /// Engine and wheels turn as one; what a sliding ratio frees pushes the car.
    fn step_locked(
        &mut self,
        car: (&Vehicle, &Engine, &Gearbox),
        wheel_mps: f64,
        torque: f64,
        ratio_rate: f64,
        ask: &Ask,
    ) -> Thrust {
        let (vehicle, engine, gearbox) = car;
        self.engine_radps = self.input_radps(vehicle, wheel_mps);
        let freed = -engine.inertia_kgm2 * wheel_mps * ratio_rate / vehicle.radius_m;
        let stalling = self.rpm() < 0.95 * engine.idle_rpm;
        if stalling || ask.hold_rpm.is_none() || self.clutch_open(gearbox) {
            self.locked = false;
        }
        self.thrust(vehicle, gearbox, torque + freed, engine.inertia_kgm2)
    }

    /// The clutch passes what holds the engine at its speed, until both turn alike.
    fn step_slipping(
        &mut self,
        car: (&Vehicle, &Engine, &Gearbox),
        wheel_mps: f64,
        torque: f64,
        ask: &Ask,
        dt: f64,
    ) -> Thrust {
        let (vehicle, engine, gearbox) = car;
        let input = self.input_radps(vehicle, wheel_mps);
        let open = self.clutch_open(gearbox);
        let passed = match ask.hold_rpm {
            Some(hold) if !open => {
                let held = hold.max(input / RADPS_PER_RPM) * RADPS_PER_RPM;
                let wanted = torque + 4.0 * (self.engine_radps - held);
                let least = if self.engine_radps < input { -gearbox.clutch_nm } else { 0.0 };
                ask.engaged * wanted.clamp(least, gearbox.clutch_nm)
            }
            _ => 0.0,
        };
        let before = self.engine_radps - input;
        self.engine_radps += (torque - passed) / engine.inertia_kgm2 * dt;
        let after = self.engine_radps - input;
        let meets = before * after <= 0.0 || after.abs() < 1.5;
        let turns = input > engine.idle_rpm * RADPS_PER_RPM;
        self.locked = meets && turns && ask.engaged > 0.9 && ask.hold_rpm.is_some() && !open;
        self.thrust(vehicle, gearbox, passed, 0.01)
    }

    fn clutch_open(&self, gearbox: &Gearbox) -> bool {
        gearbox.coupling == Coupling::Manual && self.shifting.is_some()
    }

    fn cut(&self, gearbox: &Gearbox) -> f64 {
        match (self.shifting, gearbox.coupling) {
            (None, _) => 1.0,
            (Some(_), Coupling::Manual) => 0.0,
            (Some(_), _) => gearbox.shift_torque,
        }
    }

    /// Goes on with a shift; returns how fast the ratio changes, per s.
    fn step_shift(&mut self, gearbox: &Gearbox, dt: f64) -> f64 {
        let Some((left, from)) = self.shifting else { return 0.0 };
        let left = left - dt;
        let to = gearbox.ratios[self.gear];
        let before = self.ratio;
        let share = if gearbox.coupling == Coupling::Manual {
            0.0
        } else {
            left.max(0.0) / gearbox.shift_s
        };
        self.ratio = to + (from - to) * share;
        self.shifting = (left > 0.0).then_some((left, from));
        (self.ratio - before) / dt
    }

    pub fn start_shift(&mut self, gear: usize, gearbox: &Gearbox) {
        self.shifting = Some((gearbox.shift_s, self.ratio));
        self.gear = gear;
    }
}

/// Torque taken from the engine and given to the gearbox.
///
/// Capacity is even up to a speed ratio of 0.85 and vanishes towards 1; the torque ratio
/// falls in a straight line to 1 at the coupling point of 0.87.
fn converter(engine: f64, turbine: f64, capacity: f64, stall_ratio: f64) -> (f64, f64) {
    let ratio = turbine / engine.max(1.0);
    let open = ((1.0 - ratio).abs() / 0.15).min(1.0);
    let taken = capacity * engine * engine * libm::pow(open, 0.8);
    if ratio > 1.0 {
        return (-0.5 * taken, -0.5 * taken);
    }
    let gain = (stall_ratio - (stall_ratio - 1.0) * ratio / 0.87).max(1.0);
    (taken, taken * gain)
}
