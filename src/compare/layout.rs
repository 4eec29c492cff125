//! Values by outing and pull number, and what they say of two builds.
//!
//! In: one value a pull. Out: the difference of two builds' means over the pull numbers
//! they share, with a standard error and degrees of freedom.
//!
//! Model: value = outing + pull number + scatter. Numbers take the climb from pull to
//! pull out, as pairing does; the scatter comes from every outing of the day with the
//! same numbers, which gives far more degrees of freedom than one pair, unless the
//! pair scatters more than 2.5 times as much (common practice, no source) and then
//! stands alone. Outings of one build differ by their days, too: where one of the two
//! has several, that is estimated and enters.
//!
//! Never: scatter smaller than one reading's own standard deviation allows.
//!
//! Source: two-way analysis of variance without repetition (Montgomery 2012, ch. 4);
//! Satterthwaite 1946 for the degrees of freedom of a sum of variances.

use crate::math::samples::{Difference, mean, variance, welch};
use std::collections::BTreeMap;

/// One pull's value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    pub build: usize,
    pub outing: usize,
    pub number: u32,
    pub value: f64,
    /// Of the reading itself.
    pub sd: f64,
}

/// How two builds were put side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Without a spread (one pull a side) `se` and `df` are 0.
    pub difference: Difference,
    /// Pull numbers used; empty when the means stand unpaired, because the outings share
    /// fewer than two.
    pub numbers: Vec<u32>,
    /// Scatter of one pull, and over how many outings it was found.
    pub scatter: f64,
    pub outings: usize,
    /// The difference at the last number alone.
    pub at_last: Option<Difference>,
}

/// A pair that scatters this many times more than all outings stands alone.
const ODD_ONE: f64 = 2.5;

type Outing = BTreeMap<u32, f64>;

/// All values of one measure.
pub struct Layout {
    /// By build and outing.
    outings: BTreeMap<(usize, usize), Outing>,
    values: Vec<Value>,
}

impl Layout {
    pub fn of(values: Vec<Value>) -> Self {
        let mut outings: BTreeMap<(usize, usize), Outing> = BTreeMap::new();
        for v in &values {
            outings.entry((v.build, v.outing)).or_default().insert(v.number, v.value);
        }
        Layout { outings, values }
    }

    /// `to` minus `from`; `None` when one of them has no value.
    pub fn compare(&self, from: usize, to: usize) -> Option<Found> {
        let (a, b) = (self.of_build(from), self.of_build(to));
        if a.is_empty() || b.is_empty() {
            return None;
        }
        let numbers = self.shared_numbers(from, to);
        let single = a.len() == 1 || b.len() == 1;
        if numbers.len() > 1 || single && numbers.len() == 1 {
            Some(self.paired(from, to, numbers))
        } else {
            Some(self.unpaired(&a, &b, self.reading_variance(from, to)))
        }
    }

    fn of_build(&self, build: usize) -> Vec<f64> {
        self.values.iter().filter(|v| v.build == build).map(|v| v.value).collect()
    }

    /// Numbers that every outing of both builds has.
    fn shared_numbers(&self, from: usize, to: usize) -> Vec<u32> {
        let outings: Vec<&Outing> = self.of_pair(from, to).collect();
        let Some(first) = outings.first() else { return Vec::new() };
        let everywhere = |number: &&u32| outings.iter().all(|outing| outing.contains_key(number));
        first.keys().filter(everywhere).copied().collect()
    }

    fn of_pair(&self, from: usize, to: usize) -> impl Iterator<Item = &Outing> {
        self.outings
            .iter()
            .filter(move |((build, _), _)| *build == from || *build == to)
            .map(|(_, outing)| outing)
    }

    /// Mean variance of the readings behind the pair's values.
    fn reading_variance(&self, from: usize, to: usize) -> f64 {
        let of_pair = self.values.iter().filter(|v| v.build == from || v.build == to);
        let squares: Vec<f64> = of_pair.map(|v| v.sd * v.sd).collect();
        mean(&squares).unwrap_or(0.0)
    }

    fn unpaired(&self, a: &[f64], b: &[f64], reading: f64) -> Found {
        let apart = mean(b).zip(mean(a)).map_or(0.0, |(b, a)| b - a);
        let none = Difference { value: apart, se: 0.0, df: 0.0 };
        let mut difference = welch(a, b).unwrap_or(none);
        if difference.df > 0.0 {
            let floor = reading * (1.0 / a.len() as f64 + 1.0 / b.len() as f64);
            difference.se = difference.se.max(floor.sqrt());
        }
        let spreads: Vec<f64> = [a, b].into_iter().filter_map(variance).collect();
        let scatter = mean(&spreads).unwrap_or(0.0).max(reading).sqrt();
        Found { difference, numbers: Vec::new(), scatter, outings: 2, at_last: None }
    }

