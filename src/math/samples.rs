//! Two small samples against each other, and several questions at once.
//!
//! In: finite values, one a replicate. Out: a [`Difference`] with its 95 % interval by
//! Student's t, exact permutation probabilities, Holm's adjustment, an effect with one
//! covariate held equal. `None` wherever a sample is too small to speak.
//!
//! Never: a normal quantile in place of t. Checked in `tests/reference/statistics.rs`.

use super::fit::least_squares;
use super::student::{t95, two_sided_p};

/// A difference with what is needed to judge it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    pub value: f64,
    pub se: f64,
    pub df: f64,
}

impl Difference {
    pub fn t(&self) -> f64 {
        self.value / self.se
    }

    /// Two-sided probability of as much by chance; 1 when nothing differs or varies.
    pub fn p(&self) -> f64 {
        if self.value == 0.0 { 1.0 } else { two_sided_p(self.t(), self.df) }
    }

    /// Half of the 95 % interval; `None` without a degree of freedom.
    pub fn half_width(&self) -> Option<f64> {
        Some(t95(self.df)? * self.se)
    }
}

pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Sample variance, n − 1; `None` below two values.
pub fn variance(values: &[f64]) -> Option<f64> {
    let mean = mean(values)?;
    let squares: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
    (values.len() > 1).then(|| squares / (values.len() - 1) as f64)
}

/// `b` minus `a` with spreads of their own. Source: Welch 1947.
pub fn welch(a: &[f64], b: &[f64]) -> Option<Difference> {
    let (na, nb) = (a.len() as f64, b.len() as f64);
    let (va, vb) = (variance(a)? / na, variance(b)? / nb);
    let df = (va + vb) * (va + vb) / (va * va / (na - 1.0) + vb * vb / (nb - 1.0));
    let df = if df.is_finite() { df } else { na + nb - 2.0 };
    Some(Difference { value: mean(b)? - mean(a)?, se: (va + vb).sqrt(), df })
}

/// `b` minus `a`, value by value. Source: Student 1908.
pub fn paired(a: &[f64], b: &[f64]) -> Option<Difference> {
    assert_eq!(a.len(), b.len(), "pairs have two halves");
    let apart: Vec<f64> = a.iter().zip(b).map(|(a, b)| b - a).collect();
    let n = apart.len() as f64;
    Some(Difference { value: mean(&apart)?, se: (variance(&apart)? / n).sqrt(), df: n - 1.0 })
}

/// Standard deviation within groups, and its degrees of freedom, from each group's own
/// (sd, n). `None` when no group has two values.
pub fn pooled_sd(groups: &[(f64, usize)]) -> Option<(f64, usize)> {
    let df: usize = groups.iter().map(|(_, n)| n.saturating_sub(1)).sum();
    let squares: f64 = groups.iter().map(|(sd, n)| sd * sd * n.saturating_sub(1) as f64).sum();
    (df > 0).then(|| ((squares / df as f64).sqrt(), df))
}

/// The smallest two-sided p that flipping the signs of n differences can give: 2/2ⁿ.
pub fn sign_flip_floor(n: u32) -> f64 {
    2.0 / 2f64.powi(n as i32)
}

/// The smallest two-sided p that regrouping two samples can give: 2/C(a+b, a).
pub fn regroup_floor(a: u32, b: u32) -> f64 {
    let ways = (1..=a).fold(1.0, |ways, i| ways * f64::from(b + i) / f64::from(i));
    2.0 / ways
}

