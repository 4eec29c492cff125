//! The marks of a launch: speeds and distances at which a time is taken.

use super::Verdict;
use super::estimate::{Branch, Estimate};
use crate::log::Series;
use crate::pull::{Kind, Pull};
use crate::unit::{METRE_PER_FOOT, METRE_PER_MILE, MPS_PER_KMH, MPS_PER_MPH};

/// Rollout: the clock starts when the car has moved one foot.
const ROLLOUT_M: f64 = METRE_PER_FOOT;
/// A mark passed this shortly after the lift still belongs to the pull.
const LIFT_TOLERANCE_S: f64 = 0.1;

/// What a mark measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MarkKind {
    /// From rest to a distance.
    Distance { metres: f64 },
    /// From rest to a speed.
    Speed { mps: f64 },
    /// Between two speeds, from rest or rolling.
    Between { from_mps: f64, to_mps: f64 },
}

/// Every mark with its fixed name in the sheet.
pub const MARKS: [(&str, MarkKind); 12] = [
    ("60ft", MarkKind::Distance { metres: 60.0 * METRE_PER_FOOT }),
    ("330ft", MarkKind::Distance { metres: 330.0 * METRE_PER_FOOT }),
    ("1/8mi", MarkKind::Distance { metres: METRE_PER_MILE / 8.0 }),
    ("1000ft", MarkKind::Distance { metres: 1000.0 * METRE_PER_FOOT }),
    ("1/4mi", MarkKind::Distance { metres: METRE_PER_MILE / 4.0 }),
    ("0-30mph", MarkKind::Speed { mps: 30.0 * MPS_PER_MPH }),
    ("0-60mph", MarkKind::Speed { mps: 60.0 * MPS_PER_MPH }),
    ("0-100mph", MarkKind::Speed { mps: 100.0 * MPS_PER_MPH }),
    ("0-100kmh", MarkKind::Speed { mps: 100.0 * MPS_PER_KMH }),
    ("0-200kmh", MarkKind::Speed { mps: 200.0 * MPS_PER_KMH }),
    ("60-130mph", MarkKind::Between { from_mps: 60.0 * MPS_PER_MPH, to_mps: 130.0 * MPS_PER_MPH }),
    (
        "100-200kmh",
        MarkKind::Between { from_mps: 100.0 * MPS_PER_KMH, to_mps: 200.0 * MPS_PER_KMH },
    ),
];

/// Marks in the order people read them, with what is written.
pub const SPOKEN: [(&str, &str); 12] = [
    ("60ft", "60 ft"),
    ("330ft", "330 ft"),
    ("1/8mi", "1/8 mile"),
    ("1000ft", "1000 ft"),
    ("1/4mi", "1/4 mile"),
    ("0-30mph", "0-30 mph"),
    ("0-60mph", "0-60 mph"),
    ("0-100mph", "0-100 mph"),
    ("0-100kmh", "0-100 km/h"),
    ("0-200kmh", "0-200 km/h"),
    ("60-130mph", "60-130 mph"),
    ("100-200kmh", "100-200 km/h"),
];

/// A mark as people write it; an unknown one as it stands.
pub fn spoken(mark: &str) -> &str {
    SPOKEN.iter().find(|(known, _)| *known == mark).map_or(mark, |(_, text)| text)
}

/// The time of one mark. Only marks that were reached exist.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkTime {
    pub mark: &'static str,
    /// Over the ground, from first motion. `None` when no witness carries it.
    pub time_s: Option<f64>,
    /// Half of the 95 % interval, systematic parts included.
    pub plus_minus_s: Option<f64>,
    /// The same with time zero at 0.3048 m travelled.
    pub rollout_time_s: Option<f64>,
    /// What the logged speed alone says.
    pub logged_time_s: Option<f64>,
    /// Ground speed at the mark.
    pub speed_mps: Option<f64>,
    pub verdict: Verdict,
}

/// A mark's time before it is judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Timed {
    pub mark: &'static str,
    pub kind: MarkKind,
    /// When the mark was passed, seconds of the log.
    pub at_s: f64,
    pub time_s: f64,
    pub sd_s: f64,
    pub rollout_time_s: Option<f64>,
    pub speed_mps: Option<f64>,
}

