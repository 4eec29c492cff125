//! The launches of part 4 side by side: how many stand, best, median and spread; speeds at
//! the ends of the eighth and the quarter mile; the rules of thumb.
//!
//! In: the sheet. Out: [`Compared`]. A time that does not stand is counted here and never
//! enters a best or a median; where none stands, it is said why.

use super::{Cell, Column, How, Row, Sentence, Table, Tone, counted};
use super::{labels, power};
use crate::sheet::{MarkRow, PullRow, RuleRow, Sheet, TimesRow};
use crate::unit::WATT_PER_HORSEPOWER;
use crate::unit::reader::{DASH, Units, number, seconds_text};

/// The launches compared.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Compared {
    /// Absent without a pull from rest.
    pub table: Option<Table>,
    pub said: Vec<Sentence>,
    pub traps: Option<Table>,
    pub rules: Option<Table>,
    /// Absent where no mass was entered.
    pub power: Option<Table>,
}

/// What launches are compared by.
const MARK: &str = "0-60mph";

/// Launches that belong together.
struct Group<'a> {
    name: String,
    pulls: Vec<&'a PullRow>,
    /// The times that stand; absent where none does.
    times: Option<&'a TimesRow>,
}

pub fn compared(sheet: &Sheet, all: &[&PullRow], units: &Units) -> Compared {
    let standing: Vec<&PullRow> =
        all.iter().copied().filter(|pull| pull.kind == "standing").collect();
    if standing.is_empty() {
        return Compared::default();
    }
    let groups = groups(sheet, &standing);
    let traps = traps(sheet, &standing, units);
    let mut said: Vec<Sentence> = groups.iter().filter_map(none_stands).collect();
    if traps.is_none() {
        let text = "No launch reached 1/8 mile before the lift, so there is no trap speed.";
        said.push(Sentence::plain(text));
    }
    Compared {
        table: Some(table(&groups)),
        said,
        traps,
        rules: rules(sheet, &standing, units),
        power: power::table(sheet, all, units),
    }
}

/// Each build, all builds together, and each log that belongs to none.
fn groups<'a>(sheet: &'a Sheet, standing: &[&'a PullRow]) -> Vec<Group<'a>> {
    let times = |build: Option<usize>, log: Option<usize>| {
        sheet.times.iter().find(|row| (row.build, row.log) == (build, log) && row.mark == MARK)
    };
    let of = |name: String, own: &dyn Fn(&PullRow) -> bool, times| {
        let pulls: Vec<&PullRow> = standing.iter().copied().filter(|pull| own(pull)).collect();
        Group { name, pulls, times }
    };
    let mut groups: Vec<Group> = (0..sheet.builds.len())
        .map(|at| {
            of(labels::build(sheet, at), &|pull| pull.build == Some(at), times(Some(at), None))
        })
        .filter(|group| !group.pulls.is_empty())
        .collect();
    if groups.len() > 1 {
        groups.push(of("All builds".to_owned(), &|pull| pull.build.is_some(), times(None, None)));
    }
    for (at, log) in sheet.logs.iter().enumerate() {
        let own = |pull: &PullRow| pull.build.is_none() && pull.log == at;
        let beside = of(format!("{}, no build", log.name), &own, times(None, Some(at)));
        groups.extend(Some(beside).filter(|group| !group.pulls.is_empty()));
    }
    groups
}

fn mark<'a>(pull: &'a PullRow, code: &str) -> Option<&'a MarkRow> {
    pull.marks.iter().find(|mark| mark.mark == code)
}

