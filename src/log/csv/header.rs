//! The header: a name and a unit for every column.
//!
//! In: the header's cells and the unit row as written. Out: one [`Heading`] a
//! column. A name used twice is kept apart by a number and reported.

use std::collections::BTreeMap;

use crate::log::names::{Words, mend, shown};
use crate::log::{Problem, plain, roles, units};
use crate::unit::{Quantity, Unit};

/// What the header says of one column.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    pub name: String,
    pub words: Words,
    pub unit: Option<Unit>,
    /// What stands in the place of a unit, where it is none that is known.
    pub unknown_unit: Option<String>,
    /// The header has nothing for it.
    pub is_nameless: bool,
}

/// Names used twice that are told one by one.
const MOST_DOUBLES: usize = 5;

/// The headings of all columns, and what was odd about them.
pub fn headings(header: &[String], unit_row: &[String]) -> (Vec<Heading>, Vec<Problem>) {
    let mut problems = Vec::new();
    let mut taken: Vec<Heading> = Vec::with_capacity(header.len());
    // Counted as they come: comparing every name with all before it takes minutes on a
    // table of a hundred thousand columns.
    let mut doubles: Vec<(usize, String)> = Vec::new();
    let mut named: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    for (column, written) in header.iter().enumerate() {
        let mut heading = heading(written, unit_row.get(column).map_or("", String::as_str));
        if heading.name.is_empty() {
            heading.name = format!("column {}", column + 1);
        }
        let seen = named.entry(heading.words.words.clone()).or_default();
        let twins = *seen;
        *seen += 1;
        if twins > 0 && !written.trim().is_empty() {
            let shown = format!("{} ({})", heading.name, twins + 1);
            doubles.push((column + 1, std::mem::replace(&mut heading.name, shown)));
        }
        taken.push(heading);
    }
    problems.extend(doubles.iter().take(MOST_DOUBLES).map(|(column, name)| {
        let shown = &taken[column - 1].name;
        let text =
            format!("Two columns are named \"{name}\"; column {column} is shown as \"{shown}\".");
        Problem { code: "name_twice", text }
    }));
    if let Some((column, _)) = doubles.get(MOST_DOUBLES) {
        let more = doubles.len() - MOST_DOUBLES;
        let text = format!(
            "{more} further columns have the name of another, from column {column} on; they are \
             numbered in the same way."
        );
        problems.push(Problem { code: "name_twice", text });
    }
    (taken, problems)
}

/// What a name and the cell below it say of a column.
pub fn heading(written: &str, unit_cell: &str) -> Heading {
    let written = mend(plain::name(written).trim_start_matches('#')).trim().to_owned();
    let written = written.replace("\r\n", " ").replace(['\r', '\n'], " ");
    let written = without_entities(written);
    let bare = written.strip_prefix('\'').and_then(|rest| rest.strip_suffix('\''));
    let (name, in_name) = units::split_name(bare.unwrap_or(&written));
    let words = Words::of(&name);
    // Beside the name it is certain which column a unit is of.
    let mut unit = in_name.or_else(|| units::spelled(unit_cell));
    let unknown = units::unknown_in(&written)
        .or_else(|| units::unknown(unit_cell))
        .or_else(|| units::scaling_in(&words))
        .filter(|_| unit.is_none());
    let unknown_unit = unknown.map(|unknown| shown(unknown).into_owned());
    if unknown_unit.is_none() {
        unit = unit.or_else(|| glued(&words));
    }
    let (is_nameless, name) = (name.is_empty(), shown(&name).into_owned());
    Heading { is_nameless, name, words, unit, unknown_unit }
}

/// Signs as a web page writes them.
fn without_entities(written: String) -> String {
    const SIGNS: [(&str, &str); 9] = [
        ("&deg;", "°"),
        ("&#176;", "°"),
        ("&#47;", "/"),
        ("&#178;", "²"),
        ("&sup2;", "²"),
        ("&micro;", "µ"),
        ("&nbsp;", " "),
        ("&percnt;", "%"),
        ("&amp;", "&"),
    ];
    if !written.contains('&') {
        return written;
    }
    SIGNS.iter().fold(written, |text, (entity, sign)| text.replace(entity, sign))
}

/// A unit glued to the name; what is named like a clock counts time.
fn glued(words: &Words) -> Option<Unit> {
    match is_time(words) {
        true => units::glued(&words.words, Some(Quantity::Time)),
        false => units::in_name(words),
    }
}

/// What counts from the beginning of a recording is a clock, unlike what counts since
/// something that happened in it.
const SINCE_START: &str = "sincestart|sincebegin|sinceboot|sincepower|sincelogstart|seitstart|seitbeginn|depuisledebut|depuisdebut";

/// Names of a clock or a date.
pub fn is_time(words: &Words) -> bool {
    // An hour as well: km an hour are none.
    const FIRST: [&str; 5] = ["час", "ώρα", "χρόνος", "tid", "aika"];
    let is_first = words.words.first().is_some_and(|first| FIRST.contains(&first.as_str()));
    is_first || is_t(words) || words.has(SINCE_START) || words.has(
        "=time|timestamp|=stamp|=zeit|zeitstempel|=temps|tempsecoule|=tiempo|=tempo|=tijd|elapsed|=seconds|=second|=secs|=sec|=sekunden|=msec|=ms|=millis|\
         uhrzeit|=date|=datum|datetime|=fecha|=epoch|=unix|unixtime|=clock|=heure|=horodatage|=hora|=ora|=dag|=timer|=runtime|laufzeit|=utc|時間|时间|時刻|日時|経過|=ts|=ns|=nanos|=micros|=tstamp|=tsec|=instant|=zeitpunkt|messzeit|logtime|=us|=timecode|=czas|=cas|=ido|=vreme|=время|=uptime|=시간|=zaman|=tow|=itow|timeofweek|=datenum|filetime|=xvalue|irig|=jd|=mjd|julian|julianday|serialtime|serialdate",
    ) && !words.has(
        "=lap|split|best|injection|=inj|dwell|=on|=off|opening|=to|reaction|=delta|pulse|=open|runde|=since|=burn|sector|=duration|einspritzzeit|=engine|=trip|advance|=gap|=started",
    ) && !is_countdown(words)
}

/// What is left of a recording falls; read as a time, its end would be its beginning.
pub fn is_countdown(words: &Words) -> bool {
    words.has("remaining|countdown|toend|timeleft|restzeit|tempsrestant|tiemporestante|残り")
}

/// `t`, `t_ms`, `T [s]`, `s since midnight`; but `T_oil` is a temperature.
fn is_t(words: &Words) -> bool {
    let is_unit =
        |word: &String| units::spelled(word).is_some_and(|unit| unit.quantity == Quantity::Time);
    words.words.split_first().is_some_and(|(first, rest)| {
        let counts = is_unit(first) && rest.first().is_some_and(|word| word == "since");
        first == "t" && rest.iter().all(is_unit) || counts
    })
}

/// Whether a cell names a clock or a date.
pub fn is_clock(cell: &str) -> bool {
    is_time(&heading(cell, "").words)
}

/// Whether a cell is a name with a meaning here, or a clock.
pub fn is_known(cell: &str) -> bool {
    let heading = heading(cell, "");
    is_time(&heading.words)
        || heading.unit.is_some()
        || roles::named(&heading.words, None).is_some()
}
