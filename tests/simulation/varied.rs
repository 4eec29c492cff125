//! Launches by the hundred: any car, any surface, any logger, drawn from a seed.
//!
//! In: a seed. Out: a [`Case`]: the log of one to three pulls, and the truth of them.
//!
//! Drawn wider than any reader of logs may assume: bodies that swing, receivers that
//! wander, speeds that hang, tables that hold old values, signals read in turn. Ranges are
//! those of ordinary cars and ordinary loggers (common practice, no source).

use super::day::in_turn;
use super::driveline::{Coupling, Engine, Gearbox};
use super::driver::{Act, Manner};
use super::fleet;
use super::kit::{column, plain};
use super::motion::{Car, Drive, Trace, TractionControl, drive};
use super::outing::{mood, on_clock};
use super::random::Chance;
use super::recorder::{Column, Dialect, Rows, record};
use super::sensors::{Pitch, Sensor, Source, read};
use super::truth::{self, PullTruth};
use super::tyre::Tyre;
use super::vehicle::{self, Air, Vehicle};

/// One drawn log with its truth.
#[derive(Debug, Clone)]
pub struct Case {
    pub seed: u64,
    pub log: String,
    /// Facts of the car as a day file, where this driver knows them.
    pub day: Option<String>,
    pub logger: Logger,
    pub slope: f64,
    /// On the log's clock.
    pub pulls: Vec<PullTruth>,
    trace: Trace,
    first_row_s: f64,
}

impl Case {
    /// The greatest tyre slip between two times of the log, against at least 3 m/s.
    pub fn slip_between(&self, from_s: f64, to_s: f64) -> f64 {
        let at = |s: f64| ((s + self.first_row_s) / super::motion::STEP_S).max(0.0) as usize;
        let moments = self.trace.moments.get(at(from_s)..at(to_s)).unwrap_or_default();
        let slip = |m: &super::motion::Moment| (m.wheel_mps - m.ground_mps) / m.ground_mps.max(3.0);
        moments.iter().map(slip).fold(0.0, f64::max)
    }
}

/// What was logged of the motion, and how.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logger {
    pub rows_hz: f64,
    pub speed_hz: f64,
    pub speed_step_mps: f64,
    /// The logged speed is a driven wheel's.
    pub driven: bool,
    pub satellite_hz: Option<f64>,
    pub free_wheel_hz: Option<f64>,
    pub accelerometer_hz: Option<f64>,
    /// Every signal once a turn.
    pub in_turn: bool,
    /// Sensors and table on one beat: a row that comes a little early holds values that are
    /// one reading old, all of them at once.
    pub one_beat: bool,
}

/// Nobody holds the throttle down for longer than this to reach 60 mph.
const LONGEST_S: f64 = 14.0;

/// Draws, drives and records.
pub fn launch(seed: u64) -> Case {
    let mut chance = Chance::new(seed);
    let (car, plan, trace) = driven(&mut chance);
    let logger = logger(&mut chance, car.vehicle.drive == vehicle::Drive::All);
    let mut channels = channels(&logger, &mut chance);
    if logger.in_turn {
        in_turn(&mut channels, 1.0 / logger.rows_hz);
    } else if logger.one_beat {
        channels.iter_mut().for_each(|(_, sensor)| sensor.first_s = 0.0);
    }
    let signals: Vec<_> = channels
        .iter()
        .map(|(column, sensor)| (column.clone(), read(sensor, &trace, &mut chance)))
        .collect();
    let rows = Rows {
        rate_hz: logger.rows_hz,
        jitter_s: if logger.one_beat { 0.004 } else { chance.pick(&[0.0, 0.0, 0.002, 0.006]) },
        lost: chance.pick(&[0.0, 0.0, 0.0, 0.01]),
        from_s: if logger.one_beat { 0.5 } else { chance.between(0.3, 0.6) },
        to_s: trace.span_s() - 0.5,
    };
    let dialect = Dialect::plain(chance.pick(&[None, None, Some("")]));
    let recording = record(&signals, &dialect, &rows, &mut chance);
    let mut pulls = truth::pulls(&trace, &car, 0.0);
    pulls.iter_mut().for_each(|pull| on_clock(pull, recording.first_row_s));
    Case {
        seed,
        log: recording.text,
        day: chance.happens(0.3).then(|| facts(&car)),
        logger,
        slope: plan.slope,
        pulls,
        trace,
        first_row_s: recording.first_row_s,
    }
}

