//! A table without names under those of another.
//!
//! In: the log without names, and one of the same columns. Out: the log with roles, units
//! and names of the other, or `None` where their columns are not as many.

use super::assemble::{self, Parts};
use super::raw::Raw;
use super::{Channel, HEADLESS, Log, Problem, Series};

/// The log with the names of another's columns.
pub fn named_like(log: &Log, other: &Log) -> Option<Log> {
    let recorded = |log: &'_ Log| log.channels.iter().filter(|c| !c.derived).cloned().collect();
    let (own, named): (Vec<Channel>, Vec<Channel>) = (recorded(log), recorded(other));
    if own.len() != named.len() {
        return None;
    }
    let raw = |(own, named): (&Channel, &Channel)| {
        let written = |value: &f64| own.unit.map_or(*value, |unit| unit.written(*value));
        let value = own.series.value.iter().map(written).collect();
        Raw::new(&named.name, named.unit, Series { time_s: own.series.time_s.clone(), value })
    };
    let text = format!(
        "No line names the columns; the names of {} were taken, from which the clock goes on.",
        other.name
    );
    let said = log.problems.iter().filter(|problem| problem.code != HEADLESS).cloned();
    let taken = Problem { code: "header_of_another", text };
    Some(assemble::log(Parts {
        file: &log.name,
        form: log.form,
        raws: own.iter().zip(&named).map(raw).collect(),
        span_s: log.span_s,
        rows: log.rows,
        began_unix_s: log.began_unix_s,
        clock_began_s: log.clock_began_s,
        header_key: other.header_key.clone(),
        form_found: log.form_found.clone(),
        problems: said.chain([taken]).collect(),
    }))
}
