//! From findings to the sheet: rounding nowhere, naming everywhere.
//!
//! In: the [`Day`] and the [`Findings`]. Out: the [`Sheet`], row for row in their
//! order. Nothing is found or judged here.

mod heat;

use super::*;
use crate::compare::{Comparison, Measure};
use crate::day::Day;
use crate::launch::power::WheelPower;
use crate::launch::{self, Launch, MarkTime, Reason, Spin};
use crate::log::align::Alignment;
use crate::log::{Channel, Log, Problem, Role};
use crate::pull::{Effort, Kind, Pull};
use crate::work::{Conditions, Drive, Findings, LogFindings, Work};

impl Work {
    /// The sheet of what is open.
    pub fn sheet(&self) -> Sheet {
        sheet(&self.day(), &self.findings())
    }
}

/// The sheet of a day.
pub fn sheet(day: &Day, findings: &Findings) -> Sheet {
    Sheet {
        format: FORMAT.to_owned(),
        version: VERSION,
        method: METHOD,
        title: day.title.clone(),
        problems: findings.problems.iter().map(problem).collect(),
        logs: findings.logs.iter().map(|found| log(day, found)).collect(),
        pulls: pulls(day, findings),
        builds: builds(day, findings),
        times: times(findings),
        ladders: heat::ladders(day, findings),
        comparisons: comparisons(findings, |row| row.unit != "W"),
        power_comparisons: comparisons(findings, |row| row.unit == "W"),
    }
}

fn log(day: &Day, found: &LogFindings) -> LogRow {
    let log: &Log = &found.log;
    LogRow {
        name: log.name.clone(),
        path: found.path.clone(),
        form: log.form.code().to_owned(),
        form_found: log.form_found.clone(),
        header_key: log.header_key.clone(),
        span_s: log.span_s,
        rows: log.rows,
        began: log.began_unix_s.and_then(rfc3339),
        build: found.build,
        outing: found.outing,
        drive: found.drive.map(drive),
        channels: log
            .channels
            .iter()
            .take(found.own_channels)
            .map(|channel| channel_row(day, log, channel))
            .collect(),
        problems: log.problems.iter().chain(&found.problems).map(problem).collect(),
    }
}

fn drive(found: Drive) -> DriveRow {
    let Alignment { shift_s, sd_s, agreement, by } = found.alignment;
    let plus_minus_s = sd_s.map(|sd_s| 1.96 * sd_s);
    DriveRow { of: found.of, shift_s, plus_minus_s, agreement, by: words::by(by).to_owned() }
}

fn channel_row(day: &Day, log: &Log, channel: &Channel) -> ChannelRow {
    let value = &channel.series.value;
    // Beside a unit, readings are shown in it: as the file has them.
    let written = |inside: f64| channel.unit.map_or(inside, |unit| unit.written(inside));
    let step = |inside: f64| channel.unit.map_or(inside, |unit| inside / unit.factor);
    ChannelRow {
        name: channel.name.clone(),
        role: channel.role.map(|role| Role::code(role).to_owned()),
        unit: channel.unit.map(|unit| unit.symbol.to_owned()),
        rate_hz: channel.rate_hz,
        samples: value.len() as u64,
        how: channel.how.clone(),
        derived: channel.derived,
        corrected: day
            .channel_corrections
            .iter()
            .any(|said| said.header_key == log.header_key && said.channel == channel.name),
        resolution: channel.resolution.map(step),
        least: value.iter().copied().min_by(f64::total_cmp).map(written),
        most: value.iter().copied().max_by(f64::total_cmp).map(written),
    }
}

/// The moment in UTC; `None` beyond the years that the form can write.
fn rfc3339(unix_s: f64) -> Option<String> {
    let span = jiff::SignedDuration::try_from_secs_f64(unix_s).ok()?;
    Some(jiff::Timestamp::from_duration(span).ok()?.to_string())
}

fn problem(problem: &Problem) -> ReasonRow {
    ReasonRow { code: problem.code.to_owned(), text: problem.text.clone() }
}

fn reason(reason: &Reason) -> ReasonRow {
    ReasonRow { code: reason.code.to_owned(), text: reason.text.clone() }
}

fn pulls(day: &Day, findings: &Findings) -> Vec<PullRow> {
    let mut rows = Vec::new();
    let mass_kg = day.vehicle.as_ref().and_then(|car| car.mass_kg).filter(|kg| *kg > 0.0);
    for (index, found) in findings.logs.iter().enumerate() {
        for (place, pull) in found.pulls.iter().enumerate() {
            if let Some(launch) = found.launches.get(place) {
                rows.push(PullRow {
                    quarter_mile_rules: rules(launch, mass_kg),
                    ..pull_row(index, found, place, pull, launch)
                });
            }
        }
    }
    rows
}

