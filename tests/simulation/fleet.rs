//! The cars of the sample day: one invented coupé in two trims, and its cooling parts.
//!
//! The Ostrel Kite does not exist, nor does its maker. Figures are of the size that small
//! mid-engined coupés have; none is any real car's.

use super::charge::{Cooling, Loop};
use super::driveline::{Coupling, Engine, Gearbox};
use super::motion::{Car, TractionControl};
use super::tyre::Tyre;
use super::vehicle::{Drive, Vehicle};

/// Mid-engined, rear drive, dual clutch.
pub fn kite(cooling: Cooling) -> Car {
    Car {
        vehicle: Vehicle {
            mass_kg: 1385.0,
            drag_area_m2: 0.62,
            rolling: 0.0125,
            front_share: 0.41,
            height_share: 0.19,
            drive: Drive::Rear,
            radius_m: 0.322,
            driven_inertia_kg: 42.0,
            free_inertia_kg: 18.0,
        },
        tyre: Tyre::SPORT.with_peak(1.06),
        engine: engine(),
        gearbox: Gearbox {
            coupling: Coupling::DualClutch,
            ratios: vec![13.4, 8.15, 5.75, 4.4, 3.5, 2.9],
            efficiency: 0.9,
            shift_rpm: 6750.0,
            shift_s: 0.12,
            shift_torque: 0.55,
            clutch_nm: 620.0,
            launch_rpm: 3000.0,
            engage_s: 0.3,
        },
        traction: Some(TractionControl { slip: 0.08, gain: 7.0, lag_s: 0.025 }),
        cooling,
    }
}

/// The touring trim: a converter and five gears, narrower tyres, no less power.
pub fn kite_touring(cooling: Cooling) -> Car {
    let kite = kite(cooling);
    Car {
        tyre: Tyre::SPORT.with_peak(1.02),
        vehicle: Vehicle { mass_kg: 1460.0, ..kite.vehicle },
        gearbox: Gearbox {
            coupling: Coupling::Converter { capacity: 0.0036, stall_ratio: 1.9 },
            ratios: vec![11.2, 6.9, 4.75, 3.4, 2.7],
            shift_rpm: 6500.0,
            shift_s: 0.28,
            shift_torque: 0.7,
            efficiency: 0.88,
            ..kite.gearbox
        },
        ..kite
    }
}

/// The same car on worn tyres, with a third more torque and its helper set to let the
/// wheels turn at will: it steps in only when they are two thirds faster than the road.
pub fn kite_let_loose(cooling: Cooling) -> Car {
    let mut car = kite(cooling);
    for point in &mut car.engine.torque {
        point.1 *= 1.36;
    }
    car.tyre = Tyre::DRY.with_peak(1.05);
    car.gearbox.clutch_nm = 900.0;
    car.traction = Some(TractionControl { slip: 0.72, gain: 3.0, lag_s: 0.05 });
    car
}

fn engine() -> Engine {
    Engine {
        torque: vec![
            (900.0, 170.0),
            (1800.0, 300.0),
            (2600.0, 425.0),
            (3400.0, 455.0),
            (5000.0, 450.0),
            (6000.0, 425.0),
            (6800.0, 375.0),
            (7200.0, 320.0),
        ],
        inertia_kgm2: 0.17,
        idle_rpm: 820.0,
        limit_rpm: 7100.0,
        boost_kpa: 108.0,
        spool_s: 0.3,
        unboosted_share: 0.55,
    }
}

/// As it left the works: a small cooler behind the left side inlet.
pub fn works_cooler() -> Cooling {
    Cooling {
        compressor_efficiency: 0.69,
        effectiveness: 0.86,
        effectiveness_lost: 0.06,
        metal_jpk: 5200.0,
        still_wpk: 26.0,
        wind_wpk_per_mps: 5.2,
        coolant: None,
        bay_k: 9.0,
        filter_k: 13.0,
        displacement_l: 2.3,
        full_flow_kgps: 0.24,
    }
}

/// The gap around the small cooler closed with foam: a little more wind goes through.
pub fn sealed_duct() -> Cooling {
    Cooling { wind_wpk_per_mps: 5.45, effectiveness_lost: 0.058, ..works_cooler() }
}

/// A second cooler of the same make on the right side, in parallel.
pub fn twin_coolers() -> Cooling {
    Cooling {
        effectiveness: 0.95,
        effectiveness_lost: 0.03,
        metal_jpk: 10_400.0,
        still_wpk: 52.0,
        wind_wpk_per_mps: 10.6,
        ..works_cooler()
    }
}

/// Both coolers with fans behind them that run on at low speed.
pub fn twin_coolers_with_fans() -> Cooling {
    Cooling { still_wpk: 270.0, bay_k: 3.0, ..twin_coolers() }
}

/// The touring trim's: air to water, the coolant in a loop of its own.
pub fn touring_cooler() -> Cooling {
    Cooling {
        effectiveness: 0.9,
        effectiveness_lost: 0.08,
        metal_jpk: 2600.0,
        coolant: Some(Loop { heat_jpk: 16_000.0, exchange_wpk: 1500.0 }),
        still_wpk: 110.0,
        wind_wpk_per_mps: 16.0,
        ..works_cooler()
    }
}
