//! Why builds cannot be compared, or what a reader must know beside the figure.
//!
//! In: the runs of a pair and the [`Tolerances`]. Out: [`Reason`]s, each a full
//! sentence with its numbers and, where it helps, what to do next time.

use super::judge::reading;
use super::run::Run;
use super::{Comparison, Measure, Tolerances};
use crate::launch::marks::spoken;
use crate::launch::{Reason, Verdict};
use crate::math::samples::mean;
use crate::unit::MPS_PER_MPH;

/// Whole degrees Fahrenheit are no whole numbers in kelvin.
const ROUNDING_K: f64 = 0.01;

/// The runs of two builds.
pub struct Pair<'a> {
    pub a: Vec<&'a Run>,
    pub b: Vec<&'a Run>,
}

impl<'a> Pair<'a> {
    pub fn of(runs: &'a [Run], from: usize, to: usize) -> Self {
        let of = |build| runs.iter().filter(|run| run.build == build).collect();
        Pair { a: of(from), b: of(to) }
    }

    pub fn runs(&self) -> impl Iterator<Item = &'a Run> {
        self.a.iter().chain(&self.b).copied()
    }

    /// Both builds' means of something; `None` unless every run has it.
    fn both(&self, of: impl Fn(&Run) -> Option<f64>) -> Option<(f64, f64)> {
        let whole =
            |runs: &[&Run]| mean(&runs.iter().map(|run| of(run)).collect::<Option<Vec<f64>>>()?);
        whole(&self.a).zip(whole(&self.b))
    }

    /// Both builds' means over the runs that have it.
    fn some(&self, of: impl Fn(&Run) -> Option<f64>) -> Option<(f64, f64)> {
        let part = |runs: &[&Run]| mean(&runs.iter().filter_map(|run| of(run)).collect::<Vec<_>>());
        part(&self.a).zip(part(&self.b))
    }

    pub fn ambient(&self) -> Option<(f64, f64)> {
        self.both(|run| run.air.ambient_c)
    }

    pub fn density(&self) -> Option<(f64, f64)> {
        self.both(|run| run.air.density_kgpm3())
    }
}

fn reason(code: &'static str, text: String) -> Reason {
    Reason { code, text }
}

/// "2.4 K (4.3 °F)".
fn both_units(k: f64) -> String {
    format!("{:.1} K ({:.1} °F)", k.abs(), k.abs() * 1.8)
}

/// Why a measure gives no difference at all.
pub fn refusal(pair: &Pair, measure: Measure, tolerances: &Tolerances) -> Option<Reason> {
    let has = |runs: &[&Run]| runs.iter().any(|run| reading(run, measure).is_some());
    if !(has(&pair.a) && has(&pair.b)) {
        return Some(missing(pair, measure));
    }
    if let Some((a, b)) = pair.ambient()
        && (b - a).abs() > tolerances.ambient_most_k
        && measure != Measure::RecoveryTau
    {
        let text = format!(
            "Ambient air was {} apart: too far to bring to equal air. Drive both on days alike.",
            both_units(b - a)
        );
        return Some(reason("air_differs", text));
    }
    let ends = pair.some(|run| run.end_speed_mps).filter(|_| measure == Measure::ChargeRise);
    let (a, b) = ends?;
    ((b - a).abs() > tolerances.end_speed_most * a).then(|| {
        let text = format!(
            "The pulls ended at {:.0} and {:.0} mph: their rises are different things. Compare \
             charge air at a speed that both reach.",
            a / MPS_PER_MPH,
            b / MPS_PER_MPH
        );
        reason("end_speed_differs", text)
    })
}

/// Which build lacks a measure, and why it may.
fn missing(pair: &Pair, measure: Measure) -> Reason {
    let spun = pair.runs().any(|run| run.spun && reading(run, measure).is_none());
    match measure {
        Measure::ChargeRise | Measure::ChargeStart => {
            let text = "One of the builds has no charge air in its logs. Log the temperature after \
                        the charge cooler; inlet air at the filter is another thing.";
            reason("no_charge_air", text.to_owned())
        }
        Measure::ChargeAtMark { .. } if spun => {
            let text = "Wheelspin left the ground speed unknown there, so charge air at that speed \
                        cannot be read. A satellite speed or an accelerometer in the log would \
                        carry it.";
            reason("spin", text.to_owned())
        }
        Measure::ChargeAtMark { speed_mps } => {
            let mph = speed_mps / MPS_PER_MPH;
            let text = format!(
                "One of the builds has no pull that believably reached {mph:.0} mph; nothing is \
                 read beyond the end of a pull."
            );
            reason("mark_not_reached", text)
        }
        Measure::RecoveryTau => {
            let text = "One of the builds has no recovery that tells a time constant. Keep logging \
                        for two or three minutes after a lift.";
            reason("no_recovery", text.to_owned())
        }
        Measure::TimeToMark { mark } => {
            let why = if spun { "; wheelspin voided at least one" } else { "" };
            let text =
                format!("One of the builds has no {} time that is not void{why}.", spoken(mark));
            reason("no_standing_time", text)
        }
        Measure::WheelPower { .. } => {
            let why = if spun { " Where the tyres slipped none is told." } else { "" };
            let text = format!("One of the builds has no pull that tells a power there.{why}");
            reason("no_power", text)
        }
    }
}

/// Times in doubt take part, and no difference rests on them.
pub fn times_in_doubt(pair: &Pair, measure: Measure) -> Option<Reason> {
    let Measure::TimeToMark { mark } = measure else { return None };
    let times = pair.runs().flat_map(|run| &run.times).filter(|time| time.mark == mark);
    let (mut told, mut doubtful) = (0, 0);
    for time in times {
        told += usize::from(time.verdict != Verdict::Void);
        doubtful += usize::from(time.verdict == Verdict::InDoubt);
    }
    (doubtful > 0).then(|| {
        let text = format!(
            "{doubtful} of these {told} times are in doubt; a difference is called real only where \
             all of them stand."
        );
        reason("times_in_doubt", text)
    })
}

