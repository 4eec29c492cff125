//! Power at the wheels, part 4: every pull at the same road speeds.
//!
//! In: the sheet. Out: a [`Table`], or nothing where no mass was entered. A dash stands where
//! the tyres slipped or the pull had ended.

use super::labels;
use super::{Cell, Column, How, Row, Table};
use crate::sheet::{PowerRow, PullRow, Sheet};
use crate::unit::WATT_PER_HORSEPOWER;
use crate::unit::reader::{DASH, Units, number};

/// Speeds told of; all of them are in the sheet.
const EVERY: usize = 2;

pub fn table(sheet: &Sheet, counted: &[&PullRow], units: &Units) -> Option<Table> {
    let speeds = speeds(counted);
    if speeds.is_empty() {
        return None;
    }
    let symbol = units.speed.symbol();
    let head = |mps: &f64| format!("{} {symbol}", number(units.speed.written(*mps), 0));
    let mut columns = vec![Column::text("Pull")];
    columns.extend(speeds.iter().map(|mps| Column::number(head(mps))));
    let row = |pull: &&PullRow| {
        let mut cells = vec![Cell::new(labels::pull(sheet, pull))];
        cells.extend(speeds.iter().map(|&mps| Cell::new(cell(pull, mps))));
        Row::new(cells)
    };
    let with_power = counted.iter().filter(|pull| !pull.wheel_power.is_empty());
    Some(Table {
        caption: "Power at the wheels in kW (hp), ± half of the 95 % interval, from the mass \
                  entered; a dash where the tyres slipped or the pull was over"
            .to_owned(),
        columns,
        rows: with_power.map(row).collect(),
    })
}

/// Every second speed that any pull tells of.
fn speeds(counted: &[&PullRow]) -> Vec<f64> {
    let mut all: Vec<f64> =
        counted.iter().flat_map(|pull| &pull.wheel_power).map(|row| row.speed_mps).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all.into_iter().step_by(EVERY).collect()
}

fn cell(pull: &PullRow, mps: f64) -> String {
    let kilowatt = |w: f64| number(w / 1000.0, 0);
    let told = |row: &PowerRow| {
        format!(
            "{} ± {} ({})",
            kilowatt(row.power_w),
            kilowatt(row.plus_minus_w),
            number(row.power_w / WATT_PER_HORSEPOWER, 0)
        )
    };
    pull.wheel_power.iter().find(|row| row.speed_mps == mps).map_or(DASH.to_owned(), told)
}

pub fn how() -> How {
    How::new(
        "Power at the wheels: speed times the force that speeds the car up, moves the air aside \
         and turns the tyres; what turns along counts by the ratio that engine and road speed \
         show.",
        vec![
            "Mass as entered, give or take 2 %.".to_owned(),
            "Drag area 0.65 m² ± 0.1, rolling 0.012 ± 0.002, air 1.18 kg/m³ ± 0.05.".to_owned(),
            "Rotating mass 1.04 + 0.0025 N², N the overall ratio.".to_owned(),
            "No power is told where the tyres slipped.".to_owned(),
        ],
        "Force balance; rotating mass: textbook form. Drag and rolling of ordinary cars: common practice, no source.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pull(number: u32, wheel_power: Vec<PowerRow>) -> PullRow {
        PullRow { number, wheel_power, ..PullRow::default() }
    }

    fn power(mph: f64, power_w: f64) -> PowerRow {
        PowerRow { speed_mps: mph * crate::unit::MPS_PER_MPH, power_w, plus_minus_w: 9_000.0 }
    }

    #[test]
    fn every_pull_is_told_at_the_same_speeds_and_a_slipping_one_with_a_dash() {
        let sheet = Sheet { logs: vec![crate::sheet::LogRow::default()], ..Sheet::default() };
        let all = [power(20.0, 60_000.0), power(25.0, 90_000.0), power(30.0, 120_000.0)];
        let (clean, spun) = (pull(1, all.to_vec()), pull(2, all[2..].to_vec()));
        let units = Units::for_locale("en-US");
        let table = table(&sheet, &[&clean, &spun, &pull(3, Vec::new())], &units).unwrap();
        let text: Vec<Vec<&str>> = table
            .rows
            .iter()
            .map(|row| row.cells.iter().skip(1).map(|cell| cell.text.as_str()).collect())
            .collect();
        let at_30 = "120 ± 9 (161)";
        assert_eq!(text, [vec!["60 ± 9 (80)", at_30], vec![DASH, at_30]]);
        assert!(super::table(&sheet, &[&pull(3, Vec::new())], &units).is_none());
    }
}
