//! Part 2, "What was the air?": each outing's air, where it came from, and whether
//! the days can be compared.

use super::{Cell, Column, Head, How, Row, Sentence, Table, Tone};
use crate::day::{Day, Outing};
use crate::sheet::{OutingRow, Sheet};
use crate::unit::reader::{Units, maybe, number, with_unit};

/// Days whose air differs by no more count as the same conditions: settings, not
/// laws (common practice, no source; 1 K is 0.34 % of density).
const SAME_K: f64 = 1.1;
const SAME_HUMIDITY_PERCENT: f64 = 5.0;
const SAME_KPA: f64 = 0.3;

#[derive(Debug, Clone, PartialEq)]
pub struct Air {
    pub head: Head,
    pub table: Table,
    pub outings: Vec<OutingView>,
    /// Named standards' factors, shown and never applied.
    pub factors: Option<Table>,
}

/// One outing's air, ready to be typed over. Texts are in the reader's units.
#[derive(Debug, Clone, PartialEq)]
pub struct OutingView {
    pub build: usize,
    pub outing: usize,
    pub name: String,
    pub date: String,
    pub temperature: String,
    pub humidity: String,
    pub pressure: String,
    pub altitude: String,
    pub missing_logs: Vec<String>,
}

pub fn part(sheet: &Sheet, day: &Day, units: &Units) -> Air {
    let rows: Vec<(String, &OutingRow)> = outings(sheet);
    Air {
        head: Head {
            question: "What was the air that day?",
            answer: answer(&rows, units),
            how: how(&rows),
            cautions: Vec::new(),
        },
        table: table(&rows, units),
        outings: views(sheet, day, units),
        factors: factors(&rows),
    }
}

/// Every outing with a name that tells it from the others.
fn outings(sheet: &Sheet) -> Vec<(String, &OutingRow)> {
    let mut all = Vec::new();
    for build in &sheet.builds {
        let many = build.outings.len() > 1;
        for (o, outing) in build.outings.iter().enumerate() {
            // Two outings of one day have one date; only their place tells them apart.
            let alone = build.outings.iter().filter(|other| other.date == outing.date).count() == 1;
            let date = outing.date.clone().filter(|_| alone);
            let tail = date.unwrap_or_else(|| format!("outing {}", o + 1));
            let name = &build.name;
            all.push((if many { format!("{name}, {tail}") } else { name.clone() }, outing));
        }
    }
    all
}

fn answer(rows: &[(String, &OutingRow)], units: &Units) -> Vec<Sentence> {
    let known: Vec<f64> = rows.iter().filter_map(|(_, row)| row.ambient_c).collect();
    if known.is_empty() {
        return vec![Sentence::new(
            Tone::Doubt,
            "The air is not known: no log has it. Type it below; without it, builds can only be \
             compared as they were driven.",
        )];
    }
    if let ([(_, one)], true) = (rows, rows.len() == 1) {
        return vec![Sentence::plain(one_day(one, units))];
    }
    match rows.len() - known.len() {
        0 => vec![between(rows, units)],
        unknown => vec![Sentence::new(
            Tone::Doubt,
            format!(
                "Whether the days can be compared cannot be told: {} of {} outings have no \
                 ambient temperature. Type it below.",
                unknown,
                rows.len()
            ),
        )],
    }
}

fn one_day(row: &OutingRow, units: &Units) -> String {
    format!(
        "{} at {} relative humidity and {}: air of {}, as thin as at {} of standard altitude.",
        units.temperature_text(row.ambient_c),
        with_unit(row.relative_humidity_percent, 0, "%"),
        units.pressure_text(row.pressure_kpa.map(|kpa| kpa * 1000.0)),
        with_unit(row.air_density_kgpm3, 3, "kg/m³"),
        units.length_text(row.density_altitude_m),
    )
}

/// The largest differences between outings, against what counts as the same.
fn between(rows: &[(String, &OutingRow)], units: &Units) -> Sentence {
    let spread = |pick: fn(&OutingRow) -> Option<f64>| {
        let values: Vec<f64> = rows.iter().filter_map(|(_, row)| pick(row)).collect();
        let most = values.iter().copied().reduce(f64::max)?;
        Some(most - values.iter().copied().reduce(f64::min)?)
    };
    let warm = spread(|row| row.ambient_c);
    let damp = spread(|row| row.relative_humidity_percent);
    let heavy = spread(|row| row.pressure_kpa);
    let within = |value: Option<f64>, limit: f64| value.is_none_or(|v| v <= limit);
    let same =
        within(warm, SAME_K) && within(damp, SAME_HUMIDITY_PERCENT) && within(heavy, SAME_KPA);
    let apart = [
        warm.map(|k| {
            format!("{} in temperature", units.kelvin_text(Some(k)).trim_start_matches('+'))
        }),
        damp.map(|percent| format!("{} in relative humidity", with_unit(Some(percent), 0, "%"))),
        heavy.map(|kpa| format!("{} in pressure", units.pressure_text(Some(kpa * 1000.0)))),
    ];
    let known: Vec<String> = apart.into_iter().flatten().collect();
    let apart = format!("the outings are at most {} apart", super::listed(&known));
    if same {
        return Sentence::new(
            Tone::Good,
            format!("The days can be compared as they are: {apart}."),
        );
    }
    Sentence::new(
        Tone::Doubt,
        format!(
            "The air was not the same: {apart}. Differences between builds are brought to equal \
             air where that can be done, and said to be so."
        ),
    )
}

