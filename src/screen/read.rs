//! Part 1, "What was read?": each log as found, its channels, what is wrong with it.

use super::labels;
use super::{Head, How, Note, Sentence, Tone, capital, counted, notes};
use crate::sheet::{ChannelRow, DriveRow, LogRow, Sheet};
use crate::unit::reader::{maybe, number};

#[derive(Debug, Clone, PartialEq)]
pub struct Read {
    pub head: Head,
    pub logs: Vec<LogView>,
}

/// One log, ready to show and to correct.
#[derive(Debug, Clone, PartialEq)]
pub struct LogView {
    pub log: usize,
    pub name: String,
    /// (what, as found), for a definition list.
    pub facts: Vec<(&'static str, String)>,
    pub header_key: String,
    pub channels: Vec<ChannelView>,
    pub problems: Vec<Note>,
    /// For a log that could have recorded the drive of another.
    pub drive: Option<DriveView>,
    /// How many channels take part, for the folded line.
    pub in_use: String,
}

/// Whose drive a log recorded, and the shift between their clocks.
#[derive(Debug, Clone, PartialEq)]
pub struct DriveView {
    /// Empty where it is a drive of its own.
    pub said: String,
    /// The logs it could belong to: place and name.
    pub choices: Vec<(usize, String)>,
    pub of: Option<usize>,
    pub shift_s: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct ChannelView {
    pub name: String,
    pub role: Option<String>,
    pub unit: Option<String>,
    pub rate: String,
    pub range: String,
    pub how: String,
    /// "computed" or "corrected by you", empty for a plain one.
    pub tag: &'static str,
}

pub fn part(sheet: &Sheet) -> Read {
    let head = Head {
        question: "What was read?",
        answer: answer(sheet),
        how: how(),
        cautions: Vec::new(),
    };
    Read {
        head,
        logs: sheet.logs.iter().enumerate().map(|(at, log)| view(sheet, at, log)).collect(),
    }
}

fn answer(sheet: &Sheet) -> Vec<Sentence> {
    if sheet.logs.is_empty() {
        return missing(sheet).into_iter().collect();
    }
    let rows: u64 = sheet.logs.iter().map(|log| log.rows).sum();
    let span_s: f64 = sheet.logs.iter().map(|log| log.span_s).sum();
    let mut said = vec![Sentence::plain(format!(
        "{} over {}, {} in all.",
        capital(&counted(sheet.logs.len(), "log")),
        labels::span(span_s),
        counted(rows as usize, "row"),
    ))];
    said.push(roles(sheet));
    said.extend(missing(sheet));
    let problems = sheet.logs.iter().map(|log| log.problems.len()).sum::<usize>();
    said.push(match problems {
        0 => Sentence::new(Tone::Good, "Nothing odd was found in them."),
        1 => Sentence::new(Tone::Doubt, "One thing is odd; it is listed with its log."),
        n => {
            Sentence::new(Tone::Doubt, format!("{n} things are odd; each is listed with its log."))
        }
    });
    said
}

/// Asks for the logs that the day file names and that are not open.
fn missing(sheet: &Sheet) -> Option<Sentence> {
    let outings = sheet.builds.iter().flat_map(|build| &build.outings);
    let names: Vec<String> = outings.flat_map(|outing| outing.missing_logs.clone()).collect();
    let text = format!("The day file also names {}: open it beside this.", super::listed(&names));
    (!names.is_empty()).then(|| Sentence::new(Tone::Doubt, text))
}

/// Names what the findings will miss, since no later part can make up for it.
fn roles(sheet: &Sheet) -> Sentence {
    // What recorded the drive of another log makes up for what that one lacks.
    let drives = || sheet.drives().map(|(at, _)| at);
    let of_drive = |at: usize| {
        let is_part = move |log: &LogRow| log.drive.as_ref().is_some_and(|drive| drive.of == at);
        sheet.logs.iter().enumerate().filter(move |(own, log)| *own == at || is_part(log))
    };
    let lacks = |roles: &[&str]| {
        let told =
            |at: &usize| of_drive(*at).any(|(_, log)| roles.iter().any(|role| has(log, role)));
        drives().filter(|at| !told(at)).count()
    };
    let speeds = ["vehicle_speed", "satellite_speed", "undriven_wheel_speed"];
    let missing: Vec<String> = [
        ("road speed", lacks(&speeds)),
        ("charge air", lacks(&["charge_air"])),
        ("engine speed", lacks(&["engine_speed"])),
        ("longitudinal acceleration", lacks(&["longitudinal_acceleration"])),
    ]
    .into_iter()
    .filter(|(_, count)| *count > 0)
    .map(|(what, count)| {
        if count == drives().count() {
            what.to_owned()
        } else {
            format!("{what} (in {})", counted(count, "log"))
        }
    })
    .collect();
    if missing.is_empty() {
        return Sentence::plain(
            "Every log has road speed, engine speed, acceleration and charge air.",
        );
    }
    Sentence::new(
        Tone::Doubt,
        format!(
            "Not found: {}. If the log has it under another name, correct its role below.",
            super::listed(&missing)
        ),
    )
}

fn has(log: &LogRow, role: &str) -> bool {
    log.channels.iter().any(|channel| channel.role.as_deref() == Some(role))
}

fn view(sheet: &Sheet, at: usize, log: &LogRow) -> LogView {
    let used = log.channels.iter().filter(|channel| channel.role.is_some()).count();
    let mut facts = vec![
        ("Form", format!("{}: {}", labels::form(&log.form), log.form_found)),
        ("Span", format!("{}, {}", labels::span(log.span_s), counted(log.rows as usize, "row"))),
    ];
    if let Some(began) = &log.began {
        facts.push(("Began", began.replace('T', " ")));
    }
    LogView {
        log: at,
        name: log.name.clone(),
        facts,
        header_key: log.header_key.clone(),
        channels: log.channels.iter().map(channel).collect(),
        problems: notes(&log.problems),
        drive: drive(sheet, at, log),
        in_use: match &log.drive {
            Some(drive) if drive.by == "follows" => {
                format!("goes on where {} ended", name_of(sheet, drive.of))
            }
            Some(drive) => format!("recorded the drive of {}", name_of(sheet, drive.of)),
            None => format!("{used} of {} channels in use", log.channels.len()),
        },
    }
}

fn name_of(sheet: &Sheet, log: usize) -> &str {
    sheet.logs.get(log).map_or("another log", |log| &log.name)
}

/// `None` for the log of an engine, and where there is no other.
fn drive(sheet: &Sheet, at: usize, log: &LogRow) -> Option<DriveView> {
    let engines = ["engine_speed", "throttle", "pedal"];
    let is_engine = |log: &LogRow| engines.iter().any(|role| has(log, role));
    let others =
        sheet.logs.iter().enumerate().filter(|(other, log)| *other != at && is_engine(log));
    let choices: Vec<(usize, String)> =
        others.map(|(other, log)| (other, log.name.clone())).collect();
    if is_engine(log) && log.drive.is_none() || choices.is_empty() {
        return None;
    }
    let shift_s = log.drive.as_ref().map_or_else(String::new, |drive| number(drive.shift_s, 2));
    let said = log.drive.as_ref().map_or_else(String::new, |drive| said(sheet, drive));
    Some(DriveView { said, choices, of: log.drive.as_ref().map(|drive| drive.of), shift_s })
}

/// "It recorded the drive of a.csv: 12.31 ± 0.06 s are added to its times, ...".
fn said(sheet: &Sheet, drive: &DriveRow) -> String {
    if drive.by == "follows" {
        return format!(
            "It goes on where {} ended, by the clocks of both: they are one drive, and this file \
             begins {} s into it.",
            name_of(sheet, drive.of),
            number(drive.shift_s, 1)
        );
    }
    let shift = match drive.plus_minus_s {
        Some(plus_minus_s) => {
            format!("{} ± {} s", number(drive.shift_s, 2), number(plus_minus_s, 2))
        }
        None => format!("{} s", number(drive.shift_s, 2)),
    };
    let agrees = drive.agreement.map_or_else(String::new, |share| {
        format!(", which agree in {} % of the moving time", number(100.0 * share, 0))
    });
    let by = match drive.by.as_str() {
        "speeds" => format!("by the speeds of both{agrees}"),
        "clocks_and_speeds" => format!("by clocks and speeds of both{agrees}"),
        "clocks" => "by the clocks alone: without a speed in it nothing tells more".to_owned(),
        _ => "as you typed".to_owned(),
    };
    format!(
        "It recorded the drive of {}: {shift} are added to its times, {by}. Its channels count \
         there, and its pulls are counted once.",
        name_of(sheet, drive.of)
    )
}

fn channel(row: &ChannelRow) -> ChannelView {
    // Both are in the channel's own unit, as the file has them.
    let range = match (row.least, row.most) {
        (Some(least), Some(most)) => format!("{} to {}", short(least), short(most)),
        _ => maybe(None, 0),
    };
    ChannelView {
        name: row.name.clone(),
        role: row.role.clone(),
        unit: row.unit.clone(),
        rate: row.rate_hz.map_or_else(|| maybe(None, 0), |hz| format!("{} Hz", short(hz))),
        range,
        how: row.how.clone(),
        tag: match (row.corrected, row.derived) {
            (true, _) => "corrected by you",
            (false, true) => "computed",
            (false, false) => "",
        },
    }
}

/// About three digits: enough to recognise a channel by.
fn short(value: f64) -> String {
    let value = if (value - value.round()).abs() < 1e-9 { value.round() } else { value };
    let size = value.abs();
    let decimals = if size >= 100.0 || value == value.trunc() {
        0
    } else if size >= 10.0 {
        1
    } else {
        2
    };
    number(value, decimals)
}

fn how() -> Vec<How> {
    vec![
        How::new(
            "The form is told from the content of the file, not from its name. A channel's role comes \
             from its name and is confirmed by its values; its unit comes from the file, or from \
             the values where the file does not say.",
            vec!["Each channel's own line says how it was decided.".to_owned()],
            "RFC 4180 for delimited text, ASAM MDF 4, NMEA 0183, GPX 1.1.",
        ),
        How::new(
            "A logger that repeats an old value in every row adds nothing: only fresh readings count, \
             and the rate is one over their median interval.",
            Vec::new(),
            "Common practice, no source.",
        ),
        How::new(
            "A log without an engine in it is tried as a second recording of another log's drive: \
             both speeds are laid over each other at every shift, and where they agree for nearly all \
             of the moving time, and at no other shift, it was one drive. The shift is refined by \
             least squares. A log without a speed rests on the clocks.",
            vec![
                "Where the shift is not told, or told wrong, it can be typed beside the log."
                    .to_owned(),
            ],
            "Cross-correlation with a parabola through its peak; limits: common practice, no source.",
        ),
    ]
}
