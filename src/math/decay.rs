//! Exponential approach to a level: y = level + amplitude exp(−(t − t₀)/tau).
//!
//! In: readings `t[n]` rising from t₀ = `t[0]`, `y[n]`, finite, any units. Out: a
//! [`Decay`] with the interval of tau from its profile, or `None`.
//!
//! Method: variable projection. For a trial tau the rest is linear and solved
//! exactly, so the search has one dimension, cannot diverge, and gives the profile
//! for free: a logarithmic grid, then golden section about its best.
//!
//! Never: a time constant beyond the ends of the grid. Whether a record is long
//! enough to believe it is for the caller to say; see [`Decay::span_in_taus`].
//!
//! Source: Golub & Pereyra 1973 (variable projection); Bates & Watts, Nonlinear
//! Regression Analysis (1988), ch. 6 (profile intervals). Checked against NIST
//! StRD "Misra1a" and "BoxBOD" in `tests/reference/decay.rs`.

use super::fit::{Solution, least_squares};
use super::student::f_quantile;

/// What is known of the level beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// Found from the readings.
    Free,
    Known(f64),
    /// Level = −amplitude: a rise from zero, y = level (1 − exp(−(t − t₀)/tau)), t₀ = 0.
    RiseFromZero,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Decay {
    pub level: f64,
    /// Above the level at the first reading; negative for a rise.
    pub amplitude: f64,
    pub tau: f64,
    /// 95 % interval of tau; an end is `None` where the profile stays open.
    pub tau_low: Option<f64>,
    pub tau_high: Option<f64>,
    /// Standard errors by linearisation, held up by the effective count.
    pub level_se: f64,
    pub amplitude_se: f64,
    pub tau_se: f64,
    /// Covariance of amplitude and tau, of level and tau, of level and amplitude.
    pub amplitude_tau: f64,
    pub level_tau: f64,
    pub level_amplitude: f64,
    pub rss: f64,
    pub n: usize,
    /// Readings that their residuals' correlation leaves: n (1 − r)/(1 + r).
    pub effective_n: f64,
    /// Residual standard deviation, not below the floor given.
    pub residual_sd: f64,
    /// Time of the first reading; the amplitude belongs there.
    pub origin: f64,
    pub span: f64,
    /// A faster stage before it, from [`super::settle`] only.
    pub fast: Option<Fast>,
}

/// b exp(−(t − t₀)/tau), dying out before the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fast {
    pub amplitude: f64,
    pub tau: f64,
}

const GRID: usize = 60;

impl Decay {
    /// The curve's value.
    pub fn at(&self, t: f64) -> f64 {
        let fast = |fast: Fast| fast.amplitude * libm::exp((self.origin - t) / fast.tau);
        self.level
            + self.amplitude * libm::exp((self.origin - t) / self.tau)
            + self.fast.map_or(0.0, fast)
    }

    /// When a falling curve comes down to a value; `None` if never within ten time
    /// constants.
    pub fn time_at(&self, value: f64) -> Option<f64> {
        let (mut before, mut after) = (self.origin, self.origin + 10.0 * self.tau);
        if self.at(before) < value || self.at(after) > value {
            return None;
        }
        for _ in 0..60 {
            let middle = 0.5 * (before + after);
            if self.at(middle) > value { before = middle } else { after = middle }
        }
        Some(after)
    }

    /// Standard error of the curve's value once a fast stage is over, not of a new reading.
    pub fn se_at(&self, t: f64) -> f64 {
        let share = libm::exp((self.origin - t) / self.tau);
        let by_tau = self.amplitude * share * (t - self.origin) / (self.tau * self.tau);
        let own = self.level_se * self.level_se
            + share * share * self.amplitude_se * self.amplitude_se
            + by_tau * by_tau * self.tau_se * self.tau_se;
        let shared = share * self.level_amplitude
            + by_tau * self.level_tau
            + share * by_tau * self.amplitude_tau;
        (own + 2.0 * shared).max(0.0).sqrt()
    }

    /// Record length in time constants: below 1.5 a free level says little.
    pub fn span_in_taus(&self) -> f64 {
        self.span / self.tau
    }
}

