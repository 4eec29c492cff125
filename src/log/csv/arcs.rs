//! Positions in several columns: degrees, minutes and seconds of arc, and the hemisphere.
//!
//! In: the table and its headings. Out: the column of degrees holds all of it, south and
//! west negative, and the others are nothing of their own. Columns are put together only
//! where the degrees are whole and the parts lie below 60; a hemisphere counts where no
//! degree has a sign already.

use super::header::Heading;
use super::table::{Column, Kind, Table};
use super::time::over_records;
use crate::log::roles::{self, LATITUDE, LONGITUDE};
use crate::log::{Problem, Role};

/// Columns between a position and its hemisphere.
const NEAR: usize = 2;

const MINUTES: &str = "=min|=mins|=minute|=minutes|=minuten|=minuti|=minutos";
const SECONDS: &str = "=sec|=secs|=second|=seconds|=sekunden|=secondes|=segundos|=secondi";

/// The columns of one position.
struct Arc {
    degrees: usize,
    minutes: Option<usize>,
    seconds: Option<usize>,
    hemisphere: Option<usize>,
}

/// Puts positions together. Gives the columns that are then part of another.
pub fn join(
    table: &mut Table,
    headings: &[Heading],
    kinds: &[Kind],
    problems: &mut Vec<Problem>,
) -> Vec<usize> {
    let mut parts = Vec::new();
    for role in [Role::Latitude, Role::Longitude] {
        let Some(arc) = Arc::of(role, table, headings, kinds) else { continue };
        let own: Vec<usize> =
            [arc.minutes, arc.seconds, arc.hemisphere].into_iter().flatten().collect();
        let Some(column) = arc.joined(table).filter(|_| !own.is_empty()) else { continue };
        table.columns[arc.degrees] = column;
        let names: Vec<String> =
            own.iter().map(|&at| format!("\"{}\"", headings[at].name)).collect();
        let (name, names) = (&headings[arc.degrees].name, names.join(" and "));
        let text = format!("\"{name}\" was read as one position with {names}.");
        problems.push(Problem { code: "position_parts", text });
        own.iter().for_each(|&at| table.columns[at] = Column::default());
        parts.extend(own);
    }
    parts
}

/// The position whose sign cells of N and S, or E and W, tell: the one they stand beside.
pub fn hemisphere_of<'a>(
    headings: &[Heading],
    at: usize,
    cells: impl Iterator<Item = &'a str>,
) -> Option<Role> {
    let axis = |cell| {
        Some(if matches!(letter(cell)?, 'N' | 'S') { Role::Latitude } else { Role::Longitude })
    };
    let mut cells = cells.filter(|cell| !cell.is_empty()).map(axis);
    let role = cells.next()??;
    let near = at.saturating_sub(NEAR)..headings.len().min(at + NEAR + 1);
    let stands_beside = headings[near].iter().any(|heading| is_of(heading, role));
    (cells.all(|cell| cell == Some(role)) && stands_beside).then_some(role)
}

/// North and east as 1, south and west as −1.
pub fn hemisphere(cell: &[u8]) -> Option<f64> {
    let letter = letter(std::str::from_utf8(cell).ok()?)?;
    Some(if matches!(letter, 'S' | 'W') { -1.0 } else { 1.0 })
}

fn letter(cell: &str) -> Option<char> {
    let mut letters = cell.trim().chars();
    let letter = letters.next()?.to_ascii_uppercase();
    (letters.next().is_none() && matches!(letter, 'N' | 'S' | 'E' | 'W')).then_some(letter)
}

fn is_of(heading: &Heading, role: Role) -> bool {
    heading.words.has(if role == Role::Latitude { LATITUDE } else { LONGITUDE })
}

impl Arc {
    fn of(role: Role, table: &Table, headings: &[Heading], kinds: &[Kind]) -> Option<Arc> {
        let unit = |heading: &Heading| heading.unit.map_or("", |unit| unit.symbol);
        let is_minutes = |h: &Heading| h.words.has(MINUTES) || unit(h) == "min";
        let is_seconds = |h: &Heading| h.words.has(SECONDS) || unit(h) == "s";
        let is_part = |h: &Heading| is_minutes(h) || is_seconds(h);
        let named =
            |h: &Heading| roles::named(&h.words, None).is_some_and(|named| named.role == role);
        let own = |at: &usize| is_of(&headings[*at], role) && table.columns[*at].is_channel();
        let all =
            || (0..headings.len()).filter(own).filter(|at| kinds[*at] != Kind::Hemisphere(role));
        let degrees = all().find(|at| named(&headings[*at]) && !is_part(&headings[*at]))?;
        // Right of its position, as receivers have it, or else left.
        let hemisphere = (0..kinds.len())
            .filter(|at| kinds[*at] == Kind::Hemisphere(role))
            .min_by_key(|at| (*at < degrees, at.abs_diff(degrees)));
        Some(Arc {
            degrees,
            minutes: all().find(|at| is_minutes(&headings[*at])),
            seconds: all().find(|at| is_seconds(&headings[*at])),
            hemisphere,
        })
    }

    /// The column of all of it; `None` where the parts are none.
    fn joined(&self, table: &Table) -> Option<Column> {
        let column = &table.columns[self.degrees];
        let records = table.lines.len();
        let part = |at: Option<usize>| {
            let column = at.map(|at| &table.columns[at]);
            column.map(|column| over_records(column, records, |at| column.value[at]))
        };
        let (minutes, seconds) = (part(self.minutes), part(self.seconds));
        let below_60 = |values: &Option<Vec<f64>>| {
            let mut values = values.iter().flatten().filter(|v| v.is_finite());
            values.all(|v| (0.0..60.0).contains(v))
        };
        let is_whole = column.value.iter().all(|v| v.fract() == 0.0);
        if (minutes.is_some() || seconds.is_some()) && !is_whole
            || seconds.is_some() && minutes.is_none()
            || !below_60(&minutes)
            || !below_60(&seconds)
        {
            return None;
        }
        let has_sign = column.value.iter().any(|v| v.is_sign_negative());
        let signs = part(self.hemisphere).filter(|_| !has_sign);
        let mut joined = Column::default();
        let mut sign = signs.iter().flatten().copied().find(|s| s.is_finite()).unwrap_or(1.0);
        for (at, &degrees) in column.value.iter().enumerate() {
            let record = column.record_of(at);
            let of = |values: &Option<Vec<f64>>| {
                values.as_ref().map_or(0.0, |v| v.get(record).copied().unwrap_or(f64::NAN))
            };
            let size = degrees.abs() + of(&minutes) / 60.0 + of(&seconds) / 3600.0;
            if signs.is_some() && of(&signs).is_finite() {
                sign = of(&signs);
            }
            if size.is_finite() {
                joined.push(
                    record as u32,
                    size * if has_sign { 1f64.copysign(degrees) } else { sign },
                );
            }
        }
        Some(joined)
    }
}
