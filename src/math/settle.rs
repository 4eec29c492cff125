//! Approach to a level in two stages: y = level + a exp(−t/tau) + b exp(−t/fast).
//!
//! In: readings `t[n]` rising, `y[n]`, finite, any units; what is known of the level,
//! if anything. Out: a [`Decay`] whose `tau` is the slow stage's, with the fast stage
//! beside it where the readings need one.
//!
//! Method: variable projection over (tau, fast). The fast stage is a nuisance: for each
//! trial tau the best one is taken, so that the profile of tau pays for not knowing it.
//! It stays out unless it lowers the sum of squares by more than chance would (F test,
//! 1 %). A level known beforehand enters as one more reading with its own weight.
//!
//! Never: a fast stage slower than a third of the slow one; two stages closer than that
//! cannot be told from one.
//!
//! Source: Golub & Pereyra 1973; Ruhe & Wedin 1980 for the nested search; Theil &
//! Goldberger 1961 for the level as a reading.

use super::decay::{Decay, Fast, Spread, crossing, golden};
use super::fit::{Solution, least_squares};
use super::student::f_quantile;

/// A level known beforehand, with its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    pub level: f64,
    pub sd: f64,
}

const SLOW_GRID: usize = 32;
const FAST_GRID: usize = 12;
/// Slowest fast stage as a share of the slow one.
const APART: f64 = 1.0 / 3.0;

/// How many stages a fit has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stages {
    AsNeeded,
    /// Two, because one is known to be something else (a sensor's own lag).
    Two,
    /// Two, the fast one no slower than this, in units of time.
    TwoUpTo(f64),
}

/// Fits one or two stages.
///
/// `floor_sd` is the least standard deviation of a reading. `None` below eight readings,
/// when time does not rise, or when the best slow tau is an end of the grid (two mean
/// steps to ten spans).
pub fn fit_settling(
    t: &[f64],
    y: &[f64],
    stages: Stages,
    prior: Option<Prior>,
    floor_sd: f64,
) -> Option<Decay> {
    assert_eq!(t.len(), y.len(), "t and y are columns of one table");
    let (&first, &last) = (t.first()?, t.last()?);
    if t.len() < 8 || last <= first {
        return None;
    }
    let age = t.iter().map(|t| t - first).collect();
    let slowest_fast = if let Stages::TwoUpTo(slowest) = stages { slowest } else { f64::INFINITY };
    let mut record = Record {
        age,
        y,
        prior,
        weight: 0.0,
        stages: 1,
        slowest_fast,
        origin: first,
        span: last - first,
    };
    let one = record.settled(floor_sd).filter(|_| stages == Stages::AsNeeded);
    record.stages = 2;
    let two = record.settled(floor_sd).filter(|two| two.fast.is_some());
    match (one, two) {
        (Some(one), Some(two)) if needs_two(&one, &two) => Some(two),
        (None, Some(two)) => Some(two),
        (one, _) => one,
    }
}

fn needs_two(one: &Decay, two: &Decay) -> bool {
    let df = two.effective_n - 5.0;
    let Some(limit) = f_quantile(0.99, 2.0, df) else { return false };
    let least = (two.residual_sd * two.residual_sd).max(f64::MIN_POSITIVE);
    // Correlated readings count less: so does what they take off the sum.
    (one.rss - two.rss) * two.effective_n / two.n as f64 / 2.0 / least > limit
}

struct Record<'a> {
    age: Vec<f64>,
    y: &'a [f64],
    prior: Option<Prior>,
    /// Of the prior, in readings' standard deviations.
    weight: f64,
    stages: usize,
    slowest_fast: f64,
    origin: f64,
    span: f64,
}

/// One trial of the non-linear unknowns, solved for the linear ones.
struct Trial {
    tau: f64,
    fast: Option<f64>,
    solution: Solution,
}

