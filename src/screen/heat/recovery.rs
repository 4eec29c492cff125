//! The recovery after each lift: the figure, the table, and why a pull has none.

use super::Pulled;
use crate::chart::ChartId;
use crate::screen::{Cell, Column, Figure, Note, Row, Table, labels, listed};
use crate::sheet::{RecoveryRow, Sheet};
use crate::unit::reader::{DASH, Units, number, with_unit};

pub fn figure(pulls: &[Pulled]) -> Figure {
    let taus: Vec<f64> =
        pulls.iter().filter_map(|(_, heat)| heat.recovery.as_ref()?.tau_s).collect();
    let least = taus.iter().copied().reduce(f64::min);
    let most = taus.iter().copied().reduce(f64::max);
    let title = match (least, most) {
        (Some(least), Some(most)) if number(least, 0) != number(most, 0) => format!(
            "After the lift the charge air comes back with time constants of {} to {} s",
            number(least, 0),
            number(most, 0)
        ),
        (Some(tau), _) => {
            format!(
                "After the lift the charge air comes back with a time constant of {} s",
                number(tau, 0)
            )
        }
        _ => "After the lift: the log stops too early for a time constant".to_owned(),
    };
    let note = "Charge air from the lift on. Dashed: the fitted cooling, where there is one.";
    Figure { id: ChartId::Recovery, title, note: note.to_owned() }
}

pub fn table(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Table {
    let row = |(pull, heat): &Pulled| {
        let told = match &heat.recovery {
            Some(recovery) => told(recovery, units),
            None => [DASH; 6].map(str::to_owned),
        };
        let name = labels::pull(sheet, pull);
        Row::new(std::iter::once(name).chain(told).map(Cell::new).collect())
    };
    Table {
        caption: "Recovery after the lift; time constants with their 95 % interval".to_owned(),
        columns: vec![
            Column::text("Pull"),
            Column::text("The car"),
            Column::number("Time constant"),
            Column::number("Half-time"),
            Column::number("Settles at"),
            Column::number("After 60 s"),
            Column::text("Back at the start's level"),
        ],
        rows: pulls.iter().map(row).collect(),
    }
}

fn told(recovery: &RecoveryRow, units: &Units) -> [String; 6] {
    let settles = match recovery.settles_at_c.zip(recovery.settles_plus_minus_c) {
        Some((c, plus_minus_c)) => units.temperature_within(c, plus_minus_c),
        None => units.temperature_text(recovery.settles_at_c),
    };
    [
        while_car(&recovery.while_car).to_owned(),
        time_constant(recovery),
        with_unit(recovery.half_time_s, 0, "s"),
        settles,
        by_fit(units.temperature_text(recovery.after_60s_c), recovery.after_60s_is_fit),
        match recovery.back_after_s {
            Some(s) => by_fit(format!("after {} s", number(s, 0)), recovery.back_is_fit),
            None => "not within the log".to_owned(),
        },
    ]
}

fn time_constant(recovery: &RecoveryRow) -> String {
    let s = |value: f64| number(value, 0);
    match (recovery.tau_s, recovery.tau_low_s, recovery.tau_high_s) {
        (Some(tau), Some(low), Some(high)) => format!("{} s ({} to {})", s(tau), s(low), s(high)),
        (_, Some(low), None) => format!("at least {} s", s(low)),
        (Some(tau), ..) => format!("{} s ({DASH})", s(tau)),
        (None, ..) => DASH.to_owned(),
    }
}

/// Beyond the record only the fit tells.
fn by_fit(text: String, is_fit: bool) -> String {
    if is_fit { format!("{text}, by the fit") } else { text }
}

fn while_car(code: &str) -> &str {
    match code {
        "stood" => "stood",
        "drove" => "drove",
        "mixed" => "both",
        "unknown" => DASH,
        other => other,
    }
}

/// Why pulls have no time constant: each reason once, with the pulls it holds for.
pub fn untold(sheet: &Sheet, pulls: &[Pulled]) -> Vec<Note> {
    let mut whys: Vec<(&str, Vec<String>)> = Vec::new();
    for (pull, heat) in pulls {
        let of_fit = heat.recovery.as_ref().and_then(|recovery| recovery.no_tau.as_deref());
        let Some(why) = of_fit.or(heat.no_recovery.as_deref()) else { continue };
        let name = labels::pull(sheet, pull);
        match whys.iter_mut().find(|(known, _)| *known == why) {
            Some((_, names)) => names.push(name),
            None => whys.push((why, vec![name])),
        }
    }
    let note = |(why, names): (&str, Vec<String>)| Note {
        code: "no_time_constant".to_owned(),
        text: format!("No time constant for {}. {why}", listed(&names)),
    };
    whys.into_iter().map(note).collect()
}