fn pull_row(
    log: usize,
    found: &LogFindings,
    place: usize,
    pull: &Pull,
    launch: &Launch,
) -> PullRow {
    let heat = found.heats.get(place).and_then(Option::as_ref);
    PullRow {
        log,
        build: found.build,
        outing: found.outing,
        number: pull.number,
        number_in_outing: found.number_in_outing.get(place).copied().flatten(),
        kind: words::kind(pull.kind).to_owned(),
        start_s: start_s(pull, launch),
        end_s: pull.end_s,
        found_start_s: found.found_starts_s.get(place).copied().unwrap_or(pull.start_s),
        effort: words::effort(pull.effort).to_owned(),
        opening_percent: opening_percent(pull.effort),
        set_aside: found.set_aside.get(place).cloned().flatten(),
        how: pull.how.clone(),
        verdict: words::verdict(launch.verdict).to_owned(),
        reasons: launch.reasons.iter().map(reason).collect(),
        marks: launch.marks.iter().map(mark).collect(),
        spin: launch.spin.iter().map(spin).collect(),
        witnesses: launch
            .witnesses
            .iter()
            .map(|trace| words::witness(trace.witness).to_owned())
            .collect(),
        top_speed_mps: launch.motion.as_ref().and_then(|motion| motion.top_speed_mps()),
        peak_accel_mps2: launch.push.peak_mps2,
        mean_accel_mps2: launch.push.mean_mps2,
        peak_accel_raw_mps2: launch.push.raw_peak_mps2,
        peak_accel_raw_window_mps2: launch.push.raw_window_mps2,
        wheel_power: launch.wheel_power.iter().map(power).collect(),
        quarter_mile_rules: Vec::new(),
        heat: heat.map(heat::row),
    }
}

fn rules(launch: &Launch, mass_kg: Option<f64>) -> Vec<RuleRow> {
    let checks = launch::field::quarter_mile(&launch.marks, mass_kg).into_iter();
    let row = |check: launch::field::RuleCheck| RuleRow {
        rule: check.rule.to_owned(),
        time_s: check.time_s,
        power_of_time_w: check.power_of_time_w,
        power_of_trap_w: check.power_of_trap_w,
    };
    checks.map(row).collect()
}

fn power(found: &WheelPower) -> PowerRow {
    let WheelPower { speed_mps, power_w, plus_minus_w } = *found;
    PowerRow { speed_mps, power_w, plus_minus_w }
}

/// First motion as the launch estimates it, which the marks count from; for a
/// rolling pull the throttle opening.
fn start_s(pull: &Pull, launch: &Launch) -> f64 {
    match (pull.kind, &launch.motion) {
        (Kind::Standing, Some(motion)) => motion.start_s,
        _ => pull.start_s,
    }
}

fn opening_percent(effort: Effort) -> Option<f64> {
    match effort {
        Effort::Part { opening_percent } => Some(opening_percent),
        Effort::Full | Effort::Unknown => None,
    }
}

fn mark(mark: &MarkTime) -> MarkRow {
    MarkRow {
        mark: mark.mark.to_owned(),
        time_s: mark.time_s,
        plus_minus_s: mark.plus_minus_s,
        rollout_time_s: mark.rollout_time_s,
        logged_time_s: mark.logged_time_s,
        speed_mps: mark.speed_mps,
        verdict: words::verdict(mark.verdict).to_owned(),
    }
}

fn spin(spin: &Spin) -> SpinRow {
    SpinRow {
        from_s: spin.from_s,
        to_s: spin.to_s,
        peak_slip: spin.peak_slip,
        kind: words::spin(spin.kind).to_owned(),
        mean_slip: spin.mean_slip,
        slip_distance_m: spin.slip_distance_m,
        time_lost_s: spin.time_lost.map(|lost| lost.lost_s),
        time_lost_plus_minus_s: spin.time_lost.and_then(|lost| lost.plus_minus_s),
        evidence: spin.evidence.clone(),
    }
}

/// The times that stand, build by build, over all builds, and in each log that belongs to
/// none. Pulls that were set aside do not count.
fn times(findings: &Findings) -> Vec<TimesRow> {
    let mut rows = Vec::new();
    for build in 0..findings.builds.len() {
        rows.extend(field(findings, Some(build), None, |log| log.build == Some(build)));
    }
    if findings.builds.len() > 1 {
        rows.extend(field(findings, None, None, |log| log.build.is_some()));
    }
    for (index, found) in findings.logs.iter().enumerate() {
        if found.build.is_none() {
            rows.extend(field(findings, None, Some(index), |log| std::ptr::eq(log, found)));
        }
    }
    rows
}

