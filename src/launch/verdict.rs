//! Verdicts: which marks stand, which are in doubt, which are void, and why.
//!
//! In: the timed marks of one pull and the [`Facts`] known about it. Out: a verdict a
//! mark, one for the pull, and [`Reason`]s, each with its numbers and what to log next
//! time to settle it.
//!
//! Never: a time that stands on one witness that a spinning wheel can falsify.

use super::marks::{MarkKind, Timed, spoken};
use super::wheel::Excess;
use super::{Limits, Reason, Spin, SpinKind, Verdict};
use crate::pull::{Effort, Kind, Pull};
use crate::unit::MPS_PER_MPH;

/// What is known about one pull beside its marks.
#[derive(Debug, Clone)]
pub struct Facts<'a> {
    pub pull: &'a Pull,
    /// Fresh readings of speed or acceleration a second that carry the motion.
    pub carried_hz: f64,
    /// The longest hole between two readings of the carrying speed.
    pub longest_hole_s: f64,
    pub has_ground: bool,
    pub has_accelerometer: bool,
    pub has_logged: bool,
    /// Where the logged speed was not the car's.
    pub wheels: &'a [Excess],
    pub spins: &'a [Spin],
    /// Shortest possible 0-60 mph on the tyres assumed.
    pub shortest_60_s: f64,
    pub slope: Option<f64>,
    /// By how much the logged speed reads above the ground, the accelerometer above the
    /// motion, as shares.
    pub logged_off: f64,
    pub accelerometer_off: f64,
    pub stuck: Option<(f64, f64)>,
    /// The log's clock steps more slowly than its records come; where within a step each
    /// lies is made up.
    pub coarse_clock: bool,
}

/// Half of a 95 % interval in standard deviations.
pub const COVERAGE: f64 = 1.96;

/// The verdict on one mark.
pub fn of_mark(timed: &Timed, facts: &Facts, limits: &Limits) -> Verdict {
    let allowed = allowed_s(timed, limits);
    let half = COVERAGE * timed.sd_s;
    if facts.carried_hz < limits.fewest_hz || half > 2.0 * allowed {
        return Verdict::Void;
    }
    if is_untold(timed, facts) {
        return Verdict::Void;
    }
    let steep = facts.slope.is_some_and(|slope| slope.abs() > limits.slope);
    if half > allowed
        || steep
        || facts.coarse_clock
        || lone(facts)
        || hole_in(facts)
        || long_blind(timed, facts)
        || hangs(timed, facts)
    {
        return Verdict::InDoubt;
    }
    Verdict::Stands
}

/// Half-interval at which the mark stands.
fn allowed_s(timed: &Timed, limits: &Limits) -> f64 {
    let short = match timed.kind {
        MarkKind::Speed { mps } => mps <= 60.5 * MPS_PER_MPH || timed.mark == "0-100kmh",
        MarkKind::Distance { metres } => metres < 150.0,
        MarkKind::Between { .. } => false,
    };
    if short { limits.short_s } else { (limits.long_share * timed.time_s).max(limits.short_s) }
}

/// Nothing but the logged speed, which a driven wheel may turn.
fn lone(facts: &Facts) -> bool {
    facts.has_logged && !facts.has_ground && !facts.has_accelerometer
}

/// The logged speed hung before the mark.
fn hangs(timed: &Timed, facts: &Facts) -> bool {
    facts.stuck.is_some_and(|(from_s, _)| from_s < timed.at_s)
}

/// The accelerometer alone carried the motion for longer than it can be trusted to:
/// what is left of its reading at rest grows with time (common practice, no source).
fn long_blind(timed: &Timed, facts: &Facts) -> bool {
    const LONGEST_S: f64 = 3.0;
    let blind: f64 = facts
        .wheels
        .iter()
        .map(|w| (w.to_s.min(timed.at_s) - w.from_s.min(timed.at_s)).max(0.0))
        .sum();
    facts.has_accelerometer && !facts.has_ground && blind > LONGEST_S
}

/// Where the only witness is known to have begun to run ahead of the road, in seconds of the
/// log: how the car moved from there on, nothing tells.
pub fn told_to_s(facts: &Facts) -> Option<f64> {
    let from_s = facts.wheels.iter().map(|w| w.from_s).filter(|_| lone(facts));
    from_s.min_by(f64::total_cmp)
}

/// The mark lies where nothing tells the motion any more.
pub fn is_untold(timed: &Timed, facts: &Facts) -> bool {
    told_to_s(facts).is_some_and(|told_s| told_s < timed.at_s)
}

fn hole_in(facts: &Facts) -> bool {
    facts.longest_hole_s > 0.6_f64.max(3.0 / facts.carried_hz.max(0.1))
}