/// Fits a decay. `floor_sd` is the least standard deviation a reading can have (its
/// step over √12), so that stepped readings that happen to fit do not look exact.
///
/// `None` when fewer readings than unknowns plus one are left, time does not rise,
/// or the best tau is an end of the grid (0.2 steps to ten spans): the readings do
/// not tell a decay from a straight line or a jump.
pub fn fit_decay(t: &[f64], y: &[f64], level: Level, floor_sd: f64) -> Option<Decay> {
    assert_eq!(t.len(), y.len(), "t and y are columns of one table");
    let record = Record::of(t, y, level)?;
    let (tau, solution) = record.best()?;
    let linear = record.linear(&solution);
    let residuals = record.residuals(tau, &linear);
    let spread = Spread::of(&residuals, record.unknowns(), floor_sd);
    let covariance = record.covariance(tau, linear.amplitude, &spread)?;
    let (tau_low, tau_high) = record.interval(tau, solution.rss, &spread);
    let [level_se, amplitude_se, tau_se] = [0, 1, 2].map(|i| covariance[i * 4].max(0.0).sqrt());
    Some(Decay {
        level: linear.level,
        amplitude: linear.amplitude,
        tau,
        tau_low,
        tau_high,
        level_se,
        amplitude_se,
        tau_se,
        amplitude_tau: covariance[5],
        level_tau: covariance[2],
        level_amplitude: covariance[1],
        rss: solution.rss,
        n: t.len(),
        effective_n: spread.effective_n,
        residual_sd: spread.sd,
        origin: record.origin,
        span: record.span,
        fast: None,
    })
}

/// The readings of one fit, times counted from the origin.
struct Record<'a> {
    age: Vec<f64>,
    y: &'a [f64],
    level: Level,
    origin: f64,
    span: f64,
}

struct Linear {
    level: f64,
    amplitude: f64,
}

impl<'a> Record<'a> {
    fn of(t: &[f64], y: &'a [f64], level: Level) -> Option<Self> {
        let (&first, &last) = (t.first()?, t.last()?);
        let origin = if level == Level::RiseFromZero { 0.0 } else { first };
        let record = Record {
            age: t.iter().map(|t| t - origin).collect(),
            y,
            level,
            origin,
            span: last - first,
        };
        (record.span > 0.0 && y.len() > record.unknowns()).then_some(record)
    }

    /// Linear unknowns and tau.
    fn unknowns(&self) -> usize {
        if self.level == Level::Free { 3 } else { 2 }
    }

    /// The linear problem at one tau.
    fn solve(&self, tau: f64) -> Option<Solution> {
        let share = self.age.iter().map(|age| libm::exp(-age / tau));
        match self.level {
            Level::Free => {
                let rows: Vec<f64> = share.flat_map(|share| [1.0, share]).collect();
                least_squares(&rows, 2, self.y)
            }
            Level::Known(level) => {
                let above: Vec<f64> = self.y.iter().map(|y| y - level).collect();
                least_squares(&share.collect::<Vec<f64>>(), 1, &above)
            }
            Level::RiseFromZero => {
                let rows: Vec<f64> = self.age.iter().map(|age| -libm::expm1(-age / tau)).collect();
                least_squares(&rows, 1, self.y)
            }
        }
    }

    fn linear(&self, solution: &Solution) -> Linear {
        let found = &solution.coefficient;
        match self.level {
            Level::Free => Linear { level: found[0], amplitude: found[1] },
            Level::Known(level) => Linear { level, amplitude: found[0] },
            Level::RiseFromZero => Linear { level: found[0], amplitude: -found[0] },
        }
    }

    fn rss(&self, tau: f64) -> f64 {
        self.solve(tau).map_or(f64::INFINITY, |solution| solution.rss)
    }

    /// Trial time constants, even in their logarithm.
    fn grid(&self) -> Vec<f64> {
        let mean_step = self.span / (self.y.len() - 1) as f64;
        let (low, high) = (libm::log(0.2 * mean_step), libm::log(10.0 * self.span));
        let step = (high - low) / (GRID - 1) as f64;
        (0..GRID).map(|i| libm::exp(low + step * i as f64)).collect()
    }

