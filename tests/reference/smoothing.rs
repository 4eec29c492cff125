//! Smoothers and robust levels against their published tables.

use crate::support::near;
use pullmark::math::robust::{MAD_TO_SD, median, spread};
use pullmark::math::smooth::{savitzky_golay, whittaker, whittaker_half_gain};

/// Source: Savitzky & Golay 1964, tables; recomputed with scipy 1.17.1
/// `savgol_coeffs`. The published weights are whole numbers over a norm, so the
/// tolerance is that of the arithmetic.
#[test]
fn savitzky_golay_weights_are_the_published_whole_numbers() {
    let rows: [(usize, usize, &[f64], f64); 12] = [
        (2, 0, &[-3., 12., 17., 12., -3.], 35.0),
        (2, 0, &[-2., 3., 6., 7., 6., 3., -2.], 21.0),
        (2, 0, &[-21., 14., 39., 54., 59., 54., 39., 14., -21.], 231.0),
        (2, 1, &[-2., -1., 0., 1., 2.], 10.0),
        (2, 1, &[-3., -2., -1., 0., 1., 2., 3.], 28.0),
        (2, 1, &[-4., -3., -2., -1., 0., 1., 2., 3., 4.], 60.0),
        (4, 1, &[1., -8., 0., 8., -1.], 12.0),
        (4, 1, &[22., -67., -58., 0., 58., 67., -22.], 252.0),
        (4, 1, &[86., -142., -193., -126., 0., 126., 193., 142., -86.], 1188.0),
        (2, 2, &[2., -1., -2., -1., 2.], 7.0),
        (2, 2, &[5., 0., -3., -4., -3., 0., 5.], 42.0),
        (2, 2, &[28., 7., -8., -17., -20., -17., -8., 7., 28.], 462.0),
    ];
    for (degree, derivative, published, norm) in rows {
        let points = published.len();
        let ours = savitzky_golay(points, degree, derivative, points / 2).expect("a filter");
        for (ours, published) in ours.iter().zip(published) {
            near("weight", ours * norm, *published, 1e-9);
        }
    }
}

/// Source: sqrt(12/(m(m²−1))), the noise of a slope over m even points; and a
/// parabola, whose slope a quadratic filter must give exactly.
#[test]
fn the_slope_filter_has_the_known_noise_and_is_exact_on_a_parabola() {
    for (points, published) in [(5, 0.316_228), (7, 0.188_982), (9, 0.129_099)] {
        let weights = savitzky_golay(points, 2, 1, points / 2).expect("a filter");
        near("gain", weights.iter().map(|w| w * w).sum::<f64>().sqrt(), published, 1e-6);
    }
    let squares = [1.0, 4.0, 9.0, 16.0, 25.0, 36.0, 49.0];
    let weights = savitzky_golay(7, 2, 1, 3).expect("a filter");
    near("slope", weights.iter().zip(squares).map(|(w, y)| w * y).sum(), 8.0, 1e-9);
}

/// Source: (I + λDᵀD)⁻¹y solved densely with numpy 2.4.6; five digits printed.
#[test]
fn whittaker_solves_its_published_system() {
    let y = [0., 0., 1., 0., 0., 5., 5., 6., 5., 5.];
    let second =
        [-0.51804, 0.02260, 0.61504, 1.30884, 2.19202, 3.22174, 4.13596, 4.85045, 5.36742, 5.80398];
    let first =
        [1.17434, 1.29177, 1.53838, 1.83883, 2.32316, 3.03981, 3.56044, 3.93712, 4.10750, 4.18864];
    for (order, published) in [(2, second), (1, first)] {
        let ours = whittaker(&y, &[1.0; 10], 10.0, order).expect("ten weights");
        for (ours, published) in ours.iter().zip(published) {
            near("smoothed", *ours, published, 1e-5);
        }
    }
}

/// Source: λ(2 sin(ω/2))⁴ = 1, solved with numpy 2.4.6.
#[test]
fn whittaker_halves_the_frequency_it_should() {
    for (lambda, published) in [(10.0, 0.090_723), (1e3, 0.028_340), (1e5, 0.008_951)] {
        near("half gain", whittaker_half_gain(lambda).expect("below half"), published, 1e-6);
    }
}

/// Source: 1.4826 = 1/Φ⁻¹(0.75), Φ⁻¹ from scipy 1.17.1.
#[test]
fn robust_level_and_spread_ignore_the_wild_reading() {
    let values = [2.0, 3.0, 3.0, 4.0, 50.0];
    near("median", median(&values).expect("five"), 3.0, 1e-12);
    near("spread", spread(&values).expect("five"), 1.4826, 1e-4);
    near("scale", MAD_TO_SD, 1.4826, 1e-4);
}
