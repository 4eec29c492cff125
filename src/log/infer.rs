//! Units that the file does not tell, from what the values can be.
//!
//! In: a role and the values as written, with what else the log knows. Out: a
//! [`Guess`] with the reason in words, or `None` when nothing decides. A guess is
//! always reported; it is never silent.

use super::Role;
use super::plausible::{limits, usual};
use crate::unit::{Quantity, Unit, by_symbol};

/// A unit that values speak for.
#[derive(Debug, Clone, PartialEq)]
pub struct Guess {
    pub unit: Unit,
    pub because: String,
}

/// What the rest of the log says of its writer's habits.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Habits {
    /// Some other channel is written in °F, mph, psi, feet.
    pub customary: bool,
    /// Some other channel is written in °C, km/h, kPa, bar.
    pub metric: bool,
    /// Temperatures without a unit are °F (or are not), as those say that leave no choice.
    pub fahrenheit: Option<bool>,
}

/// Whether temperatures without units are °F, from those that can be only one.
pub fn fahrenheit(temperatures: impl Iterator<Item = (Role, Spread)>) -> Option<bool> {
    let (mut f, mut c) = (0, 0);
    for (role, spread) in temperatures {
        match (fits(role, spread, "°C"), fits(role, spread, "°F")) {
            (Some(_), None) => c += 1,
            (None, Some(_)) => f += 1,
            _ => {}
        }
    }
    match (f, c) {
        (1.., 0) => Some(true),
        (0, 1..) => Some(false),
        _ => None,
    }
}

/// The unit, if readings in it lie where they usually do.
fn fits(role: Role, spread: Spread, symbol: &str) -> Option<Unit> {
    by_symbol(symbol).filter(|unit| {
        let inside = spread.inside(unit);
        inside.within(limits(role)) && within_usual(inside, usual(role))
    })
}

/// Ends of the middle 98 % of values, and the middle one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    pub low: f64,
    pub middle: f64,
    pub high: f64,
}

impl Spread {
    pub fn of(values: &[f64]) -> Option<Spread> {
        let mut values = values.to_vec();
        let last = values.len().checked_sub(1)?;
        // Three places of the sorted values, without sorting all of a long log.
        let mut at = |share: f64| {
            let place = (share * last as f64).round() as usize;
            *values.select_nth_unstable_by(place, f64::total_cmp).1
        };
        Some(Spread { low: at(0.01), middle: at(0.5), high: at(0.99) })
    }

    fn inside(&self, unit: &Unit) -> Spread {
        Spread {
            low: unit.inside(self.low),
            middle: unit.inside(self.middle),
            high: unit.inside(self.high),
        }
    }

    pub fn within(&self, (lowest, highest): (f64, f64)) -> bool {
        self.low >= lowest && self.high <= highest
    }

    fn words(&self) -> String {
        format!("{} to {}", short(self.low), short(self.high))
    }
}

/// Four digits are enough to recognise a value by.
pub fn short(value: f64) -> String {
    let size = value.abs();
    match size {
        s if s >= 1e9 => format!("{value:.1e}"),
        s if s >= 100.0 => format!("{value:.0}"),
        s if s >= 10.0 => format!("{value:.1}"),
        _ => format!("{value:.2}"),
    }
}

/// A number in so many digits at the most, without what a double adds to it: 0.1, not
/// 0.10000000000000142.
pub fn rounded(value: f64, digits: usize) -> String {
    let text = format!("{value:.*e}", digits.saturating_sub(1));
    match text.parse::<f64>().unwrap_or(value) {
        plain if plain.abs() < 1e16 => plain.to_string(),
        long => format!("{long:e}"),
    }
}

/// The unit of a role whose column names none.
pub fn unit(role: Role, values: &[f64], habits: Habits) -> Option<Guess> {
    let spread = Spread::of(values)?;
    use Quantity::*;
    match super::roles::quantity_of(role) {
        Temperature => temperature(role, spread, habits),
        Pressure => pressure(role, spread),
        EngineSpeed => engine_speed(spread),
        Share => share(spread),
        Speed => speed(spread, habits),
        Acceleration => acceleration(spread),
        Angle => angle(spread),
        Length => one("m", "receivers give heights in metres"),
        _ => None,
    }
}

fn one(symbol: &str, because: &str) -> Option<Guess> {
    Some(Guess { unit: by_symbol(symbol)?, because: because.to_owned() })
}

