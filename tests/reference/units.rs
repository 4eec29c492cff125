//! Units against their definitions (rows H1-01 to H1-30 of the check values).
//!
//! Sources: the definitions of 1959 (international yard and pound), of the nautical
//! mile (1929), of the standard atmosphere and gravity (CGPM 1954, 1901), as in scipy
//! 1.17.1 `constants`; conventional mercury as in NIST SP 811 (2008), App. B.8.

use crate::support::near;
use pullmark::unit::*;

/// One of a unit, as written, in the program's own.
fn inside(symbol: &str, written: f64) -> f64 {
    by_symbol(symbol).unwrap_or_else(|| panic!("no unit {symbol}")).inside(written)
}

/// Exact by definition: what is left is the last digit of a double.
#[test]
fn defined_units_are_what_they_are_defined_as() {
    let rows = [
        ("H1-01 1 mi/h", inside("mph", 1.0), 0.447_04),
        ("H1-02 60 mi/h", inside("mph", 60.0), 26.8224),
        ("H1-03 1 km/h", inside("km/h", 1.0), 1.0 / 3.6),
        ("H1-04 1 kn", inside("kn", 1.0), 1852.0 / 3600.0),
        ("H1-05 1 ft", inside("ft", 1.0), 0.3048),
        ("H1-06 60 ft", 60.0 * METRE_PER_FOOT, 18.288),
        ("H1-07 1320 ft", 1320.0 * METRE_PER_FOOT, 402.336),
        ("H1-08 1 mi", METRE_PER_MILE, 1609.344),
        ("H1-09 1 in", inside("in", 1.0), 0.0254),
        ("H1-10 1 lb", KILOGRAM_PER_POUND, 0.453_592_37),
        ("H1-11 1 lbf", KILOGRAM_PER_POUND * STANDARD_GRAVITY, 4.448_221_615_260_5),
        ("H1-12 1 psi", inside("psi", 1.0), 6_894.757_293_168_361),
        ("H1-13 1 bar", inside("bar", 1.0), 100_000.0),
        ("H1-14 1 atm", 760.0 * PASCAL_PER_TORR, 101_325.0),
        ("H1-15 1 torr", PASCAL_PER_TORR, 133.322_368_421_052_63),
        ("H1-16 1 hp (550 ft lbf/s)", WATT_PER_HORSEPOWER, 745.699_871_582_270_2),
        ("H1-17 1 metric horsepower", WATT_PER_METRIC_HORSEPOWER, 735.498_75),
        ("H1-18 1 g", inside("g", 1.0), 9.806_65),
        ("H1-19 1 lbf ft", NEWTON_METRE_PER_POUND_FOOT, 1.355_817_948_331_4),
    ];
    for (what, ours, defined) in rows {
        near(what, ours, defined, 1e-12 * defined);
    }
}

/// Two derived ones from their parts: an error in one factor cannot hide in another.
#[test]
fn derived_units_follow_from_their_parts() {
    let force = KILOGRAM_PER_POUND * STANDARD_GRAVITY;
    near("psi", PASCAL_PER_PSI, force / (METRE_PER_FOOT / 12.0).powi(2), 1e-8);
    near("hp", WATT_PER_HORSEPOWER, 550.0 * METRE_PER_FOOT * force, 1e-10);
    near("metric hp", WATT_PER_METRIC_HORSEPOWER, 75.0 * STANDARD_GRAVITY, 1e-10);
    near("lbf ft", NEWTON_METRE_PER_POUND_FOOT, METRE_PER_FOOT * force, 1e-12);
}

/// Rows H1-20 to H1-22. Ours is conventional mercury; UCUM's inch stands 2.9e-6 lower.
#[test]
fn inches_of_mercury_are_of_conventional_mercury() {
    near("H1-20", inside("inHg", 1.0), 3_386.388_6, 1e-4);
    near("H1-21", inside("inHg", 1.0) * (1.0 - 2.9e-6), 3_386.378_8, 1e-3);
    near("H1-22 29.92", inside("inHg", 29.92), 101_320.75, 0.01);
    near("H1-22 29.234", inside("inHg", 29.234), 98_997.69, 0.01);
}

/// Rows H1-23 to H1-29: (F - 32) / 1.8, to the six printed digits.
#[test]
fn degrees_fahrenheit_are_degrees_celsius() {
    let rows = [
        (-40.0, -40.0),
        (32.0, 0.0),
        (60.0, 15.555_556),
        (68.0, 20.0),
        (77.0, 25.0),
        (100.0, 37.777_778),
        (212.0, 100.0),
    ];
    for (f, c) in rows {
        near("as a unit", inside("°F", f), c, 1e-6);
        near("as a function", c_from_f(f), c, 1e-6);
        near("and back", f_from_c(c), f, 2e-6);
    }
}

/// Row H1-30: a difference of 2 °F is 1.111111 K, not -16.67.
#[test]
fn a_difference_of_temperatures_has_no_offset() {
    let unit = by_symbol("°F").unwrap();
    near("H1-30", 2.0 * unit.factor, 1.111_111, 1e-6);
    near("between two readings", unit.inside(72.0) - unit.inside(70.0), 1.111_111, 1e-6);
    near("as shown", reader::TemperatureUnit::Fahrenheit.step(1.111_111), 2.0, 1e-5);
}
