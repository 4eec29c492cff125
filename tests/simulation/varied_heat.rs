//! Test days by the hundred: any car and cooler, any charge-air sensor, drawn from a seed.
//!
//! In: a seed. Out: a [`HeatDay`]: two builds driven on two days, three or four pulls each,
//! as two logs and a day file, and the truth of them.
//!
//! The second build is either the first one again or has a cooler that takes about
//! [`CHANGE_K`] (10 °F) off the rise of the third pull. What a change is worth in equal air
//! is read off two drives without any scatter, in the mean of both days' air, through the
//! same lagging sensor. Ranges are those of ordinary cars and ordinary loggers (common
//! practice, no source). Every drive ends: brakes are firm, and a pull that is long is let off.

use super::charge::{Cooling, Loop};
use super::driver::{Act, Manner};
use super::fleet;
use super::kit::{as_is, column, fahrenheit, gravities, kmh, plain, satellite, wheel_speed};
use super::motion::{Car, Drive, Mood, STEP_S, Trace, drive};
use super::outing::mood;
use super::random::Chance;
use super::recorder::{Column, Dialect, Rows, record};
use super::sensors::{Sensor, Source, read};
use super::truth::{pulls, sensed};
use super::vehicle::Air;
use super::way_back::WayBack;

/// One drawn test day with its truth; the builds are 0 and 1.
#[derive(Debug, Clone)]
pub struct HeatDay {
    pub seed: u64,
    /// Named [`FILES`].
    pub logs: [String; 2],
    /// The day file.
    pub day: String,
    pub gauge: Gauge,
    /// The second build is another one.
    pub changed: bool,
    pub pulls: [Vec<Pulled>; 2],
    /// What a pull of each build shows on the mean, in equal air.
    pub means: [Mean; 2],
    ways_back: [WayBack; 2],
}

pub const FILES: [&str; 2] = ["first.csv", "second.csv"];

/// The charge-air sensor and how it is logged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    pub hz: f64,
    pub rows_hz: f64,
    pub lag_s: f64,
    pub latency_s: f64,
    pub step_k: f64,
    pub in_fahrenheit: bool,
    pub noise_k: f64,
    pub hangs: f64,
    /// Rows between two readings repeat the old one, or are blank.
    pub repeats: bool,
}

/// One pull, its charge air as the lagging sensor would show it without steps or noise.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulled {
    pub start_s: f64,
    pub lift_s: f64,
    pub start_c: f64,
    pub end_c: f64,
    /// By [`SPEEDS_MPS`], `None` where the pull does not reach.
    pub at_c: Vec<Option<f64>>,
}

/// Means over the pulls of a drive.
#[derive(Debug, Clone, PartialEq)]
pub struct Mean {
    pub start_c: f64,
    pub rise_c: f64,
    pub at_c: Vec<Option<f64>>,
}

pub const SPEEDS_MPS: [f64; 7] =
    [40.0 * MPH, 60.0 * MPH, 80.0 * MPH, 90.0 * MPH, 60.0 / 3.6, 100.0 / 3.6, 130.0 / 3.6];
const MPH: f64 = 0.447_04;
/// 10 °F.
pub const CHANGE_K: f64 = 10.0 / 1.8;
/// How near to it the drawn change comes.
const NEAR_K: f64 = 0.3;
/// Nobody tests a cooler that has so little to do.
const LEAST_RISE_K: f64 = 12.0;

impl HeatDay {
    /// Time constant of the cooler over a stretch of a log: its heat over the conductance
    /// into the wind and into the engine's own air; of a loop's two, the slow one.
    pub fn tau_s(&self, build: usize, from_s: f64, to_s: f64) -> Option<f64> {
        self.ways_back[build].tau_s(from_s, to_s)
    }
}

/// Draws, drives twice and records.
pub fn day(seed: u64) -> HeatDay {
    let mut chance = Chance::new(seed);
    let changed = chance.happens(0.5);
    let style = Style::drawn(&mut chance);
    let gauge = gauge(&mut chance);
    let first = air(&mut chance);
    let second = Air {
        ambient_c: first.ambient_c + chance.between(-3.0, 3.0),
        humidity_percent: (first.humidity_percent + chance.between(-4.0, 4.0)).clamp(10.0, 98.0),
        pressure_kpa: first.pressure_kpa + chance.between(-0.8, 0.8),
    };
    let between = Air { ambient_c: 0.5 * (first.ambient_c + second.ambient_c), ..first };
    let (cars, means) = builds(&style, between, gauge.lag_s, changed, &mut chance);
    let driven = [(&cars[0], first), (&cars[1], second)]
        .map(|(car, air)| outing(car, air, &style, &gauge, &mut chance));
    let typed = [first, second].map(|air| Air {
        ambient_c: air.ambient_c + 0.2 * chance.normal().clamp(-2.0, 2.0),
        ..air
    });
    let [one, two] = driven;
    HeatDay {
        seed,
        logs: [one.text, two.text],
        day: day_file(typed),
        gauge,
        changed,
        pulls: [one.pulls, two.pulls],
        means,
        ways_back: [one.way_back, two.way_back],
    }
}