/// The mark that the pull's verdict hangs on: 0-60 mph, or the longest below it.
pub fn decisive(marks: &[(&'static str, Verdict)]) -> Option<Verdict> {
    ["0-60mph", "0-30mph", "330ft", "60ft"]
        .iter()
        .find_map(|name| marks.iter().find(|(mark, _)| mark == name))
        .map(|&(_, verdict)| verdict)
}

/// Every reason of a pull: first what spoils the time, gravest first, then what a reader
/// should know besides.
pub fn reasons(facts: &Facts, timed: &[Timed], limits: &Limits) -> Vec<Reason> {
    let mut found = Vec::new();
    found.extend(rolling(facts));
    found.extend(cut(facts));
    found.extend(too_few(facts, limits));
    found.extend(wheelspin(facts));
    found.extend(impossible(facts));
    found.extend(blind(facts, timed));
    found.extend(hole(facts));
    found.extend(coarse_clock(facts));
    found.extend(stuck(facts));
    found.extend(slope(facts, limits));
    found.extend(disagree(facts));
    found.extend(single(facts));
    found.extend(wide(facts, timed, limits));
    found.extend(not_reached(facts, timed));
    found.extend(other_slip(facts));
    found.extend(part_throttle(facts));
    found
}

fn reason(code: &'static str, text: String) -> Option<Reason> {
    Some(Reason { code, text })
}

fn rolling(facts: &Facts) -> Option<Reason> {
    if facts.pull.kind == Kind::Standing {
        return None;
    }
    reason(
        "rolling_start",
        "The car was already rolling when the throttle opened, so there is no time from rest; \
         the times between two speeds are given instead."
            .to_owned(),
    )
}

fn cut(facts: &Facts) -> Option<Reason> {
    if facts.pull.cut.at_start {
        return reason(
            "log_starts_in_motion",
            "The log begins with the car in motion. Start the recording before the launch and \
             stand still for two seconds."
                .to_owned(),
        );
    }
    facts.pull.cut.at_end.then(|| Reason {
        code: "log_ends_inside",
        text: "The log ends before the lift; marks beyond its end are not timed. Let the \
               recording run on for a minute after the pull."
            .to_owned(),
    })
}

fn not_reached(facts: &Facts, timed: &[Timed]) -> Option<Reason> {
    let reached = timed.iter().any(|t| t.mark == "0-60mph");
    if reached || facts.pull.kind == Kind::Rolling {
        return None;
    }
    reason(
        "not_reached",
        "60 mph was not reached before the lift; the verdict is that of the longest mark below it."
            .to_owned(),
    )
}

fn too_few(facts: &Facts, limits: &Limits) -> Option<Reason> {
    if facts.carried_hz >= limits.fewest_hz {
        return None;
    }
    reason(
        "too_few_samples",
        format!(
            "The speed was refreshed only {:.1} times a second; a time needs at least {:.1}. Log \
             fewer channels so that each is read more often, or add a satellite receiver of 10 Hz.",
            facts.carried_hz, limits.fewest_hz
        ),
    )
}

fn wheelspin(facts: &Facts) -> Option<Reason> {
    let tyre: Vec<&Spin> = facts.spins.iter().filter(|s| s.kind == SpinKind::Tyre).collect();
    let worst = tyre.iter().copied().max_by(|a, b| a.peak_slip.total_cmp(&b.peak_slip))?;
    let lasts: f64 = tyre.iter().map(|s| s.to_s - s.from_s).sum();
    let witness = match (facts.has_ground, facts.has_accelerometer) {
        (true, _) => "The speed over the ground is witnessed apart from the driven wheels.",
        (false, true) => "The accelerometer carries the motion meanwhile.",
        (false, false) => {
            "Nothing in the log witnesses the ground meanwhile; log an accelerometer, a satellite \
             speed or an undriven wheel to settle it."
        }
    };
    let evidence = worst.evidence.first().map_or("", String::as_str);
    reason(
        "wheelspin",
        format!(
            "The tyres spun for {lasts:.1} s, by up to {:.0} %. {evidence} {witness}",
            100.0 * worst.peak_slip
        ),
    )
}

fn blind(facts: &Facts, timed: &[Timed]) -> Option<Reason> {
    let mark = timed.iter().find(|t| t.mark == "0-60mph").or_else(|| timed.last())?;
    if !long_blind(mark, facts) {
        return None;
    }
    reason(
        "accelerometer_alone",
        "The wheels ran ahead for so long that only the accelerometer carries the time; what is \
         left of its reading at rest grows with time. Log a satellite speed or an undriven wheel."
            .to_owned(),
    )
}

fn impossible(facts: &Facts) -> Option<Reason> {
    let beyond = facts.wheels.iter().find(|w| w.evidence.contains("tyres can give"))?;
    reason(
        "beyond_tyres",
        format!(
            "{} No car on such tyres reaches 60 mph in under {:.2} s.",
            beyond.evidence, facts.shortest_60_s
        ),
    )
}

fn other_slip(facts: &Facts) -> Option<Reason> {
    let slip = facts.spins.iter().find(|s| s.kind != SpinKind::Tyre)?;
    let evidence = slip.evidence.first().cloned().unwrap_or_default();
    let (code, what) = match slip.kind {
        SpinKind::Converter => ("converter_slip", "This is the torque converter, not wheelspin."),
        SpinKind::Clutch => ("clutch_slip", "This is the clutch, not wheelspin."),
        SpinKind::Tyre | SpinKind::Unknown => ("unknown_slip", "The log cannot tell what slipped."),
    };
    reason(code, format!("{what} {evidence}"))
}

fn hole(facts: &Facts) -> Option<Reason> {
    if !hole_in(facts) {
        return None;
    }
    reason(
        "gap_inside",
        format!(
            "The speed was not refreshed for {:.1} s inside the pull; a time across the gap is a \
             guess. Log fewer channels, or faster.",
            facts.longest_hole_s
        ),
    )
}

fn coarse_clock(facts: &Facts) -> Option<Reason> {
    if !facts.coarse_clock {
        return None;
    }
    reason(
        "clock_coarse",
        "Several records share each step of the log's clock; they were laid evenly over it, and a \
         time is only as good as that. Log the time with its fractions of a second."
            .to_owned(),
    )
}

fn stuck(facts: &Facts) -> Option<Reason> {
    let (from_s, to_s) = facts.stuck?;
    reason(
        "speed_stuck",
        format!(
            "The logged speed stands still from {from_s:.2} s to {to_s:.2} s of the log while the \
             engine climbs."
        ),
    )
}

fn slope(facts: &Facts, limits: &Limits) -> Option<Reason> {
    let slope = facts.slope.filter(|slope| slope.abs() > limits.slope)?;
    let way = if slope > 0.0 { "uphill" } else { "downhill" };
    reason(
        "slope",
        format!(
            "The road runs {way} by {:.1} %; more than {:.1} % puts a time in doubt. Drive both \
             directions, or find a level stretch.",
            100.0 * slope.abs(),
            100.0 * limits.slope
        ),
    )
}

/// Tyres of another size than the car's computer thinks, or an accelerometer that leans: more
/// than ordinary ones have (common practice, no source).
fn disagree(facts: &Facts) -> Option<Reason> {
    const LOGGED: f64 = 0.025;
    const ACCELEROMETER: f64 = 0.08;
    let way = |off: f64| if off > 0.0 { "above" } else { "below" };
    let (logged, felt) = (facts.logged_off, facts.accelerometer_off);
    if facts.has_ground && facts.has_logged && logged.abs() > LOGGED {
        return reason(
            "witnesses_disagree",
            format!(
                "The logged speed reads {:.1} % {} the speed over the ground all the way, as on \
                 tyres of another size; the ground is believed. If the difference is this large in \
                 every log, have the speed calibrated to the tyres fitted.",
                100.0 * logged.abs(),
                way(logged)
            ),
        );
    }
    (facts.has_accelerometer && felt.abs() > ACCELEROMETER).then(|| Reason {
        code: "witnesses_disagree",
        text: format!(
            "The accelerometer reads {:.0} % {} what the speeds say. Fix it level and firmly to \
             the body, and stand still for some seconds before the start.",
            100.0 * felt.abs(),
            way(felt)
        ),
    })
}

fn single(facts: &Facts) -> Option<Reason> {
    if !lone(facts) {
        return None;
    }
    reason(
        "single_witness",
        format!(
            "Only the logged speed tells this time, and a driven wheel may turn it: no sign of \
             wheelspin is not proof of none. Tyres like these cannot do 0-60 mph in under \
             {:.2} s. Log an accelerometer, a satellite speed or an undriven wheel beside it.",
            facts.shortest_60_s
        ),
    )
}

fn wide(facts: &Facts, timed: &[Timed], limits: &Limits) -> Option<Reason> {
    let mark = timed.iter().find(|t| t.mark == "0-60mph").or_else(|| timed.first())?;
    let (half, allowed) = (COVERAGE * mark.sd_s, allowed_s(mark, limits));
    if half <= allowed || is_untold(mark, facts) {
        return None;
    }
    reason(
        "interval_too_wide",
        format!(
            "The {} is known to ± {half:.2} s; it stands at ± {allowed:.3} s or less. A satellite \
             speed of 10 Hz or more, or an accelerometer read 20 times a second, would narrow it.",
            spoken(mark.mark)
        ),
    )
}

fn part_throttle(facts: &Facts) -> Option<Reason> {
    let Effort::Part { opening_percent } = facts.pull.effort else { return None };
    reason(
        "part_throttle",
        format!(
            "The throttle was never wide open ({opening_percent:.0} % at most): this start is timed, \
             but it is no full-throttle pull."
        ),
    )
}
