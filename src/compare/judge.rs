//! One measure of one pair of builds: values, difference, interval, verdict.
//!
//! In: the runs of the day, a pair, a [`Measure`]. Out: its [`Comparison`] before Holm.
//! The values of all builds take part in the scatter; only the pair's in the difference.

use super::equal_air::{self, AMBIENT_SD_K, Sensitivity, UNKNOWN_SD_K};
use super::layout::{Found, Layout, Value};
use super::reasons::{self, Pair};
use super::run::Run;
use super::{AtPull, Comparison, Effect, Measure, Tolerances, Worth};
use crate::heat::Reading;
use crate::launch::Verdict;
use crate::math::samples::{Difference, ancova, mean};
use crate::math::student::{detectable_shift, t95, two_sided_p};

/// A true difference is found this often before it is called one that could be shown.
const POWER: f64 = 0.8;
/// Fewer degrees of freedom carry no verdict, though Student's interval exists.
const FEWEST_DF: f64 = 1.5;
/// Thinner air lengthens a time by at most this share of what it lacks in density: power
/// goes with density at most, and half of a launch is ruled by grip and not by power
/// (common practice, no source).
const TIME_PER_DENSITY: f64 = 0.5;
/// Density of unknown days, as a share.
const UNKNOWN_DENSITY: f64 = 0.02;
/// Of a power between days, as a share: fuel and load differ by some 15 kg, and a speed's
/// scale by half a per cent, which counts twice (common practice, no source).
const BETWEEN_DAYS: f64 = 0.015;

pub fn compare(
    runs: &[Run],
    (from, to): (usize, usize),
    measure: Measure,
    tolerances: &Tolerances,
) -> Comparison {
    let pair = Pair::of(runs, from, to);
    let ambient = pair.ambient();
    let reference_c = ambient.map(|(a, b)| 0.5 * (a + b));
    let raw = Layout::of(values(runs, measure, None)).compare(from, to);
    let adjusts = reference_c.is_some() && follows_air(measure);
    let found = match adjusts {
        true => Layout::of(values(runs, measure, reference_c)).compare(from, to),
        false => raw.clone(),
    };
    let mut comparison = Comparison {
        from,
        to,
        measure,
        difference: None,
        low: None,
        high: None,
        adjusted: false,
        raw_difference: raw.as_ref().map(|raw| raw.difference.value),
        pairs: found.as_ref().map_or(0, |found| found.numbers.len() as u32),
        smallest_shown: None,
        worth: Worth::CannotCompare,
        reasons: Vec::new(),
        at_pull: None,
        direct: None,
        no_direct: None,
        how: String::new(),
        p: None,
    };
    if let Some(refusal) = reasons::refusal(&pair, measure, tolerances) {
        comparison.reasons.push(refusal);
    }
    if comparison.reasons.is_empty()
        && let Some(found) = found
    {
        comparison.adjusted = adjusts;
        let doubt = Doubt::of(&pair, measure);
        doubt.judge(&mut comparison, &found);
        comparison.how = how(&found, &doubt, &comparison);
        direct_effect(&mut comparison, &pair, reference_c, &doubt);
        if let Some(reason) = reasons::times_in_doubt(&pair, measure) {
            // What all of a build's times may have in common, their scatter does not show.
            comparison.worth = Worth::NotShown;
            comparison.reasons.push(reason);
        }
    }
    comparison.reasons.extend(reasons::notes(&pair, measure, tolerances, &comparison));
    comparison
}

fn follows_air(measure: Measure) -> bool {
    matches!(measure, Measure::ChargeRise | Measure::ChargeStart | Measure::ChargeAtMark { .. })
}

