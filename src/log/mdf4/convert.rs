//! Conversions: the raw number of a record becomes the value it stands for.
//!
//! In: a CC block. Out: a [`Conversion`] that maps one number to one number, or to
//! none where the file says that the raw number is a word. Numbered as in the
//! standard: 0 none, 1 linear, 2 rational, 3 algebraic, 4 and 5 table, 6 ranges,
//! 7 and 8 words. Rows H2-13 and H2-14 of the check values.

use std::collections::BTreeMap;

use super::block::{Block, Checked, expect};
use super::formula::Formula;
use crate::log::limits::NESTED_LIMIT;

#[derive(Debug, Clone)]
pub enum Conversion {
    None,
    Linear {
        offset: f64,
        factor: f64,
    },
    Rational([f64; 6]),
    Algebraic(Formula),
    /// Keys and values, keys rising; between them linear or nearest.
    Table {
        rows: Vec<(f64, f64)>,
        linear: bool,
    },
    Ranges {
        rows: Vec<(f64, f64, f64)>,
        /// Rising and apart, so that they can be searched by halves.
        sorted: bool,
        otherwise: f64,
    },
    /// Raw numbers in these ranges are words; others go on to a conversion, if any.
    Words {
        ranges: Vec<(f64, f64)>,
        sorted: bool,
        /// Ranges that are no words but have a conversion of their own.
        scales: BTreeMap<usize, Conversion>,
        otherwise: Option<Box<Conversion>>,
    },
    /// Something this reader does not understand.
    Unknown(u8),
}

/// `is_real` says that the raw numbers are no whole ones: their ranges end before their
/// upper end, those of whole numbers with it. asammdf 8.8 and mdflib read them so.
pub fn read(file: &[u8], at: u64, is_real: bool) -> Checked<Conversion> {
    read_within(file, at, is_real, 0)
}

fn read_within(file: &[u8], at: u64, is_real: bool, depth: usize) -> Checked<Conversion> {
    let Some(block) = expect(file, at, b"##CC")? else { return Ok(Conversion::None) };
    if depth > NESTED_LIMIT {
        return Ok(Conversion::Unknown(block.u8(0)));
    }
    let value = |index: usize| block.f64(24 + 8 * index);
    let count = usize::from(block.u16(6)).min(block.data.len() / 8);
    Ok(match block.u8(0) {
        0 => Conversion::None,
        1 => Conversion::Linear { offset: value(0), factor: value(1) },
        2 => Conversion::Rational(std::array::from_fn(value)),
        3 => Formula::parse(&super::block::text(file, block.link(4)))
            .map_or(Conversion::Unknown(3), Conversion::Algebraic),
        kind @ (4 | 5) => {
            let rows = (0..count / 2).map(|row| (value(2 * row), value(2 * row + 1))).collect();
            Conversion::Table { rows, linear: kind == 4 }
        }
        6 => {
            let rows: Vec<(f64, f64, f64)> = (0..count / 3)
                .map(|row| (value(3 * row), value(3 * row + 1), value(3 * row + 2)))
                .map(|(low, high, value)| (low, last(low, high, is_real), value))
                .collect();
            let sorted = is_sorted(rows.len(), |at| (rows[at].0, rows[at].1));
            Conversion::Ranges { rows, sorted, otherwise: value(count.saturating_sub(1)) }
        }
        kind @ (7 | 8) => words(file, &block, kind, count, is_real, depth)?,
        kind => Conversion::Unknown(kind),
    })
}