/// Draws until a car and a surface meet on which somebody would make a pull.
fn driven(chance: &mut Chance) -> (Car, Drive, Trace) {
    loop {
        let (car, plan) = (car(chance), plan(chance));
        let trace = drive(&car, &plan);
        let to_60 = |pull: &PullTruth| pull.marks.get("0-60mph").copied();
        let quick = |pull| to_60(pull).is_some_and(|s| s <= LONGEST_S);
        if truth::pulls(&trace, &car, 0.0).iter().all(quick) {
            return (car, plan, trace);
        }
    }
}

fn car(chance: &mut Chance) -> Car {
    let base = fleet::kite(fleet::works_cooler());
    let mass_kg = chance.between(950.0, 2200.0);
    // Strong cars are heavy ones: what varies freely is the push for each kilogram.
    let stronger = mass_kg / base.vehicle.mass_kg * chance.between_log(0.4, 1.9);
    let coupling = match chance.pick(&[0, 1, 2]) {
        0 => Coupling::Manual,
        1 => Coupling::DualClutch,
        _ => Coupling::Converter {
            capacity: 0.0036 * stronger,
            stall_ratio: chance.between(1.6, 2.2),
        },
    };
    let surface = chance.pick(&[Tyre::DRY, Tyre::SPORT, Tyre::SPORT, Tyre::WET]);
    let helped = chance.happens(0.65);
    Car {
        vehicle: body(mass_kg, chance),
        tyre: surface.with_peak(chance.pick(&[0.6, 0.8, 0.95, 1.05, 1.15])),
        engine: engine(&base.engine, stronger, chance),
        gearbox: gearbox(&base.gearbox, coupling, stronger, chance),
        traction: helped.then(|| TractionControl {
            slip: chance.between(0.06, 0.25),
            gain: chance.between(3.0, 9.0),
            lag_s: chance.between(0.02, 0.12),
        }),
        cooling: base.cooling,
    }
}

fn body(mass_kg: f64, chance: &mut Chance) -> Vehicle {
    use vehicle::Drive::{All, Front, Rear};
    Vehicle {
        mass_kg,
        drag_area_m2: chance.between(0.52, 0.95),
        rolling: chance.between(0.009, 0.016),
        front_share: chance.between(0.4, 0.62),
        height_share: chance.between(0.15, 0.25),
        drive: chance.pick(&[Front, Rear, Rear, All]),
        radius_m: chance.between(0.29, 0.36),
        driven_inertia_kg: chance.between(30.0, 70.0),
        free_inertia_kg: chance.between(12.0, 30.0),
    }
}

fn engine(base: &Engine, stronger: f64, chance: &mut Chance) -> Engine {
    Engine {
        torque: base.torque.iter().map(|&(rpm, nm)| (rpm, nm * stronger)).collect(),
        inertia_kgm2: base.inertia_kgm2 * stronger.sqrt(),
        spool_s: chance.between_log(0.1, 1.2),
        unboosted_share: chance.between(0.45, 0.8),
        ..base.clone()
    }
}

fn gearbox(base: &Gearbox, coupling: Coupling, stronger: f64, chance: &mut Chance) -> Gearbox {
    let shorter = chance.between(0.85, 1.15);
    let shift_s = match coupling {
        Coupling::Manual => chance.between(0.25, 0.6),
        Coupling::DualClutch => chance.between(0.06, 0.2),
        Coupling::Converter { .. } => chance.between(0.15, 0.4),
    };
    Gearbox {
        coupling,
        ratios: base.ratios.iter().map(|ratio| ratio * shorter).collect(),
        shift_rpm: chance.between(5900.0, 6850.0),
        shift_s,
        shift_torque: chance.between(0.4, 0.9),
        clutch_nm: 650.0 * stronger,
        launch_rpm: chance.between(1700.0, 4300.0),
        engage_s: chance.between_log(0.08, 0.9),
        ..base.clone()
    }
}

