//! The ladder: how starts climb from pull to pull, where they tend, and how long to
//! wait for a start at a chosen temperature.
//!
//! In: the pulls of one log with their heat. Out: a [`Ladder`].
//!
//! Method: with cooling to `level` at time constant `tau`, a rise ΔT and a gap d, the
//! next start is level + (start + ΔT − level) q, q = exp(−d/tau), and starts tend to
//! level + ΔT q/(1 − q). ΔT is what a pull leaves in the cooler, seconds after the lift:
//! what the fast stage of the recovery takes away is carried over to nobody. Cooling is the mean of the log's recoveries, each weighted by
//! how well it is known; intervals carry its uncertainty, that of the rise, and how
//! far the law missed the starts that were driven.
//!
//! Never: a forecast without a recovery that was told. Checked in
//! `tests/reference/heat.rs`.

use super::{Heat, Recovery};
use crate::math::samples;
use crate::math::student::t95;
use crate::pull::Pull;

/// The climb of starts from pull to pull and where it tends.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    pub starts_c: Vec<f64>,
    pub ends_c: Vec<f64>,
    /// Mean carry-over: how much hotter each pull starts than the one before.
    pub carry_over_c: Option<f64>,
    /// Starts tend to this level at the log's own gaps.
    pub tends_to_c: Option<f64>,
    /// Half of the 95 % interval of `tends_to_c`.
    pub tends_plus_minus_c: Option<f64>,
    /// Forecast start temperatures of the next pulls at the mean gap.
    pub forecast_c: Vec<f64>,
    /// Half of the 95 % interval of each forecast.
    pub forecast_plus_minus_c: Vec<f64>,
    /// Mean time from a pull's peak to the next start.
    pub gap_s: Option<f64>,
    /// The cooling that forecast and waits rest on.
    pub cooling: Option<Cooling>,
    /// The wait for a start like the first pull's, within 2 °F.
    pub wait_for_first: Option<Wait>,
    /// The last pull is not the worst case yet: starts would climb on by more than this.
    pub still_to_climb_c: Option<f64>,
}

/// Newton cooling between the pulls of one log.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cooling {
    pub tau_s: f64,
    pub tau_sd_s: f64,
    pub level_c: f64,
    pub level_sd_c: f64,
    /// What a pull adds to the start it found, the fast stage left out.
    pub rise_c: f64,
    pub rise_sd_c: f64,
    /// Where the slow cooling of the last pull begins, at its peak's time.
    pub peak_c: f64,
    /// Starts lie this far above the law on the mean: a car that waits on the line, or
    /// builds boost against its brakes, warms its charge again.
    pub offset_c: f64,
    /// Standard deviation of the next start about law and offset.
    pub miss_sd_c: f64,
}

/// How long to wait after a lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wait {
    pub target_c: f64,
    pub wait_s: f64,
    pub low_s: f64,
    /// `None` when the target lies so near the level that no wait is sure to do.
    pub high_s: Option<f64>,
}

const FORECASTS: usize = 3;
/// Two misses would widen sixfold by Student's t; the reading's own doubt bounds them too.
const MOST_WIDENED: f64 = 2.5;

/// The next start after a gap.
pub fn next_start_c(cooling: &Cooling, start_c: f64, gap_s: f64) -> f64 {
    let q = libm::exp(-gap_s / cooling.tau_s);
    cooling.level_c + (start_c + cooling.rise_c - cooling.level_c) * q + cooling.offset_c
}

/// Where starts tend to when every gap is the same.
pub fn limit_start_c(cooling: &Cooling, gap_s: f64) -> f64 {
    let q = libm::exp(-gap_s / cooling.tau_s);
    cooling.level_c + (cooling.rise_c * q + cooling.offset_c) / (1.0 - q)
}

/// Gaps until all but a share of the climb is done: (tau/gap) ln(1/share), rounded up.
pub fn gaps_to_within(tau_s: f64, gap_s: f64, share: f64) -> u32 {
    libm::ceil(tau_s / gap_s * libm::log(1.0 / share)) as u32
}

