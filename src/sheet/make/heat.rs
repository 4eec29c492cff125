//! The rows of heat from what was found of it.

use super::super::{AtRow, HardwareRow, HeatRow, LadderRow, LagRow, RecoveryRow, WaitRow};
use super::words;
use crate::day::Day;
use crate::heat::{Hardware, Heat, Ladder, Lag, Recovery, Wait};
use crate::work::{Findings, LogFindings};

/// Half of the 95 % interval over the standard deviation, for a normal error.
/// Source: JCGM 100:2008 (GUM), table G.1.
const COVERAGE_95: f64 = 1.96;

pub fn row(heat: &Heat) -> HeatRow {
    HeatRow {
        start_c: heat.start_c,
        start_plus_minus_c: COVERAGE_95 * heat.start_sd_c,
        end_c: heat.end_c,
        end_plus_minus_c: COVERAGE_95 * heat.end_sd_c,
        peak_c: heat.peak_c,
        peak_after_s: heat.peak_after_s,
        rise_c: heat.rise_c,
        rise_plus_minus_c: COVERAGE_95 * heat.rise_sd_c,
        rise_k_per_s: heat.rise_k_per_s,
        rise_k_per_kjpkg: heat.rise_k_per_kjpkg,
        inlet_start_c: heat.inlet_start_c,
        inlet_end_c: heat.inlet_end_c,
        at: heat
            .at
            .iter()
            .map(|at| AtRow {
                speed_mps: at.speed_mps,
                charge_c: at.charge_c,
                plus_minus_c: COVERAGE_95 * at.sd_c,
            })
            .collect(),
        recovery: heat.recovery.as_ref().map(recovery),
        no_recovery: heat.no_recovery.clone(),
        lag: heat.lag.as_ref().map(lag),
        hardware: hardware(&heat.hardware),
    }
}

fn recovery(recovery: &Recovery) -> RecoveryRow {
    RecoveryRow {
        from_s: recovery.from_s,
        to_s: recovery.to_s,
        tau_s: recovery.tau_s,
        tau_low_s: recovery.tau_low_s,
        tau_high_s: recovery.tau_high_s,
        half_time_s: recovery.tau_s.map(|tau_s| tau_s * core::f64::consts::LN_2),
        settles_at_c: recovery.settles_at_c,
        settles_plus_minus_c: recovery.settles_plus_minus_c,
        after_60s_c: recovery.after_60s_c,
        after_60s_is_fit: recovery.after_60s_is_fit,
        back_after_s: recovery.back_after_s,
        back_is_fit: recovery.back_is_fit,
        falls_k_per_s: recovery.falls_k_per_s,
        no_tau: recovery.no_tau.clone(),
        while_car: words::while_car(recovery.while_car).to_owned(),
    }
}

fn lag(lag: &Lag) -> LagRow {
    LagRow {
        tau_s: lag.tau_s,
        low_s: lag.low_s,
        high_s: lag.high_s,
        end_undone_c: lag.end_undone.map(|end| end.c),
        end_undone_plus_minus_c: lag.end_undone.map(|end| COVERAGE_95 * end.sd_c),
    }
}

fn hardware(hardware: &Hardware) -> HardwareRow {
    HardwareRow {
        coolant_start_c: hardware.coolant_start_c,
        coolant_end_c: hardware.coolant_end_c,
        ambient_c: hardware.ambient_c,
        pressure_ratio: hardware.pressure_ratio,
        outlet_low_c: hardware.outlet_c.map(|outlet| outlet.low),
        outlet_high_c: hardware.outlet_c.map(|outlet| outlet.high),
        efficiency: hardware.efficiency,
        effectiveness_low: hardware.effectiveness.map(|share| share.low),
        effectiveness_high: hardware.effectiveness.map(|share| share.high),
        charge_kgpm3: hardware.charge_kgpm3,
        air_lost: hardware.air_lost,
    }
}

/// A ladder for each log that has one.
pub fn ladders(day: &Day, findings: &Findings) -> Vec<LadderRow> {
    let logs = findings.logs.iter().enumerate();
    let row = |(log, found): (usize, &LogFindings)| {
        Some(ladder(log, found.ladder.as_ref()?, day.start_wanted_c))
    };
    logs.filter_map(row).collect()
}

fn ladder(log: usize, ladder: &Ladder, wanted_c: Option<f64>) -> LadderRow {
    LadderRow {
        log,
        starts_c: ladder.starts_c.clone(),
        ends_c: ladder.ends_c.clone(),
        carry_over_c: ladder.carry_over_c,
        tends_to_c: ladder.tends_to_c,
        tends_plus_minus_c: ladder.tends_plus_minus_c,
        forecast_c: ladder.forecast_c.clone(),
        forecast_plus_minus_c: ladder.forecast_plus_minus_c.clone(),
        gap_s: ladder.gap_s,
        wait_for_first: ladder.wait_for_first.as_ref().map(wait),
        wait_for_wanted: ladder
            .cooling
            .zip(wanted_c)
            .and_then(|(cooling, wanted_c)| cooling.wait(wanted_c))
            .as_ref()
            .map(wait),
        still_to_climb_c: ladder.still_to_climb_c,
    }
}

fn wait(wait: &Wait) -> WaitRow {
    WaitRow { target_c: wait.target_c, wait_s: wait.wait_s, low_s: wait.low_s, high_s: wait.high_s }
}