fn table(rows: &[(String, &OutingRow)], units: &Units) -> Table {
    let head = ["Temperature", "Humidity", "Pressure", "Density", "Density altitude", "Dew point"];
    let mut columns = vec![Column::text("Outing")];
    columns.extend(head.into_iter().map(Column::number));
    let row = |(name, row): &(String, &OutingRow)| {
        let from = |text: String, from: &Option<String>| match from {
            Some(from) if text != "–" => Cell::new(format!("{text} ({from})")),
            _ => Cell::new(text),
        };
        let pressure = units.pressure_text(row.pressure_kpa.map(|kpa| kpa * 1000.0));
        Row::new(vec![
            Cell::new(name.clone()),
            from(units.temperature_text(row.ambient_c), &row.ambient_from),
            from(with_unit(row.relative_humidity_percent, 0, "%"), &row.relative_humidity_from),
            from(pressure, &row.pressure_from),
            Cell::new(with_unit(row.air_density_kgpm3, 3, "kg/m³")),
            Cell::new(units.length_text(row.density_altitude_m)),
            Cell::new(units.temperature_text(row.dew_point_c)),
        ])
    };
    Table {
        caption: "The air of each outing".to_owned(),
        columns,
        rows: rows.iter().map(row).collect(),
    }
}

fn views(sheet: &Sheet, day: &Day, units: &Units) -> Vec<OutingView> {
    let mut all = Vec::new();
    for (b, build) in day.builds.iter().enumerate() {
        let many = build.outings.len() > 1;
        for (o, outing) in build.outings.iter().enumerate() {
            let found = sheet.builds.get(b).and_then(|build| build.outings.get(o));
            let name =
                if many { format!("{}, outing {}", build.name, o + 1) } else { build.name.clone() };
            all.push(OutingView { build: b, outing: o, name, ..view(outing, found, units) });
        }
    }
    all
}

fn view(outing: &Outing, found: Option<&OutingRow>, units: &Units) -> OutingView {
    let typed = |value: Option<f64>, decimals| {
        value.map_or_else(String::new, |v| format!("{v:.decimals$}"))
    };
    OutingView {
        build: 0,
        outing: 0,
        name: String::new(),
        date: outing.date.clone().unwrap_or_default(),
        temperature: typed(outing.ambient_c.map(|c| units.temperature.written(c)), 1),
        humidity: typed(outing.relative_humidity_percent, 0),
        pressure: typed(outing.pressure_kpa.map(|kpa| units.pressure.written(kpa * 1000.0)), 2),
        altitude: typed(outing.altitude_m.map(|m| units.length.written(m)), 0),
        missing_logs: found.map(|row| row.missing_logs.clone()).unwrap_or_default(),
    }
}

fn factors(rows: &[(String, &OutingRow)]) -> Option<Table> {
    let names: Vec<String> = rows
        .iter()
        .find(|(_, row)| !row.correction_factors.is_empty())
        .map(|(_, row)| row.correction_factors.iter().map(|f| f.standard.clone()).collect())?;
    let mut columns = vec![Column::text("Outing")];
    columns.extend(names.iter().map(Column::number));
    let row = |(name, row): &(String, &OutingRow)| {
        let factor = |standard: &String| {
            let found = row.correction_factors.iter().find(|f| f.standard == *standard);
            match found {
                Some(f) if f.within_limits => Cell::new(number(f.factor, 3)),
                Some(f) => {
                    Cell::toned(format!("{} outside its limits", number(f.factor, 3)), Tone::Doubt)
                }
                None => Cell::new(maybe(None, 0)),
            }
        };
        let first = Cell::new(name.clone());
        Row::new(std::iter::once(first).chain(names.iter().map(factor)).collect())
    };
    Some(Table {
        caption: "Power correction factors of named standards: shown, never applied".to_owned(),
        columns,
        rows: rows.iter().map(row).collect(),
    })
}

fn how(rows: &[(String, &OutingRow)]) -> Vec<How> {
    let inputs = rows
        .iter()
        .map(|(name, row)| {
            let from =
                |from: &Option<String>| from.clone().unwrap_or_else(|| "not known".to_owned());
            format!(
                "{name}: temperature {}, humidity {}, pressure {}",
                from(&row.ambient_from),
                from(&row.relative_humidity_from),
                from(&row.pressure_from),
            )
        })
        .collect();
    vec![
        How::new(
            "Density of moist air from station pressure, temperature and humidity; density \
             altitude is the height at which the standard atmosphere has that density. The \
             pressure of a weather report is reduced to sea level: type the station's own.",
            inputs,
            "Saturation pressure: Buck 1996. Standard atmosphere: ISO 2533. Checked against CIPM-2007.",
        ),
        How::new(
            "No power or time is ever corrected: an engine that holds its boost has already made up \
             for the pressure, and correcting again would count it twice. A launch time depends \
             on grip, gearing and mass as well.",
            Vec::new(),
            "UN R85 working paper GRPE-70-02 on double correction.",
        ),
    ]
}
