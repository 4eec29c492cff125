//! Charge air reading by reading: pull numbers down, builds across, one table a place in the
//! pull. What the comparison compares, before anything was worked out of it.

use super::{Cell, Column, Row, Table, labels};
use crate::day::Day;
use crate::sheet::{HeatRow, PullRow, Sheet};
use crate::unit::reader::{DASH, SpeedUnit, Units};
use crate::unit::{MPS_PER_KMH, MPS_PER_MPH};

/// A place in a pull, and what it reads there: value and half of its 95 % interval.
type Place<'a> = (String, Box<dyn Fn(&HeatRow) -> Option<(f64, f64)> + 'a>);

/// A table a place that any pull of a build reached; none for a single build.
pub fn tables(sheet: &Sheet, day: &Day, units: &Units) -> Vec<Table> {
    if sheet.builds.len() < 2 {
        return Vec::new();
    }
    let pulls: Vec<&PullRow> = sheet
        .pulls
        .iter()
        .filter(|pull| pull.set_aside.is_none() && pull.build.is_some() && pull.heat.is_some())
        .collect();
    places(day, units).iter().filter_map(|place| table(sheet, &pulls, place, units)).collect()
}

fn places<'a>(day: &Day, units: &Units) -> Vec<Place<'a>> {
    let mut places: Vec<Place> = vec![(
        "Charge air at the start".to_owned(),
        Box::new(|heat| Some((heat.start_c, heat.start_plus_minus_c))),
    )];
    for speed_mps in speeds(day, units) {
        let title = format!("Charge air at {}", units.speed_text(Some(speed_mps)));
        let read = move |heat: &HeatRow| {
            let at = heat.at.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01)?;
            Some((at.charge_c, at.plus_minus_c))
        };
        places.push((title, Box::new(read)));
    }
    places.push((
        "Charge air at the end".to_owned(),
        Box::new(|heat| Some((heat.end_c, heat.end_plus_minus_c))),
    ));
    places
}

/// The day's own, or round ones in the reader's unit, of those that every sheet has.
pub fn speeds(day: &Day, units: &Units) -> Vec<f64> {
    let mut speeds = match (day.speed_marks_mps.as_slice(), units.speed) {
        ([], SpeedUnit::Mph) => [40.0, 60.0, 80.0, 100.0].map(|v| v * MPS_PER_MPH).to_vec(),
        ([], SpeedUnit::Kmh) => [60.0, 100.0, 130.0, 160.0].map(|v| v * MPS_PER_KMH).to_vec(),
        (own, _) => own.to_vec(),
    };
    speeds.sort_by(f64::total_cmp);
    speeds
}

fn table(sheet: &Sheet, pulls: &[&PullRow], place: &Place, units: &Units) -> Option<Table> {
    let number = |pull: &PullRow| pull.number_in_outing.unwrap_or(pull.number);
    let most = pulls.iter().map(|pull| number(pull)).max()?;
    let read = |pull: &&PullRow| (place.1)(pull.heat.as_ref()?);
    pulls.iter().find_map(read)?;
    // Several outings of one build are told one after the other.
    let cell = |build: usize, at: u32| {
        let own = pulls.iter().filter(|p| p.build == Some(build) && number(p) == at);
        let texts: Vec<String> = own
            .filter_map(read)
            .map(|(c, plus_minus_c)| units.temperature_within(c, plus_minus_c))
            .collect();
        Cell::new(if texts.is_empty() { DASH.to_owned() } else { texts.join("; ") })
    };
    let builds = || 0..sheet.builds.len();
    let row = |at: u32| {
        let name = Cell::new(format!("Pull {at}"));
        Row::new(std::iter::once(name).chain(builds().map(|build| cell(build, at))).collect())
    };
    let heads = builds().map(|build| Column::number(labels::build(sheet, build)));
    Some(Table {
        caption: place.0.clone(),
        columns: std::iter::once(Column::text("")).chain(heads).collect(),
        rows: (1..=most).map(row).collect(),
    })
}
