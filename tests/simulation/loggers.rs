//! The seven outings of the sample day: which car, which air, which logger.
//!
//! In: nothing. Out: [`Outing`]s. Each log is written in another dialect that loggers
//! use; none is a copy of any real logger's file.

use super::day::in_turn;
use super::driver::Manner;
use super::fleet;
use super::kit::{
    accelerometer, as_is, charge_air, column, fahrenheit, filter_air, gravities, kmh, mph, plain,
    satellite, wheel_speed,
};
use super::motion::Car;
use super::outing::Outing;
use super::recorder::{Column, Dialect, TimeForm, Units};
use super::sensors::{Sensor, Source};
use super::vehicle::Air;

pub const LAUNCH: Manner = Manner { hold_s: 0.8, opens_s: 0.12, lifts_s: 0.15 };
/// Foot from brake to floor.
const PLAIN: Manner = Manner { hold_s: 0.0, opens_s: 0.15, lifts_s: 0.15 };

const INVENTED: &str = "Invented by a simulation. No such car, maker or day exists.";
/// 1 °F.
const STEP_F: f64 = 5.0 / 9.0;
const STEP_KMH: f64 = 1.0 / 3.6;

fn outing(file: &'static str, seed: u64, car: Car, air: Air, dialect: Dialect) -> Outing {
    Outing {
        file,
        seed,
        car,
        air,
        manner: LAUNCH,
        pulls: 4,
        lift_mps: 39.2,
        channels: Vec::new(),
        dialect,
        rate_hz: 10.0,
        jitter_s: 0.0,
        lost: 0.0,
    }
}

fn dialect(name: &str, time_name: &str, time_unit: &str) -> Dialect {
    Dialect {
        preamble: vec![format!("# {INVENTED}"), format!("# {name}")],
        delimiter: ',',
        decimal_comma: false,
        time_name: time_name.to_owned(),
        time_unit: time_unit.to_owned(),
        time_form: TimeForm::Seconds,
        units: Units::Square,
        stale: None,
        line_end: "\n",
    }
}

/// Everything at 10 Hz, repeated where nothing is new.
pub fn works_cooler() -> Outing {
    let air = Air { ambient_c: 20.6, humidity_percent: 52.0, pressure_kpa: 99.1 };
    let car = fleet::kite(fleet::works_cooler());
    let head = dialect("Ostrel Kite, works cooler, 4 pulls", "Time", "s");
    Outing {
        channels: vec![
            (kmh("Vehicle speed", 1), wheel_speed(20.0, 0.1 / 3.6)),
            (as_is("Engine speed", "rpm", 0), plain(Source::EngineSpeed, 20.0, 1.0)),
            (as_is("Throttle position", "%", 1), plain(Source::Throttle, 20.0, 100.0 / 255.0)),
            (as_is("Gear", "", 0), plain(Source::Gear, 10.0, 1.0)),
            (gravities("Longitudinal acceleration"), accelerometer(10.0, 0.12)),
            (kmh("Satellite speed", 2), satellite(10.0, 0.12)),
            (as_is("Intake air temperature", "°C", 0), filter_air(2.0, 1.0)),
            (as_is("Charge air temperature", "°C", 0), charge_air(5.0, 2.2, 1.0)),
            (as_is("Ambient temperature", "°C", 1), plain(Source::Ambient, 0.5, 0.5)),
            (as_is("Coolant temperature", "°C", 0), plain(Source::EngineCoolant, 1.0, 1.0)),
            (as_is("Manifold pressure", "kPa", 0), plain(Source::Manifold, 10.0, 1.0)),
            (as_is("Barometric pressure", "kPa", 1), plain(Source::Barometer, 0.5, 0.1)),
        ],
        ..outing("works-cooler.csv", 6021, car, air, head)
    }
}

/// American units in a row of their own, clock time, a satellite receiver.
pub fn sealed_duct() -> Outing {
    let air = Air { ambient_c: 21.1, humidity_percent: 54.0, pressure_kpa: 99.2 };
    let car = fleet::kite(fleet::sealed_duct());
    let head = Dialect {
        units: Units::Row,
        time_form: TimeForm::Clock { start_s: 10 * 3600 + 42 * 60 + 11 },
        ..dialect(
            "Ostrel Kite, gap around the works cooler closed with foam, 4 pulls",
            "Clock",
            "hh:mm:ss",
        )
    };
    Outing {
        jitter_s: 0.004,
        channels: vec![
            (mph("Vehicle Speed", 1), wheel_speed(20.0, 0.1 * 0.447_04)),
            (as_is("Engine RPM", "rpm", 0), plain(Source::EngineSpeed, 20.0, 1.0)),
            (as_is("Throttle", "%", 0), plain(Source::Throttle, 20.0, 1.0)),
            (as_is("Gear", "-", 0), plain(Source::Gear, 10.0, 1.0)),
            (mph("GPS Speed", 2), satellite(10.0, 0.2)),
            (gravities("Accel Long"), accelerometer(20.0, -0.08)),
            (fahrenheit("Intake Air Temp"), filter_air(2.0, STEP_F)),
            (fahrenheit("Charge Air Temp"), charge_air(5.0, 2.2, STEP_F)),
            (fahrenheit("Ambient Air Temp"), plain(Source::Ambient, 0.5, STEP_F)),
            (fahrenheit("Coolant Temp"), plain(Source::EngineCoolant, 1.0, STEP_F)),
            (
                column("Manifold Absolute Pressure", "psi", 1.0 / 6.894_757, 0.0, 1),
                plain(Source::Manifold, 10.0, 0.0),
            ),
            (
                column("Barometer", "inHg", 1.0 / 3.386_389, 0.0, 2),
                plain(Source::Barometer, 0.5, 0.0),
            ),
        ],
        ..outing("gap-closed.csv", 7103, car, air, head)
    }
}