/// What a reader must know beside the figure.
pub fn notes(
    pair: &Pair,
    measure: Measure,
    tolerances: &Tolerances,
    found: &Comparison,
) -> Vec<Reason> {
    let refused = found.difference.is_none();
    let mut notes = Vec::new();
    if !refused {
        notes.extend(too_few(found));
    }
    notes.extend(air(pair, tolerances).filter(|_| measure != Measure::RecoveryTau && !refused));
    let heat = matches!(measure, Measure::ChargeRise | Measure::ChargeAtMark { .. });
    if heat && !refused {
        notes.extend(starts(pair, tolerances));
        notes.extend(power(pair, tolerances));
    }
    if measure == Measure::ChargeRise && !refused {
        notes.extend(end_speeds(pair, tolerances));
    }
    notes
}

fn too_few(found: &Comparison) -> Option<Reason> {
    if found.low.is_none() {
        let text = "One reading a side tells no scatter, so nothing can be shown. Make at least \
                    three pulls a build.";
        return Some(reason("too_few_pulls", text.to_owned()));
    }
    found.p.is_none().then(|| {
        let text = "Two pulls a build carry an interval but no verdict. Make at least three.";
        reason("too_few_pulls", text.to_owned())
    })
}

fn air(pair: &Pair, tolerances: &Tolerances) -> Option<Reason> {
    let Some((a, b)) = pair.ambient() else {
        let text = "Ambient temperature is not known for both, so they cannot be brought to equal \
                    air; what the air may have done widens the interval. Type it in for each outing.";
        return Some(reason("air_unknown", text.to_owned()));
    };
    let mut apart = Vec::new();
    if (b - a).abs() > tolerances.ambient_k + ROUNDING_K {
        apart.push(format!("{} in temperature", both_units(b - a)));
    }
    let humidity = pair.both(|run| run.air.relative_humidity_percent);
    if let Some((a, b)) = humidity.filter(|(a, b)| (b - a).abs() > tolerances.humidity_percent) {
        apart.push(format!("{:.0} % in relative humidity", (b - a).abs()));
    }
    let pressure = pair.both(|run| run.air.pressure_pa);
    if let Some((a, b)) = pressure.filter(|(a, b)| (b - a).abs() > tolerances.pressure_pa) {
        apart.push(format!("{:.1} hPa in pressure", (b - a).abs() / 100.0));
    }
    (!apart.is_empty()).then(|| {
        let text = format!(
            "The air was not the same: {} apart. Days alike within {}, {:.0} % and {:.0} hPa are \
             better evidence.",
            apart.join(", "),
            both_units(tolerances.ambient_k),
            tolerances.humidity_percent,
            tolerances.pressure_pa / 100.0
        );
        reason("air_differs", text)
    })
}

fn starts(pair: &Pair, tolerances: &Tolerances) -> Option<Reason> {
    let (a, b) = pair.some(|run| Some(run.start?.c))?;
    ((b - a).abs() > tolerances.start_k + ROUNDING_K).then(|| {
        let way = if b > a { "hotter" } else { "cooler" };
        let text = format!(
            "The later build started {} {way}. That is part of the total effect shown; the direct \
             effect holds the start equal.",
            both_units(b - a)
        );
        reason("starts_differ", text)
    })
}

fn end_speeds(pair: &Pair, tolerances: &Tolerances) -> Option<Reason> {
    let (a, b) = pair.some(|run| run.end_speed_mps)?;
    ((b - a).abs() > tolerances.end_speed * a).then(|| {
        let text = format!(
            "The pulls ended at {:.0} and {:.0} mph; charge air at a speed that both reach is the \
             better measure.",
            a / MPS_PER_MPH,
            b / MPS_PER_MPH
        );
        reason("end_speed_differs", text)
    })
}

/// Power to speed between the two farthest speeds that all runs passed.
fn power(pair: &Pair, tolerances: &Tolerances) -> Option<Reason> {
    let runs: Vec<&Run> = pair.runs().filter(|run| !run.at.is_empty()).collect();
    let everywhere = |speed: &f64| runs.iter().all(|run| run.at_speed(*speed).is_some());
    // From the launch itself grip rules, not power.
    let speeds = || runs.first().into_iter().flat_map(|run| run.at.iter().map(|at| at.speed_mps));
    let high = speeds().filter(everywhere).fold(f64::NEG_INFINITY, f64::max);
    let low = speeds()
        .filter(everywhere)
        .filter(|speed| *speed >= 0.6 * high)
        .fold(f64::INFINITY, f64::min);
    if low >= 0.95 * high {
        return None;
    }
    let takes = |run: &Run| {
        Some(run.at_speed(high)?.since_start_s - run.at_speed(low)?.since_start_s)
            .filter(|takes| *takes > 0.0)
    };
    let (a, b) = pair.some(takes)?;
    ((a / b - 1.0).abs() > tolerances.power).then(|| {
        let text = format!(
            "From {:.0} to {:.0} mph the builds took {a:.2} and {b:.2} s: unlike power makes unlike \
             heat.",
            low / MPS_PER_MPH,
            high / MPS_PER_MPH
        );
        reason("unlike_power", text)
    })
}

/// A difference that would count alone, but not among so many.
pub fn many_questions(pairs: usize, p: f64) -> Reason {
    let text = format!(
        "Taken alone this difference would count, but it is one of {pairs} pairs compared: with \
         Holm's adjustment as much arises by chance {:.0} times in 100.",
        p * 100.0
    );
    reason("many_questions", text)
}