/// Value to text: one number a word, or a range; the last reference is for all others.
fn words(
    file: &[u8],
    block: &Block,
    kind: u8,
    count: usize,
    is_real: bool,
    depth: usize,
) -> Checked<Conversion> {
    let value = |index: usize| block.f64(24 + 8 * index);
    let ranges: Vec<(f64, f64)> = match kind {
        7 => (0..count).map(|row| (value(row), value(row))).collect(),
        _ => (0..count / 2)
            .map(|row| (value(2 * row), value(2 * row + 1)))
            .map(|(low, high)| (low, last(low, high, is_real)))
            .collect(),
    };
    // Behind the four links of every conversion stands one a word, and the last for others.
    const FIRST: usize = 4;
    let scale = |link: usize| -> Checked<Option<Conversion>> {
        let at = block.link(link);
        let found = super::block::block(file, at);
        let is_scale = matches!(found, Ok(Some(found)) if &found.id == b"##CC");
        is_scale.then(|| read_within(file, at, is_real, depth + 1)).transpose()
    };
    let others = block.links().checked_sub(1).filter(|others| *others >= FIRST);
    let otherwise = others.map(scale).transpose()?.flatten().map(Box::new);
    let mut scales = BTreeMap::new();
    for (row, link) in (FIRST..others.unwrap_or(FIRST)).enumerate().take(ranges.len()) {
        if let Some(scale) = scale(link)? {
            scales.insert(row, scale);
        }
    }
    let sorted = is_sorted(ranges.len(), |at| ranges[at]);
    Ok(Conversion::Words { ranges, sorted, scales, otherwise })
}

/// The last number of a range. One that is a single number holds it.
fn last(low: f64, high: f64, is_real: bool) -> f64 {
    if is_real && high > low { high.next_down() } else { high }
}

impl Conversion {
    /// The value of a raw number; `None` where there is none.
    pub fn value(&self, raw: f64) -> Option<f64> {
        let value = match self {
            Conversion::None => raw,
            Conversion::Linear { offset, factor } => offset + factor * raw,
            Conversion::Rational([a, b, c, d, e, f]) => {
                (a * raw * raw + b * raw + c) / (d * raw * raw + e * raw + f)
            }
            Conversion::Algebraic(formula) => formula.value(raw)?,
            Conversion::Table { rows, linear } => table(rows, *linear, raw)?,
            Conversion::Ranges { rows, sorted, otherwise } => {
                within(rows.len(), *sorted, |at| (rows[at].0, rows[at].1), raw)
                    .map_or(*otherwise, |at| rows[at].2)
            }
            // Words alone: the raw number tells them apart and is kept.
            Conversion::Words { scales, otherwise: None, .. } if scales.is_empty() => raw,
            Conversion::Words { ranges, sorted, scales, otherwise } => {
                match within(ranges.len(), *sorted, |at| ranges[at], raw) {
                    Some(row) => scales.get(&row)?.value(raw)?,
                    None => otherwise.as_ref()?.value(raw)?,
                }
            }
            Conversion::Unknown(_) => return None,
        };
        value.is_finite().then_some(value)
    }
}

/// Whether ranges rise and touch at most at their ends.
fn is_sorted(count: usize, range: impl Fn(usize) -> (f64, f64)) -> bool {
    let whole = |at: usize| range(at).0 <= range(at).1;
    (0..count).all(whole) && (1..count).all(|at| range(at - 1).1 <= range(at).0)
}

/// The first of the ranges, ends included, that holds a number.
fn within(
    count: usize,
    sorted: bool,
    range: impl Fn(usize) -> (f64, f64),
    raw: f64,
) -> Option<usize> {
    let holds = |at: &usize| (range(*at).0..=range(*at).1).contains(&raw);
    if !sorted {
        return (0..count).find(holds);
    }
    let (mut low, mut high) = (0, count);
    while low < high {
        let middle = low + (high - low) / 2;
        if range(middle).1 < raw { low = middle + 1 } else { high = middle }
    }
    Some(low).filter(|at| *at < count).filter(holds)
}

