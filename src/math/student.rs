//! Student's t, its non-central kin, and F: what small samples can say.
//!
//! In: a statistic or a probability, and degrees of freedom (which need not be
//! whole: Welch's are not). Out: probabilities, quantiles, and the shift that a
//! test of a given size finds with a given power. Nothing here is approximated by
//! the normal distribution.
//!
//! Checked in `tests/reference/statistics.rs`.

use core::f64::consts::{FRAC_1_SQRT_2, PI};

/// Share of the standard normal distribution below z.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Share of Student's distribution below t. `df` > 0.
pub fn t_cdf(t: f64, df: f64) -> f64 {
    let tail = 0.5 * beta_share(df / (df + t * t), 0.5 * df, 0.5);
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// Probability of a |t| as large by chance. `df` > 0.
pub fn two_sided_p(t: f64, df: f64) -> f64 {
    beta_share(df / (df + t * t), 0.5 * df, 0.5)
}

/// The t below which a share of the distribution lies; `None` unless 0 < share < 1
/// and df > 0.
pub fn t_quantile(share: f64, df: f64) -> Option<f64> {
    if !(share > 0.0 && share < 1.0 && df > 0.0) {
        return None;
    }
    let upper = share.max(1.0 - share);
    let t = rising_root(|t| t_cdf(t, df) - upper);
    Some(if share < 0.5 { -t } else { t })
}

/// The factor of a two-sided 95 % interval. `None` unless df > 0.
pub fn t95(df: f64) -> Option<f64> {
    t_quantile(0.975, df)
}

/// The F below which a share lies, with `df1` over `df2` degrees of freedom.
pub fn f_quantile(share: f64, df1: f64, df2: f64) -> Option<f64> {
    if !(share > 0.0 && share < 1.0 && df1 > 0.0 && df2 > 0.0) {
        return None;
    }
    Some(rising_root(|f| beta_share(df1 * f / (df1 * f + df2), 0.5 * df1, 0.5 * df2) - share))
}

/// Share of the non-central t distribution below t, shifted by `shift` standard errors.
///
/// Sum over a Poisson mixture of beta shares. Source: Lenth 1989, algorithm AS 243.
pub fn shifted_t_cdf(t: f64, df: f64, shift: f64) -> f64 {
    if t < 0.0 {
        return 1.0 - shifted_t_cdf(-t, df, -shift);
    }
    let x = t * t / (df + t * t);
    let half = 0.5 * shift * shift;
    let mut even = libm::exp(-half);
    let mut odd = shift * (2.0 / PI).sqrt() * libm::exp(-half);
    let (mut sum, mut seen) = (0.0, 0.0);
    for j in 0..2000_u32 {
        let place = f64::from(j);
        sum += even * beta_share(x, place + 0.5, 0.5 * df)
            + odd * beta_share(x, place + 1.0, 0.5 * df);
        seen += even;
        if place > half && 1.0 - seen < 1e-13 {
            break;
        }
        even *= half / (place + 1.0);
        odd *= half / (place + 1.5);
    }
    (normal_cdf(-shift) + 0.5 * sum).clamp(0.0, 1.0)
}

/// How many standard errors a true difference must have so that a two-sided test at
/// 5 % finds it with this power. `None` unless df > 0 and 0.05 < power < 1.
pub fn detectable_shift(df: f64, power: f64) -> Option<f64> {
    if !(power > 0.05 && power < 1.0) {
        return None;
    }
    let limit = t95(df)?;
    let found =
        |shift: f64| 1.0 - shifted_t_cdf(limit, df, shift) + shifted_t_cdf(-limit, df, shift);
    Some(rising_root(|shift| found(shift) - power))
}

/// The root of a rising function over (0, ∞), by doubling, then halving to the last bit.
fn rising_root(f: impl Fn(f64) -> f64) -> f64 {
    let mut high = 1.0;
    while f(high) < 0.0 && high < 1e12 {
        high *= 2.0;
    }
    let mut low = 0.0;
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if f(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// The regularised incomplete beta function I_x(a, b), a and b > 0.
///
/// Continued fraction by the modified Lentz method, on the side where it converges
/// fast. Source: Press et al., Numerical Recipes (2007), 6.4; DLMF 8.17.22.
pub fn beta_share(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(1.0 - x, b, a);
    }
    let front = libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b)
        + a * libm::log(x)
        + b * libm::log1p(-x);
    libm::exp(front) / (a * beta_fraction(x, a, b))
}

/// The fraction's value, 1 + d₁/(1 + d₂/(1 + …)).
fn beta_fraction(x: f64, a: f64, b: f64) -> f64 {
    let safe = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let (mut value, mut c, mut d) = (1.0, 1.0, 0.0);
    for step in 1..2000_u32 {
        let m = f64::from(step / 2);
        let numerator = if step % 2 == 0 {
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m))
        } else {
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
        };
        d = 1.0 / safe(1.0 + numerator * d);
        c = safe(1.0 + numerator / c);
        value *= c * d;
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_can_be_said_without_a_degree_of_freedom() {
        assert_eq!(t95(0.0), None);
        assert_eq!(t_quantile(1.0, 3.0), None);
        assert_eq!(detectable_shift(4.0, 0.01), None);
    }

    #[test]
    fn one_degree_of_freedom_is_cauchys_closed_form() {
        for t in [-30.0, -1.0, 0.0, 0.3, 12.7] {
            let closed = 0.5 + libm::atan(t) / PI;
            assert!((t_cdf(t, 1.0) - closed).abs() < 1e-14, "{t}");
        }
    }

    #[test]
    fn without_a_shift_the_shifted_t_is_students() {
        for t in [-2.0, 0.0, 0.7, 4.3] {
            assert!((shifted_t_cdf(t, 5.0, 0.0) - t_cdf(t, 5.0)).abs() < 1e-12, "{t}");
        }
    }
}
