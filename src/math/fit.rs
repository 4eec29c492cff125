//! Least squares: a straight line, and a small dense problem with its covariance.
//!
//! In: finite columns of one table. Out: coefficients, what is left over, and how
//! sure they are. A problem without an answer (too few rows, dependent columns)
//! gives `None`; nothing is regularised in silence.

/// `y = intercept + slope * x` with standard errors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    pub intercept: f64,
    pub slope: f64,
    pub slope_se: f64,
    /// Standard deviation of the residuals, n − 2 degrees of freedom.
    pub residual_sd: f64,
    pub mean_x: f64,
    pub n: usize,
}

impl Line {
    /// The line's value.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }

    /// Standard error of the line's value, not of a new reading.
    pub fn se_at(&self, x: f64) -> f64 {
        let level = self.residual_sd * self.residual_sd / self.n as f64;
        let tilt = self.slope_se * (x - self.mean_x);
        (level + tilt * tilt).sqrt()
    }
}

/// Fits `y = intercept + slope * x` by ordinary least squares.
///
/// Shapes: `x[n]`, `y[n]`, finite. Units: any; `slope` and its standard error are
/// in y per x. `None` where they mean nothing: n < 3, or all x equal.
///
/// Sums run about the means, so clock-sized x (1e9 s) keep their digits.
/// Source: Draper & Smith, Applied Regression Analysis (1998), ch. 1. Checked
/// against NIST StRD "Norris" in `tests/reference/statistics.rs`.
pub fn fit_line(x: &[f64], y: &[f64]) -> Option<Line> {
    assert_eq!(x.len(), y.len(), "x and y are columns of one table");
    let n = x.len() as f64;
    let (mx, my) = (x.iter().sum::<f64>() / n, y.iter().sum::<f64>() / n);
    let sxx: f64 = x.iter().map(|x| (x - mx) * (x - mx)).sum();
    if x.len() < 3 || sxx == 0.0 {
        return None;
    }
    let slope = x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum::<f64>() / sxx;
    let residual = |(x, y): (&f64, &f64)| y - my - slope * (x - mx);
    let rss: f64 = x.iter().zip(y).map(residual).map(|r| r * r).sum();
    let variance = rss / (n - 2.0);
    Some(Line {
        intercept: my - slope * mx,
        slope,
        slope_se: (variance / sxx).sqrt(),
        residual_sd: variance.sqrt(),
        mean_x: mx,
        n: x.len(),
    })
}

/// The answer of [`least_squares`] for k columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// One a column.
    pub coefficient: Vec<f64>,
    /// Inverse of XᵀX, k × k by rows. Times the residual variance it is the covariance.
    pub unscaled_covariance: Vec<f64>,
    /// Sum of squared residuals (weighted, if the rows were).
    pub rss: f64,
    /// Rows less columns.
    pub df: usize,
}

impl Solution {
    /// Residual variance; `None` without a degree of freedom.
    pub fn variance(&self) -> Option<f64> {
        (self.df > 0).then(|| self.rss / self.df as f64)
    }

    /// Standard error of one coefficient from the residuals.
    pub fn se(&self, column: usize) -> Option<f64> {
        let k = self.coefficient.len();
        Some((self.variance()? * self.unscaled_covariance[column * k + column]).sqrt())
    }
}