/// Exact two-sided p of regrouping all values: the share of groupings whose means
/// differ at least as much. `None` for an empty sample or above 20 values (10⁵ ways).
/// Source: Fisher 1935.
pub fn regroup_p(a: &[f64], b: &[f64]) -> Option<f64> {
    let all: Vec<f64> = a.iter().chain(b).copied().collect();
    if a.is_empty() || b.is_empty() || all.len() > 20 {
        return None;
    }
    let total: f64 = all.iter().sum();
    let apart = |sum: f64| (sum / a.len() as f64 - (total - sum) / b.len() as f64).abs();
    let found = apart(a.iter().sum());
    let (mut ways, mut as_far) = (0_u32, 0_u32);
    for group in 0_u32..1 << all.len() {
        if group.count_ones() as usize == a.len() {
            let chosen = all.iter().enumerate().filter(|(i, _)| group >> i & 1 == 1);
            ways += 1;
            as_far += u32::from(apart(chosen.map(|(_, v)| v).sum()) >= found * (1.0 - 1e-12));
        }
    }
    Some(f64::from(as_far) / f64::from(ways))
}

/// Holm's adjusted probabilities, in the order given: each may be held against 5 %
/// while all together are wrong at most 5 % of the time. Source: Holm 1979.
pub fn holm(p: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]).then(a.cmp(b)));
    let mut adjusted = vec![0.0; p.len()];
    let mut highest = 0.0_f64;
    for (rank, &at) in order.iter().enumerate() {
        highest = highest.max(p[at] * (p.len() - rank) as f64).min(1.0);
        adjusted[at] = highest;
    }
    adjusted
}

/// An effect with one covariate held equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adjusted {
    pub effect: Difference,
    /// Change of the value per unit of the covariate.
    pub slope: f64,
    pub slope_se: f64,
}

/// `b` minus `a` at equal covariate: y = b₀ + b₁ group + b₂ (x − mean).
///
/// Each sample holds (x, y). `None` below five values, or when x tells the groups apart
/// by itself. Whether the ranges of x overlap is for the caller to see: where they do
/// not, the answer is an extrapolation. Source: Fisher 1932 (analysis of covariance).
pub fn ancova(a: &[(f64, f64)], b: &[(f64, f64)]) -> Option<Adjusted> {
    let n = a.len() + b.len();
    if n < 5 || a.is_empty() || b.is_empty() {
        return None;
    }
    let mean_x = a.iter().chain(b).map(|(x, _)| x).sum::<f64>() / n as f64;
    let row = |group: f64| move |(x, _): &(f64, f64)| [1.0, group, x - mean_x];
    let rows: Vec<f64> = a.iter().map(row(0.0)).chain(b.iter().map(row(1.0))).flatten().collect();
    let y: Vec<f64> = a.iter().chain(b).map(|(_, y)| *y).collect();
    let fit = least_squares(&rows, 3, &y)?;
    let effect = Difference { value: fit.coefficient[1], se: fit.se(1)?, df: fit.df as f64 };
    Some(Adjusted { effect, slope: fit.coefficient[2], slope_se: fit.se(2)? })
}

/// What an estimate becomes beside a belief held beforehand, both normal: (mean, sd).
/// Conjugate normal; Gelman et al., Bayesian Data Analysis (2013), 2.5.
pub fn shrink((estimate, se): (f64, f64), (prior, prior_sd): (f64, f64)) -> (f64, f64) {
    let (own, before) = (1.0 / (se * se), 1.0 / (prior_sd * prior_sd));
    ((estimate * own + prior * before) / (own + before), 1.0 / (own + before).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_value_has_a_mean_and_no_spread() {
        assert_eq!(mean(&[]), None);
        assert_eq!(variance(&[3.0]), None);
        assert_eq!(welch(&[1.0], &[2.0, 3.0]), None);
        assert_eq!(paired(&[1.0], &[2.0]), None);
    }

    #[test]
    fn a_covariate_that_is_the_group_tells_no_effect() {
        let (a, b) = ([(1.0, 5.0); 3], [(2.0, 6.0); 3]);
        assert_eq!(ancova(&a, &b), None);
    }

    #[test]
    fn holm_keeps_order_and_never_passes_one() {
        assert_eq!(holm(&[0.5, 0.9]), [1.0, 1.0]);
        assert!(holm(&[]).is_empty());
    }
}
