//! Part 1, "What was read?": each log as found, its channels, what is wrong with it.

use super::labels;
use super::{Head, How, Note, Sentence, Tone, capital, counted, notes};
use crate::sheet::{ChannelRow, LogRow, Sheet};
use crate::unit::by_symbol;
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
    /// How many channels take part, for the folded line.
    pub in_use: String,
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
    Read { head, logs: sheet.logs.iter().enumerate().map(|(at, log)| view(at, log)).collect() }
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
    let lacks = |roles: &[&str]| {
        sheet.logs.iter().filter(|log| !roles.iter().any(|role| has(log, role))).count()
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
        if count == sheet.logs.len() {
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

fn view(at: usize, log: &LogRow) -> LogView {
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
        in_use: format!("{used} of {} channels in use", log.channels.len()),
    }
}

fn channel(row: &ChannelRow) -> ChannelView {
    // The sheet is in SI; a reader knows the channel by what the file says.
    let unit = row.unit.as_deref().and_then(by_symbol);
    let written = |inside: f64| short(unit.map_or(inside, |unit| unit.written(inside)));
    let range = match (row.least, row.most) {
        (Some(least), Some(most)) => format!("{} to {}", written(least), written(most)),
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
    ]
}