/// German names, semicolons, decimal commas; rows at 20 Hz, blank where nothing is new.
pub fn twin_coolers() -> Outing {
    let air = Air { ambient_c: 20.2, humidity_percent: 50.0, pressure_kpa: 98.9 };
    let car = fleet::kite(fleet::twin_coolers());
    let head = Dialect {
        preamble: vec![
            "# Von einer Simulation erfunden. Weder Wagen noch Hersteller noch Tag gibt es."
                .to_owned(),
            "# Ostrel Kite, zweiter Ladeluftkühler, 3 Läufe".to_owned(),
        ],
        delimiter: ';',
        decimal_comma: true,
        stale: Some(""),
        line_end: "\r\n",
        ..dialect("", "Zeit", "s")
    };
    Outing {
        pulls: 3,
        rate_hz: 20.0,
        channels: vec![
            (kmh("Geschwindigkeit", 1), wheel_speed(20.0, 0.1 / 3.6)),
            (as_is("Motordrehzahl", "1/min", 0), plain(Source::EngineSpeed, 20.0, 1.0)),
            (as_is("Drosselklappe", "%", 1), plain(Source::Throttle, 10.0, 0.1)),
            (as_is("Gang", "", 0), plain(Source::Gear, 10.0, 1.0)),
            (as_is("Längsbeschleunigung", "m/s²", 2), accelerometer(20.0, 0.05)),
            (as_is("Ansauglufttemperatur", "°C", 0), filter_air(1.0, 1.0)),
            (as_is("Ladelufttemperatur", "°C", 1), charge_air(4.0, 2.2, 0.5)),
            (as_is("Außentemperatur", "°C", 1), plain(Source::Ambient, 0.5, 0.5)),
            (as_is("Kühlmitteltemperatur", "°C", 0), plain(Source::EngineCoolant, 1.0, 1.0)),
            (column("Saugrohrdruck", "hPa", 10.0, 0.0, 0), plain(Source::Manifold, 10.0, 0.1)),
            (column("Luftdruck", "hPa", 10.0, 0.0, 0), plain(Source::Barometer, 0.2, 0.1)),
        ],
        ..outing("zweiter-kuehler.csv", 1319, car, air, head)
    }
}

/// ISO time, a wheel that is not driven, rows that are sometimes lost.
pub fn fans() -> Outing {
    let air = Air { ambient_c: 26.4, humidity_percent: 41.0, pressure_kpa: 98.4 };
    let car = fleet::kite(fleet::twin_coolers_with_fans());
    let head = Dialect {
        time_form: TimeForm::Iso { date: "2025-09-20", start_s: 13 * 3600 + 5 * 60 + 40 },
        units: Units::Round,
        ..dialect("Ostrel Kite, second cooler with fans that run on, 4 pulls", "Timestamp", "")
    };
    Outing {
        jitter_s: 0.003,
        lost: 0.004,
        channels: vec![
            (kmh("Vehicle speed", 1), wheel_speed(20.0, 0.1 / 3.6)),
            (
                kmh("Undriven wheel speed", 1),
                Sensor {
                    step: 0.1 / 3.6,
                    dead_zone: 0.3,
                    latency_s: 0.06,
                    ..Sensor::new(Source::Ground, 20.0)
                },
            ),
            (as_is("Engine speed", "rpm", 0), plain(Source::EngineSpeed, 20.0, 1.0)),
            (as_is("Throttle", "%", 1), plain(Source::Throttle, 20.0, 0.1)),
            (as_is("Longitudinal acceleration", "m/s²", 2), accelerometer(10.0, -0.1)),
            (as_is("Inlet air", "°C", 0), filter_air(2.0, 1.0)),
            (as_is("Charge air", "°C", 0), charge_air(5.0, 2.2, 1.0)),
            (as_is("Ambient air", "°C", 1), plain(Source::Ambient, 0.5, 0.5)),
            (as_is("Coolant", "°C", 0), plain(Source::EngineCoolant, 1.0, 1.0)),
            (as_is("Manifold pressure", "kPa", 0), plain(Source::Manifold, 10.0, 1.0)),
            (as_is("Ambient pressure", "kPa", 1), plain(Source::Barometer, 0.5, 0.1)),
            (as_is("Relative humidity", "%", 0), plain(Source::Humidity, 0.5, 1.0)),
        ],
        ..outing("fans-run-on.csv", 2044, car, air, head)
    }
}