/// How pulls follow each other on these days; ranges, drawn from pull by pull.
#[derive(Debug, Clone, Copy)]
struct Style {
    count: usize,
    lift_mps: f64,
    wait_s: (f64, f64),
    back_mps: (f64, f64),
    back_s: (f64, f64),
    /// Cools standing, not on a slow drive back.
    stands: bool,
    brake_mps2: f64,
    tail_s: f64,
    warm_k: f64,
    manner: Manner,
}

impl Style {
    fn drawn(chance: &mut Chance) -> Self {
        let back_mps = chance.between(9.0, 18.0);
        let back_s = chance.between(22.0, 45.0);
        let wait_s = chance.between(6.0, 14.0);
        let about = |middle: f64, share: f64| (middle * (1.0 - share), middle * (1.0 + share));
        let held = chance.happens(0.4);
        Self {
            count: chance.pick(&[3, 3, 4]),
            lift_mps: chance.between(34.0, 41.0),
            wait_s: about(wait_s, 0.3),
            back_mps: about(back_mps, 0.08),
            back_s: about(back_s, 0.15),
            stands: chance.happens(0.25),
            brake_mps2: chance.between(4.0, 6.5),
            tail_s: chance.pick(&[5.0, 20.0, 60.0, 120.0]),
            warm_k: chance.between(5.0, 13.0),
            manner: Manner {
                hold_s: if held { chance.between(0.4, 1.2) } else { 0.0 },
                opens_s: chance.between(0.08, 0.3),
                lifts_s: chance.between(0.1, 0.3),
            },
        }
    }

    /// `None` drives the middle of every range, and no longer than the truth of pulls needs.
    fn acts(&self, mut chance: Option<&mut Chance>) -> Vec<Act> {
        let scatters = chance.is_some();
        let mut within = |(low, high): (f64, f64)| match &mut chance {
            Some(chance) => chance.between(low, high),
            None => 0.5 * (low + high),
        };
        let stop = Act::Brake { mps2: self.brake_mps2, to_mps: 0.01 };
        let mut acts = vec![Act::Cruise { mps: 13.0, lasts_s: 14.0 }, stop];
        for pull in 1..=self.count {
            let lift_mps = self.lift_mps + within((-0.5, 0.5));
            acts.extend([
                Act::Wait { lasts_s: within(self.wait_s) },
                Act::Pull { to_mps: lift_mps },
                Act::Coast { lasts_s: within((0.8, 2.4)) },
            ]);
            let last = scatters && pull == self.count;
            let more_s = if last { self.tail_s } else { 0.0 };
            let (mps, back_s) = (within(self.back_mps), within(self.back_s) + more_s);
            if self.stands {
                acts.extend([stop, Act::Wait { lasts_s: back_s }]);
            } else {
                let slow = Act::Brake { mps2: self.brake_mps2, to_mps: mps + 0.5 };
                acts.extend([slow, Act::Cruise { mps, lasts_s: back_s }, stop]);
            }
        }
        acts.push(Act::Wait { lasts_s: 5.0 });
        acts
    }

    fn drive(&self, car: &Car, air: Air, warm_k: f64, chance: Option<&mut Chance>) -> Driven {
        let (acts, moods) = match chance {
            Some(chance) => {
                (self.acts(Some(chance)), (0..self.count).map(|_| mood(chance)).collect())
            }
            None => (self.acts(None), Vec::new()),
        };
        let plan = Drive { acts, manner: self.manner, air, slope: 0.0, warm_k, moods };
        Driven { trace: drive(car, &plan), moods: plan.moods }
    }
}

struct Driven {
    trace: Trace,
    moods: Vec<Mood>,
}