fn table(groups: &[Group]) -> Table {
    let columns = vec![
        Column::text("Build"),
        Column::number("Launches"),
        Column::number("Stand"),
        Column::number("In doubt"),
        Column::number("Void"),
        Column::number("Best"),
        Column::number("Median"),
        Column::number("Spread"),
    ];
    let row = |group: &Group| {
        let of = |verdict: &str| {
            let here = group.pulls.iter().filter_map(|pull| mark(pull, MARK));
            Cell::new(here.filter(|mark| mark.verdict == verdict).count().to_string())
        };
        let time = |time_s: Option<f64>, half_s: Option<f64>| {
            Cell::new(time_s.map_or(DASH.to_owned(), |_| seconds_text(time_s, half_s)))
        };
        let own = group.times;
        Row::new(vec![
            Cell::new(&group.name),
            Cell::new(group.pulls.len().to_string()),
            of("stands"),
            of("in_doubt"),
            of("void"),
            time(own.map(|r| r.best_s), own.and_then(|r| r.best_plus_minus_s)),
            time(own.map(|r| r.median_s), own.and_then(|r| r.median_plus_minus_s)),
            time(own.and_then(|r| r.spread_s), own.and_then(|r| r.spread_plus_minus_s)),
        ])
    };
    Table {
        caption: "The 0-60 mph times that stand, ± half of the 95 % interval. Spread: slowest \
                  minus best"
            .to_owned(),
        columns,
        rows: groups.iter().map(row).collect(),
    }
}

/// Why a group has no best: the reason that most of its launches share.
fn none_stands(group: &Group) -> Option<Sentence> {
    if group.times.is_some() || group.name == "All builds" {
        return None;
    }
    if !group.pulls.iter().any(|pull| mark(pull, MARK).is_some()) {
        let text = format!("{}: no launch reached 60 mph before the lift.", group.name);
        return Some(Sentence::plain(text));
    }
    let first = group.pulls.iter().filter_map(|pull| pull.reasons.first());
    let share = |code: &str| {
        group.pulls.iter().filter(|pull| pull.reasons.iter().any(|r| r.code == code)).count()
    };
    let why = first
        .max_by_key(|reason| share(&reason.code))
        .map_or("The log cannot carry it.", |reason| &reason.text);
    let name = &group.name;
    Some(Sentence::new(Tone::Doubt, format!("{name}: no 0-60 mph stands. {why}")))
}

/// The marks at which a strip tells a speed.
const TRAPS: [&str; 2] = ["1/8mi", "1/4mi"];

fn traps(sheet: &Sheet, standing: &[&PullRow], units: &Units) -> Option<Table> {
    let reached = |pull: &&&PullRow| TRAPS.iter().any(|code| mark(pull, code).is_some());
    let rows: Vec<Row> = standing
        .iter()
        .filter(reached)
        .map(|pull| {
            let mut cells = vec![Cell::new(labels::pull(sheet, pull))];
            cells.extend(TRAPS.iter().flat_map(|code| trap(mark(pull, code), units)));
            Row { cells, pale: pull.verdict == "void" }
        })
        .collect();
    let mut columns = vec![Column::text("Pull")];
    for code in TRAPS {
        columns.push(Column::number(labels::mark(code)));
        columns.push(Column::number("Speed there"));
    }
    let caption = "Trap speeds: ground speed at the end of the distance";
    (!rows.is_empty()).then(|| Table { caption: caption.to_owned(), columns, rows })
}

fn trap(mark: Option<&MarkRow>, units: &Units) -> [Cell; 2] {
    let Some(mark) = mark else { return [Cell::new(DASH), Cell::new(DASH)] };
    let (word, tone) = labels::verdict(&mark.verdict);
    if mark.verdict == "void" {
        return [Cell::toned(word, tone), Cell::new(DASH)];
    }
    let time = seconds_text(mark.time_s, mark.plus_minus_s);
    [Cell::toned(time, tone), Cell::new(units.speed_text(mark.speed_mps))]
}

fn rules(sheet: &Sheet, standing: &[&PullRow], units: &Units) -> Option<Table> {
    let row = |pull: &PullRow, rule: &RuleRow| {
        let found = mark(pull, "1/4mi");
        Row::new(vec![
            Cell::new(labels::pull(sheet, pull)),
            Cell::new(&rule.rule),
            Cell::new(found.map_or(DASH.to_owned(), |m| seconds_text(m.time_s, m.plus_minus_s))),
            Cell::new(units.speed_text(found.and_then(|m| m.speed_mps))),
            Cell::new(format!("about {} s", number(rule.time_s, 1))),
            Cell::new(power(rule.power_of_time_w)),
            Cell::new(power(rule.power_of_trap_w)),
        ])
    };
    let rows: Vec<Row> = standing
        .iter()
        .flat_map(|pull| pull.quarter_mile_rules.iter().map(|rule| row(pull, rule)))
        .collect();
    let columns = vec![
        Column::text("Pull"),
        Column::text("Rule"),
        Column::number("1/4 mile"),
        Column::number("Speed there"),
        Column::number("That speed goes with"),
        Column::number("Power by time"),
        Column::number("Power by speed"),
    ];
    let caption = "The quarter mile by rules of thumb, good to about 5 % (power: 15 %)";
    (!rows.is_empty()).then(|| Table { caption: caption.to_owned(), columns, rows })
}