impl Record<'_> {
    /// Twice: the prior's weight needs the scatter, which the first fit gives.
    fn settled(&mut self, floor_sd: f64) -> Option<Decay> {
        self.weigh(floor_sd);
        let first = self.fit(floor_sd)?;
        if self.prior.is_none() {
            return Some(first);
        }
        self.weigh(first.residual_sd * (first.n as f64 / first.effective_n).sqrt());
        self.fit(floor_sd)
    }

    fn weigh(&mut self, sd: f64) {
        self.weight = self.prior.map_or(0.0, |prior| sd / prior.sd);
    }

    fn fit(&self, floor_sd: f64) -> Option<Decay> {
        let grid = self.slow_grid();
        let rss: Vec<f64> = grid.iter().map(|&tau| self.rss(tau)).collect();
        let (place, _) = rss.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1))?;
        let (before, after) = (grid.get(place.checked_sub(1)?)?, grid.get(place + 1)?);
        let bracket = (libm::log(*before), libm::log(*after));
        let tau = libm::exp(golden(|ln| self.rss(libm::exp(ln)), bracket, 24));
        let best = self.trial(tau)?;
        let spread = Spread::of(&self.residuals(&best), 1 + 2 * self.stages, floor_sd);
        let limit =
            best.solution.rss + f_quantile(0.95, 1.0, spread.df)? * spread.estimate_variance();
        let end = |end: f64| {
            let outside = self.rss(end) > limit;
            outside.then(|| crossing(|ln| self.rss(libm::exp(ln)) - limit, tau, end, 24))
        };
        let (tau_low, tau_high) = (end(grid[0]), end(grid[SLOW_GRID - 1]));
        self.decay(&best, &spread, (tau_low, tau_high))
    }

    fn slow_grid(&self) -> Vec<f64> {
        let mean_step = self.span / (self.y.len() - 1) as f64;
        log_grid(2.0 * mean_step, 10.0 * self.span, SLOW_GRID)
    }

    fn rss(&self, tau: f64) -> f64 {
        self.trial(tau).map_or(f64::INFINITY, |trial| trial.solution.rss)
    }

    /// The best trial at one slow tau.
    fn trial(&self, tau: f64) -> Option<Trial> {
        if self.stages == 1 {
            return Some(Trial { tau, fast: None, solution: self.solve(tau, None)? });
        }
        let mean_step = self.span / (self.y.len() - 1) as f64;
        let grid = log_grid(0.5 * mean_step, (APART * tau).min(self.slowest_fast), FAST_GRID);
        let rss = |fast: f64| self.solve(tau, Some(fast)).map_or(f64::INFINITY, |s| s.rss);
        let values: Vec<f64> = grid.iter().map(|&fast| rss(fast)).collect();
        let (place, _) = values.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1))?;
        let low = grid[place.saturating_sub(1)];
        let high = grid[(place + 1).min(FAST_GRID - 1)];
        let fast =
            libm::exp(golden(|ln| rss(libm::exp(ln)), (libm::log(low), libm::log(high)), 12));
        Some(Trial { tau, fast: Some(fast), solution: self.solve(tau, Some(fast))? })
    }

    /// The linear problem: level, slow amplitude, fast amplitude.
    fn solve(&self, tau: f64, fast: Option<f64>) -> Option<Solution> {
        let columns = 2 + usize::from(fast.is_some());
        let mut rows = Vec::with_capacity(columns * (self.age.len() + 1));
        for age in &self.age {
            rows.extend([1.0, libm::exp(-age / tau)]);
            rows.extend(fast.map(|fast| libm::exp(-age / fast)));
        }
        let mut y = self.y.to_vec();
        if let Some(prior) = self.prior {
            rows.push(self.weight);
            rows.extend(std::iter::repeat_n(0.0, columns - 1));
            y.push(self.weight * prior.level);
        }
        least_squares(&rows, columns, &y)
    }

    fn residuals(&self, trial: &Trial) -> Vec<f64> {
        self.age.iter().zip(self.y).map(|(age, y)| y - trial.at(*age)).collect()
    }

    fn decay(
        &self,
        best: &Trial,
        spread: &Spread,
        (tau_low, tau_high): (Option<f64>, Option<f64>),
    ) -> Option<Decay> {
        let k = 3 + 2 * usize::from(best.fast.is_some());
        let mut rows: Vec<f64> = self.age.iter().flat_map(|age| best.slopes(*age)).collect();
        let mut unit = vec![0.0; self.age.len()];
        if self.prior.is_some() {
            rows.push(self.weight);
            rows.extend(std::iter::repeat_n(0.0, k - 1));
            unit.push(0.0);
        }
        let inverse = least_squares(&rows, k, &unit)?.unscaled_covariance;
        let at = |i: usize, j: usize| spread.estimate_variance() * inverse[i * k + j];
        let [level, amplitude] = [best.solution.coefficient[0], best.solution.coefficient[1]];
        let fast_amplitude = best.solution.coefficient.get(2).copied();
        Some(Decay {
            level,
            amplitude,
            tau: best.tau,
            tau_low,
            tau_high,
            level_se: at(0, 0).max(0.0).sqrt(),
            amplitude_se: at(1, 1).max(0.0).sqrt(),
            tau_se: best.tau * at(2, 2).max(0.0).sqrt(),
            amplitude_tau: best.tau * at(1, 2),
            level_tau: best.tau * at(0, 2),
            level_amplitude: at(0, 1),
            rss: self.residuals(best).iter().map(|r| r * r).sum(),
            n: self.y.len(),
            effective_n: spread.effective_n,
            residual_sd: spread.sd,
            origin: self.origin,
            span: self.span,
            fast: best.fast.zip(fast_amplitude).map(|(tau, amplitude)| Fast { tau, amplitude }),
        })
    }
}