/// Solves `min |X b − y|²` by Householder QR.
///
/// Shapes: `rows` is n × `columns` by rows, `y[n]`, finite; for weighted problems
/// scale both by the square root of the weight. `None` when there are fewer rows
/// than columns or a column depends on the others (to 1e-12 of its length).
///
/// QR keeps the digits that the normal equations square away.
/// Source: Golub & Van Loan, Matrix Computations (2013), 5.3.2.
pub fn least_squares(rows: &[f64], columns: usize, y: &[f64]) -> Option<Solution> {
    let (n, k) = (y.len(), columns);
    assert_eq!(rows.len(), n * k, "rows hold n times k values");
    if k == 0 || n < k {
        return None;
    }
    let mut x = rows.to_vec();
    let mut y = y.to_vec();
    for column in 0..k {
        reflect(&mut x, &mut y, k, column)?;
    }
    let inverse = invert_upper(&x, k);
    let coefficient =
        (0..k).map(|i| (i..k).map(|j| inverse[i * k + j] * y[j]).sum::<f64>()).collect();
    let unscaled_covariance = (0..k * k)
        .map(|at| (0..k).map(|m| inverse[at / k * k + m] * inverse[at % k * k + m]).sum())
        .collect();
    let rss = y[k..].iter().map(|r| r * r).sum();
    Some(Solution { coefficient, unscaled_covariance, rss, df: n - k })
}

/// Turns one column into a multiple of the unit vector by a Householder reflection
/// of the rows from `column` down, and takes the right-hand side along.
fn reflect(x: &mut [f64], y: &mut [f64], k: usize, column: usize) -> Option<()> {
    let n = y.len();
    let length = |from: usize, x: &[f64]| {
        (from..n).map(|i| x[i * k + column] * x[i * k + column]).sum::<f64>().sqrt()
    };
    let (whole, below) = (length(0, x), length(column, x));
    if below <= 1e-12 * whole || whole == 0.0 {
        return None;
    }
    let pivot = x[column * k + column];
    let turned = if pivot > 0.0 { -below } else { below };
    let mut v: Vec<f64> = (column..n).map(|i| x[i * k + column]).collect();
    v[0] -= turned;
    let scale = 2.0 / v.iter().map(|v| v * v).sum::<f64>();
    for j in column..k {
        let dot: f64 = v.iter().enumerate().map(|(i, v)| v * x[(column + i) * k + j]).sum();
        for (i, v) in v.iter().enumerate() {
            x[(column + i) * k + j] -= scale * dot * v;
        }
    }
    let dot: f64 = v.iter().zip(&y[column..]).map(|(v, y)| v * y).sum();
    for (v, y) in v.iter().zip(&mut y[column..]) {
        *y -= scale * dot * v;
    }
    Some(())
}

/// Inverse of the upper triangle in the first k rows.
fn invert_upper(r: &[f64], k: usize) -> Vec<f64> {
    let mut inverse = vec![0.0; k * k];
    for j in 0..k {
        inverse[j * k + j] = 1.0 / r[j * k + j];
        for i in (0..j).rev() {
            let sum: f64 = (i + 1..=j).map(|m| r[i * k + m] * inverse[m * k + j]).sum();
            inverse[i * k + j] = -sum / r[i * k + i];
        }
    }
    inverse
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_points_or_one_place_give_no_line() {
        assert_eq!(fit_line(&[1.0, 2.0], &[1.0, 2.0]), None);
        assert_eq!(fit_line(&[5.0; 4], &[1.0, 2.0, 3.0, 4.0]), None);
    }

    #[test]
    fn dependent_columns_have_no_answer() {
        let rows = [1.0, 2.0, 1.0, 2.0, 1.0, 2.0];
        assert_eq!(least_squares(&rows, 2, &[1.0, 2.0, 3.0]), None);
    }

    #[test]
    fn a_plane_through_its_own_points_leaves_nothing_over() {
        let rows: Vec<f64> = (0..5).flat_map(|i| [1.0, f64::from(i), f64::from(i * i)]).collect();
        let y: Vec<f64> = (0..5).map(f64::from).map(|i| 2.0 - 3.0 * i + 0.5 * i * i).collect();

        let fit = least_squares(&rows, 3, &y).expect("independent columns");

        for (found, meant) in fit.coefficient.iter().zip([2.0, -3.0, 0.5]) {
            assert!((found - meant).abs() < 1e-12, "{found} for {meant}");
        }
        assert!(fit.rss < 1e-24 && fit.df == 2);
    }
}
