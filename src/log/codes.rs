//! Numbers that stand for no reading: `-9999`, `65535`, `16383.75`, and their like.
//!
//! In: the values of a channel as written. Out: the number that its writer put where
//! there was nothing to write, if any. Only numbers that are used so by habit, or that
//! have all bits set, times a plain factor; and only where they stand alone: far from
//! everything else the channel reads, or left and entered by a jump that it makes nowhere
//! else. Such a value inside the range of the others is a reading.

use super::{Role, roles};
use crate::math::ends::ends;
use crate::unit::Quantity;

/// Numbers of nothing: nines, and the last numbers of two and four bytes.
const CODES: [f64; 20] = [
    -999.0,
    -999.9,
    -999.99,
    -9999.0,
    -99999.0,
    -999999.0,
    999.9,
    9999.0,
    9999.9,
    99999.0,
    999999.0,
    32767.0,
    -32768.0,
    65534.0,
    65535.0,
    2147483647.0,
    -2147483648.0,
    4294967295.0,
    1e20,
    1e30,
];
/// The last numbers of four and of eight bytes, however many digits of them were written.
fn is_largest(value: f64) -> bool {
    let last = [f64::from(f32::MAX), f64::MAX];
    last.iter().any(|last| (value.abs() / last - 1.0).abs() < 1e-4)
}

/// How many times the range of all other readings such a number lies away from them.
const FAR: f64 = 3.0;

/// Counts with all their bits set, and the factors they are met with. The fewer the bits,
/// the likelier a reading hits one: fewer factors are believed.
const ALL_SET: [(&[f64], &[f64]); 3] = [
    (&[255.0], &[1.0, 0.5, 0.1, 0.01]),
    (&[1023.0, 4095.0, 16383.0], &[1.0, 0.5, 0.25, 0.1, 0.01, 0.001]),
    (
        &[32767.0, 65535.0, -32768.0, 2147483647.0, -2147483648.0, 4294967295.0],
        &[
            1.0, 0.5, 0.25, 0.125, 0.1, 0.0625, 0.05, 0.03125, 0.02, 0.015625, 0.01, 0.0078125,
            0.005, 0.00390625, 0.001, 1e-4, 1e-6, 1e-7,
        ],
    ),
];
/// Ends of the byte that holds a temperature (SAE J1979, parameters 05, 0F, 46), °C.
const ENDS_OF_HEAT: [f64; 2] = [-40.0, 215.0];
/// A jump so many times the largest step between readings is none of the car's.
const JUMP: f64 = 3.0;
/// Fewest readings that show how a channel moves.
const FEWEST: usize = 8;

/// The number that stands for no reading. `None` where all of them are readings.
pub fn nothing(values: &[f64], role: Option<Role>) -> Option<f64> {
    let (lowest, highest) = ends(values)?;
    let quantity = role.map(roles::quantity_of);
    let is_heat = quantity == Some(Quantity::Temperature);
    let is_speed = quantity == Some(Quantity::Speed);
    [lowest, highest].into_iter().find(|&end| {
        let is_code =
            CODES.contains(&end) || is_largest(end) || is_heat && ENDS_OF_HEAT.contains(&end);
        is_code && is_far(values, end)
            || (is_code || is_all_set(end)) && stands_alone(values, end)
            || is_speed && end == -1.0 && is_only_one_below_zero(values, end)
    })
}

fn is_all_set(value: f64) -> bool {
    let is = |count: f64, factor: f64| (value - count * factor).abs() <= 1e-9 * value.abs();
    ALL_SET
        .iter()
        .any(|(counts, factors)| counts.iter().any(|count| factors.iter().any(|f| is(*count, *f))))
}

/// Far from all others, measured by their range.
fn is_far(values: &[f64], code: f64) -> bool {
    let others: Vec<f64> = values.iter().copied().filter(|value| *value != code).collect();
    ends(&others).is_some_and(|(low, high)| {
        let away = (low - code).max(code - high);
        away > FAR * (high - low) && away > 0.5 * code.abs()
    })
}