/// Times every mark that the motion reached before the lift.
///
/// `whole_sd_s` makes the whole deviation of the estimate's own, adding what that does not
/// carry (rounding that never averages out, clocks, hidden slip), for acceleration and
/// speed at the mark.
pub fn timed(
    estimate: &Estimate,
    pull: &Pull,
    whole_sd_s: impl Fn(f64, f64, f64) -> f64,
) -> Vec<Timed> {
    MARKS
        .iter()
        .filter(|(_, kind)| pull.kind == Kind::Standing || matches!(kind, MarkKind::Between { .. }))
        .filter_map(|&(mark, kind)| time_one(estimate, pull, mark, kind, &whole_sd_s))
        .collect()
}

fn time_one(
    estimate: &Estimate,
    pull: &Pull,
    mark: &'static str,
    kind: MarkKind,
    whole_sd_s: &impl Fn(f64, f64, f64) -> f64,
) -> Option<Timed> {
    let reach = |branch: &Branch| match kind {
        MarkKind::Distance { metres } => branch.at_distance(metres),
        MarkKind::Speed { mps } | MarkKind::Between { to_mps: mps, .. } => branch.at_speed(mps),
    };
    let (at_s, _) = estimate.mixed(reach)?;
    if at_s > pull.end_s + LIFT_TOLERANCE_S {
        return None;
    }
    let begin = |branch: &Branch| match kind {
        MarkKind::Between { from_mps, .. } => branch.at_speed(from_mps),
        MarkKind::Distance { .. } | MarkKind::Speed { .. } => Some((branch.first_motion_s(), 0.0)),
    };
    let (time_s, sd_s) = estimate.mixed(|branch| {
        let ((to_s, to_sd), (from_s, from_sd)) = (reach(branch)?, begin(branch)?);
        Some((to_s - from_s, libm::hypot(to_sd, from_sd)))
    })?;
    let rollout =
        |branch: &Branch| Some((reach(branch)?.0 - branch.at_distance(ROLLOUT_M)?.0, 0.0));
    let from_rest = !matches!(kind, MarkKind::Between { .. });
    let best = estimate.best()?;
    let slope = best.accel_at(at_s).unwrap_or(3.0).max(0.5);
    let speed_mps = best.speed_at(at_s);
    Some(Timed {
        mark,
        kind,
        at_s,
        time_s,
        sd_s: whole_sd_s(sd_s, slope, speed_mps.unwrap_or(0.0)),
        rollout_time_s: estimate.mixed(rollout).filter(|_| from_rest).map(|(mean, _)| mean),
        speed_mps,
    })
}

/// What the logged speed alone says, read the way it is read by hand: first crossing
/// between readings, counted from the pull's start; distance by the trapezium rule.
pub fn logged_time(logged: &Series, pull: &Pull, kind: MarkKind) -> Option<f64> {
    let (time_s, value) = logged.between(pull.start_s, pull.end_s + LIFT_TOLERANCE_S);
    let crossing = |level: f64, column: &[f64]| {
        let after = column.iter().position(|&y| y >= level)?;
        let Some(before) = after.checked_sub(1) else {
            return (pull.kind == Kind::Standing).then(|| time_s[0]);
        };
        let share = (level - column[before]) / (column[after] - column[before]);
        Some(time_s[before] + share * (time_s[after] - time_s[before]))
    };
    match kind {
        MarkKind::Speed { mps } => Some(crossing(mps, value)? - pull.start_s),
        MarkKind::Between { from_mps, to_mps } => {
            Some(crossing(to_mps, value)? - crossing(from_mps, value)?)
        }
        MarkKind::Distance { metres } => {
            let mut gone = vec![0.0; value.len()];
            for i in 1..value.len() {
                let step = time_s[i] - time_s[i - 1];
                gone[i] = gone[i - 1] + 0.5 * step * (value[i] + value[i - 1]);
            }
            Some(crossing(metres, &gone)? - pull.start_s)
        }
    }
}
