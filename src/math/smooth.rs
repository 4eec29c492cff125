//! Smoothing and slopes: on even stamps, on uneven ones, and by penalty.
//!
//! In: finite values in order of time. Out: as many values, or weights. Ends are
//! fitted one-sided, never padded; every smoother says what it does to noise.

use super::fit::least_squares;

/// Weights of a Savitzky-Golay filter, to be summed with the values of the window.
///
/// `points` values at even steps, a polynomial of `degree`, its `derivative` (0 for
/// the value) at place `at` from 0; divide by step^derivative. `None` if the degree
/// needs more points, or the derivative a higher degree.
/// Source: Savitzky & Golay 1964. Checked in `tests/reference/smoothing.rs`.
pub fn savitzky_golay(
    points: usize,
    degree: usize,
    derivative: usize,
    at: usize,
) -> Option<Vec<f64>> {
    if points <= degree || derivative > degree || at >= points {
        return None;
    }
    let rows: Vec<f64> = (0..points)
        .flat_map(|i| (0..=degree).map(move |power| (i as f64 - at as f64).powi(power as i32)))
        .collect();
    let factorial: f64 = (1..=derivative).map(|i| i as f64).product();
    let weight = |point: usize| {
        let unit: Vec<f64> = (0..points).map(|i| f64::from(u8::from(i == point))).collect();
        Some(factorial * least_squares(&rows, degree + 1, &unit)?.coefficient[derivative])
    };
    (0..points).map(weight).collect()
}

/// Value and slope of a local polynomial fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Local {
    pub value: f64,
    pub slope: f64,
    /// Standard deviation of value and slope per unit of the readings' own.
    pub value_gain: f64,
    pub slope_gain: f64,
    /// Readings in the window.
    pub points: usize,
}

/// Least squares through the readings within `reach` of `at`, on their true stamps.
///
/// Shapes: `x[n]` rising, `y[n]`, finite. A polynomial of `degree` about `at`, so
/// ends are one-sided fits. `None` when the window holds no more than `degree`
/// readings. Weights fall off as (1 − u³)³, so that a reading that enters the window
/// moves nothing. Source: Cleveland 1979.
pub fn local_fit(x: &[f64], y: &[f64], at: f64, reach: f64, degree: usize) -> Option<Local> {
    assert_eq!(x.len(), y.len(), "x and y are columns of one table");
    let from = x.partition_point(|&x| x <= at - reach);
    let to = x.partition_point(|&x| x < at + reach).max(from);
    let columns = degree.max(1) + 1;
    let (mut rows, mut right) = (Vec::new(), Vec::new());
    let mut weights = Vec::new();
    for (&x, &y) in x[from..to].iter().zip(&y[from..to]) {
        let u = (x - at) / reach;
        let cube = 1.0 - (u * u * u).abs();
        let weight = (cube * cube * cube).sqrt();
        rows.extend((0..columns).map(|power| weight * u.powi(power as i32)));
        right.push(weight * y);
        weights.push(weight);
    }
    let fit = least_squares(&rows, columns, &right)?;
    let gain = |column: usize| noise_gain(&rows, &weights, &fit.unscaled_covariance, column);
    Some(Local {
        value: fit.coefficient[0],
        slope: fit.coefficient[1] / reach,
        value_gain: gain(0),
        slope_gain: gain(1) / reach,
        points: to - from,
    })
}

/// Standard deviation of one coefficient when every reading has that of 1: the
/// weights shape the estimate, they do not say that a far reading is worse.
fn noise_gain(rows: &[f64], weights: &[f64], inverse: &[f64], column: usize) -> f64 {
    let k = inverse.len().isqrt();
    let share = |(row, weight): (&[f64], &f64)| {
        weight * row.iter().zip(&inverse[column * k..]).map(|(x, i)| x * i).sum::<f64>()
    };
    rows.chunks(k).zip(weights).map(share).map(|s| s * s).sum::<f64>().sqrt()
}

