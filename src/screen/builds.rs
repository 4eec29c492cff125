//! Part 6, "What was the change worth?": build against build, with its interval and
//! the verdict in words that cannot be misread.

use super::{Cell, Column, Figure, Head, How, Note, Row, Sentence, Table, Tone, notes};
use super::{labels, matrix};
use crate::chart::ChartId;
use crate::day::Day;
use crate::sheet::{ComparisonRow, Sheet};
use crate::unit::reader::{DASH, Units, number, signed};

#[derive(Debug, Clone, PartialEq)]
pub struct Builds {
    pub head: Head,
    /// One a kind of quantity: degrees apart from seconds.
    pub figures: Vec<Figure>,
    pub marks: Option<Figure>,
    pub pairs: Vec<Pair>,
    /// The readings themselves: pull numbers down, builds across.
    pub readings: Vec<Table>,
}

/// One pair of builds with all that was compared between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    pub title: String,
    pub sentences: Vec<Sentence>,
    pub table: Table,
    pub reasons: Vec<Note>,
}

pub fn part(sheet: &Sheet, day: &Day, units: &Units) -> Builds {
    let rows: Vec<&ComparisonRow> = compared(sheet, day, units).collect();
    let has = |unit: &str| rows.iter().any(|row| row.unit == unit && row.difference.is_some());
    let mut figures = Vec::new();
    if has("K") {
        figures.push(figure(ChartId::Builds { seconds: false }, "temperature"));
    }
    if has("s") {
        figures.push(figure(ChartId::Builds { seconds: true }, "time"));
    }
    let marks = (sheet.builds.len() > 1 && sheet.pulls.iter().any(|pull| pull.heat.is_some()))
        .then(|| Figure {
            id: ChartId::BuildMarks,
            title: "Where each pull ended, builds side by side".to_owned(),
            note: "Charge air at the end of a pull, by pull number. Compare like numbers only."
                .to_owned(),
        });
    Builds {
        head: Head {
            question: "What was the change worth?",
            answer: answer(sheet, &rows, units),
            how: how(),
            cautions: Vec::new(),
        },
        figures,
        marks,
        pairs: pairs(sheet, &rows, units),
        readings: matrix::tables(sheet, day, units),
    }
}

fn figure(id: ChartId, what: &str) -> Figure {
    Figure {
        id,
        title: format!("Differences in {what}, with their 95 % intervals"),
        note:
            "A dot is the difference, the bar its interval. A bar that crosses zero shows nothing."
                .to_owned(),
    }
}

fn answer(sheet: &Sheet, rows: &[&ComparisonRow], units: &Units) -> Vec<Sentence> {
    if sheet.builds.len() < 2 {
        return vec![Sentence::plain(
            "There is one build, so there is nothing to compare. Put each log to its build above, \
             or open another day's logs beside these.",
        )];
    }
    let head = headline(rows);
    if head.is_empty() {
        return vec![Sentence::new(
            Tone::Doubt,
            "Nothing could be compared: no two builds have the same reading at the same pull number.",
        )];
    }
    head.into_iter().map(|row| sentence(sheet, row, units)).collect()
}

/// One comparison for each pair: the first quantity people ask for that it has.
fn headline<'a>(rows: &[&'a ComparisonRow]) -> Vec<&'a ComparisonRow> {
    let order = ["charge_at_mark", "charge_rise", "time_to_mark", "charge_start", "recovery_tau"];
    let rank = |row: &ComparisonRow| {
        let kind = order.iter().position(|q| *q == row.quantity).unwrap_or(order.len());
        // Of several speed marks the highest one says most.
        (row.difference.is_none(), kind, -(row.mark_speed_mps.unwrap_or(0.0) * 100.0) as i64)
    };
    pair_keys(rows)
        .into_iter()
        .filter_map(|key| {
            let of_pair = rows.iter().filter(|row| (row.from, row.to) == key);
            of_pair.min_by_key(|row| rank(row)).copied()
        })
        .collect()
}

/// What was compared and is worth a line: heat and times, then power. Of speeds those of the
/// day, else the round ones in the reader's unit.
fn compared<'a>(
    sheet: &'a Sheet,
    day: &'a Day,
    units: &'a Units,
) -> impl Iterator<Item = &'a ComparisonRow> {
    let own = &day.speed_marks_mps;
    let is_asked = move |mps: f64| {
        let tens = units.speed.written(mps) / 10.0;
        let is_round = own.is_empty() && (tens - tens.round()).abs() < 0.01;
        is_round || own.iter().any(|own| (own - mps).abs() < 0.01)
    };
    let wanted = move |row: &&ComparisonRow| {
        row.quantity != "charge_at_mark" || row.mark_speed_mps.is_some_and(is_asked)
    };
    sheet.comparisons.iter().filter(wanted).chain(&sheet.power_comparisons)
}

fn pair_keys(rows: &[&ComparisonRow]) -> Vec<(usize, usize)> {
    let mut keys: Vec<(usize, usize)> = Vec::new();
    for row in rows {
        if !keys.contains(&(row.from, row.to)) {
            keys.push((row.from, row.to));
        }
    }
    keys
}