    fn paired(&self, from: usize, to: usize, numbers: Vec<u32>) -> Found {
        let means = |build: usize| -> Vec<f64> {
            let own = self.outings.iter().filter(|((b, _), _)| *b == build);
            own.filter_map(|(_, outing)| mean(&at(outing, &numbers))).collect()
        };
        let (a, b) = (means(from), means(to));
        let apart = |a: &[f64], b: &[f64]| mean(b).zip(mean(a)).map_or(0.0, |(b, a)| b - a);
        let value = apart(&a, &b);
        let Scatter { variance, df, outings } = self.scatter(from, to, &numbers);
        let shares = 1.0 / a.len() as f64 + 1.0 / b.len() as f64;
        let within = variance / numbers.len() as f64;
        let (day, day_df) = self.between_days((from, to), &numbers, within);
        let whole = shares * (within + day);
        let difference = Difference {
            value,
            se: whole.sqrt(),
            df: joint_df(&[(shares * within, df), (shares * day, day_df)]),
        };
        let at_last = numbers.last().filter(|_| df > 0.0).map(|last| {
            let only = |build: usize| -> Vec<f64> {
                let own = self.outings.iter().filter(|((b, _), _)| *b == build);
                own.filter_map(|(_, outing)| outing.get(last).copied()).collect()
            };
            let df = joint_df(&[(shares * variance, df), (shares * day, day_df)]);
            let se = (shares * (variance + day)).sqrt();
            Difference { value: apart(&only(from), &only(to)), se, df }
        });
        if df == 0.0 {
            let none = Difference { value, se: 0.0, df: 0.0 };
            return Found { difference: none, numbers, scatter: 0.0, outings, at_last: None };
        }
        Found { difference, numbers, scatter: variance.sqrt(), outings, at_last }
    }

    /// Scatter of one pull about outing and number.
    fn scatter(&self, from: usize, to: usize, numbers: &[u32]) -> Scatter {
        let full = |outing: &&Outing| numbers.iter().all(|number| outing.contains_key(number));
        let pair: Vec<Vec<f64>> = self.of_pair(from, to).map(|o| at(o, numbers)).collect();
        let all: Vec<Vec<f64>> =
            self.outings.values().filter(full).map(|o| at(o, numbers)).collect();
        let (own, day) = (Scatter::about(&pair), Scatter::about(&all));
        let odd = own.variance > ODD_ONE * ODD_ONE * day.variance;
        let mut scatter = if odd { own } else { day };
        scatter.variance = scatter.variance.max(self.reading_variance(from, to));
        scatter
    }

    /// Variance that days add to outings of one of the two builds, and its degrees of
    /// freedom; none where neither has two. Other builds have no say: their outings may
    /// differ for reasons of their own.
    fn between_days(&self, (from, to): (usize, usize), numbers: &[u32], within: f64) -> (f64, f64) {
        let mut by_build: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        let pair = self.outings.iter().filter(|((build, _), _)| *build == from || *build == to);
        for ((build, _), outing) in pair {
            let values = at(outing, numbers);
            if values.len() == numbers.len() {
                by_build.entry(*build).or_default().extend(mean(&values));
            }
        }
        let spreads = by_build.values().filter_map(|means| Some((variance(means)?, means.len())));
        let (mut squares, mut df) = (0.0, 0.0);
        for (variance, count) in spreads {
            squares += variance * (count - 1) as f64;
            df += (count - 1) as f64;
        }
        if df == 0.0 { (0.0, 0.0) } else { ((squares / df - within).max(0.0), df) }
    }
}

fn at(outing: &Outing, numbers: &[u32]) -> Vec<f64> {
    numbers.iter().filter_map(|number| outing.get(number).copied()).collect()
}

/// Degrees of freedom of a sum of variances; zero parts have no say.
fn joint_df(parts: &[(f64, f64)]) -> f64 {
    let whole: f64 = parts.iter().map(|(variance, _)| variance).sum();
    let shares = parts.iter().filter(|(variance, df)| *variance > 0.0 && *df > 0.0);
    let sum: f64 = shares.map(|(variance, df)| variance * variance / df).sum();
    if sum > 0.0 { whole * whole / sum } else { 0.0 }
}

#[derive(Debug, Clone, Copy)]
struct Scatter {
    variance: f64,
    df: f64,
    outings: usize,
}

impl Scatter {
    /// What outing and number leave over. Rows are outings, columns numbers.
    fn about(rows: &[Vec<f64>]) -> Self {
        let numbers = rows.first().map_or(0, Vec::len);
        let count = rows.len() as f64;
        let columns: Vec<f64> =
            (0..numbers).map(|i| rows.iter().map(|row| row[i]).sum::<f64>() / count).collect();
        let whole = mean(&columns).unwrap_or(0.0);
        let left = |row: &Vec<f64>| {
            let level = mean(row).unwrap_or(0.0) - whole;
            row.iter().zip(&columns).map(|(v, c)| (v - c - level) * (v - c - level)).sum::<f64>()
        };
        let squares: f64 = rows.iter().map(left).sum();
        let df = (rows.len().max(1) - 1) as f64 * (numbers.max(1) - 1) as f64;
        let variance = if df > 0.0 { squares / df } else { 0.0 };
        Scatter { variance, df, outings: rows.len() }
    }
}
