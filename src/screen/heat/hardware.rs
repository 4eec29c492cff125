//! What stands beside the rise: its rate, the air and the coolant, what compressor and
//! cooler did, and the end with the sensor's lag undone.
//!
//! A column that no pull can fill is left out, and so is a table of such.

use super::{Beside, Pulled};
use crate::screen::{Cell, Column, Row, Table, labels};
use crate::sheet::{HardwareRow, HeatRow, LagRow, Sheet};
use crate::unit::reader::{DASH, Units, number, signed};

pub fn besides(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Vec<Beside> {
    [rates(sheet, pulls, units), hardware(sheet, pulls, units), undone(sheet, pulls, units)]
        .into_iter()
        .flatten()
        .collect()
}

/// The head of a column, and its cell for a pull that has one.
type Filled<'a> = (String, Box<dyn Fn(&HeatRow) -> Option<String> + 'a>);

fn filled<'a>(
    head: impl Into<String>,
    cell: impl Fn(&HeatRow) -> Option<String> + 'a,
) -> Filled<'a> {
    (head.into(), Box::new(cell))
}

/// `None` where no pull fills any column.
fn table(caption: String, sheet: &Sheet, pulls: &[Pulled], columns: Vec<Filled>) -> Option<Table> {
    let known = |column: &Filled| pulls.iter().any(|(_, heat)| column.1(heat).is_some());
    let columns: Vec<Filled> = columns.into_iter().filter(known).collect();
    if columns.is_empty() {
        return None;
    }
    let row = |(pull, heat): &Pulled| {
        let cell = |column: &Filled| Cell::new(column.1(heat).unwrap_or_else(|| DASH.to_owned()));
        let name = Cell::new(labels::pull(sheet, pull));
        Row::new(std::iter::once(name).chain(columns.iter().map(cell)).collect())
    };
    let rows = pulls.iter().map(row).collect();
    let heads = columns.iter().map(|(head, _)| Column::number(head.clone()));
    Some(Table {
        caption,
        columns: std::iter::once(Column::text("Pull")).chain(heads).collect(),
        rows,
    })
}

