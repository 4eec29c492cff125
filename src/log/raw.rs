//! A channel as written, before it has a role: what every reader hands over.

use super::Series;
use super::names::{Words, shown};
use crate::unit::{Unit, counted};

/// Readings as the file has them, fresh ones only.
#[derive(Debug, Clone, PartialEq)]
pub struct Raw {
    pub name: String,
    pub words: Words,
    pub unit: Option<Unit>,
    /// Times from the log's first record; values as written.
    pub series: Series,
    /// Why only these readings are fresh, empty when all are.
    pub fresh: String,
    /// What stands in the place of a unit, where it is none that is known.
    pub unknown_unit: Option<String>,
    /// Computed from other channels by this program.
    pub derived: bool,
    /// The step of computed values, from the steps of what they are computed from.
    pub step: Option<f64>,
}

impl Raw {
    pub fn new(name: &str, unit: Option<Unit>, series: Series) -> Self {
        let (words, fresh) = (Words::of(name), String::new());
        let unit = unit.map(|unit| of_readings(unit, &series.value));
        let (name, unknown_unit) = (shown(name).into_owned(), None);
        Raw { name, words, unit, series, fresh, unknown_unit, derived: false, step: None }
    }
}

/// Counts are whole numbers: a part of a unit before others is how finely they are written.
fn of_readings(unit: Unit, values: &[f64]) -> Unit {
    let is_whole = || values.iter().all(|value| value.fract() == 0.0);
    counted::base(unit).filter(|_| !is_whole()).unwrap_or(unit)
}