    fn best(&self) -> Option<(f64, Solution)> {
        let grid = self.grid();
        let rss: Vec<f64> = grid.iter().map(|&tau| self.rss(tau)).collect();
        let (place, _) = rss.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1))?;
        let (before, after) = (grid.get(place.checked_sub(1)?)?, grid.get(place + 1)?);
        let low_high = (libm::log(*before), libm::log(*after));
        let tau = libm::exp(golden(|ln| self.rss(libm::exp(ln)), low_high, 44));
        let tau = self.polish(tau);
        self.solve(tau).map(|solution| (tau, solution))
    }

    /// Gauss-Newton steps from the bracketed minimum: golden section alone stops at
    /// half the digits, because the sum of squares is flat there.
    fn polish(&self, start: f64) -> f64 {
        let mut tau = start;
        for _ in 0..20 {
            let Some(solution) = self.solve(tau) else { return tau };
            let linear = self.linear(&solution);
            let residuals = self.residuals(tau, &linear);
            let rows = self.jacobian(tau, linear.amplitude);
            let Some(step) = least_squares(&rows, self.unknowns(), &residuals) else { return tau };
            let change = step.coefficient.last().copied().unwrap_or(0.0).clamp(-0.3, 0.3);
            let next = tau * libm::exp(change);
            if self.rss(next) > solution.rss * (1.0 + 1e-9) {
                return tau;
            }
            tau = next;
            if change.abs() < 1e-13 {
                break;
            }
        }
        tau
    }

    fn residuals(&self, tau: f64, linear: &Linear) -> Vec<f64> {
        let curve = |age: &f64| linear.level + linear.amplitude * libm::exp(-age / tau);
        self.age.iter().zip(self.y).map(|(age, y)| y - curve(age)).collect()
    }

    /// Derivatives by (level, amplitude, ln tau), without those that are not free.
    fn jacobian(&self, tau: f64, amplitude: f64) -> Vec<f64> {
        let row = |age: &f64| {
            let share = libm::exp(-age / tau);
            let by_ln_tau = age / tau * amplitude * share;
            match self.level {
                Level::Free => vec![1.0, share, by_ln_tau],
                Level::Known(_) => vec![share, by_ln_tau],
                Level::RiseFromZero => vec![1.0 - share, by_ln_tau],
            }
        };
        self.age.iter().flat_map(row).collect()
    }

    /// 3 × 3 covariance of (level, amplitude, tau) by rows.
    fn covariance(&self, tau: f64, amplitude: f64, spread: &Spread) -> Option<[f64; 9]> {
        let rows = self.jacobian(tau, amplitude);
        let k = self.unknowns();
        let inverse = least_squares(&rows, k, self.y)?.unscaled_covariance;
        let at = |i: usize, j: usize| spread.estimate_variance() * inverse[i * k + j];
        let mut out = [0.0; 9];
        match self.level {
            Level::Free => (0..9).for_each(|place| out[place] = at(place / 3, place % 3)),
            Level::Known(_) => {
                (out[4], out[5], out[7], out[8]) = (at(0, 0), at(0, 1), at(1, 0), at(1, 1));
            }
            Level::RiseFromZero => {
                let (own, shared) = (at(0, 0), at(0, 1));
                out = [own, -own, shared, -own, own, -shared, shared, -shared, at(1, 1)];
            }
        }
        // From ln tau to tau.
        for i in 0..3 {
            out[i * 3 + 2] *= tau;
            out[6 + i] *= tau;
        }
        Some(out)
    }

    /// All tau whose sum of squares is not worse than F allows.
    fn interval(&self, tau: f64, rss: f64, spread: &Spread) -> (Option<f64>, Option<f64>) {
        let Some(f) = f_quantile(0.95, 1.0, spread.df) else { return (None, None) };
        let limit = rss + f * spread.estimate_variance();
        let grid = self.grid();
        let (least, most) = (grid[0], grid[GRID - 1]);
        let cross = |end: f64| {
            let outside = self.rss(end) > limit;
            outside.then(|| crossing(|ln| self.rss(libm::exp(ln)) - limit, tau, end, 50))
        };
        (cross(least), cross(most))
    }
}

/// Residual spread, the effective count behind it, and what they do to estimates.
pub(super) struct Spread {
    pub sd: f64,
    n: f64,
    pub effective_n: f64,
    pub df: f64,
}

