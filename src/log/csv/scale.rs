//! How the numbers of a clock become seconds.
//!
//! In: the numbers, their written unit if any, and the pace that the file says. Out: a
//! [`Scale`]. Unix times and a spreadsheet's days are known by their size; a unit that
//! is not written is told from the steps, and that it was guessed is kept.

use super::counter;
use super::pace::Pace;
use crate::log::clock::DAY_S;
use crate::log::swapped::usual_step;
use crate::unit::{Unit, by_symbol};

/// Excel counts days from 1899-12-30; this is 1970-01-01 in that count.
const SERIAL_DAY_OF_1970: f64 = 25_569.0;

/// How numbers become seconds.
pub struct Scale {
    pub factor: f64,
    offset: f64,
    pub is_unix: bool,
    pub words: String,
    pub guessed: bool,
    pub step: f64,
    /// What makes the step speak for the unit.
    pub why: String,
}

impl Scale {
    /// Where no unit is written, the pace that the file says tells it from the steps.
    pub fn by_pace(mut self, pace: Option<&Pace>, values: &[f64]) -> Scale {
        let Some(pace) = pace.filter(|_| self.guessed) else { return self };
        let fits = |factor: f64| (self.step * factor / pace.interval_s - 1.0).abs() < 0.2;
        let known = ["s", "ms", "µs", "ns"].into_iter().filter_map(by_symbol);
        if let Some(unit) = known.into_iter().find(|unit| fits(unit.factor)) {
            (self.factor, self.offset) = (unit.factor, 0.0);
            unit.symbol.clone_into(&mut self.words);
        } else if counter::counts(values) {
            (self.factor, self.offset) = (pace.interval_s, 0.0);
            "a count of records".clone_into(&mut self.words);
        } else {
            return self;
        }
        self.why = format!("and the file says \"{}\"", pace.line);
        self
    }

    pub fn seconds(&self, written: f64) -> f64 {
        (written - self.offset) * self.factor
    }

    pub fn of(values: &[f64], unit: Option<Unit>) -> Option<Scale> {
        let step = usual_step(values)?;
        let middle = *values.get(values.len() / 2)?;
        let why = || "from record to record".to_owned();
        let plain = |symbol: &'static str, guessed| {
            let factor = by_symbol(symbol).map_or(1.0, |unit| unit.factor);
            let (words, why) = (symbol.to_owned(), why());
            Scale { factor, offset: 0.0, is_unix: false, words, guessed, step, why }
        };
        for (from, factor, words) in [
            (9e8, 1.0, "Unix seconds"),
            (9e11, 1e-3, "Unix milliseconds"),
            (9e14, 1e-6, "Unix microseconds"),
            (9e17, 1e-9, "Unix nanoseconds"),
        ] {
            let fits = (from..from * 3.0).contains(&middle) && step * factor < 100.0;
            if fits && unit.is_none_or(|unit| unit.factor == factor) {
                let words = words.to_owned();
                let (offset, why) = (0.0, why());
                return Some(Scale {
                    factor,
                    offset,
                    is_unix: true,
                    words,
                    guessed: false,
                    step,
                    why,
                });
            }
        }
        if let Some(unit) = unit {
            return Some(plain(unit.symbol, false));
        }
        if (20_000.0..80_000.0).contains(&middle) && step < 0.002 {
            let words = "days since 1900 (spreadsheet)".to_owned();
            let (factor, offset, why) = (DAY_S, SERIAL_DAY_OF_1970, why());
            return Some(Scale { factor, offset, is_unix: true, words, guessed: false, step, why });
        }
        // No car is logged every 4 µs; a share of a day steps by 1e-7 to 1e-5.
        if step < 5e-5 && values.iter().all(|value| (0.0..2.0).contains(value)) {
            let words = "parts of a day (spreadsheet)".to_owned();
            let (factor, offset, why) = (DAY_S, 0.0, why());
            return Some(Scale { factor, offset, is_unix: false, words, guessed: true, step, why });
        }
        // Loggers write 0.2 to 1000 records a second.
        Some(match step {
            step if step <= 2.0 => plain("s", true),
            step if step <= 5e3 => plain("ms", true),
            step if step <= 2e6 => plain("µs", true),
            _ => plain("ns", true),
        })
    }
}
