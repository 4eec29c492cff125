//! Numbers that stand for no reading: `-9999`, `65535`, and their like.
//!
//! In: the values of a channel as written. Out: the number that its writer put where
//! there was nothing to write, if any. Only numbers that are used so by habit, and only
//! where they lie far from everything else the channel reads: such a value inside the
//! range of the others is a reading.

use crate::math::ends::ends;

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
/// How many times the range of all other readings such a number lies away from them.
const FAR: f64 = 3.0;

/// The number that stands for no reading. `None` where all of them are readings.
pub fn nothing(values: &[f64]) -> Option<f64> {
    let (lowest, highest) = ends(values)?;
    [lowest, highest].into_iter().filter(|end| CODES.contains(end)).find(|code| {
        let others: Vec<f64> = values.iter().copied().filter(|value| value != code).collect();
        ends(&others).is_some_and(|(low, high)| {
            let away = (low - code).max(code - high);
            away > FAR * (high - low) && away > 0.5 * code.abs()
        })
    })
}

#[cfg(test)]
mod tests {
    use super::nothing;

    #[test]
    fn a_number_of_nothing_lies_far_from_all_readings() {
        assert_eq!(nothing(&[88.0, 88.5, -9999.0, 90.0]), Some(-9999.0));
        assert_eq!(nothing(&[0.0, 50.0, 65535.0, 120.0]), Some(65535.0));
        // An engine may well turn at 9999 rpm on its way to 11 000.
        for values in [&[800.0, 9000.0, 9999.0][..], &[800.0, 9999.0, 11e3], &[-9999.0; 3], &[]] {
            assert_eq!(nothing(values), None, "{values:?}");
        }
    }
}