fn field(
    findings: &Findings,
    build: Option<usize>,
    log: Option<usize>,
    own: impl Fn(&LogFindings) -> bool,
) -> Vec<TimesRow> {
    let logs: Vec<&LogFindings> = findings.logs.iter().filter(|found| own(found)).collect();
    let launches = logs.iter().flat_map(|found| {
        let pulls = found.launches.iter().zip(&found.set_aside);
        pulls.filter(|(_, why)| why.is_none()).map(|(launch, _)| launch)
    });
    let row = |mark: launch::field::MarkField| TimesRow {
        build,
        log,
        mark: mark.mark.to_owned(),
        stand: mark.stand,
        do_not_stand: mark.do_not_stand,
        best_s: mark.best_s,
        median_s: mark.median_s,
        spread_s: mark.spread_s,
        best_plus_minus_s: mark.best_plus_minus_s,
        median_plus_minus_s: mark.median_plus_minus_s,
        spread_plus_minus_s: mark.spread_plus_minus_s,
    };
    launch::field::field(launches).into_iter().map(row).collect()
}

fn builds(day: &Day, findings: &Findings) -> Vec<BuildRow> {
    day.builds
        .iter()
        .zip(&findings.builds)
        .map(|(build, found)| BuildRow {
            name: build.name.clone(),
            outings: build
                .outings
                .iter()
                .zip(&found.outings)
                .map(|(said, found)| OutingRow {
                    date: said.date.clone(),
                    logs: said.logs.clone(),
                    missing_logs: found.missing_logs.clone(),
                    ..air(&found.conditions)
                })
                .collect(),
        })
        .collect()
}

/// The air of an outing; what the day says of it besides is left empty.
fn air(conditions: &Conditions) -> OutingRow {
    let air = &conditions.air;
    OutingRow {
        ambient_c: air.ambient_c,
        relative_humidity_percent: air.relative_humidity_percent,
        pressure_kpa: air.pressure_pa.map(|pascal| pascal / 1000.0),
        air_density_kgpm3: air.density_kgpm3(),
        density_altitude_m: air.density_altitude_m(),
        dew_point_c: air.dew_point_c(),
        ambient_from: conditions.ambient_from.clone(),
        relative_humidity_from: conditions.relative_humidity_from.clone(),
        pressure_from: conditions.pressure_from.clone(),
        correction_factors: air
            .factors()
            .into_iter()
            .map(|named| FactorRow {
                standard: named.standard.to_owned(),
                factor: named.factor,
                within_limits: named.within_limits,
            })
            .collect(),
        ..OutingRow::default()
    }
}

fn comparisons(findings: &Findings, wanted: fn(&ComparisonRow) -> bool) -> Vec<ComparisonRow> {
    findings.comparisons.iter().map(comparison).filter(wanted).collect()
}

fn comparison(found: &Comparison) -> ComparisonRow {
    let (quantity, mark_speed_mps, mark, unit) = match found.measure {
        Measure::ChargeRise => ("charge_rise", None, None, "K"),
        Measure::ChargeAtMark { speed_mps } => ("charge_at_mark", Some(speed_mps), None, "K"),
        Measure::ChargeStart => ("charge_start", None, None, "K"),
        Measure::RecoveryTau => ("recovery_tau", None, None, "s"),
        Measure::TimeToMark { mark } => ("time_to_mark", None, Some(mark), "s"),
        Measure::WheelPower { speed_mps } => ("wheel_power", Some(speed_mps), None, "W"),
    };
    ComparisonRow {
        from: found.from,
        to: found.to,
        quantity: quantity.to_owned(),
        mark_speed_mps,
        mark: mark.map(str::to_owned),
        difference: found.difference,
        low: found.low,
        high: found.high,
        unit: unit.to_owned(),
        adjusted: found.adjusted,
        raw_difference: found.raw_difference,
        pairs: found.pairs,
        smallest_shown: found.smallest_shown,
        verdict: words::worth(found.worth).to_owned(),
        reasons: found.reasons.iter().map(reason).collect(),
        at_pull: found.at_pull.map(|at| AtPullRow {
            number: at.number,
            difference: at.effect.difference,
            low: at.effect.low,
            high: at.effect.high,
        }),
        direct: found.direct.map(|direct| EffectRow {
            difference: direct.difference,
            low: direct.low,
            high: direct.high,
        }),
        no_direct: found.no_direct.map(str::to_owned),
        how: found.how.clone(),
    }
}