fn rates(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Option<Beside> {
    let unit = units.temperature;
    let step = |k: Option<f64>| k.map(|k| signed(unit.step(k), 1));
    let moved = |from: Option<f64>, to: Option<f64>| {
        let (from, to) = from.zip(to)?;
        let written = |c: f64| number(unit.written(c), unit.decimals());
        Some(format!("{} → {}", written(from), written(to)))
    };
    let symbol = unit.symbol();
    let columns = vec![
        filled(format!("Rise a second, {symbol}"), move |heat| step(heat.rise_k_per_s)),
        filled(format!("Rise per kJ/kg, {symbol}"), move |heat| step(heat.rise_k_per_kjpkg)),
        filled(format!("Inlet air, {symbol}"), move |heat| {
            moved(heat.inlet_start_c, heat.inlet_end_c)
        }),
        filled(format!("Inlet over ambient at start, {symbol}"), move |heat| {
            let over = heat.inlet_start_c? - heat.hardware.ambient_c?;
            Some(signed(unit.step(over), unit.decimals()))
        }),
        filled(format!("Charge coolant, {symbol}"), move |heat| {
            moved(heat.hardware.coolant_start_c, heat.hardware.coolant_end_c)
        }),
        filled(format!("Ambient, {symbol}"), move |heat| {
            heat.hardware.ambient_c.map(|c| number(unit.written(c), unit.decimals()))
        }),
    ];
    let caption = "The rise for its time and its speed; temperatures from start to lift".to_owned();
    Some(Beside {
        title: "The rise for its time and its speed, and the air around it",
        note:
            "Rise per kJ/kg is the rise over the kinetic energy that each kilogram of car gained, \
               so that pulls to different speeds can be held side by side. Inlet air that is far \
               above ambient at the start was warmed at the filter while the car stood; it is no \
               measure of the cooler."
                .to_owned(),
        table: table(caption, sheet, pulls, columns)?,
    })
}

fn hardware(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Option<Beside> {
    let unit = units.temperature;
    let percent = |share: f64| 100.0 * share;
    let of = |pick: fn(&HardwareRow) -> Option<String>| move |heat: &HeatRow| pick(&heat.hardware);
    let columns = vec![
        filled("Pressure ratio", of(|h| h.pressure_ratio.map(|ratio| number(ratio, 2)))),
        filled(format!("Compressor outlet, {}", unit.symbol()), move |heat| {
            let (low, high) = heat.hardware.outlet_low_c.zip(heat.hardware.outlet_high_c)?;
            Some(span(unit.written(low), unit.written(high), 0))
        }),
        filled("Compressor efficiency, %", of(|h| h.efficiency.map(|e| number(100.0 * e, 0)))),
        filled("Cooler effectiveness, %", move |heat| {
            let share = heat.hardware.effectiveness_low.zip(heat.hardware.effectiveness_high);
            share.map(|(low, high)| span(percent(low), percent(high), 0))
        }),
        filled("Charge density, kg/m³", of(|h| h.charge_kgpm3.map(|rho| number(rho, 2)))),
        filled(
            "Air against the first pull, %",
            of(|h| h.air_lost.map(|lost| signed(-100.0 * lost, 1))),
        ),
    ];
    let caption = "What compressor and cooler did, at the end of each pull".to_owned();
    Some(Beside {
        title: "What compressor and cooler did",
        note:
            "Pressures are the middle of the last second before the lift. Where the compressor's \
               outlet was not logged it is a span: what compressors of 50 to 78 % efficiency would \
               give, and the cooler's effectiveness is a span with it."
                .to_owned(),
        table: table(caption, sheet, pulls, columns)?,
    })
}

fn span(low: f64, high: f64, decimals: usize) -> String {
    let (low, high) = (number(low, decimals), number(high, decimals));
    if low == high { low } else { format!("{low} to {high}") }
}

/// Shown on request only: the undone value is worse known than the read one.
fn undone(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Option<Beside> {
    let lag = |of: fn(LagRow) -> Option<String>| move |heat: &HeatRow| heat.lag.and_then(of);
    let columns = vec![
        filled("Sensor's time constant", lag(|lag| Some(time_constant(lag)))),
        filled("End as read", |heat| {
            heat.lag?;
            Some(units.temperature_within(heat.end_c, heat.end_plus_minus_c))
        }),
        filled("End, lag undone", |heat| {
            let lag = heat.lag?;
            let (c, plus_minus_c) = lag.end_undone_c.zip(lag.end_undone_plus_minus_c)?;
            Some(units.temperature_within(c, plus_minus_c))
        }),
        filled("Doubt grows", |heat| {
            let grown = heat.lag?.end_undone_plus_minus_c? / heat.end_plus_minus_c;
            grown.is_finite().then(|| format!("{} times", number(grown, 1)))
        }),
    ];
    let caption = "The end of each pull with the sensor's lag undone".to_owned();
    Some(Beside {
        title: "With the sensor's lag undone",
        note: "A slow sensor reads behind air that climbs. Its time constant is told by how the \
               slope of the reading sets in, where it shows at all; undoing it adds the time \
               constant times the slope, and multiplies the noise. Values with the lag undone are \
               never compared. Pulls whose reading shows no lag have none."
            .to_owned(),
        table: table(caption, sheet, pulls, columns)?,
    })
}

fn time_constant(lag: LagRow) -> String {
    let (tau, low) = (number(lag.tau_s, 1), number(lag.low_s, 1));
    match lag.high_s {
        Some(high_s) => format!("{tau} s ({low} to {})", number(high_s, 1)),
        None => format!("{tau} s ({low} or more)"),
    }
}
