//! The simulation itself: against the closed forms of what it simulates, and against the
//! files it once wrote.
//!
//! An error here would be an error in every truth that the program is held against.

mod simulation;

use simulation::charge::lagged;
use simulation::random::Chance;
use simulation::tyre::Tyre;
use simulation::vehicle::{Air, Drive, GRAVITY_MPS2, Vehicle};

fn near(what: &str, got: f64, published: f64, within: f64) {
    assert!((got - published).abs() <= within, "{what}: {got}, published {published}");
}

/// Source: the reference implementation's demonstration (seed 42, stream 54), first round.
#[test]
fn chance_is_the_published_generator() {
    let mut chance = Chance::new(42);
    let drawn: Vec<u32> = (0..6).map(|_| chance.next_u32()).collect();
    let published = [0xa15c_02b7, 0x7b47_f409, 0xba1d_3330, 0x83d2_f293, 0xbfa4_784b, 0xcbed_606e];
    assert_eq!(drawn, published);
}

/// Source: the magic formula's dry and wet coefficients as a simulation library's
/// documentation prints them, recomputed; five printed digits.
#[test]
fn tyres_follow_the_magic_formula() {
    let rows = [
        (Tyre::DRY, [0.735_62, 0.955_84, 0.999_18, 0.914_52]),
        (Tyre::WET, [0.744_93, 0.817_12, 0.748_31, 0.637_17]),
    ];
    for (tyre, published) in rows {
        for (slip, share) in [0.05, 0.1, 0.2, 1.0].into_iter().zip(published) {
            near("thrust a load", tyre.thrust_share(slip), share, 1e-5);
            near("braking a load", tyre.thrust_share(-slip), -share, 1e-5);
        }
    }
}

fn weighed(drive: Drive) -> Vehicle {
    Vehicle {
        mass_kg: 1700.0,
        drag_area_m2: 0.65,
        rolling: 0.012,
        front_share: 0.55,
        height_share: 0.5 / 2.7,
        drive,
        radius_m: 0.325,
        driven_inertia_kg: 0.0,
        free_inertia_kg: 0.0,
    }
}

/// Source: moment balance over the axles, recomputed; five printed digits of g.
#[test]
fn traction_ends_where_the_moment_balance_has_it() {
    let rows = [
        (0.8, 0.422_61, 0.383_23, 0.80),
        (1.0, 0.552_27, 0.464_06, 1.00),
        (1.2, 0.694_29, 0.540_00, 1.20),
    ];
    for (peak, rear, front, all) in rows {
        for (drive, published) in [(Drive::Rear, rear), (Drive::Front, front), (Drive::All, all)] {
            let limit_g = weighed(drive).traction_limit_mps2(peak) / GRAVITY_MPS2;
            near(&format!("{peak} {drive:?}"), limit_g, published, 1e-5);
        }
    }
}

/// Source: v = sqrt(f0/f2) tan(atan(v0 sqrt(f2/f0)) - t sqrt(f0 f2)/m) for 200 N and
/// 0.39 N s²/m², 1700 kg, from 30 m/s. The step is the simulation's own.
#[test]
fn a_coast_down_follows_its_closed_form() {
    let mut car = weighed(Drive::All);
    car.rolling = 200.0 / (car.mass_kg * GRAVITY_MPS2);
    car.drag_area_m2 = 2.0 * 0.39 / 1.2;
    let step_s = simulation::motion::STEP_S;
    let (mut speed, mut now) = (30.0, 0);
    for (at_s, published) in [(10, 26.964_97), (20, 24.283_87), (40, 19.717_55)] {
        while now < at_s * 1000 {
            speed -= car.resistance_n(speed, 1.2, 0.0) / car.mass_kg * step_s;
            now += 1;
        }
        near("coast-down", speed, published, 5e-4);
    }
}

/// Source: first-order step response, 30 to 60 °C with a time constant of 5 s.
#[test]
fn a_lagging_sensor_lags_as_a_first_order_one() {
    let mut reading = 30.0;
    let mut now = 0;
    for (at_s, published) in [(5, 48.963_6), (10, 55.939_9), (15, 58.506_4)] {
        while now < at_s * 1000 {
            reading = lagged(reading, 60.0, 5.0, 0.001);
            now += 1;
        }
        near("step response", reading, published, 1e-4);
    }
}

/// Source: ISO 2533 standard atmosphere at sea level, 1.225 kg/m³ dry; a gas constant of
/// 287.05 instead of 287.053 leaves 1e-4.
#[test]
fn dry_air_at_sea_level_weighs_what_the_standard_says() {
    let air = Air { ambient_c: 15.0, humidity_percent: 0.0, pressure_kpa: 101.325 };
    near("density", air.density_kgpm3(), 1.225, 1e-4);
}

/// Equal seeds give equal bytes on every machine, and nobody edits a log by hand.
#[test]
fn the_sample_logs_are_what_the_simulation_writes() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-logs");
    for (name, text) in simulation::day::files() {
        let kept = std::fs::read_to_string(folder.join(&name)).expect("the file is there");
        let differs = kept.lines().zip(text.lines()).position(|(a, b)| a != b);
        assert_eq!(differs, None, "{name} differs in the line after that many");
        assert_eq!(kept.len(), text.len(), "{name} has another length");
    }
}

/// What is drawn is drawn alike each time, and its truth is possible.
#[test]
fn drawn_launches_are_launches() {
    for seed in 0..4 {
        let (case, again) = (simulation::varied::launch(seed), simulation::varied::launch(seed));
        assert_eq!(case.log, again.log, "seed {seed}");
        for pull in &case.pulls {
            let (thirty, sixty) = (pull.marks["0-30mph"], pull.marks["0-60mph"]);
            assert!(thirty > 0.5 && sixty > 1.5 * thirty, "seed {seed}: {thirty} and {sixty}");
            let mean_g = 26.8224 / sixty / GRAVITY_MPS2;
            assert!(mean_g < 1.2, "seed {seed}: a mean of {mean_g} g");
        }
    }
}
