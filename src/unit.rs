//! Quantities and units: what a reading measures, and the factor to SI.
//!
//! Inside the program every value is SI, but for three the trade and the logs
//! never write otherwise: temperature in degrees Celsius, engine speed in
//! revolutions per minute, shares in percent. Pressure is absolute, in pascals.
//!
//! Source of the factors: definitions of 1959 (international yard and pound) and
//! NIST SP 811 (2008), App. B.8. Checked in `tests/reference/units.rs`.

pub mod counted;
pub mod reader;

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
/// Conventional water.
pub const PASCAL_PER_INH2O: f64 = 249.088_91;
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

const fn plain(symbol: &'static str, quantity: Quantity, factor: f64) -> Unit {
    Unit { symbol, quantity, factor, offset: 0.0 }
}

/// Every unit a channel may be written in, the program's own first in its quantity.
///
/// Gauge units stand on the standard atmosphere here; a log with a barometer
/// of its own puts that in place of it.
pub const UNITS: &[Unit] = &[
    plain("s", Quantity::Time, 1.0),
    plain("ms", Quantity::Time, 1e-3),
    plain("µs", Quantity::Time, 1e-6),
    plain("ns", Quantity::Time, 1e-9),
    // What counters tick in.
    plain("100 ms", Quantity::Time, 0.1),
    plain("10 ms", Quantity::Time, 0.01),
    plain("100 µs", Quantity::Time, 1e-4),
    plain("10 µs", Quantity::Time, 1e-5),
    plain("min", Quantity::Time, 60.0),
    plain("h", Quantity::Time, 3600.0),
    plain("m/s", Quantity::Speed, 1.0),
    plain("km/h", Quantity::Speed, MPS_PER_KMH),
    plain("mph", Quantity::Speed, MPS_PER_MPH),
    plain("kn", Quantity::Speed, MPS_PER_KNOT),
    plain("ft/s", Quantity::Speed, METRE_PER_FOOT),
    plain("cm/s", Quantity::Speed, 0.01),
    plain("mm/s", Quantity::Speed, 0.001),
    plain("m/min", Quantity::Speed, 1.0 / 60.0),
    plain("rpm", Quantity::EngineSpeed, 1.0),
    plain("1000 rpm", Quantity::EngineSpeed, 1000.0),
    plain("rev/s", Quantity::EngineSpeed, 60.0),
    plain("m/s²", Quantity::Acceleration, 1.0),
    plain("g", Quantity::Acceleration, STANDARD_GRAVITY),
    plain("mg", Quantity::Acceleration, STANDARD_GRAVITY * 1e-3),
    plain("cm/s²", Quantity::Acceleration, 0.01),
    plain("ft/s²", Quantity::Acceleration, METRE_PER_FOOT),
    plain("km/h/s", Quantity::Acceleration, MPS_PER_KMH),
    plain("mph/s", Quantity::Acceleration, MPS_PER_MPH),
    plain("°C", Quantity::Temperature, 1.0),
    Unit {
        symbol: "°F",
        quantity: Quantity::Temperature,
        factor: 5.0 / 9.0,
        offset: -32.0 * 5.0 / 9.0,
    },
    Unit { symbol: "K", quantity: Quantity::Temperature, factor: 1.0, offset: -ZERO_CELSIUS_K },
    Unit {
        symbol: "°R",
        quantity: Quantity::Temperature,
        factor: 5.0 / 9.0,
        offset: -ZERO_CELSIUS_K,
    },
    plain("Pa", Quantity::Pressure, 1.0),
    plain("kPa", Quantity::Pressure, 1e3),
    plain("hPa", Quantity::Pressure, 1e2),
    plain("mbar", Quantity::Pressure, 1e2),
    plain("bar", Quantity::Pressure, PASCAL_PER_BAR),
    plain("MPa", Quantity::Pressure, 1e6),
    plain("psi", Quantity::Pressure, PASCAL_PER_PSI),
    plain("inHg", Quantity::Pressure, PASCAL_PER_INHG),
    plain("mmHg", Quantity::Pressure, PASCAL_PER_TORR),
    plain("cmHg", Quantity::Pressure, 10.0 * PASCAL_PER_TORR),
    plain("inH₂O", Quantity::Pressure, PASCAL_PER_INH2O),
    plain("atm", Quantity::Pressure, STANDARD_ATMOSPHERE_PA),
    plain("kg/cm²", Quantity::Pressure, STANDARD_GRAVITY * 1e4),
    gauge("kPa gauge", 1e3),
    gauge("mbar gauge", 1e2),
    gauge("bar gauge", PASCAL_PER_BAR),
    gauge("psi gauge", PASCAL_PER_PSI),
    gauge("inHg gauge", PASCAL_PER_INHG),
    gauge("mmHg gauge", PASCAL_PER_TORR),
    gauge("cmHg gauge", 10.0 * PASCAL_PER_TORR),
    gauge("inH₂O gauge", PASCAL_PER_INH2O),
    gauge("kg/cm² gauge", STANDARD_GRAVITY * 1e4),
    plain("%", Quantity::Share, 1.0),
    plain("‰", Quantity::Share, 0.1),
    plain("0..1", Quantity::Share, 100.0),
    plain("m", Quantity::Length, 1.0),
    plain("km", Quantity::Length, 1e3),
    plain("mi", Quantity::Length, METRE_PER_MILE),
    plain("ft", Quantity::Length, METRE_PER_FOOT),
    plain("cm", Quantity::Length, 0.01),
    plain("mm", Quantity::Length, 0.001),
    plain("in", Quantity::Length, METRE_PER_FOOT / 12.0),
    plain("°", Quantity::Angle, 1.0),
    plain("rad", Quantity::Angle, 180.0 / std::f64::consts::PI),
    plain("′", Quantity::Angle, 1.0 / 60.0),
    plain("″", Quantity::Angle, 1.0 / 3600.0),
    // A whole turn in 32 bits.
    plain("180°/2³¹", Quantity::Angle, 180.0 / 2_147_483_648.0),
    plain("°×10⁻⁶", Quantity::Angle, 1e-6),
    plain("°×10⁻⁷", Quantity::Angle, 1e-7),
    // Shown with their symbol, used by no finding.
    plain("V", Quantity::Number, 1.0),
    plain("mV", Quantity::Number, 1.0),
    plain("A", Quantity::Number, 1.0),
    plain("mA", Quantity::Number, 1.0),
    plain("Hz", Quantity::Number, 1.0),
    plain("kHz", Quantity::Number, 1.0),
    plain("N·m", Quantity::Number, 1.0),
    plain("lb·ft", Quantity::Number, 1.0),
    plain("N", Quantity::Number, 1.0),
    plain("W", Quantity::Number, 1.0),
    plain("kW", Quantity::Number, 1.0),
    plain("hp", Quantity::Number, 1.0),
    plain("PS", Quantity::Number, 1.0),
    plain("g/s", Quantity::Number, 1.0),
    plain("kg/h", Quantity::Number, 1.0),
    plain("lb/min", Quantity::Number, 1.0),
    plain("mg/stroke", Quantity::Number, 1.0),
    plain("l/h", Quantity::Number, 1.0),
    plain("l/100km", Quantity::Number, 1.0),
    plain("kg", Quantity::Number, 1.0),
    plain("l", Quantity::Number, 1.0),
    plain("°/s", Quantity::Number, 1.0),
    plain("rad/s", Quantity::Number, 1.0),
    plain("λ", Quantity::Number, 1.0),
    plain("AFR", Quantity::Number, 1.0),
    plain("dB", Quantity::Number, 1.0),
    plain("ppm", Quantity::Number, 1.0),
    plain("g/m³", Quantity::Number, 1.0),
    plain("kg/m³", Quantity::Number, 1.0),
];

/// The air pressure gauge readings stand on when no barometer was logged.
/// Source: ISO 2533 (1975), sea level.
pub const STANDARD_ATMOSPHERE_PA: f64 = 101_325.0;

const fn gauge(symbol: &'static str, factor: f64) -> Unit {
    Unit { symbol, quantity: Quantity::Pressure, factor, offset: STANDARD_ATMOSPHERE_PA }
}

/// Turns of an engine, written in a unit that is also that of other things.
pub fn of_turns(unit: Unit) -> Option<Unit> {
    match unit.symbol {
        "Hz" => by_symbol("rev/s"),
        "rad/s" => Some(plain("rad/s", Quantity::EngineSpeed, 30.0 / std::f64::consts::PI)),
        _ => None,
    }
}

/// The unit with a symbol, exactly as shown.
pub fn by_symbol(symbol: &str) -> Option<Unit> {
    UNITS.iter().find(|unit| unit.symbol == symbol).copied().or_else(|| counted::by_symbol(symbol))
}

/// The units a quantity may be written in, the program's own first.
pub fn of_quantity(quantity: Quantity) -> impl Iterator<Item = Unit> {
    UNITS.iter().copied().filter(move |unit| unit.quantity == quantity)
}