/// The unit under which the readings lie where they usually do.
fn temperature(role: Role, spread: Spread, habits: Habits) -> Option<Guess> {
    let (c, f, k) = (fits(role, spread, "°C"), fits(role, spread, "°F"), fits(role, spread, "K"));
    let words = spread.words();
    let because =
        |symbol: &str| format!("{words} would be out of the ordinary in other units than {symbol}");
    match (c, f, k) {
        (Some(unit), None, None) | (None, Some(unit), None) | (None, None, Some(unit)) => {
            Some(Guess { unit, because: because(unit.symbol) })
        }
        (Some(c), Some(f), _) => {
            let (unit, like) = match habits.fahrenheit {
                Some(true) => (f, "another temperature of this log can only be °F"),
                Some(false) => (c, "another temperature of this log can only be °C"),
                None if habits.customary && !habits.metric => {
                    (f, "other units of this log are customary")
                }
                None if habits.metric && !habits.customary => {
                    (c, "other units of this log are metric")
                }
                None => (c, "nothing in the log says more"),
            };
            Some(Guess { unit, because: format!("{words} fits °C and °F, and {like}") })
        }
        _ => None,
    }
}

fn within_usual(inside: Spread, (lowest, highest): (f64, f64)) -> bool {
    inside.middle >= lowest && inside.middle <= highest && inside.high <= highest + 25.0
}

/// Below this a manifold holds vacuum, a fifth under the standard atmosphere.
const IDLE_VACUUM_PA: f64 = 8e4;

fn pressure(role: Role, spread: Spread) -> Option<Guess> {
    let negative = spread.low < 0.0;
    let gauge = ["psi gauge", "bar gauge", "kPa gauge", "mbar gauge"];
    let absolute = ["kPa", "bar", "mbar", "psi", "inHg", "Pa", "mmHg"];
    let symbols: &[&str] = if negative { &gauge } else { &absolute };
    let fits = |symbol: &&&str| {
        by_symbol(symbol).is_some_and(|unit| {
            let inside = spread.inside(&unit);
            let spans = role == Role::BarometricPressure || inside.high > 6e4;
            inside.within(usual(role)) && spans && (!negative || inside.high > 1.05e5)
        })
    };
    // An engine that idles draws a vacuum; one that hardly does is in another unit.
    let draws = |symbol: &&&str| {
        by_symbol(symbol).is_some_and(|unit| unit.inside(spread.low) < IDLE_VACUUM_PA)
    };
    let best = symbols.iter().filter(fits).find(|symbol| negative && draws(symbol));
    let unit = best.or_else(|| symbols.iter().find(fits)).and_then(|symbol| by_symbol(symbol))?;
    Some(Guess {
        unit,
        because: format!("{} is what the pressure reads in {}", spread.words(), unit.symbol),
    })
}

/// Degrees, or whole numbers of ten millionths of a degree.
fn angle(spread: Spread) -> Option<Guess> {
    match spread.low.abs().max(spread.high.abs()) {
        largest if largest <= 360.0 => one("°", "positions are written in degrees"),
        largest if (1e6..=3.6e9).contains(&largest) => {
            one("°×10⁻⁷", "whole numbers of this size are ten millionths of a degree")
        }
        _ => None,
    }
}

fn engine_speed(spread: Spread) -> Option<Guess> {
    match spread.high {
        high if high > 300.0 => one("rpm", "engines turn at some hundred to some thousand rpm"),
        high if high > 0.4 && high < 20.0 => one("1000 rpm", "readings up to 20 are thousands"),
        _ => one("rpm", "engine speed is written in rpm"),
    }
}

fn share(spread: Spread) -> Option<Guess> {
    if spread.high <= 1.05 && spread.low >= -0.05 && spread.high > spread.low {
        return one("0..1", "no reading is above 1");
    }
    one("%", "readings run up to about 100")
}

fn speed(spread: Spread, habits: Habits) -> Option<Guess> {
    let words = spread.words();
    if spread.high > 140.0 || habits.metric && !habits.customary {
        let because =
            format!("{words}, and the log is otherwise metric or too fast for other units");
        return Some(Guess { unit: by_symbol("km/h")?, because });
    }
    let symbol = if habits.customary { "mph" } else { "km/h" };
    Some(Guess {
        unit: by_symbol(symbol)?,
        because: format!("{words}; nothing in the log says more"),
    })
}

fn acceleration(spread: Spread) -> Option<Guess> {
    let largest = spread.high.abs().max(spread.low.abs());
    match largest {
        // Road cars seldom pass 1.4 g; 2.5 m/s² is passed by every brisk start.
        largest if largest < 2.0 => one("g", "no reading passes 2"),
        _ => one("m/s²", "readings pass 2, which would be too much in g"),
    }
}