/// What one run says of a measure.
pub fn reading(run: &Run, measure: Measure) -> Option<Reading> {
    match measure {
        Measure::ChargeRise => run.rise,
        Measure::ChargeStart => run.start,
        Measure::ChargeAtMark { speed_mps } => {
            run.at_speed(speed_mps).map(|at| Reading { c: at.charge_c, sd_c: at.sd_c })
        }
        Measure::RecoveryTau => run.tau_s.map(|(tau, se)| Reading { c: tau, sd_c: se }),
        Measure::TimeToMark { mark } => run
            .times
            .iter()
            .find(|time| time.mark == mark && time.verdict != Verdict::Void)
            .map(|time| Reading { c: time.time_s, sd_c: time.sd_s }),
        // Its ± is mostly mass and drag, which are alike in all pulls: their scatter tells the rest.
        Measure::WheelPower { speed_mps } => {
            run.power_at(speed_mps).map(|at| Reading { c: at.power_w, sd_c: 0.0 })
        }
    }
}

/// All runs' values, brought to a reference ambient temperature where one is given.
/// Runs of unknown air stay as they are: they serve the scatter of their own outing.
fn values(runs: &[Run], measure: Measure, reference_c: Option<f64>) -> Vec<Value> {
    let value = |run: &Run| {
        let reading = reading(run, measure)?;
        Some(Value {
            build: run.build,
            outing: run.outing,
            number: run.number,
            value: reading.c + to_reference(run, measure, reference_c),
            sd: reading.sd_c,
        })
    };
    runs.iter().filter_map(value).collect()
}

fn to_reference(run: &Run, measure: Measure, reference_c: Option<f64>) -> f64 {
    let apart = reference_c.zip(run.air.ambient_c).map(|(reference, own)| reference - own);
    apart.map_or(0.0, |apart| equal_air::sensitivity(run, measure).per_k * apart)
}

/// What no repetition on these days could average away.
struct Doubt {
    sd: f64,
    sensitivity: Sensitivity,
}

impl Doubt {
    fn of(pair: &Pair, measure: Measure) -> Self {
        let all: Vec<Sensitivity> =
            pair.runs().map(|run| equal_air::sensitivity(run, measure)).collect();
        let of = |pick: fn(&Sensitivity) -> f64| {
            mean(&all.iter().map(pick).collect::<Vec<_>>()).unwrap_or(0.0)
        };
        let sensitivity = Sensitivity { per_k: of(|s| s.per_k), sd: of(|s| s.sd) };
        let sd = match (measure, pair.ambient()) {
            (Measure::TimeToMark { .. }, _) => {
                mean_of(pair, measure) * TIME_PER_DENSITY * thinner(pair) / 3f64.sqrt()
            }
            (Measure::WheelPower { .. }, _) => {
                let by_air = thinner(pair) / 3f64.sqrt();
                mean_of(pair, measure) * libm::hypot(by_air, BETWEEN_DAYS)
            }
            (_, Some((a, b))) => {
                let model = (b - a) * sensitivity.sd;
                let reading = 2f64.sqrt() * AMBIENT_SD_K * sensitivity.per_k;
                (model * model + reading * reading).sqrt()
            }
            (_, None) => UNKNOWN_SD_K * sensitivity.per_k.abs(),
        };
        Doubt { sd, sensitivity }
    }

    /// The difference with this doubt added to its scatter.
    fn whole(&self, scatter: Difference) -> Difference {
        let (own, doubt) = (scatter.se * scatter.se, self.sd * self.sd);
        let whole = (own + doubt).max(1e-12);
        let share = own / whole;
        let df = if share > 0.0 { scatter.df / (share * share) } else { scatter.df };
        Difference { value: scatter.value, se: whole.sqrt(), df: df.min(1e6) }
    }

    fn judge(&self, comparison: &mut Comparison, found: &Found) {
        comparison.difference = Some(found.difference.value);
        comparison.worth = Worth::NotShown;
        if found.difference.df <= 0.0 {
            return;
        }
        let whole = self.whole(found.difference);
        let Some(half) = whole.half_width() else { return };
        comparison.low = Some(whole.value - half);
        comparison.high = Some(whole.value + half);
        comparison.smallest_shown = detectable_shift(whole.df, POWER).map(|s| s * whole.se);
        comparison.at_pull = self.at_pull(found);
        if found.difference.df >= FEWEST_DF {
            let p = two_sided_p(whole.t(), whole.df);
            comparison.p = Some(p);
            if p <= 0.05 {
                comparison.worth = Worth::Real;
            }
        }
    }

