//! Power at the wheels over road speed, where the car's mass is known.
//!
//! In: a [`Motion`], the engine's speed where logged, the car. Out: [`WheelPower`] every
//! 5 mph, each with its 95 % half-interval. Never: a power where the tyres slipped, for the
//! ground then tells less than the wheels turned; or a power beyond the pull.
//!
//! Method: force balance: inertia with what turns along, air, rolling, slope. What is not
//! known of the car is taken as ordinary cars have it, and its spread is in the interval.
//!
//! Source: rotating mass 1 + 0.04 + 0.0025 N², N the overall ratio (textbook form, seen in
//! public vehicle models); drag area and rolling of ordinary cars (common practice, no
//! source).

use super::{Car, Motion, Spin, SpinKind};
use crate::log::Series;
use crate::unit::{MPS_PER_MPH, STANDARD_GRAVITY};

/// Power at the wheels while passing a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelPower {
    pub speed_mps: f64,
    pub power_w: f64,
    /// Half of the 95 % interval.
    pub plus_minus_w: f64,
}

/// What resists and turns along: value and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    pub mass_kg: f64,
    pub drag_area_m2: (f64, f64),
    pub rolling: (f64, f64),
    pub density_kgpm3: (f64, f64),
    pub slope: f64,
    pub turning: (f64, f64),
}

const DRAG_AREA_M2: (f64, f64) = (0.65, 0.1);
const ROLLING: (f64, f64) = (0.012, 0.002);
const DENSITY_KGPM3: (f64, f64) = (1.18, 0.05);
/// A car is weighed, or known from its papers and a guess at driver and fuel.
const MASS_SHARE_SD: f64 = 0.02;
/// Where no engine speed tells the gear.
const TURNING: (f64, f64) = (1.1, 0.05);
const TURNING_SD: f64 = 0.03;
const RADIUS_M: f64 = 0.32;
/// The acceleration is taken over this time to either side.
const HALF_WINDOW_S: f64 = 0.25;
const EVERY_MPH: f64 = 5.0;
const FROM_MPH: f64 = 20.0;

impl Load {
    /// Power at the wheels at a speed and an acceleration, in W.
    pub fn power_w(&self, speed_mps: f64, accel_mps2: f64) -> f64 {
        speed_mps * (self.inertia_n(accel_mps2) + self.air_n(speed_mps) + self.rolling_n())
            + speed_mps * self.mass_kg * STANDARD_GRAVITY * self.slope
    }

    fn inertia_n(&self, accel_mps2: f64) -> f64 {
        self.mass_kg * self.turning.0 * accel_mps2
    }

    fn air_n(&self, speed_mps: f64) -> f64 {
        0.5 * self.density_kgpm3.0 * self.drag_area_m2.0 * speed_mps * speed_mps
    }

    fn rolling_n(&self) -> f64 {
        self.mass_kg * STANDARD_GRAVITY * self.rolling.0
    }

    /// Standard deviation of the power, the parts taken as independent.
    fn power_sd_w(&self, speed_mps: f64, accel_mps2: f64, accel_sd_mps2: f64) -> f64 {
        let share = |(value, sd): (f64, f64)| sd / value;
        let inertia = self.inertia_n(accel_mps2) * libm::hypot(share(self.turning), MASS_SHARE_SD);
        let shaken = self.inertia_n(accel_sd_mps2);
        let air = self.air_n(speed_mps)
            * libm::hypot(share(self.drag_area_m2), share(self.density_kgpm3));
        let rolling = self.rolling_n() * share(self.rolling);
        let square = inertia * inertia + shaken * shaken + air * air + rolling * rolling;
        speed_mps * libm::sqrt(square)
    }
}

/// Power every 5 mph from 20 mph on; empty where the mass is not known.
pub fn over_speed(
    motion: &Motion,
    engine: Option<&Series>,
    spins: &[Spin],
    car: &Car,
    slope: Option<f64>,
    until_s: f64,
) -> Vec<WheelPower> {
    let Some(mass_kg) = car.mass_kg else { return Vec::new() };
    let slipped = |t: f64| {
        spins.iter().any(|s| s.kind == SpinKind::Tyre && t >= s.from_s - 0.2 && t <= s.to_s + 0.2)
    };
    (0..)
        .map(|k| (FROM_MPH + EVERY_MPH * f64::from(k)) * MPS_PER_MPH)
        .take_while(|&speed| motion.top_speed_mps().is_some_and(|top| speed <= top))
        .filter_map(|speed_mps| {
            let t = motion.time_at_speed(speed_mps)?;
            let (before_s, after_s) = (t - HALF_WINDOW_S, t + HALF_WINDOW_S);
            if after_s > until_s || slipped(t) {
                return None;
            }
            let gained = motion.speed_at(after_s)? - motion.speed_at(before_s)?;
            let accel_mps2 = gained / (2.0 * HALF_WINDOW_S);
            let load = Load {
                mass_kg,
                drag_area_m2: DRAG_AREA_M2,
                rolling: ROLLING,
                density_kgpm3: DENSITY_KGPM3,
                slope: slope.unwrap_or(0.0),
                turning: turning(engine, t, speed_mps, car),
            };
            // Errors of the two speeds are taken as independent, which errs to the wide side.
            let accel_sd =
                core::f64::consts::SQRT_2 * motion.speed_sd_at(t)? / (2.0 * HALF_WINDOW_S);
            (accel_mps2 > 0.0).then(|| WheelPower {
                speed_mps,
                power_w: load.power_w(speed_mps, accel_mps2),
                plus_minus_w: 1.96 * load.power_sd_w(speed_mps, accel_mps2, accel_sd),
            })
        })
        .collect()
}