/// The wheels run away from the road, and the logged speed runs with them.
pub fn let_loose() -> Outing {
    let air = Air { ambient_c: 25.8, humidity_percent: 43.0, pressure_kpa: 98.5 };
    let car = fleet::kite_let_loose(fleet::twin_coolers());
    let head = Dialect {
        time_form: TimeForm::Milliseconds,
        ..dialect("Ostrel Kite, more boost, worn tyres, wheels let loose, 3 pulls", "Time", "ms")
    };
    Outing {
        pulls: 3,
        rate_hz: 20.0,
        channels: vec![
            (kmh("Vehicle speed", 1), wheel_speed(20.0, 0.1 / 3.6)),
            (as_is("Engine speed", "rpm", 0), plain(Source::EngineSpeed, 20.0, 1.0)),
            (as_is("Throttle position", "%", 0), plain(Source::Throttle, 20.0, 1.0)),
            (gravities("Longitudinal acceleration"), accelerometer(20.0, 0.06)),
            (as_is("Intake air temperature", "°C", 0), filter_air(2.0, 1.0)),
            (as_is("Charge air temperature", "°C", 0), charge_air(5.0, 2.2, 1.0)),
            (as_is("Manifold pressure", "kPa", 0), plain(Source::Manifold, 10.0, 1.0)),
        ],
        ..outing("wheels-let-loose.csv", 3308, car, air, head)
    }
}

/// A converter that lets the engine run ahead of the road without any wheelspin.
pub fn touring() -> Outing {
    let air = Air { ambient_c: 26.0, humidity_percent: 42.0, pressure_kpa: 98.5 };
    let car = fleet::kite_touring(fleet::touring_cooler());
    let head = Dialect {
        units: Units::Round,
        delimiter: '\t',
        ..dialect("Ostrel Kite Touring with a torque converter, 3 pulls", "Elapsed time", "s")
    };
    Outing {
        manner: PLAIN,
        pulls: 3,
        channels: vec![
            (mph("Speed", 1), wheel_speed(10.0, 0.1 * 0.447_04)),
            (as_is("RPM", "1/min", 0), plain(Source::EngineSpeed, 10.0, 1.0)),
            (as_is("Accelerator pedal", "%", 0), plain(Source::Throttle, 10.0, 1.0)),
            (as_is("Gear", "", 0), plain(Source::Gear, 10.0, 1.0)),
            (mph("GNSS speed", 2), satellite(10.0, 0.15)),
            (as_is("Long. acceleration", "m/s²", 2), accelerometer(10.0, 0.1)),
            (as_is("Intake air temperature", "°C", 0), filter_air(1.0, 1.0)),
            (as_is("Charge air temperature", "°C", 0), charge_air(2.0, 3.0, 1.0)),
            (as_is("Charge cooler coolant", "°C", 0), plain(Source::ChargeCoolant, 1.0, 1.0)),
            (as_is("Engine coolant", "°C", 0), plain(Source::EngineCoolant, 1.0, 1.0)),
            (as_is("Manifold pressure", "kPa", 0), plain(Source::Manifold, 5.0, 1.0)),
        ],
        ..outing("touring-converter.csv", 4417, car, air, head)
    }
}

/// One signal a row, each again after 1.3 s, whole km/h: too slow for any time.
pub fn polled() -> Outing {
    let air = Air { ambient_c: 25.9, humidity_percent: 43.0, pressure_kpa: 98.5 };
    let car = fleet::kite(fleet::twin_coolers());
    let row_s = 0.145;
    let mut channels: Vec<(Column, Sensor)> = vec![
        (kmh("Vehicle speed", 0), wheel_speed(1.0, STEP_KMH)),
        (as_is("Engine speed", "rpm", 0), plain(Source::EngineSpeed, 1.0, 0.25)),
        (as_is("Throttle position", "%", 1), plain(Source::Throttle, 1.0, 100.0 / 255.0)),
        (as_is("Intake air temperature", "°C", 0), filter_air(1.0, 1.0)),
        (as_is("Charge air temperature", "°C", 0), charge_air(1.0, 2.2, 1.0)),
        (as_is("Ambient temperature", "°C", 0), plain(Source::Ambient, 1.0, 1.0)),
        (as_is("Coolant temperature", "°C", 0), plain(Source::EngineCoolant, 1.0, 1.0)),
        (as_is("Manifold pressure", "kPa", 0), plain(Source::Manifold, 1.0, 1.0)),
        (as_is("Barometric pressure", "kPa", 0), plain(Source::Barometer, 1.0, 1.0)),
    ];
    in_turn(&mut channels, row_s);
    let head = dialect("Ostrel Kite, signals asked for one after the other, 3 pulls", "Time", "s");
    Outing {
        pulls: 3,
        rate_hz: 1.0 / row_s,
        channels,
        ..outing("asked-in-turn.csv", 5522, car, air, head)
    }
}