impl Trial {
    fn at(&self, age: f64) -> f64 {
        let c = &self.solution.coefficient;
        let fast = self.fast.map_or(0.0, |fast| c[2] * libm::exp(-age / fast));
        c[0] + c[1] * libm::exp(-age / self.tau) + fast
    }

    /// Derivatives by level, amplitude, ln tau, and the fast stage's two.
    fn slopes(&self, age: f64) -> Vec<f64> {
        let c = &self.solution.coefficient;
        let slow = libm::exp(-age / self.tau);
        let mut slopes = vec![1.0, slow, c[1] * slow * age / self.tau];
        if let Some(fast) = self.fast {
            let share = libm::exp(-age / fast);
            slopes.extend([share, c[2] * share * age / fast]);
        }
        slopes
    }
}

fn log_grid(low: f64, high: f64, count: usize) -> Vec<f64> {
    let high = high.max(1.001 * low);
    let step = libm::log(high / low) / (count - 1) as f64;
    (0..count).map(|i| low * libm::exp(step * i as f64)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 25 + 8 exp(−t/50) + 20 exp(−t/3), every half second.
    fn two_stages(until: f64) -> (Vec<f64>, Vec<f64>) {
        let t: Vec<f64> = (0..(until * 2.0) as usize).map(|i| 0.5 * i as f64).collect();
        let y = t.iter().map(|t| 25.0 + 8.0 * libm::exp(-t / 50.0) + 20.0 * libm::exp(-t / 3.0));
        let y = y.collect();
        (t, y)
    }

    #[test]
    fn both_stages_come_back() {
        let (t, y) = two_stages(150.0);
        let fit = fit_settling(&t, &y, Stages::AsNeeded, None, 1e-3).expect("two stages");
        let fast = fit.fast.expect("a fast stage");
        assert!((fit.tau - 50.0).abs() < 0.1 && (fast.tau - 3.0).abs() < 0.05, "{fit:?}");
        assert!((fit.level - 25.0).abs() < 0.02 && (fit.at(0.0) - 53.0).abs() < 0.02);
        let (low, high) = (fit.tau_low.expect("closed"), fit.tau_high.expect("closed"));
        assert!(low < 50.0 && 50.0 < high);
    }

    #[test]
    fn one_stage_is_left_as_one() {
        let t: Vec<f64> = (0..120).map(f64::from).collect();
        let wave = |t: f64| 0.2 * libm::sin(7.0 * t);
        let y: Vec<f64> = t.iter().map(|t| 30.0 + 30.0 * libm::exp(-t / 45.0) + wave(*t)).collect();
        let fit = fit_settling(&t, &y, Stages::AsNeeded, None, 0.05).expect("one stage");
        assert!(fit.fast.is_none() && (fit.tau - 45.0).abs() < 1.0, "{fit:?}");
    }

    #[test]
    fn a_known_level_tells_the_slow_stage_of_a_short_record() {
        let (t, y) = two_stages(40.0);
        let noisy: Vec<f64> =
            y.iter().zip(&t).map(|(y, t)| y + 0.1 * libm::sin(11.0 * t)).collect();
        let free = fit_settling(&t, &noisy, Stages::AsNeeded, None, 0.05);
        let width =
            |fit: &Decay| fit.tau_high.unwrap_or(f64::INFINITY) - fit.tau_low.unwrap_or(0.0);
        let prior = Prior { level: 26.0, sd: 1.5 };
        let known =
            fit_settling(&t, &noisy, Stages::AsNeeded, Some(prior), 0.05).expect("a slow stage");
        assert!(width(&known) < free.as_ref().map_or(f64::INFINITY, width));
        let (low, high) = (known.tau_low.expect("closed"), known.tau_high.expect("closed"));
        assert!(low < 50.0 && 50.0 < high, "{low} to {high}");
    }
}