/// One to three pulls, and no more time between them than a log needs to show a stop.
fn plan(chance: &mut Chance) -> Drive {
    let count = chance.pick(&[1, 2, 3]);
    let launched = chance.happens(0.5);
    let lift_mps = chance.between(28.5, 41.0);
    let mut acts = Vec::new();
    for _ in 0..count {
        acts.extend([
            Act::Wait { lasts_s: chance.between(3.5, 7.0) },
            Act::Pull { to_mps: lift_mps },
            Act::Coast { lasts_s: chance.between(0.6, 2.5) },
            Act::Brake { mps2: chance.between(4.0, 6.5), to_mps: 0.01 },
        ]);
    }
    acts.push(Act::Wait { lasts_s: 4.0 });
    Drive {
        acts,
        manner: Manner {
            hold_s: if launched { chance.between(0.4, 1.5) } else { 0.0 },
            opens_s: chance.between(0.08, 0.35),
            lifts_s: chance.between(0.1, 0.3),
        },
        air: Air {
            ambient_c: chance.between(0.0, 38.0),
            humidity_percent: chance.between(20.0, 95.0),
            pressure_kpa: chance.between(82.0, 103.0),
        },
        slope: chance.pick(&[0.0, 0.0, 0.0, 0.004, -0.004, 0.008, -0.015]),
        warm_k: 9.0,
        moods: (0..count).map(|_| mood(chance)).collect(),
    }
}

fn logger(chance: &mut Chance, all_driven: bool) -> Logger {
    let in_turn = chance.happens(0.08);
    let rows_hz = if in_turn {
        chance.between(6.0, 30.0)
    } else {
        chance.pick(&[5.0, 10.0, 10.0, 20.0, 20.0, 50.0, 100.0])
    };
    let up_to_rows = |hz: f64| hz.min(rows_hz);
    // Off the table's beat: some rows hold the value of the one before.
    let off_beat = chance.pick(&[1.0, 1.0, 1.0, 0.73, 2.0]);
    let satellite = chance.happens(0.45);
    let free = !all_driven && chance.happens(0.2);
    let accelerometer = chance.happens(0.6);
    Logger {
        rows_hz,
        speed_hz: chance.pick(&[up_to_rows(50.0) * off_beat, up_to_rows(20.0), up_to_rows(10.0)]),
        speed_step_mps: chance.pick(&[1.0 / 3.6, 0.447_04, 0.1 / 3.6, 0.1 / 3.6, 0.01 / 3.6]),
        driven: all_driven || chance.happens(0.65),
        satellite_hz: satellite
            .then(|| up_to_rows(chance.pick(&[1.0, 5.0, 10.0, 10.0, 20.0, 25.0]))),
        free_wheel_hz: free.then(|| up_to_rows(chance.pick(&[10.0, 20.0, 50.0]))),
        accelerometer_hz: accelerometer
            .then(|| up_to_rows(chance.pick(&[10.0, 20.0, 50.0, 100.0]))),
        in_turn,
        one_beat: chance.happens(0.25),
    }
}