/// Read to a customer, it must not be misread: what, by how much, how sure, and
/// that it holds for these days.
fn sentence(sheet: &Sheet, row: &ComparisonRow, units: &Units) -> Sentence {
    let (word, tone) = labels::worth(&row.verdict);
    let (from, to) = (labels::build(sheet, row.from), labels::build(sheet, row.to));
    let what = quantity(row, units);
    let why = row.reasons.first().map_or(String::new(), |reason| format!(" {}", reason.text));
    let text = match (row.verdict.as_str(), row.difference) {
        ("real", Some(difference)) => format!(
            "{to} against {from}: {what} is {}, {} (95 % interval). The difference is real on \
             these days.",
            way(row, difference, units),
            range(row, units),
        ),
        ("not_shown", Some(difference)) if row.low.is_none() => format!(
            "{to} against {from}: a difference in {what} is not shown. One reading a side came out \
             {}, and one reading tells no scatter.",
            way(row, difference, units),
        ),
        ("not_shown", Some(difference)) => format!(
            "{to} against {from}: a difference in {what} is not shown. It came out {}, {} (95 % \
             interval){}.",
            way(row, difference, units),
            range(row, units),
            shown(row, units),
        ),
        ("cannot_compare", _) => format!("{to} against {from}: {what} cannot be compared.{why}"),
        _ => format!("{to} against {from}: {what} {word}.{why}"),
    };
    Sentence::new(tone, text)
}

/// Beside the total rise: the last pull by itself, and what is left at equal start.
/// Named so that neither is taken for the total effect.
fn besides(row: &ComparisonRow, units: &Units) -> Vec<Sentence> {
    if row.quantity != "charge_rise" {
        return Vec::new();
    }
    let part = |effect: (f64, f64, f64)| {
        let part = ComparisonRow { low: Some(effect.1), high: Some(effect.2), ..row.clone() };
        format!("{}, {} (95 % interval)", way(row, effect.0, units), range(&part, units))
    };
    let last = row.at_pull.map(|at| {
        let effect = part((at.difference, at.low, at.high));
        format!("Pull {} alone: the rise is {effect}.", at.number)
    });
    let direct = row.direct.map(|direct| {
        let effect = part((direct.difference, direct.low, direct.high));
        format!(
            "Were both to start equally hot, the rise would be {effect}: the direct effect, \
             without what a cooler or hotter start brings."
        )
    });
    last.into_iter().chain(direct).map(Sentence::plain).collect()
}

/// "12 °F lower", "0.21 s quicker".
fn way(row: &ComparisonRow, difference: f64, units: &Units) -> String {
    format!("{} {}", value(row, difference.abs(), units), direction(row, difference))
}

/// "from 8.5 to 15.7 °F lower", "from 1.2 °F lower to 3.1 °F higher": with words,
/// since signs are misread when read aloud.
fn range(row: &ComparisonRow, units: &Units) -> String {
    let (Some(low), Some(high)) = (row.low, row.high) else { return "interval unknown".to_owned() };
    let (near, far) = if low.abs() <= high.abs() { (low, high) } else { (high, low) };
    if direction(row, near) == direction(row, far) {
        return format!("from {} to {}", value(row, near.abs(), units), way(row, far, units));
    }
    format!("from {} to {}", way(row, low, units), way(row, high, units))
}

fn direction(row: &ComparisonRow, difference: f64) -> &'static str {
    match (row.quantity.as_str(), difference < 0.0) {
        ("time_to_mark" | "recovery_tau", true) => "quicker",
        ("time_to_mark" | "recovery_tau", false) => "slower",
        (_, true) => "lower",
        (_, false) => "higher",
    }
}

fn value(row: &ComparisonRow, size: f64, units: &Units) -> String {
    match row.unit.as_str() {
        "K" => {
            format!("{} {}", number(units.temperature.step(size), 1), units.temperature.symbol())
        }
        "W" => format!("{} kW", number(size / 1000.0, 0)),
        unit => format!("{} {unit}", number(size, decimals(row))),
    }
}

fn decimals(row: &ComparisonRow) -> usize {
    if row.quantity == "time_to_mark" { 2 } else { 0 }
}

fn interval(row: &ComparisonRow, units: &Units) -> String {
    let written = |v: f64| match row.unit.as_str() {
        "K" => signed(units.temperature.step(v), 1),
        "W" => signed(v / 1000.0, 0),
        _ => signed(v, decimals(row)),
    };
    match (row.low, row.high) {
        (Some(low), Some(high)) => format!("{} to {}", written(low), written(high)),
        _ => DASH.to_owned(),
    }
}

fn shown(row: &ComparisonRow, units: &Units) -> String {
    row.smallest_shown.map_or(String::new(), |least| {
        format!("; these pulls could have shown about {} or more", value(row, least, units))
    })
}