/// Both builds, and what each shows on the mean in equal air.
fn builds(
    style: &Style,
    air: Air,
    lag_s: f64,
    changed: bool,
    chance: &mut Chance,
) -> ([Car; 2], [Mean; 2]) {
    let even = |car: &Car| {
        let trace = style.drive(car, air, style.warm_k, None).trace;
        heats(&trace, car, lag_s)
    };
    let third_k = |pulls: &[Pulled]| pulls.get(2).map_or(0.0, |pull| pull.end_c - pull.start_c);
    let (car, pulls) = loop {
        let car = car(chance);
        let pulls = even(&car);
        if third_k(&pulls) >= LEAST_RISE_K {
            break (car, pulls);
        }
    };
    if !changed {
        return ([car.clone(), car], [mean(&pulls), mean(&pulls)]);
    }
    // By false position: the rise falls evenly with one over the size.
    let wanted_k = third_k(&pulls) - CHANGE_K;
    let (mut before, mut share) = ((1.0, third_k(&pulls)), 0.6);
    for tries_left in (0..6).rev() {
        let other = Car { cooling: larger(&car.cooling, share), ..car.clone() };
        let found = even(&other);
        let here = (share, third_k(&found));
        let done = (here.1 - wanted_k).abs() <= NEAR_K;
        let next = share + (wanted_k - here.1) * (here.0 - before.0) / (here.1 - before.1);
        if done || tries_left == 0 {
            return ([car, other], [mean(&pulls), mean(&found)]);
        }
        (before, share) = (here, if next.is_finite() { next.clamp(0.05, 1.2) } else { 0.5 });
    }
    unreachable!("the last try returns")
}

/// A cooler of one over `share` the size.
fn larger(cooling: &Cooling, share: f64) -> Cooling {
    Cooling {
        effectiveness: cooling.effectiveness + 0.4 * (0.97 - cooling.effectiveness) * (1.0 - share),
        metal_jpk: cooling.metal_jpk / share,
        still_wpk: cooling.still_wpk / share,
        wind_wpk_per_mps: cooling.wind_wpk_per_mps / share,
        coolant: cooling.coolant.map(|coolant| Loop {
            heat_jpk: coolant.heat_jpk / share,
            exchange_wpk: coolant.exchange_wpk / share,
        }),
        ..*cooling
    }
}

fn car(chance: &mut Chance) -> Car {
    let mut car = fleet::kite(cooling(chance));
    let stronger = chance.between(0.85, 1.35);
    car.vehicle.mass_kg = 1385.0 * stronger * chance.between(0.9, 1.15);
    car.engine.torque.iter_mut().for_each(|point| point.1 *= stronger);
    car.engine.spool_s = chance.between_log(0.15, 0.8);
    car.gearbox.clutch_nm *= stronger;
    car.cooling.displacement_l *= stronger;
    car.cooling.full_flow_kgps *= stronger;
    car
}

fn cooling(chance: &mut Chance) -> Cooling {
    let water = chance.happens(0.35);
    let coolant = Loop {
        heat_jpk: chance.between(8_000.0, 24_000.0),
        exchange_wpk: chance.between(900.0, 2200.0),
    };
    let size = |chance: &mut Chance, water_s: (f64, f64), air_s: (f64, f64)| {
        let (low, high) = if water { water_s } else { air_s };
        chance.between_log(low, high)
    };
    Cooling {
        compressor_efficiency: chance.between(0.6, 0.76),
        effectiveness: chance.between(0.75, 0.93),
        effectiveness_lost: chance.between(0.02, 0.09),
        metal_jpk: size(chance, (2000.0, 3400.0), (4000.0, 11_000.0)),
        still_wpk: size(chance, (60.0, 180.0), (18.0, 90.0)),
        wind_wpk_per_mps: size(chance, (9.0, 20.0), (3.5, 10.0)),
        coolant: water.then_some(coolant),
        bay_k: chance.between(3.0, 14.0),
        filter_k: chance.between(6.0, 18.0),
        ..fleet::works_cooler()
    }
}

fn air(chance: &mut Chance) -> Air {
    Air {
        ambient_c: chance.between(6.0, 34.0),
        humidity_percent: chance.between(30.0, 85.0),
        pressure_kpa: chance.between(94.0, 102.5),
    }
}

fn gauge(chance: &mut Chance) -> Gauge {
    let rows_hz = chance.pick(&[5.0, 10.0, 10.0, 20.0]);
    let in_fahrenheit = chance.happens(0.25);
    Gauge {
        hz: chance.pick(&[0.5, 1.0, 1.0, 2.0, 2.0, 5.0, 10.0_f64]).min(rows_hz),
        rows_hz,
        lag_s: chance.between_log(0.5, 5.0),
        latency_s: chance.between(0.0, 0.3),
        step_k: if in_fahrenheit { 1.0 / 1.8 } else { chance.pick(&[0.1, 0.1, 0.5, 1.0, 1.0]) },
        in_fahrenheit,
        noise_k: chance.pick(&[0.0, 0.0, 0.05, 0.15]),
        hangs: chance.pick(&[0.0, 0.0, 0.0, 0.03]),
        repeats: chance.happens(0.7),
    }
}

struct Recorded {
    text: String,
    pulls: Vec<Pulled>,
    way_back: WayBack,
}

