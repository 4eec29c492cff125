//! Further tables in one file: an engine's above, a receiver's below.
//!
//! In: the table read before and the one that follows it. Out: both as one, their times
//! counted from the earliest record, or the reason why they cannot be laid beside one
//! another. Two tables are of one drive when their clocks count alike; where both hold a
//! channel of one name at the same times, they are two recordings, and which comes first
//! is not for this program to say.

use std::sync::Arc;

use super::whole::Part;
use crate::log::Series;
use crate::log::raw::Raw;

/// Tables that begin further apart are not of one count of seconds.
const ONE_COUNT_S: f64 = 3600.0;
/// Nor are dates further apart of one drive.
const ONE_DRIVE_S: f64 = 2.0 * 86_400.0;

/// Takes a further table's channels to the first one's.
///
/// # Errors
/// Why the further table does not belong beside the first, in words.
pub fn join(first: &mut Part, further: Part) -> Result<(), &'static str> {
    let later_s = later_by(first, &further)?;
    let overlaps = later_s <= first.span_s && later_s + further.span_s >= 0.0;
    let twin = |raw: &Raw| first.raws.iter().position(|own| same(own, raw));
    if overlaps && further.raws.iter().any(|raw| twin(raw).is_some()) {
        return Err("both have a channel of one name at the same times");
    }
    let (earliest_s, known) = (later_s.min(0.0), first.raws.len());
    first.raws.iter_mut().for_each(|raw| shift(raw, -earliest_s));
    for mut raw in further.raws {
        shift(&mut raw, later_s - earliest_s);
        match first.raws[..known].iter_mut().find(|own| same(own, &raw)) {
            Some(own) => append(own, &raw),
            None => first.raws.push(raw),
        }
    }
    first.span_s = (first.span_s - earliest_s).max(later_s - earliest_s + further.span_s);
    first.first_s += earliest_s;
    first.rows += further.rows;
    first.names.extend(further.names);
    first.problems.extend(further.problems);
    Ok(())
}

/// By how much the further table begins later than the first.
fn later_by(first: &Part, further: &Part) -> Result<f64, &'static str> {
    match (first.unix_base_s, further.unix_base_s) {
        (Some(a), Some(b)) => Some((b + further.first_s) - (a + first.first_s))
            .filter(|later| later.abs() < ONE_DRIVE_S)
            .ok_or("it is of another day"),
        (None, None) if first.is_wall_clock == further.is_wall_clock => {
            Some(further.first_s - first.first_s)
                .filter(|later| later.abs() < ONE_COUNT_S.max(2.0 * first.span_s))
                .ok_or("its times count from elsewhere")
        }
        _ => Err("its times count from elsewhere"),
    }
}

/// One channel in both tables. What has no name of its own is never the same.
fn same(a: &Raw, b: &Raw) -> bool {
    !a.words.joined.is_empty() && a.name == b.name && a.unit == b.unit
}

fn shift(raw: &mut Raw, by_s: f64) {
    if by_s != 0.0 {
        raw.series.time_s = raw.series.time_s.iter().map(|t| t + by_s).collect();
    }
}

/// One channel in two tables of which one ends before the other begins.
fn append(own: &mut Raw, more: &Raw) {
    let (before, after) = match (own.series.time_s.last(), more.series.time_s.first()) {
        (Some(end), Some(begin)) if end < begin => (&own.series, &more.series),
        _ => (&more.series, &own.series),
    };
    let time_s: Arc<[f64]> = before.time_s.iter().chain(&*after.time_s).copied().collect();
    let value = before.value.iter().chain(&after.value).copied().collect();
    own.series = Series { time_s, value };
}