fn channels(logger: &Logger, chance: &mut Chance) -> Vec<(Column, Sensor)> {
    let mut channels = vec![
        (column("Vehicle speed", "km/h", 3.6, 0.0, 2), logged_speed(logger, chance)),
        (
            column("Engine speed", "rpm", 1.0, 0.0, 0),
            plain(Source::EngineSpeed, logger.rows_hz.min(20.0), 1.0),
        ),
        (
            column("Throttle position", "%", 1.0, 0.0, 1),
            plain(Source::Throttle, logger.rows_hz.min(20.0), 0.4),
        ),
    ];
    if let Some(hz) = logger.satellite_hz {
        channels.push((column("GPS speed", "km/h", 3.6, 0.0, 2), satellite(hz, chance)));
    }
    if let Some(hz) = logger.free_wheel_hz {
        channels
            .push((column("Undriven wheel speed", "km/h", 3.6, 0.0, 2), free_wheel(hz, chance)));
    }
    if let Some(hz) = logger.accelerometer_hz {
        let turned = if chance.happens(0.12) { -1.0 } else { 1.0 };
        let gain = turned / vehicle::GRAVITY_MPS2;
        let name = column("Longitudinal acceleration", "g", gain, 0.0, 3);
        channels.push((name, accelerometer(hz, chance)));
    }
    channels
}

fn logged_speed(logger: &Logger, chance: &mut Chance) -> Sensor {
    let source = if logger.driven { Source::DrivenWheel } else { Source::Ground };
    Sensor {
        first_s: chance.between(0.0, 1.0 / logger.speed_hz),
        latency_s: chance.between(0.0, 0.25),
        lag_s: chance.pick(&[0.0, 0.0, 0.03, 0.08]),
        // Now and then on tyres that the car's computer does not know of.
        scale: 1.0 + chance.normal() * if chance.happens(0.06) { 0.03 } else { 0.008 },
        noise: chance.pick(&[0.0, 0.0, 0.03, 0.08]),
        dead_zone: chance.pick(&[0.0, 0.3, 0.6, 0.9]),
        step: logger.speed_step_mps,
        hangs: chance.pick(&[0.0, 0.0, 0.0, 0.03]),
        ..Sensor::new(source, logger.speed_hz)
    }
}

fn satellite(hz: f64, chance: &mut Chance) -> Sensor {
    Sensor {
        first_s: chance.between(0.0, 1.0 / hz),
        latency_s: chance.between(0.03, 0.4),
        lag_s: chance.pick(&[0.0, 0.05, 0.1]),
        noise: chance.between(0.015, 0.07),
        wander: chance.between(0.0, 0.05),
        step: 0.01,
        ..Sensor::new(Source::Ground, hz)
    }
}

fn free_wheel(hz: f64, chance: &mut Chance) -> Sensor {
    Sensor {
        first_s: chance.between(0.0, 1.0 / hz),
        latency_s: chance.between(0.0, 0.12),
        scale: 1.0 + 0.006 * chance.normal(),
        noise: chance.between(0.01, 0.08),
        dead_zone: chance.pick(&[0.0, 0.3, 0.6]),
        step: chance.pick(&[0.1 / 3.6, 0.01 / 3.6]),
        ..Sensor::new(Source::Ground, hz)
    }
}

fn accelerometer(hz: f64, chance: &mut Chance) -> Sensor {
    Sensor {
        first_s: chance.between(0.0, 1.0 / hz),
        latency_s: chance.between(0.0, 0.06),
        lag_s: chance.pick(&[0.0, 0.02, 0.05]),
        scale: 1.0 + 0.012 * chance.normal(),
        offset: 0.35 * chance.normal(),
        noise: chance.between(0.02, 0.25),
        shake: chance.between(0.05, 0.6),
        wander: chance.between(0.0, 0.05),
        step: chance.pick(&[0.01, 0.05, 0.1]),
        pitch: Some(Pitch {
            rad_per_g: chance.between(0.008, 0.05),
            natural_hz: chance.between(1.1, 2.2),
            damping: chance.between(0.2, 0.5),
        }),
        ..Sensor::new(Source::Acceleration, hz)
    }
}

fn facts(car: &Car) -> String {
    let drive = match car.vehicle.drive {
        vehicle::Drive::Front => "front",
        vehicle::Drive::Rear => "rear",
        vehicle::Drive::All => "all",
    };
    serde_json::json!({
        "format": "pullmark-day",
        "version": 1,
        "title": "Invented by a simulation",
        "builds": [],
        "vehicle": { "drive": drive, "tyres": "road" },
    })
    .to_string()
}
