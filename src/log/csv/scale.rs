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

/// Counts of days, known by their size: the years 1954 to 2119, what 1970-01-01 is in each,
/// and its words. Spreadsheets count from 1899-12-30, scripts for matrices from the year 0,
/// astronomers from noon on 1 January 4713 BC (the Julian date: 2440587.5 is 1970-01-01,
/// Seidelmann, Explanatory Supplement to the Astronomical Almanac, 1992; from memory).
const DAYS: [(std::ops::Range<f64>, f64, &str); 3] = [
    (20_000.0..80_000.0, 25_569.0, "days since 1900 (spreadsheet)"),
    (714_000.0..774_000.0, 719_529.0, "days since the year 0"),
    (2_435_000.0..2_495_000.0, 2_440_587.5, "Julian days"),
];

/// Counts from a day long ago, known by their size.
struct Absolute {
    sizes: std::ops::Range<f64>,
    factor: f64,
    /// What 1970-01-01 is in the count.
    offset: f64,
    words: &'static str,
}

const fn unix(from: f64, factor: f64, words: &'static str) -> Absolute {
    Absolute { sizes: from..from * 3.0, factor, offset: 0.0, words }
}

/// Those in 100 ns run from 1981 to 2076, and 1600 years later: both as operating systems
/// count (from memory: 11,644,473,600 s and 62,135,596,800 s before 1970).
const ABSOLUTE: [Absolute; 6] = [
    unix(9e8, 1.0, "Unix seconds"),
    unix(9e11, 1e-3, "Unix milliseconds"),
    unix(9e14, 1e-6, "Unix microseconds"),
    unix(9e17, 1e-9, "Unix nanoseconds"),
    Absolute {
        sizes: 1.2e17..1.5e17,
        factor: 1e-7,
        offset: 116_444_736e9,
        words: "100 ns since 1601",
    },
    Absolute {
        sizes: 6.25e17..6.55e17,
        factor: 1e-7,
        offset: 621_355_968e9,
        words: "100 ns since the year 1",
    },
];

/// Whether every number is of a size that only such a count has, whatever it is called.
/// Unix seconds are too small for that: they may be the number of a part.
pub fn is_absolute(values: &[f64]) -> bool {
    let fits = |value: &f64| ABSOLUTE[1..].iter().any(|count| count.sizes.contains(value));
    !values.is_empty() && values.iter().all(fits)
}

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
        for Absolute { sizes, factor, offset, words } in ABSOLUTE {
            let fits = sizes.contains(&middle) && step * factor < 100.0;
            if fits && unit.is_none_or(|unit| unit.factor == factor) {
                let (words, why) = (words.to_owned(), why());
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
        for (days, offset, words) in DAYS {
            if days.contains(&middle) && step < 0.002 {
                let (factor, words, why) = (DAY_S, words.to_owned(), why());
                let (is_unix, guessed) = (true, false);
                return Some(Scale { factor, offset, is_unix, words, guessed, step, why });
            }
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