fn quantity(row: &ComparisonRow, units: &Units) -> String {
    match row.quantity.as_str() {
        "charge_rise" => "the rise of charge air in a pull".to_owned(),
        "charge_at_mark" => {
            format!("charge air at {}", units.speed_text(row.mark_speed_mps))
        }
        "charge_start" => "charge air at the start".to_owned(),
        "recovery_tau" => "recovery".to_owned(),
        "wheel_power" => {
            format!("power at the wheels at {}", units.speed_text(row.mark_speed_mps))
        }
        "time_to_mark" => row.mark.as_deref().map_or("the time", labels::mark).to_owned(),
        other => other.replace('_', " "),
    }
}

fn pairs(sheet: &Sheet, rows: &[&ComparisonRow], units: &Units) -> Vec<Pair> {
    pair_keys(rows)
        .into_iter()
        .map(|(from, to)| {
            let rows: Vec<&ComparisonRow> =
                rows.iter().copied().filter(|row| (row.from, row.to) == (from, to)).collect();
            Pair {
                title: format!(
                    "{} against {}",
                    labels::build(sheet, to),
                    labels::build(sheet, from)
                ),
                sentences: leading(&rows)
                    .into_iter()
                    .map(|row| sentence(sheet, row, units))
                    .chain(rows.iter().flat_map(|row| besides(row, units)))
                    .collect(),
                table: table(&rows, units),
                reasons: reasons(&rows),
            }
        })
        .collect()
}

/// One row a quantity, for the sentences: of several speeds or marks the last that could be
/// compared. The table has them all.
fn leading<'a>(rows: &[&'a ComparisonRow]) -> Vec<&'a ComparisonRow> {
    let mut kept: Vec<&ComparisonRow> = Vec::new();
    for row in rows {
        match kept.iter_mut().find(|other| other.quantity == row.quantity) {
            Some(other) if row.difference.is_some() || other.difference.is_none() => *other = row,
            Some(_) => {}
            None => kept.push(row),
        }
    }
    kept
}

/// Each reason once, though several quantities share it.
fn reasons(rows: &[&ComparisonRow]) -> Vec<Note> {
    let mut all: Vec<Note> = Vec::new();
    for note in rows.iter().flat_map(|row| notes(&row.reasons)) {
        if !all.contains(&note) {
            all.push(note);
        }
    }
    all
}

fn table(rows: &[&ComparisonRow], units: &Units) -> Table {
    let columns = vec![
        Column::text("Quantity"),
        Column::number("Difference"),
        Column::number("95 % interval"),
        Column::number("As driven"),
        Column::number("Pairs"),
        Column::text("Verdict"),
    ];
    let row = |row: &&ComparisonRow| {
        let (word, tone) = labels::worth(&row.verdict);
        let step = |v: Option<f64>| {
            v.map_or_else(
                || DASH.to_owned(),
                |v| match row.unit.as_str() {
                    "K" => format!(
                        "{} {}",
                        signed(units.temperature.step(v), 1),
                        units.temperature.symbol()
                    ),
                    "W" => format!("{} kW", signed(v / 1000.0, 0)),
                    unit => format!("{} {unit}", signed(v, decimals(row))),
                },
            )
        };
        let difference = match row.adjusted && row.difference.is_some() {
            true => format!("{} at equal air", step(row.difference)),
            false => step(row.difference),
        };
        Row {
            cells: vec![
                Cell::new(super::capital(&quantity(row, units))),
                Cell::new(difference),
                Cell::new(interval(row, units)),
                Cell::new(step(row.raw_difference)),
                Cell::new(row.pairs.to_string()),
                Cell::toned(word, tone),
            ],
            pale: row.verdict == "cannot_compare",
        }
    };
    Table {
        caption: "Later build minus earlier build, same pull number".to_owned(),
        columns,
        rows: rows.iter().map(row).collect(),
    }
}

fn how() -> Vec<How> {
    vec![
        How::new(
            "Pulls are paired by their number in the outing, so that the climb from pull to pull \
             cancels. The interval is Student's for the mean of the pairs' differences; with \
             several builds the verdicts are held to Holm's order, so that many questions do not \
             find something by chance.",
            vec![
                "Three pulls each cannot reach 5 % in any exact permutation test (the floor is \
                 0.25): the interval leans on the spread being normal."
                    .to_owned(),
                "A verdict holds for these days, with this fuel, road and driver; it is not a \
                 promise about the part."
                    .to_owned(),
            ],
            "Student 1908; Holm 1979.",
        ),
        How::new(
            "Outings count as alike within the stated limits of air, start, end speed and power; \
             beyond them the reasons say by how much they differ. The limits can be set in part 7.",
            vec![
                "Times and powers are not corrected for air: what thinner air could have done to \
                 them at most is added to the interval, and to a power 1.5 % for fuel, load and \
                 the speed's scale."
                    .to_owned(),
            ],
            "Common practice, no source.",
        ),
        How::new(
            "Where both outings' air is known the difference is brought to equal ambient air: \
             compression heating scales with the absolute inlet temperature, cooling with the \
             distance to ambient. The plain difference stands beside it. A cooler start is part of \
             what a better cooler does, so it is not adjusted away.",
            Vec::new(),
            "Isentropic compression of an ideal gas; Newton's cooling.",
        ),
    ]
}