impl Cooling {
    /// How long to wait after the last pull's peak for a start at a temperature.
    /// `None` when the air never gets there, or is there already.
    pub fn wait(&self, target_c: f64) -> Option<Wait> {
        let wait = |level_c: f64, tau_s: f64| {
            let share = (self.peak_c - level_c) / (target_c - self.offset_c - level_c);
            (share >= 1.0 && share.is_finite()).then(|| tau_s * libm::log(share))
        };
        let wait_s = wait(self.level_c, self.tau_s)?;
        let by = |changed: Option<f64>| changed.map_or(f64::INFINITY, |changed| changed - wait_s);
        let by_level = by(wait(self.level_c + self.level_sd_c, self.tau_s));
        let by_tau = by(wait(self.level_c, self.tau_s + self.tau_sd_s));
        let slope = (target_c - self.offset_c - self.level_c) / self.tau_s;
        let sd_s = hypot3(by_level, by_tau, self.miss_sd_c / slope);
        let high_s = (wait_s + 2.0 * sd_s).is_finite().then_some(wait_s + 2.0 * sd_s);
        let low_s = if high_s.is_some() { (wait_s - 2.0 * sd_s).max(0.0) } else { 0.0 };
        Some(Wait { target_c, wait_s, low_s, high_s })
    }

    /// Standard deviation of a result, from how it moves with each part of the cooling.
    fn sd_of(&self, result: impl Fn(&Cooling) -> f64) -> f64 {
        let moved = |cooling: Cooling| result(&cooling) - result(self);
        hypot3(
            moved(Cooling { tau_s: self.tau_s + self.tau_sd_s, ..*self }),
            moved(Cooling { level_c: self.level_c + self.level_sd_c, ..*self }),
            moved(Cooling { rise_c: self.rise_c + self.rise_sd_c, ..*self }),
        )
    }
}

fn hypot3(a: f64, b: f64, c: f64) -> f64 {
    (a * a + b * b + c * c).sqrt()
}

/// The ladder of one log; `None` below two pulls with charge air.
pub fn ladder(pulls: &[Pull], heats: &[Option<Heat>]) -> Option<Ladder> {
    let steps: Vec<(&Pull, &Heat)> =
        pulls.iter().zip(heats).filter_map(|(pull, heat)| Some((pull, heat.as_ref()?))).collect();
    if steps.len() < 2 {
        return None;
    }
    let starts_c: Vec<f64> = steps.iter().map(|(_, heat)| heat.start_c).collect();
    let gaps: Vec<f64> = steps
        .windows(2)
        .map(|pair| pair[1].0.start_s - (pair[0].0.end_s + pair[0].1.peak_after_s))
        .collect();
    let gap_s = mean(&gaps).filter(|gap| *gap > 0.0);
    let cooling = cooling(&steps, &gaps);
    let mut ladder = Ladder {
        ends_c: steps.iter().map(|(_, heat)| heat.end_c).collect(),
        carry_over_c: mean(&starts_c.windows(2).map(|pair| pair[1] - pair[0]).collect::<Vec<_>>()),
        tends_to_c: None,
        tends_plus_minus_c: None,
        forecast_c: Vec::new(),
        forecast_plus_minus_c: Vec::new(),
        gap_s,
        wait_for_first: cooling
            .and_then(|cooling| cooling.wait(starts_c[0] + super::recovery::BACK_WITHIN_C)),
        cooling,
        still_to_climb_c: None,
        starts_c,
    };
    if let (Some(cooling), Some(gap_s)) = (cooling, gap_s) {
        ladder.forecast(&cooling, gap_s);
    }
    Some(ladder)
}

impl Ladder {
    fn forecast(&mut self, cooling: &Cooling, gap_s: f64) {
        let Some(&last_c) = self.starts_c.last() else { return };
        let limit_c = limit_start_c(cooling, gap_s);
        let sure = |sd: f64| 2.0 * (sd * sd + cooling.miss_sd_c * cooling.miss_sd_c).sqrt();
        self.tends_to_c = Some(limit_c);
        self.tends_plus_minus_c = Some(sure(cooling.sd_of(|c| limit_start_c(c, gap_s))));
        self.still_to_climb_c = Some(limit_c - last_c).filter(|climb| *climb > 0.0);
        for gaps in 1..=FORECASTS {
            let start =
                |c: &Cooling| (0..gaps).fold(last_c, |start, _| next_start_c(c, start, gap_s));
            self.forecast_c.push(start(cooling));
            self.forecast_plus_minus_c.push(sure(cooling.sd_of(start)));
        }
    }
}