fn outing(car: &Car, air: Air, style: &Style, gauge: &Gauge, chance: &mut Chance) -> Recorded {
    let warm_k = style.warm_k + chance.between(-1.0, 1.0);
    let driven = style.drive(car, air, warm_k, Some(chance));
    let trace = &driven.trace;
    let signals: Vec<_> = channels(gauge, chance)
        .into_iter()
        .map(|(column, sensor)| (column, read(&sensor, trace, chance)))
        .collect();
    let rows = Rows {
        rate_hz: gauge.rows_hz,
        jitter_s: 0.0,
        lost: 0.0,
        from_s: chance.between(4.0, 5.0),
        to_s: trace.span_s() - 0.5,
    };
    let dialect = Dialect::plain(if gauge.repeats { None } else { Some("") });
    let recording = record(&signals, &dialect, &rows, chance);
    let mut pulls = heats(trace, car, gauge.lag_s);
    for pull in &mut pulls {
        pull.start_s -= recording.first_row_s;
        pull.lift_s -= recording.first_row_s;
    }
    let way_back = WayBack::of(trace, &driven.moods, car, recording.first_row_s);
    Recorded { text: recording.text, pulls, way_back }
}

fn channels(gauge: &Gauge, chance: &mut Chance) -> Vec<(Column, Sensor)> {
    let rate = |hz: f64| hz.min(gauge.rows_hz);
    let charge = Sensor {
        first_s: chance.between(0.0, 1.0 / gauge.hz),
        latency_s: gauge.latency_s,
        lag_s: gauge.lag_s,
        noise: gauge.noise_k,
        // Whole degrees Fahrenheit are the column's doing.
        step: if gauge.in_fahrenheit { 0.0 } else { gauge.step_k },
        hangs: gauge.hangs,
        ..Sensor::new(Source::ChargeAir, gauge.hz)
    };
    let shown = if gauge.in_fahrenheit {
        fahrenheit("Charge air temperature")
    } else {
        as_is("Charge air temperature", "°C", 1)
    };
    let accelerometer = super::kit::accelerometer(rate(20.0), 0.1);
    vec![
        (kmh("Vehicle speed", 1), wheel_speed(rate(20.0), 0.1 / 3.6)),
        (as_is("Engine speed", "rpm", 0), plain(Source::EngineSpeed, rate(20.0), 1.0)),
        (as_is("Throttle position", "%", 1), plain(Source::Throttle, rate(10.0), 0.4)),
        (
            column("GPS speed", "km/h", 3.6, 0.0, 2),
            satellite(rate(10.0), chance.between(0.05, 0.25)),
        ),
        (gravities("Longitudinal acceleration"), accelerometer),
        (shown, charge),
    ]
}

/// Charge air of every pull as the lagging sensor follows it, times on the trace.
fn heats(trace: &Trace, car: &Car, lag_s: f64) -> Vec<Pulled> {
    let seen_c = sensed(trace, lag_s);
    let pulled = |(place, pull): (usize, super::truth::PullTruth)| {
        let lift = trace.pulls[place].1;
        let start = ((pull.start_s / STEP_S) as usize).min(lift);
        let reached = |mps: f64| {
            let at = trace.moments[start..=lift].iter().position(|m| m.ground_mps >= mps)?;
            Some(seen_c[start + at])
        };
        Pulled {
            start_s: pull.start_s,
            lift_s: pull.lift_s,
            start_c: pull.heat.sensor_start_c,
            end_c: pull.heat.sensor_end_c,
            at_c: SPEEDS_MPS.iter().map(|mps| reached(*mps)).collect(),
        }
    };
    pulls(trace, car, lag_s).into_iter().enumerate().map(pulled).collect()
}

fn mean(pulls: &[Pulled]) -> Mean {
    let count = pulls.len() as f64;
    let of = |value: &dyn Fn(&Pulled) -> f64| pulls.iter().map(value).sum::<f64>() / count;
    let at = |place: usize| {
        let all: Option<Vec<f64>> = pulls.iter().map(|pull| pull.at_c[place]).collect();
        all.map(|all| all.iter().sum::<f64>() / count)
    };
    Mean {
        start_c: of(&|pull| pull.start_c),
        rise_c: of(&|pull| pull.end_c - pull.start_c),
        at_c: (0..SPEEDS_MPS.len()).map(at).collect(),
    }
}

fn day_file(air: [Air; 2]) -> String {
    let tidy = |value: f64| (value * 10.0).round() / 10.0;
    let outing = |build: usize| {
        serde_json::json!({
            "logs": [FILES[build]],
            "ambient_c": tidy(air[build].ambient_c),
            "relative_humidity_percent": air[build].humidity_percent.round(),
            "pressure_kpa": tidy(air[build].pressure_kpa),
        })
    };
    serde_json::json!({
        "format": "pullmark-day",
        "version": 1,
        "title": "Invented by a simulation",
        "builds": [
            { "name": "Before", "outings": [outing(0)] },
            { "name": "After", "outings": [outing(1)] },
        ],
        "vehicle": { "drive": "rear", "tyres": "road" },
    })
    .to_string()
}
