//! Units counted in parts, as bytes on a bus are: tenths of a degree, quarters of a turn.
//!
//! In: how much one count is, and of which unit. Out: a [`Unit`] of its own, with a
//! symbol such as `0.1 °C`. Only parts that a byte is known to be scaled by: a larger
//! number before a unit is a sensor's range or a mark, as in `Accel (2 g)`.

use std::sync::LazyLock;

use super::{UNITS, Unit};

/// Decimal parts, and the powers of two that SAE J1939 scales by (1/256 km/h, 1/8 rpm;
/// from memory).
const PARTS: [f64; 15] = [
    0.1,
    0.01,
    0.001,
    0.5,
    0.25,
    0.2,
    0.125,
    0.05,
    0.02,
    0.4,
    0.0625,
    0.031_25,
    0.015_625,
    0.007_812_5,
    0.003_906_25,
];
const BASES: [&str; 18] = [
    "km/h", "mph", "m/s", "kn", "rpm", "°C", "°F", "K", "kPa", "hPa", "bar", "mbar", "psi", "%",
    "g", "m/s²", "°", "m",
];

/// Each with its symbol, which has to stay as long as units are copied about.
static COUNTED: LazyLock<Vec<(String, Unit)>> = LazyLock::new(|| {
    let bases = UNITS.iter().filter(|unit| BASES.contains(&unit.symbol));
    let counted = bases.flat_map(|base| {
        PARTS.iter().map(|part| {
            (format!("{part} {}", base.symbol), Unit { factor: part * base.factor, ..*base })
        })
    });
    counted.collect()
});

/// The unit of which one count is `part` of `base`, if anything is scaled so.
pub fn counted(part: f64, base: Unit) -> Option<Unit> {
    by_symbol(&format!("{part} {}", base.symbol))
}

/// The unit with a symbol, exactly as shown.
pub fn by_symbol(symbol: &str) -> Option<Unit> {
    let (symbol, unit) = COUNTED.iter().find(|(own, _)| own == symbol)?;
    Some(Unit { symbol, ..*unit })
}

/// What one count is a part of; `None` for a unit that is no such count.
pub fn base(unit: Unit) -> Option<Unit> {
    let (_, symbol) = by_symbol(unit.symbol)?.symbol.split_once(' ')?;
    super::by_symbol(symbol)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_is_its_part_of_the_unit() {
        let tenths = counted(0.1, crate::unit::by_symbol("°F").unwrap()).unwrap();
        assert_eq!(tenths.symbol, "0.1 °F");
        assert!((tenths.inside(770.0) - 25.0).abs() < 1e-12);
        assert_eq!(base(tenths), crate::unit::by_symbol("°F"));
        assert_eq!(crate::unit::by_symbol("0.1 °F"), Some(tenths));
        assert_eq!(base(crate::unit::by_symbol("1000 rpm").unwrap()), None);
        assert_eq!(counted(2.0, crate::unit::by_symbol("g").unwrap()), None);
    }
}