fn power(watt: Option<f64>) -> String {
    watt.map_or(DASH.to_owned(), |w| format!("about {} hp", number(w / WATT_PER_HORSEPOWER, 0)))
}

/// How launches are compared, for the fold at the part's end.
pub fn how(sheet: &Sheet) -> How {
    let rules = sheet.pulls.iter().map(|pull| pull.quarter_mile_rules.len()).sum::<usize>();
    let inputs = match rules {
        0 => Vec::new(),
        some => vec![format!(
            "The rules join weight, power, time and speed of a quarter mile by cube roots; {} \
             by them.",
            counted(some, "check")
        )],
    };
    How::new(
        "Launches are compared by the times that stand and no others. A spread wider than its ± \
         is a difference between the launches; a narrower one may be the clock's. A trap speed is \
         the ground speed at the mark; a strip takes a mean over the last 66 ft, which is a little \
         less.",
        inputs,
        "Rules of Hale, Huntington (1958) and Fox (1973), from a secondary history of them; the \
         rest is common practice, no source.",
    )
}

#[cfg(test)]
mod tests {
    use super::super::tests::{pull, sheet};
    use super::*;

    fn texts(table: &Table) -> Vec<Vec<&str>> {
        table.rows.iter().map(|r| r.cells.iter().map(|c| c.text.as_str()).collect()).collect()
    }

    #[test]
    fn a_build_without_a_time_that_stands_says_why() {
        let sheet = sheet();
        let all: Vec<&PullRow> = sheet.pulls.iter().collect();

        let compared = compared(&sheet, &all, &Units::US);

        let table = compared.table.as_ref().map(texts).unwrap_or_default();
        let (time, none) = ("3.91 ± 0.04 s", DASH);
        assert_eq!(
            table,
            [
                ["Stock", "1", "1", "0", "0", time, time, none],
                ["Cooler", "1", "0", "0", "1", none, none, none],
                ["All builds", "2", "1", "0", "1", time, time, none],
            ]
        );
        assert!(compared.said[0].text.starts_with("Cooler: no 0-60 mph stands. The logged"));
        assert!(compared.said[1].text.contains("no trap speed"));
    }

    /// A void quarter mile gives neither a time nor a speed.
    #[test]
    fn trap_speeds_are_those_of_times_that_are_not_void() {
        let mut sheet = sheet();
        for (row, verdict) in sheet.pulls.iter_mut().zip(["stands", "void"]) {
            let mark = MarkRow {
                mark: "1/4mi".to_owned(),
                time_s: Some(12.0),
                plus_minus_s: Some(0.04),
                speed_mps: Some(50.0),
                verdict: verdict.to_owned(),
                ..MarkRow::default()
            };
            row.marks.push(mark);
        }
        let all: Vec<&PullRow> = sheet.pulls.iter().collect();

        let traps = compared(&sheet, &all, &Units::US).traps;

        assert_eq!(
            traps.as_ref().map(texts).unwrap_or_default(),
            [
                ["Stock, pull 1", DASH, DASH, "12.00 ± 0.04 s", "112 mph"],
                ["Cooler, pull 1", DASH, DASH, "void", DASH],
            ]
        );
    }

    #[test]
    fn a_rolling_pull_is_no_launch() {
        let rolling = PullRow { kind: "rolling".to_owned(), ..pull(0, "void") };
        assert_eq!(compared(&sheet(), &[&rolling], &Units::US), Compared::default());
    }
}
