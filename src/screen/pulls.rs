//! Part 3, "Where are the pulls?": each log on its strip, the pulls found in it.

use super::labels;
use super::{Cell, Column, Figure, Head, How, Row, Sentence, Table, Tone, capital, counted};
use crate::chart::ChartId;
use crate::sheet::{PullRow, Sheet};
use crate::unit::reader::{Units, number};

#[derive(Debug, Clone, PartialEq)]
pub struct Pulls {
    pub head: Head,
    pub logs: Vec<LogPulls>,
}

/// One log's strip with its pulls.
#[derive(Debug, Clone, PartialEq)]
pub struct LogPulls {
    pub log: usize,
    pub name: String,
    pub build: Option<usize>,
    pub outing: Option<usize>,
    pub span_s: f64,
    pub figure: Figure,
    pub table: Table,
    pub pulls: Vec<PullView>,
}

/// One pull, ready to be set aside or moved.
#[derive(Debug, Clone, PartialEq)]
pub struct PullView {
    /// Place in the sheet's list.
    pub at: usize,
    pub number: u32,
    pub start_s: f64,
    pub end_s: f64,
    pub set_aside: Option<String>,
}

pub fn part(sheet: &Sheet, units: &Units) -> Pulls {
    Pulls {
        head: Head {
            question: "Where are the pulls?",
            answer: answer(sheet),
            how: how(sheet),
            cautions: vec![
                "Full-throttle runs belong on a closed course with permission: a strip, a track, \
                 private ground. Follow local law, wear the belt, and let a second person work \
                 any device. Do not look at a screen while moving.",
            ],
        },
        logs: sheet.drives().map(|(log, _)| of_log(sheet, log, units)).collect(),
    }
}

fn answer(sheet: &Sheet) -> Vec<Sentence> {
    let counted_in: Vec<&PullRow> = sheet.pulls.iter().filter(|p| p.set_aside.is_none()).collect();
    if sheet.pulls.is_empty() {
        return vec![Sentence::new(
            Tone::Doubt,
            "No pull was found. A pull needs the throttle held open while the speed rises; if \
             there was one, mark its start and end on the strip, or check the roles above.",
        )];
    }
    let standing = counted_in.iter().filter(|pull| pull.kind == "standing").count();
    let kinds = match (standing, counted_in.len() - standing) {
        (_, 0) => "all from rest".to_owned(),
        (0, _) => "all rolling".to_owned(),
        (standing, rolling) => format!("{standing} from rest, {rolling} rolling"),
    };
    let pulls = capital(&counted(counted_in.len(), "pull"));
    let logs = counted(sheet.drives().count(), "log");
    let mut said = vec![Sentence::plain(format!("{pulls} in {logs}, {kinds}."))];
    let aside = sheet.pulls.len() - counted_in.len();
    if aside > 0 {
        let verb = if aside == 1 { "is" } else { "are" };
        let text =
            format!("{} {verb} set aside and not counted.", capital(&counted(aside, "pull")));
        said.push(Sentence::plain(text));
    }
    let part = counted_in.iter().filter(|pull| pull.effort == "part").count();
    if part > 0 {
        let text = format!("{} at part throttle.", capital(&counted(part, "pull")));
        said.push(Sentence::new(Tone::Doubt, text));
    }
    said
}

fn of_log(sheet: &Sheet, log: usize, units: &Units) -> LogPulls {
    let row = &sheet.logs[log];
    let rows: Vec<(usize, &PullRow)> =
        sheet.pulls.iter().enumerate().filter(|(_, pull)| pull.log == log).collect();
    LogPulls {
        log,
        name: row.name.clone(),
        build: row.build,
        outing: row.outing,
        span_s: row.span_s,
        figure: figure(&row.name, log, &rows),
        table: table(&row.name, &rows, units),
        pulls: rows.into_iter().map(|(at, pull)| view(at, pull)).collect(),
    }
}

fn figure(name: &str, log: usize, rows: &[(usize, &PullRow)]) -> Figure {
    let title = match rows {
        [] => format!("{name}: no pull found"),
        [(_, one)] => format!("{name}: one pull, at {}", labels::log_time(one.start_s)),
        [(_, first), .., (_, last)] => format!(
            "{name}: {} pulls from {} to {}",
            rows.len(),
            labels::log_time(first.start_s),
            labels::log_time(last.end_s)
        ),
    };
    let note = "Road speed over the whole log. Shaded: the pulls found.".to_owned();
    Figure { id: ChartId::Strip { log }, title, note }
}

fn view(at: usize, pull: &PullRow) -> PullView {
    PullView {
        at,
        number: pull.number,
        start_s: pull.start_s,
        end_s: pull.end_s,
        set_aside: pull.set_aside.clone(),
    }
}

fn table(name: &str, rows: &[(usize, &PullRow)], units: &Units) -> Table {
    let columns = vec![
        Column::text("Pull"),
        Column::text("Kind"),
        Column::number("Starts at"),
        Column::number("Lift at"),
        Column::number("Lasts"),
        Column::number("Top speed"),
        Column::text("Throttle"),
    ];
    let row = |(_, pull): &(usize, &PullRow)| Row {
        cells: vec![
            Cell::new(match &pull.set_aside {
                Some(why) => format!("{}, set aside: {why}", pull.number),
                None => pull.number.to_string(),
            }),
            Cell::new(labels::kind(&pull.kind)),
            Cell::new(labels::log_time(pull.start_s)),
            Cell::new(labels::log_time(pull.end_s)),
            Cell::new(format!("{} s", number(pull.end_s - pull.start_s, 1))),
            Cell::new(units.speed_text(pull.top_speed_mps)),
            Cell::new(labels::effort(&pull.effort)),
        ],
        pale: pull.set_aside.is_some(),
    };
    Table {
        caption: format!("The pulls of {name}. Times count from the log's first record."),
        columns,
        rows: rows.iter().map(row).collect(),
    }
}

fn how(sheet: &Sheet) -> Vec<How> {
    let inputs = sheet
        .pulls
        .iter()
        .map(|pull| format!("{}: {}", labels::pull(sheet, pull), pull.how))
        .collect();
    vec![How::new(
        "A pull is a stretch with the throttle held wide open and the speed rising. From rest, it \
         starts at the first motion; rolling, where the throttle opens. It ends at the lift. A \
         short cut for a gear change is bridged.",
        inputs,
        "Common practice, no source.",
    )]
}
