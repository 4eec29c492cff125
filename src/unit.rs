//! Quantities and units: what a reading measures, and the factor to SI.
//!
//! Inside the program every value is SI, but for three the trade and the logs
//! never write otherwise: temperature in degrees Celsius, engine speed in
//! revolutions per minute, shares in percent. Pressure is absolute, in pascals.
//!
//! Source of the factors: definitions of 1959 (international yard and pound) and
//! NIST SP 811 (2008), App. B.8. Checked in `tests/reference/units.rs`.

/// Standard acceleration of free fall, m/s². Exact by definition (CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
pub const MPS_PER_MPH: f64 = 0.447_04;
pub const MPS_PER_KMH: f64 = 1.0 / 3.6;
pub const MPS_PER_KNOT: f64 = 1852.0 / 3600.0;
pub const METRE_PER_FOOT: f64 = 0.3048;
pub const METRE_PER_MILE: f64 = 1609.344;
pub const PASCAL_PER_PSI: f64 = 6_894.757_293_168_361;
pub const PASCAL_PER_BAR: f64 = 1e5;
/// Conventional mercury of 13 595.1 kg/m³; UCUM's is 2.9e-6 lower.
pub const PASCAL_PER_INHG: f64 = 3_386.388_640_341;
pub const PASCAL_PER_TORR: f64 = 101_325.0 / 760.0;
pub const KILOGRAM_PER_POUND: f64 = 0.453_592_37;
pub const WATT_PER_HORSEPOWER: f64 = 745.699_871_582_270_2;
pub const WATT_PER_METRIC_HORSEPOWER: f64 = 735.498_75;
pub const NEWTON_METRE_PER_POUND_FOOT: f64 = 1.355_817_948_331_4;
/// 0 °C in kelvin. Exact by definition.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// What kind of thing a channel measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Quantity {
    Time,
    Speed,
    EngineSpeed,
    Acceleration,
    Temperature,
    Pressure,
    Share,
    Length,
    Angle,
    Number,
}

/// One way to write a quantity: `inside = written * factor + offset`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As shown to people, for example `km/h`.
    pub symbol: &'static str,
    pub quantity: Quantity,
    pub factor: f64,
    pub offset: f64,
}

impl Unit {
    /// The written value in the program's own unit.
    pub fn inside(&self, written: f64) -> f64 {
        written * self.factor + self.offset
    }

    /// The program's value as it would be written in this unit.
    pub fn written(&self, inside: f64) -> f64 {
        (inside - self.offset) / self.factor
    }
}

/// Degrees Celsius from degrees Fahrenheit.
pub fn c_from_f(f: f64) -> f64 {
    (f - 32.0) / 1.8
}

/// Degrees Fahrenheit from degrees Celsius.
pub fn f_from_c(c: f64) -> f64 {
    c * 1.8 + 32.0
}
