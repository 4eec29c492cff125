//! Charge air over each pull: the figure against road speed, and the table.

use super::Pulled;
use crate::chart::ChartId;
use crate::day::Day;
use crate::screen::{Cell, Column, Figure, Row, Table, labels, matrix};
use crate::sheet::{AtRow, HeatRow, Sheet};
use crate::unit::reader::{DASH, Units, with_unit};

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

/// The speeds that any pull reaches.
fn speeds(pulls: &[Pulled], day: &Day, units: &Units) -> Vec<f64> {
    let mut speeds = matrix::speeds(day, units);
    speeds.retain(|speed| pulls.iter().any(|(_, heat)| reading(heat, *speed).is_some()));
    speeds
}

fn reading(heat: &HeatRow, speed_mps: f64) -> Option<&AtRow> {
    heat.at.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01)
}

pub fn table(sheet: &Sheet, pulls: &[Pulled], day: &Day, units: &Units) -> Table {
    let speeds = speeds(pulls, day, units);
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
