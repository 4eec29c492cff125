//! Charge air over each pull: the figure against road speed, and the table.

use super::Pulled;
use crate::chart::ChartId;
use crate::screen::{Cell, Column, Figure, Row, Table, labels};
use crate::sheet::{AtRow, HeatRow, Sheet};
use crate::unit::reader::{DASH, SpeedUnit, Units, with_unit};
use crate::unit::{MPS_PER_KMH, MPS_PER_MPH};

pub fn over_speed(pulls: &[Pulled], units: &Units) -> Figure {
    let most = pulls.iter().map(|(_, heat)| heat.end_c).fold(f64::NEG_INFINITY, f64::max);
    let title = if most.is_finite() {
        format!("Charge air against road speed: up to {}", units.temperature_text(Some(most)))
    } else {
        "Charge air against road speed".to_owned()
    };
    let note = "One line a pull, one panel a build, all on one scale; later pulls are heavier.";
    Figure { id: ChartId::HeatOverSpeed, title, note: note.to_owned() }
}

/// The day's own speeds, or up to four in the reader's unit, that pulls reach.
fn speeds(pulls: &[Pulled], own_mps: &[f64], units: &Units) -> Vec<f64> {
    let wanted: Vec<f64> = match units.speed {
        SpeedUnit::Mph => [40.0, 60.0, 80.0, 100.0].iter().map(|v| v * MPS_PER_MPH).collect(),
        SpeedUnit::Kmh => [60.0, 100.0, 130.0, 160.0].iter().map(|v| v * MPS_PER_KMH).collect(),
    };
    let mut wanted = if own_mps.is_empty() { wanted } else { own_mps.to_vec() };
    wanted.sort_by(f64::total_cmp);
    wanted
        .into_iter()
        .filter(|speed| pulls.iter().any(|(_, heat)| reading(heat, *speed).is_some()))
        .collect()
}

fn reading(heat: &HeatRow, speed_mps: f64) -> Option<&AtRow> {
    heat.at.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01)
}

pub fn table(sheet: &Sheet, pulls: &[Pulled], own_mps: &[f64], units: &Units) -> Table {
    let speeds = speeds(pulls, own_mps, units);
    let mut columns = vec![Column::text("Pull"), Column::number("Start")];
    columns.extend(
        speeds.iter().map(|s| Column::number(format!("At {}", units.speed_text(Some(*s))))),
    );
    columns.extend(["End", "Rise", "Peak", "Peak after lift by"].map(Column::number));
    let row = |(pull, heat): &Pulled| {
        let told = |c: f64, plus_minus_c: f64| Cell::new(units.temperature_within(c, plus_minus_c));
        let at = |speed: &f64| match reading(heat, *speed) {
            Some(at) => told(at.charge_c, at.plus_minus_c),
            None => Cell::new(DASH),
        };
        let mut cells = vec![Cell::new(labels::pull(sheet, pull))];
        cells.push(told(heat.start_c, heat.start_plus_minus_c));
        cells.extend(speeds.iter().map(at));
        cells.push(told(heat.end_c, heat.end_plus_minus_c));
        cells.push(Cell::new(units.kelvin_within(heat.rise_c, heat.rise_plus_minus_c)));
        cells.push(Cell::new(units.temperature_text(Some(heat.peak_c))));
        cells.push(Cell::new(with_unit(Some(heat.peak_after_s.max(0.0)), 1, "s")));
        Row::new(cells)
    };
    Table {
        caption: "Charge air, after the cooler, over each pull; ± half of the 95 % interval"
            .to_owned(),
        columns,
        rows: pulls.iter().map(row).collect(),
    }
}
