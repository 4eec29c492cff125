//! The least and the greatest of many numbers.

/// Numbers looked at side by side: no comparison waits for the one before.
const LANES: usize = 8;

/// The least and the greatest; `None` where there is none. Numbers that are none (NaN)
/// count for nothing.
///
/// A function of its own and never part of another: a browser's better compiler comes
/// to what is called again, and each log has many columns.
#[inline(never)]
pub fn ends(values: &[f64]) -> Option<(f64, f64)> {
    let (mut low, mut high) = ([f64::INFINITY; LANES], [f64::NEG_INFINITY; LANES]);
    let (parts, rest) = values.as_chunks::<LANES>();
    for part in parts {
        for ((value, low), high) in part.iter().zip(&mut low).zip(&mut high) {
            *low = lesser(*low, *value);
            *high = greater(*high, *value);
        }
    }
    let low = low.iter().chain(rest).copied().fold(f64::INFINITY, lesser);
    let high = high.iter().chain(rest).copied().fold(f64::NEG_INFINITY, greater);
    (low <= high).then_some((low, high))
}

// `f64::min` and its like ask a library in WebAssembly, number by number.

#[inline(always)]
fn lesser(best: f64, value: f64) -> f64 {
    if value < best { value } else { best }
}

#[inline(always)]
fn greater(best: f64, value: f64) -> f64 {
    if value > best { value } else { best }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_ends_are_those_of_the_sorted_numbers(mut values in prop::collection::vec(-1e9..1e9f64, 0..40), gap in 0..40usize) {
            let mut given = values.clone();
            given.insert(gap.min(given.len()), f64::NAN);
            values.sort_by(f64::total_cmp);
            prop_assert_eq!(ends(&given), values.first().copied().zip(values.last().copied()));
        }
    }
}
