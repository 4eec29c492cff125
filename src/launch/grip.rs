//! What tyres can give: the acceleration beyond which no car of this kind goes.
//!
//! In: the [`Car`] as far as known. Out: an acceleration in m/s², and the shortest
//! time to a speed that follows from it.
//!
//! Source: moment balance over the axles; friction of road tyres up to 1.1, semi-
//! slicks 1.3, soft drag tyres on a prepared strip 2.0 (common practice, no source).

use super::{Car, Drive, Tyres};
use crate::unit::STANDARD_GRAVITY;

/// Centre-of-gravity height over wheelbase, and static front share, where unknown
/// (common practice, no source).
const HEIGHT_OVER_WHEELBASE: f64 = 0.20;
const FRONT_SHARE: f64 = 0.55;
/// The geometry is assumed, so the limit is widened by this.
const WIDENED: f64 = 1.2;

/// Traction limit of an axle layout, in units of g, before any widening.
///
/// `front_share` is the static front weight share, `height` the centre of gravity's
/// height over the wheelbase. Load moves to the rear under acceleration.
pub fn traction_g(friction: f64, drive: Drive, front_share: f64, height: f64) -> f64 {
    match drive {
        Drive::All => friction,
        Drive::Rear => friction * (1.0 - front_share) / (1.0 - friction * height),
        Drive::Front => friction * front_share / (1.0 + friction * height),
    }
}

/// The friction assumed for tyres; road tyres where nothing is known.
pub fn friction(tyres: Option<Tyres>) -> f64 {
    match tyres {
        None | Some(Tyres::Road) => 1.1,
        Some(Tyres::SemiSlick) => 1.3,
        Some(Tyres::Drag) => 2.0,
    }
}

/// The acceleration beyond which the logged speed cannot be the car's, m/s².
/// An unknown layout is taken as all-wheel drive, which can do most.
pub fn limit_mps2(car: &Car) -> f64 {
    let drive = car.drive.unwrap_or(Drive::All);
    let share = traction_g(friction(car.tyres), drive, FRONT_SHARE, HEIGHT_OVER_WHEELBASE);
    WIDENED * share * STANDARD_GRAVITY
}

/// No car on these tyres reaches `speed_mps` from rest in less than this.
pub fn shortest_s(car: &Car, speed_mps: f64) -> f64 {
    speed_mps / limit_mps2(car)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: moment balance worked by hand with 55 % static front, h 0.50 m, L 2.70 m;
    /// five printed digits.
    #[test]
    fn traction_limits_agree_with_the_moment_balance() {
        let rows = [
            (0.8, 0.42261, 0.38323, 0.80),
            (1.0, 0.55227, 0.46406, 1.00),
            (1.2, 0.69429, 0.54000, 1.20),
        ];
        for (friction, rear, front, all) in rows {
            for (drive, published) in
                [(Drive::Rear, rear), (Drive::Front, front), (Drive::All, all)]
            {
                let ours = traction_g(friction, drive, 0.55, 0.5 / 2.7);
                assert!((ours - published).abs() < 1e-5, "{friction} {drive:?}: {ours}");
            }
        }
    }

    /// A 0-60 mph in 2.2 s needs a mean of 1.24 g (common practice, no source): on
    /// road tyres no rear- or front-driven car has it, and hardly an all-wheel one.
    #[test]
    fn a_launch_of_two_seconds_is_beyond_two_driven_wheels() {
        for drive in [Drive::Front, Drive::Rear] {
            let car = Car { drive: Some(drive), ..Car::default() };
            assert!(shortest_s(&car, 26.8224) > 2.2, "{drive:?}: {}", shortest_s(&car, 26.8224));
        }
        assert!(shortest_s(&Car::default(), 26.8224) > 2.0);
    }
}