impl Spread {
    /// Source of the effective count: the variance of a mean of a first-order
    /// autoregression; Bayley & Hammersley 1946.
    pub fn of(residuals: &[f64], unknowns: usize, floor_sd: f64) -> Self {
        let n = residuals.len() as f64;
        let rss: f64 = residuals.iter().map(|r| r * r).sum();
        let shifted: f64 = residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
        let r = if rss > 0.0 { (shifted / rss).clamp(0.0, 0.99) } else { 0.0 };
        let df = n - unknowns as f64;
        let counts_for = ((1.0 + r) / (1.0 - r)).max(together(residuals, rss));
        let effective_n = (n / counts_for).max((unknowns as f64 + 1.0).min(n));
        Spread {
            sd: (rss / df).sqrt().max(floor_sd),
            n,
            effective_n,
            df: effective_n - unknowns as f64,
        }
    }

    /// Variance to scale (JᵀJ)⁻¹ with: correlated readings count less.
    pub fn estimate_variance(&self) -> f64 {
        self.sd * self.sd * self.n / self.effective_n
    }
}

/// How many readings in a row count as one: 1 + 2 Σ r_k up to the first pair of lags whose
/// sum is not positive. Sees a slow misfit that one lag alone does not.
/// Source: initial positive sequence; Geyer 1992.
fn together(residuals: &[f64], rss: f64) -> f64 {
    if rss <= 0.0 {
        return 1.0;
    }
    let at = |lag: usize| {
        let later = residuals.get(lag..).unwrap_or_default();
        residuals.iter().zip(later).map(|(a, b)| a * b).sum::<f64>() / rss
    };
    let pairs = (0..residuals.len() / 4).map(|pair| at(2 * pair) + at(2 * pair + 1));
    let sum: f64 = pairs.take_while(|pair| *pair > 0.0).sum();
    (2.0 * sum - 1.0).max(1.0)
}

/// Least place of a function with one minimum; each step leaves 0.618 of the bracket.
/// Source: Kiefer 1953.
pub(super) fn golden(f: impl Fn(f64) -> f64, (mut low, mut high): (f64, f64), steps: u32) -> f64 {
    const RATIO: f64 = 0.618_033_988_749_894_9;
    let (mut a, mut b) = (high - RATIO * (high - low), low + RATIO * (high - low));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..steps {
        if fa < fb {
            (high, b, fb) = (b, a, fa);
            a = high - RATIO * (high - low);
            fa = f(a);
        } else {
            (low, a, fa) = (a, b, fb);
            b = low + RATIO * (high - low);
            fb = f(b);
        }
    }
    0.5 * (low + high)
}

/// Where a function crosses zero between a tau inside and one outside, by halving
/// the logarithm.
pub(super) fn crossing(f: impl Fn(f64) -> f64, inside: f64, outside: f64, steps: u32) -> f64 {
    let (mut near, mut far) = (libm::log(inside), libm::log(outside));
    for _ in 0..steps {
        let middle = 0.5 * (near + far);
        if f(middle) > 0.0 { far = middle } else { near = middle }
    }
    libm::exp(0.5 * (near + far))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cooling(t: &[f64]) -> Vec<f64> {
        t.iter().map(|t| 30.0 + 30.0 * libm::exp(-t / 45.0)).collect()
    }

    #[test]
    fn a_straight_line_has_no_time_constant() {
        let t: Vec<f64> = (0..50).map(f64::from).collect();
        let y: Vec<f64> = t.iter().map(|t| 60.0 - 0.1 * t).collect();
        assert_eq!(fit_decay(&t, &y, Level::Free, 0.1), None);
    }

    #[test]
    fn whole_degrees_widen_the_interval_that_exact_readings_close() {
        let t: Vec<f64> = (0..120).map(f64::from).collect();
        let exact = cooling(&t);
        let whole: Vec<f64> = exact.iter().map(|y| y.round()).collect();
        let width = |y: &[f64], floor: f64| {
            let fit = fit_decay(&t, y, Level::Free, floor).expect("a decay");
            fit.tau_high.expect("closed") - fit.tau_low.expect("closed")
        };
        assert!(width(&exact, 0.0) < 1e-3);
        assert!((0.3..20.0).contains(&width(&whole, 1.0 / 12f64.sqrt())));
    }

    #[test]
    fn too_few_readings_give_nothing() {
        assert_eq!(fit_decay(&[0.0, 1.0, 2.0], &[3.0, 2.0, 1.5], Level::Free, 0.0), None);
        assert_eq!(fit_decay(&[], &[], Level::Free, 0.0), None);
    }
}