/// Entered and left by jumps only, each far larger than any step between other readings.
fn stands_alone(values: &[f64], code: f64) -> bool {
    let (mut least_jump, mut largest_step, mut steps) = (f64::INFINITY, 0.0f64, 0);
    for pair in values.windows(2) {
        let step = (pair[1] - pair[0]).abs();
        match (pair[0] == code, pair[1] == code) {
            (true, true) => {}
            (false, false) => {
                largest_step = largest_step.max(step);
                steps += usize::from(step > 0.0);
            }
            _ => least_jump = least_jump.min(step),
        }
    }
    // A switch between nothing and all has no other steps.
    steps >= FEWEST && least_jump.is_finite() && least_jump > JUMP * largest_step
}

/// What receivers and phones write for a speed they do not have. A car that rolls back,
/// and a receiver's noise, pass other values below zero as well.
fn is_only_one_below_zero(values: &[f64], code: f64) -> bool {
    let others = || values.iter().filter(|value| **value != code);
    others().all(|value| *value >= 0.0) && others().filter(|v| **v > 0.0).count() >= FEWEST
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_of_nothing_lies_far_from_all_readings() {
        assert_eq!(nothing(&[88.0, 88.5, -9999.0, 90.0], None), Some(-9999.0));
        assert_eq!(nothing(&[0.0, 50.0, 65535.0, 120.0], None), Some(65535.0));
        // An engine may well turn at 9999 rpm on its way to 11 000.
        for values in [&[800.0, 9000.0, 9999.0][..], &[800.0, 9999.0, 11e3], &[-9999.0; 3], &[]] {
            assert_eq!(nothing(values, None), None, "{values:?}");
        }
    }

    #[test]
    fn all_bits_set_are_nothing_where_the_channel_jumps_there_and_back() {
        // Up by 25 a reading from 100, with a number put in the places of three.
        let with = |code: f64| -> Vec<f64> {
            let value =
                |n: usize| if (20..23).contains(&n) { code } else { 100.0 + 25.0 * n as f64 };
            (0..60).map(value).collect()
        };
        for code in [16383.75, 6553.5, 3276.7, 8191.875, 4095.0, 32767.0, -327.68] {
            assert_eq!(nothing(&with(code), None), Some(code), "{code}");
        }
        // Not all bits set; and as far from its neighbours as those from theirs.
        assert_eq!(nothing(&with(16000.0), None), None);
        let pressure: Vec<f64> = [100.0, 140.0, 190.0, 255.0, 255.0, 200.0, 150.0, 110.0].repeat(9);
        assert_eq!(nothing(&pressure, Some(Role::ManifoldPressure)), None);
        // A switch.
        assert_eq!(nothing(&[0.0, 0.0, 255.0, 255.0, 0.0].repeat(9), None), None);
        let warm: Vec<f64> =
            (0..60).map(|n| if n == 30 { -40.0 } else { 20.0 + f64::from(n) }).collect();
        assert_eq!(nothing(&warm, Some(Role::InletAir)), Some(-40.0));
        assert_eq!(nothing(&warm, None), None);
    }

    #[test]
    fn minus_one_is_no_speed_where_nothing_else_is_below_zero() {
        let speed = |below: &[f64]| -> Vec<f64> {
            below.iter().copied().chain((0..20).map(|n| 0.7 * f64::from(n))).collect()
        };
        assert_eq!(nothing(&speed(&[-1.0, -1.0]), Some(Role::SatelliteSpeed)), Some(-1.0));
        assert_eq!(nothing(&speed(&[-1.0, -0.4]), Some(Role::SatelliteSpeed)), None);
        assert_eq!(nothing(&speed(&[-1.0]), Some(Role::LongitudinalAcceleration)), None);
    }
}