/// Whittaker's smoother on even stamps: least squares plus `lambda` times the
/// squared differences of `order`.
///
/// Shapes: `y[n]`, `weight[n]` ≥ 0 (0 leaves a gap that the smoother bridges).
/// `None` when fewer than `order + 1` weights are positive or `lambda` is not.
/// Banded Cholesky, O(n order²). Source: Whittaker 1923; Eilers 2003. Checked in
/// `tests/reference/smoothing.rs`.
pub fn whittaker(y: &[f64], weight: &[f64], lambda: f64, order: usize) -> Option<Vec<f64>> {
    assert_eq!(y.len(), weight.len(), "y and weight are columns of one table");
    if weight.iter().filter(|&&w| w > 0.0).count() <= order || lambda <= 0.0 {
        return None;
    }
    let mut band = penalty(y.len(), lambda, order);
    for (row, weight) in band.iter_mut().zip(weight) {
        row[0] += weight;
    }
    let right: Vec<f64> = y.iter().zip(weight).map(|(y, w)| y * w).collect();
    solve_banded(band, right)
}

/// Half-gain frequency of [`whittaker`] with order 2, as a share of the sample rate:
/// lambda (2 sin(πf))⁴ = 1. `None` where even the highest frequency passes.
pub fn whittaker_half_gain(lambda: f64) -> Option<f64> {
    let half_sine = 0.5 / lambda.sqrt().sqrt();
    (half_sine < 1.0).then(|| libm::asin(half_sine) / core::f64::consts::PI)
}

/// Lower band of lambda DᵀD: `band[i][d]` stands at row i, column i − d.
fn penalty(n: usize, lambda: f64, order: usize) -> Vec<Vec<f64>> {
    let mut difference = vec![1.0];
    for _ in 0..order {
        let mut next = vec![0.0; difference.len() + 1];
        for (at, value) in difference.iter().enumerate() {
            next[at] -= value;
            next[at + 1] += value;
        }
        difference = next;
    }
    let mut band = vec![vec![0.0; order + 1]; n];
    for start in 0..n.saturating_sub(order) {
        for i in 0..=order {
            for j in 0..=i {
                band[start + i][i - j] += lambda * difference[i] * difference[j];
            }
        }
    }
    band
}

/// Solves A z = b for a symmetric positive definite band, by Cholesky L D Lᵀ.
fn solve_banded(mut band: Vec<Vec<f64>>, mut z: Vec<f64>) -> Option<Vec<f64>> {
    let n = band.len();
    let width = band.first().map_or(0, |row| row.len() - 1);
    for i in 0..n {
        for d in (1..=width.min(i)).rev() {
            let j = i - d;
            let known: f64 = (j.saturating_sub(width).max(i.saturating_sub(width))..j)
                .map(|m| band[i][i - m] * band[j][j - m] * band[m][0])
                .sum();
            band[i][d] = (band[i][d] - known) / band[j][0];
        }
        let known: f64 = (1..=width.min(i)).map(|d| band[i][d] * band[i][d] * band[i - d][0]).sum();
        band[i][0] -= known;
        if band[i][0] <= 0.0 {
            return None;
        }
        z[i] -= (1..=width.min(i)).map(|d| band[i][d] * z[i - d]).sum::<f64>();
    }
    for i in (0..n).rev() {
        let above: f64 = (1..=width.min(n - 1 - i)).map(|d| band[i + d][d] * z[i + d]).sum();
        z[i] = z[i] / band[i][0] - above;
    }
    Some(z)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_without_enough_readings_has_no_slope() {
        assert_eq!(local_fit(&[0.0, 1.0, 9.0], &[1.0, 2.0, 3.0], 0.5, 1.0, 2), None);
    }

    #[test]
    fn a_parabola_on_uneven_stamps_keeps_value_and_slope_up_to_the_end() {
        let x = [0.0, 0.1, 0.35, 0.4, 0.8, 1.1, 1.15, 1.6, 2.0];
        let y: Vec<f64> = x.iter().map(|x| 1.0 + 2.0 * x - 3.0 * x * x).collect();
        for at in [0.0, 0.9, 2.0] {
            let fit = local_fit(&x, &y, at, 1.2, 2).expect("enough readings");
            assert!((fit.value - (1.0 + 2.0 * at - 3.0 * at * at)).abs() < 1e-10);
            assert!((fit.slope - (2.0 - 6.0 * at)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_gap_is_bridged_by_the_straight_line_that_costs_nothing() {
        let y = [1.0, 2.0, -77.0, 4.0, 5.0];
        let z = whittaker(&y, &[1.0, 1.0, 0.0, 1.0, 1.0], 5.0, 2).expect("four readings");
        for (place, z) in z.iter().enumerate() {
            assert!((z - (place as f64 + 1.0)).abs() < 1e-9);
        }
    }
}