/// The mean cooling of the log's recoveries; `None` when none was told.
fn cooling(steps: &[(&Pull, &Heat)], gaps: &[f64]) -> Option<Cooling> {
    let told: Vec<&Recovery> = steps
        .iter()
        .filter_map(|(_, heat)| heat.recovery.as_ref())
        .filter(|r| r.fit.is_some())
        .collect();
    let fits: Vec<_> = told.iter().filter_map(|recovery| recovery.fit.as_ref()).collect();
    let ln_tau = weighted(fits.iter().map(|fit| (libm::log(fit.tau), fit.tau_se / fit.tau)))?;
    let level = weighted(fits.iter().map(|fit| (fit.level, fit.level_se)))?;
    let rises: Vec<f64> = steps.iter().filter_map(carried_c).collect();
    let rise_c = mean(&rises)?;
    let tau_s = libm::exp(ln_tau.0);
    let mut cooling = Cooling {
        tau_s,
        tau_sd_s: tau_s * ln_tau.1,
        level_c: level.0,
        level_sd_c: level.1,
        rise_c,
        rise_sd_c: mean_sd(&rises, rise_c),
        peak_c: steps.last().map(|last| last.1.start_c + carried_c(last).unwrap_or(rise_c))?,
        offset_c: 0.0,
        miss_sd_c: 0.0,
    };
    (cooling.offset_c, cooling.miss_sd_c) = misses(&cooling, steps, gaps);
    Some(cooling)
}

/// What one pull added to its start, read off the slow cooling at the peak's time.
fn carried_c((pull, heat): &(&Pull, &Heat)) -> Option<f64> {
    let fit = heat.recovery.as_ref()?.fit.as_ref()?;
    let peak_s = pull.end_s + heat.peak_after_s;
    let slow_c = fit.level + fit.amplitude * libm::exp((fit.origin - peak_s) / fit.tau);
    Some(slow_c - heat.start_c)
}

/// How far the starts that were driven lie above the law: the mean, and the standard
/// deviation of one more about it, held up by Student's t for how few they are.
fn misses(cooling: &Cooling, steps: &[(&Pull, &Heat)], gaps: &[f64]) -> (f64, f64) {
    let misses: Vec<f64> = steps
        .windows(2)
        .zip(gaps)
        .map(|(pair, gap)| {
            let rise_c = carried_c(&pair[0]).unwrap_or(cooling.rise_c);
            let law = Cooling { rise_c, ..*cooling };
            pair[1].1.start_c - next_start_c(&law, pair[0].1.start_c, *gap)
        })
        .collect();
    let n = misses.len() as f64;
    let offset = mean(&misses).unwrap_or(0.0);
    let reading = steps.iter().map(|(_, heat)| heat.start_sd_c).fold(0.0, f64::max);
    // A single miss tells no spread: it may itself be all of it.
    let Some((variance, factor)) = samples::variance(&misses).zip(t95(n - 1.0)) else {
        return (offset, offset.abs().max(reading));
    };
    let sd = variance.sqrt().max(reading) * (1.0 + 1.0 / n).sqrt();
    (offset, sd * (factor / 1.96).min(MOST_WIDENED))
}

/// Weighted mean of (value, sd) and its sd, which grows when the values disagree by
/// more than they should. Source: the Birge ratio; Birge 1932.
fn weighted(values: impl Iterator<Item = (f64, f64)>) -> Option<(f64, f64)> {
    let values: Vec<(f64, f64)> = values.filter(|(_, sd)| *sd > 0.0).collect();
    let weight: f64 = values.iter().map(|(_, sd)| 1.0 / (sd * sd)).sum();
    if values.is_empty() || !weight.is_finite() {
        return None;
    }
    let mean = values.iter().map(|(value, sd)| value / (sd * sd)).sum::<f64>() / weight;
    let apart: f64 =
        values.iter().map(|(value, sd)| (value - mean) * (value - mean) / (sd * sd)).sum();
    let birge = (apart / (values.len().max(2) - 1) as f64).sqrt().max(1.0);
    Some((mean, birge / weight.sqrt()))
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard deviation of a mean, held up to 1.96 as a factor by Student's t; 10 % of
/// the mean when a single value tells no spread (common practice, no source).
fn mean_sd(values: &[f64], mean: f64) -> f64 {
    let df = values.len() as f64 - 1.0;
    let Some(factor) = t95(df) else { return 0.1 * mean.abs() };
    let square: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    (square / df / values.len() as f64).sqrt() * factor / 1.96
}
