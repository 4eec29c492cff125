//! The ladder: how starts climb from pull to pull, where they tend, and how long to wait.

use super::plain_step;
use crate::chart::ChartId;
use crate::screen::{Cell, Column, Figure, Row, Table, labels};
use crate::sheet::{LadderRow, Sheet, WaitRow};
use crate::unit::reader::{DASH, Units, number, with_unit};

pub fn name(sheet: &Sheet, ladder: &LadderRow) -> String {
    let log = sheet.logs.get(ladder.log);
    let build = log.and_then(|log| log.build);
    let alone = sheet.logs.iter().filter(|log| log.build == build).count() == 1;
    match build {
        Some(build) if alone && sheet.builds.len() > 1 => labels::build(sheet, build),
        _ => log.map_or_else(|| "The log".to_owned(), |log| log.name.clone()),
    }
}

pub fn figure(sheet: &Sheet, units: &Units) -> Figure {
    let worst = sheet.ladders.iter().filter_map(|l| l.carry_over_c).fold(f64::MIN, f64::max);
    let title = if worst > 0.5 {
        format!("Starts climb by up to {} from pull to pull", plain_step(units, worst))
    } else {
        "Starts hold their level from pull to pull".to_owned()
    };
    let note = "Each bar runs from a pull's start, the dot, to its end. Dashed: forecast starts of the next \
                pulls at the same gaps.";
    Figure { id: ChartId::Ladder, title, note: note.to_owned() }
}

pub fn table(sheet: &Sheet, wanted_c: Option<f64>, units: &Units) -> Table {
    let asks = wanted_c.is_some();
    let list = |values: &[f64]| {
        let texts: Vec<String> = values
            .iter()
            .map(|c| number(units.temperature.written(*c), units.temperature.decimals()))
            .collect();
        if texts.is_empty() { DASH.to_owned() } else { texts.join(", ") }
    };
    let row = |ladder: &LadderRow| {
        let mut cells = vec![
            Cell::new(name(sheet, ladder)),
            Cell::new(list(&ladder.starts_c)),
            Cell::new(units.kelvin_text(ladder.carry_over_c)),
            Cell::new(within(ladder.tends_to_c, ladder.tends_plus_minus_c, units)),
            Cell::new(forecast(ladder, units)),
            Cell::new(with_unit(ladder.gap_s, 0, "s")),
            Cell::new(ladder.wait_for_first.map_or_else(|| DASH.to_owned(), wait)),
        ];
        if asks {
            cells.push(Cell::new(ladder.wait_for_wanted.map_or_else(|| DASH.to_owned(), wait)));
        }
        Row::new(cells)
    };
    let symbol = units.temperature.symbol();
    Table {
        caption: "From pull to pull: carry-over, and where it tends".to_owned(),
        columns: [
            Column::text("Build"),
            Column::number(format!("Starts, {symbol}")),
            Column::number("Carry-over"),
            Column::number("Starts tend to"),
            Column::number(format!("Next starts, {symbol}")),
            Column::number("Gap"),
            Column::number("Wait for the first's level"),
        ]
        .into_iter()
        .chain(
            wanted_c
                .map(|c| Column::number(format!("Wait for {}", units.temperature_text(Some(c))))),
        )
        .collect(),
        rows: sheet.ladders.iter().map(row).collect(),
    }
}

/// "86 ± 6, 86 ± 7": how sure falls from pull to pull.
fn forecast(ladder: &LadderRow, units: &Units) -> String {
    let unit = units.temperature;
    let doubts = ladder.forecast_plus_minus_c.iter().map(Some).chain(std::iter::repeat(None));
    let next = |(c, plus_minus_c): (&f64, Option<&f64>)| {
        let text = match plus_minus_c {
            Some(plus_minus_c) => units.temperature_within(*c, *plus_minus_c),
            None => units.temperature_text(Some(*c)),
        };
        text.trim_end_matches(unit.symbol()).trim_end().to_owned()
    };
    let texts: Vec<String> = ladder.forecast_c.iter().zip(doubts).map(next).collect();
    if texts.is_empty() { DASH.to_owned() } else { texts.join(", ") }
}

fn within(c: Option<f64>, plus_minus_c: Option<f64>, units: &Units) -> String {
    match c.zip(plus_minus_c) {
        Some((c, plus_minus_c)) => units.temperature_within(c, plus_minus_c),
        None => units.temperature_text(c),
    }
}

/// From the lift on. The far end of the interval is the useful one: who waits that long is sure.
fn wait(wait: WaitRow) -> String {
    let most = wait.high_s.map_or_else(|| "no bound".to_owned(), |s| with_unit(Some(s), 0, "s"));
    format!("{} s (sure: {most})", number(wait.wait_s, 0))
}