/// Beyond the ends of a table its first and last value hold.
fn table(rows: &[(f64, f64)], linear: bool, raw: f64) -> Option<f64> {
    let after = rows.partition_point(|(key, _)| *key < raw);
    let (Some(&high), Some(&low)) =
        (rows.get(after), after.checked_sub(1).and_then(|at| rows.get(at)))
    else {
        return rows.get(after).or(rows.last()).map(|row| row.1);
    };
    if high.0 == raw {
        return Some(high.1);
    }
    let share = (raw - low.0) / (high.0 - low.0);
    Some(if linear {
        low.1 + share * (high.1 - low.1)
    } else if share > 0.5 {
        high.1
    } else {
        low.1
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_conversions_give_their_values() {
        // H2-13: offset first, then factor. H2-14: the same as a fraction.
        let linear = Conversion::Linear { offset: -40.0, factor: 1.0 };
        let rational = Conversion::Rational([0.0, 1.0, -40.0, 0.0, 0.0, 1.0]);
        assert_eq!(linear.value(90.0), Some(50.0));
        assert_eq!(rational.value(90.0), Some(50.0));
        assert_eq!(Conversion::Rational([0.0, 1.0, 0.0, 0.0, 0.0, 0.0]).value(1.0), None);
    }

    #[test]
    fn tables_hold_their_ends_and_words_are_no_numbers() {
        let rows = vec![(0.0, 10.0), (10.0, 20.0)];
        let linear = Conversion::Table { rows: rows.clone(), linear: true };
        let nearest = Conversion::Table { rows, linear: false };
        assert_eq!(
            [-5.0, 5.0, 10.0, 99.0].map(|raw| linear.value(raw)),
            [10.0, 15.0, 20.0, 20.0].map(Some)
        );
        assert_eq!([4.0, 6.0].map(|raw| nearest.value(raw)), [10.0, 20.0].map(Some));
        let scale = Conversion::Linear { offset: 0.0, factor: 0.5 };
        let words = Conversion::Words {
            ranges: vec![(255.0, 255.0)],
            sorted: true,
            scales: BTreeMap::new(),
            otherwise: Some(Box::new(scale)),
        };
        assert_eq!((words.value(255.0), words.value(4.0)), (None, Some(2.0)));
        // A first range with a scale of its own, a second that is a word, and nothing else.
        let offset = Conversion::Linear { offset: -40.0, factor: 1.0 };
        let words = Conversion::Words {
            ranges: vec![(0.0, 250.0), (251.0, 255.0)],
            sorted: true,
            scales: BTreeMap::from([(0, offset)]),
            otherwise: None,
        };
        assert_eq!([128.0, 252.0, 300.0].map(|raw| words.value(raw)), [Some(88.0), None, None]);
    }

    /// The rows of a published block table: 0 to 10 is 1, 10 to 20 is 2, else 9.
    #[test]
    fn a_range_of_whole_numbers_holds_its_end_and_one_of_real_numbers_does_not() {
        let ranges = |is_real| {
            let row = |low, high, value| (low, last(low, high, is_real), value);
            let rows = vec![row(0.0, 10.0, 1.0), row(10.0, 20.0, 2.0), row(30.0, 30.0, 3.0)];
            let conversion = Conversion::Ranges { rows, sorted: true, otherwise: 9.0 };
            [-1.0, 0.0, 9.5, 10.0, 19.5, 20.0, 30.0].map(|raw| conversion.value(raw).unwrap())
        };
        assert_eq!(ranges(true), [9.0, 1.0, 1.0, 2.0, 2.0, 9.0, 3.0]);
        assert_eq!(ranges(false), [9.0, 1.0, 1.0, 1.0, 2.0, 2.0, 3.0]);
    }

    /// The plain search is the judge of the quick one.
    #[test]
    fn ranges_are_found_alike_by_halves_and_one_by_one() {
        let rows: Vec<(f64, f64)> = (0..40)
            .map(|at| (f64::from(at) * 3.0, f64::from(at) * 3.0 + f64::from(at % 4)))
            .collect();
        let range = |at: usize| rows[at];
        assert!(is_sorted(rows.len(), range));
        for raw in (-10..260).map(|half| f64::from(half) / 2.0) {
            let found = within(rows.len(), true, range, raw);
            assert_eq!(found, within(rows.len(), false, range, raw), "{raw}");
        }
        assert_eq!(within(rows.len(), true, range, f64::NAN), None);
        let overlapping = [(0.0, 5.0), (3.0, 8.0)];
        assert!(!is_sorted(2, |at| overlapping[at]));
    }
}