/// Mass that turns along, by the overall ratio that engine and road speed show.
fn turning(engine: Option<&Series>, at_s: f64, speed_mps: f64, car: &Car) -> (f64, f64) {
    let Some(rpm) = engine.and_then(|engine| engine.at(at_s)) else { return TURNING };
    let radius_m = car.rolling_radius_m.unwrap_or(RADIUS_M);
    let ratio = rpm * core::f64::consts::PI / 30.0 * radius_m / speed_mps.max(1.0);
    (turning_factor(ratio.min(16.0)), TURNING_SD)
}

/// Mass factor of an overall ratio, engine to wheel.
pub fn turning_factor(ratio: f64) -> f64 {
    1.0 + 0.04 + 0.0025 * ratio * ratio
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(turning: f64) -> Load {
        Load {
            mass_kg: 1700.0,
            drag_area_m2: (0.65, 0.0),
            rolling: (0.012, 0.0),
            density_kgpm3: (1.2, 0.0),
            slope: 0.0,
            turning: (turning, 0.0),
        }
    }

    /// Source: force balance for 1700 kg, 0.65 m², 0.012, 1.2 kg/m³, recomputed.
    #[test]
    fn power_is_that_of_the_force_balance() {
        for (turning, speed, accel, kilowatt) in
            [(1.08, 26.8224, 4.0, 209.876), (1.05, 44.704, 2.0, 203.379)]
        {
            let power = load(turning).power_w(speed, accel) / 1000.0;
            assert!((power / kilowatt - 1.0).abs() < 1e-3, "{power} for {kilowatt}");
        }
    }

    /// Source: 1 + 0.04 + 0.0025 N², recomputed.
    #[test]
    fn what_turns_along_is_that_of_the_ratio() {
        for (ratio, factor) in [(14.0, 1.53), (8.0, 1.2), (5.0, 1.1025), (3.5, 1.070_62)] {
            assert!((turning_factor(ratio) - factor).abs() < 1e-5, "{ratio}");
        }
    }

    fn steady(accel_mps2: f64) -> Motion {
        let time_s: Vec<f64> = (0..=160).map(|k| f64::from(k) * 0.05).collect();
        let of = |f: &dyn Fn(f64) -> f64| time_s.iter().map(|&t| f(t)).collect::<Vec<f64>>();
        Motion {
            start_s: 0.0,
            start_sd_s: 0.01,
            ends_untold: false,
            speed_mps: of(&|t| accel_mps2 * t),
            speed_sd_mps: of(&|_| 0.05),
            distance_m: of(&|t| 0.5 * accel_mps2 * t * t),
            accel_mps2: of(&|_| accel_mps2),
            time_s,
        }
    }

    #[test]
    fn there_is_no_power_without_a_mass_nor_where_the_tyres_slipped() {
        let motion = steady(4.0);
        assert!(over_speed(&motion, None, &[], &Car::default(), None, 8.0).is_empty());
        let car = Car { mass_kg: Some(1500.0), ..Car::default() };
        let clean = over_speed(&motion, None, &[], &car, None, 8.0);
        let slip = Spin {
            from_s: 0.0,
            to_s: 4.0,
            peak_slip: 0.4,
            kind: SpinKind::Tyre,
            mean_slip: None,
            slip_distance_m: None,
            time_lost: None,
            evidence: Vec::new(),
        };
        let slipped = over_speed(&motion, None, &[slip], &car, None, 8.0);
        assert!(clean.first().is_some_and(|p| (p.speed_mps - 8.9408).abs() < 1e-9));
        assert!(slipped.iter().all(|p| p.speed_mps > 16.0) && !slipped.is_empty());
        // 1500 kg, 1.1, 4 m/s² at 8.94 m/s: 6.6 kN of inertia, 31 N of air, 177 N of rolling.
        assert!((clean[0].power_w - 60_870.0).abs() < 100.0, "{:?}", clean[0]);
        assert!(clean[0].plus_minus_w > 0.04 * clean[0].power_w);
    }
}