    fn at_pull(&self, found: &Found) -> Option<AtPull> {
        let whole = self.whole(found.at_last?);
        let half = whole.half_width()?;
        let effect =
            Effect { difference: whole.value, low: whole.value - half, high: whole.value + half };
        Some(AtPull { number: *found.numbers.last()?, effect })
    }
}

fn mean_of(pair: &Pair, measure: Measure) -> f64 {
    let readings = pair.runs().filter_map(|run| reading(run, measure));
    mean(&readings.map(|reading| reading.c).collect::<Vec<f64>>()).unwrap_or(0.0)
}

/// By how much the air of one build was thinner, as a share. Times and powers are not
/// corrected for air; what air could have done to them at most is doubt.
fn thinner(pair: &Pair) -> f64 {
    pair.density().map_or(UNKNOWN_DENSITY, |(a, b)| ((b - a) / a).abs())
}

/// What is left at equal start, for measures that a start moves.
fn direct_effect(
    comparison: &mut Comparison,
    pair: &Pair,
    reference_c: Option<f64>,
    doubt: &Doubt,
) {
    let measure = comparison.measure;
    if !matches!(measure, Measure::ChargeRise | Measure::ChargeAtMark { .. }) {
        return;
    }
    let points = |runs: &[&Run]| -> Vec<(f64, f64)> {
        let point = |run: &&Run| {
            let start = run.start?.c + to_reference(run, Measure::ChargeStart, reference_c);
            Some((start, reading(run, measure)?.c + to_reference(run, measure, reference_c)))
        };
        runs.iter().filter_map(point).collect()
    };
    let (a, b) = (points(&pair.a), points(&pair.b));
    if !overlap(&a, &b) {
        comparison.no_direct = Some(
            "The builds did not start at temperatures that overlap, so what would be left at \
             equal start would be a guess.",
        );
        return;
    }
    let effect = ancova(&a, &b).map(|adjusted| doubt.whole(adjusted.effect));
    let half = effect.and_then(|effect| Some(t95(effect.df)? * effect.se));
    match effect.zip(half) {
        Some((effect, half)) => {
            let value = effect.value;
            comparison.direct =
                Some(Effect { difference: value, low: value - half, high: value + half });
        }
        None => comparison.no_direct = Some("Too few pulls to hold the start equal."),
    }
}

fn overlap(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    let ends = |points: &[(f64, f64)]| {
        let low = points.iter().map(|(x, _)| *x).fold(f64::INFINITY, f64::min);
        (low, points.iter().map(|(x, _)| *x).fold(f64::NEG_INFINITY, f64::max))
    };
    let ((a_low, a_high), (b_low, b_high)) = (ends(a), ends(b));
    a_low <= b_high && b_low <= a_high
}

fn how(found: &Found, doubt: &Doubt, comparison: &Comparison) -> String {
    let unit = match comparison.measure {
        Measure::RecoveryTau | Measure::TimeToMark { .. } => "s",
        Measure::WheelPower { .. } => "W",
        _ => "K",
    };
    let layout = match found.numbers.len() {
        0 => "Means of all pulls, unpaired (the builds share too few pull numbers)".to_owned(),
        1 => "One pair of pulls".to_owned(),
        n => format!("{n} pairs by pull number"),
    };
    let scatter = match found.difference.df {
        0.0 => "one pull a side tells no scatter".to_owned(),
        df => format!(
            "one pull scatters by {:.2} {unit} over {} outings, {df:.0} degrees of freedom",
            found.scatter, found.outings
        ),
    };
    let air = match (comparison.adjusted, doubt.sd > 0.0) {
        (true, _) => format!(
            "; brought to equal ambient air with {:.2} ± {:.2} K per K, which adds {:.2} K of doubt",
            doubt.sensitivity.per_k,
            2.0 * doubt.sensitivity.sd,
            doubt.sd
        ),
        (false, true) => format!("; the air adds {:.2} {unit} of doubt", doubt.sd),
        (false, false) => String::new(),
    };
    format!("{layout}; {scatter}{air}.")
}
