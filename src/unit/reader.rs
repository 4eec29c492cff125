//! The reader's units: chosen once, remembered, used wherever a value is shown.
//!
//! In: values in the program's own units, `None` where unknown. Out: finished
//! text with its unit, or a dash. Never a zero for something unknown, and never
//! more digits than the ± carries.

use serde::{Deserialize, Serialize};

use super::{METRE_PER_FOOT, MPS_PER_KMH, MPS_PER_MPH, PASCAL_PER_BAR, PASCAL_PER_PSI};

/// What stands where a value is not known.
pub const DASH: &str = "–";

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Units {
    pub speed: SpeedUnit,
    pub temperature: TemperatureUnit,
    pub pressure: PressureUnit,
    pub length: LengthUnit,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SpeedUnit {
    Mph,
    Kmh,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TemperatureUnit {
    Fahrenheit,
    Celsius,
    Kelvin,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PressureUnit {
    Psi,
    Kpa,
    Bar,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LengthUnit {
    Foot,
    Metre,
}

impl Units {
    pub const US: Units = Units {
        speed: SpeedUnit::Mph,
        temperature: TemperatureUnit::Fahrenheit,
        pressure: PressureUnit::Psi,
        length: LengthUnit::Foot,
    };
    pub const METRIC: Units = Units {
        speed: SpeedUnit::Kmh,
        temperature: TemperatureUnit::Celsius,
        pressure: PressureUnit::Kpa,
        length: LengthUnit::Metre,
    };

    /// What a reader of this language tag most likely thinks in.
    pub fn for_locale(tag: &str) -> Units {
        if tag.eq_ignore_ascii_case("en-us") { Units::US } else { Units::METRIC }
    }

    pub fn speed_text(&self, mps: Option<f64>) -> String {
        with_unit(mps.map(|v| self.speed.written(v)), 0, self.speed.symbol())
    }

    pub fn temperature_text(&self, c: Option<f64>) -> String {
        let unit = self.temperature;
        with_unit(c.map(|c| unit.written(c)), unit.decimals(), unit.symbol())
    }

    /// A difference of temperatures; no offset, and its sign always shown.
    pub fn kelvin_text(&self, k: Option<f64>) -> String {
        let unit = self.temperature;
        match k {
            Some(k) => format!("{} {}", signed(unit.step(k), unit.decimals()), unit.symbol()),
            None => DASH.to_owned(),
        }
    }

    /// `82 ± 1 °F`: the ± rounded up, as an uncertainty is, and never to zero.
    pub fn temperature_within(&self, c: f64, plus_minus_k: f64) -> String {
        self.within(number(self.temperature.written(c), self.temperature.decimals()), plus_minus_k)
    }

    /// `+18 ± 2 °F`.
    pub fn kelvin_within(&self, k: f64, plus_minus_k: f64) -> String {
        self.within(signed(self.temperature.step(k), self.temperature.decimals()), plus_minus_k)
    }

    fn within(&self, written: String, plus_minus_k: f64) -> String {
        let unit = self.temperature;
        let steps = libm::pow(10.0, unit.decimals() as f64);
        let up = (unit.step(plus_minus_k) * steps - 1e-9).ceil().max(1.0) / steps;
        format!("{written} ± {} {}", number(up, unit.decimals()), unit.symbol())
    }

    pub fn pressure_text(&self, pa: Option<f64>) -> String {
        let unit = self.pressure;
        with_unit(pa.map(|pa| unit.written(pa)), unit.decimals(), unit.symbol())
    }

    pub fn length_text(&self, m: Option<f64>) -> String {
        with_unit(m.map(|m| self.length.written(m)), 0, self.length.symbol())
    }
}

impl SpeedUnit {
    pub fn symbol(self) -> &'static str {
        match self {
            SpeedUnit::Mph => "mph",
            SpeedUnit::Kmh => "km/h",
        }
    }

    fn factor(self) -> f64 {
        match self {
            SpeedUnit::Mph => MPS_PER_MPH,
            SpeedUnit::Kmh => MPS_PER_KMH,
        }
    }

    pub fn written(self, mps: f64) -> f64 {
        mps / self.factor()
    }

    pub fn inside(self, written: f64) -> f64 {
        written * self.factor()
    }
}

impl TemperatureUnit {
    pub fn symbol(self) -> &'static str {
        match self {
            TemperatureUnit::Fahrenheit => "°F",
            TemperatureUnit::Celsius => "°C",
            TemperatureUnit::Kelvin => "K",
        }
    }

    /// Whole degrees Fahrenheit and tenths of the larger degrees: about alike.
    pub fn decimals(self) -> usize {
        match self {
            TemperatureUnit::Fahrenheit => 0,
            TemperatureUnit::Celsius | TemperatureUnit::Kelvin => 1,
        }
    }

    pub fn written(self, c: f64) -> f64 {
        match self {
            TemperatureUnit::Fahrenheit => super::f_from_c(c),
            TemperatureUnit::Celsius => c,
            TemperatureUnit::Kelvin => c + super::ZERO_CELSIUS_K,
        }
    }

    pub fn inside(self, written: f64) -> f64 {
        match self {
            TemperatureUnit::Fahrenheit => super::c_from_f(written),
            TemperatureUnit::Celsius => written,
            TemperatureUnit::Kelvin => written - super::ZERO_CELSIUS_K,
        }
    }

    /// A difference in kelvin, in this unit's degrees.
    pub fn step(self, k: f64) -> f64 {
        match self {
            TemperatureUnit::Fahrenheit => k * 1.8,
            TemperatureUnit::Celsius | TemperatureUnit::Kelvin => k,
        }
    }
}

impl PressureUnit {
    pub fn symbol(self) -> &'static str {
        match self {
            PressureUnit::Psi => "psi",
            PressureUnit::Kpa => "kPa",
            PressureUnit::Bar => "bar",
        }
    }

    fn decimals(self) -> usize {
        match self {
            PressureUnit::Psi => 2,
            PressureUnit::Kpa => 1,
            PressureUnit::Bar => 3,
        }
    }

    fn factor(self) -> f64 {
        match self {
            PressureUnit::Psi => PASCAL_PER_PSI,
            PressureUnit::Kpa => 1000.0,
            PressureUnit::Bar => PASCAL_PER_BAR,
        }
    }

    pub fn written(self, pa: f64) -> f64 {
        pa / self.factor()
    }

    pub fn inside(self, written: f64) -> f64 {
        written * self.factor()
    }
}

impl LengthUnit {
    pub fn symbol(self) -> &'static str {
        match self {
            LengthUnit::Foot => "ft",
            LengthUnit::Metre => "m",
        }
    }

    fn factor(self) -> f64 {
        match self {
            LengthUnit::Foot => METRE_PER_FOOT,
            LengthUnit::Metre => 1.0,
        }
    }

    pub fn written(self, m: f64) -> f64 {
        m / self.factor()
    }

    pub fn inside(self, written: f64) -> f64 {
        written * self.factor()
    }
}

/// A number with a true minus sign, and no minus before a rounded zero.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    match text.strip_prefix('-') {
        Some(rest) if zero => rest.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// A number that shows its sign either way: differences read wrong without it.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let zero = text.chars().all(|c| matches!(c, '0' | '.'));
    if text.starts_with('−') || zero { text } else { format!("+{text}") }
}

/// A number or a dash.
pub fn maybe(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| DASH.to_owned(), |value| number(value, decimals))
}

/// A number with its unit, or a dash without one.
pub fn with_unit(value: Option<f64>, decimals: usize, symbol: &str) -> String {
    value.map_or_else(|| DASH.to_owned(), |value| format!("{} {symbol}", number(value, decimals)))
}

/// Decimals that a ± allows: hundredths of a second below ±0.2 s, where its own second
/// digit still says something (JCGM 100, 7.2.6): 0.12 rounded up to 0.2 would be another
/// finding.
/// Source: GUM (JCGM 100:2008) 7.2.6 on the digits of an uncertainty.
pub fn second_decimals(plus_minus_s: Option<f64>) -> usize {
    if plus_minus_s.is_some_and(|pm| pm < 0.2) { 2 } else { 1 }
}

/// `3.91 ± 0.04 s`, `3.9 ± 0.2 s`, `3.9 s, doubt unknown`, or a dash.
pub fn seconds_text(time_s: Option<f64>, plus_minus_s: Option<f64>) -> String {
    let Some(time_s) = time_s else { return DASH.to_owned() };
    let decimals = second_decimals(plus_minus_s);
    if plus_minus_s.is_none() {
        return format!("{} s, doubt unknown", number(time_s, decimals));
    }
    format!("{} ± {} s", number(time_s, decimals), plus_minus_text(plus_minus_s))
}

/// The ± rounded up, as an uncertainty is; never to zero.
pub fn plus_minus_text(plus_minus_s: Option<f64>) -> String {
    let Some(pm) = plus_minus_s else { return DASH.to_owned() };
    let decimals = second_decimals(Some(pm));
    let step = if decimals == 2 { 100.0 } else { 10.0 };
    number((pm * step - 1e-9).ceil().max(1.0) / step, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unknown_is_a_dash_and_never_a_zero() {
        let units = Units::US;
        assert_eq!(units.speed_text(None), "–");
        assert_eq!(units.temperature_text(None), "–");
        assert_eq!(units.kelvin_text(None), "–");
        assert_eq!(units.pressure_text(None), "–");
        assert_eq!(seconds_text(None, Some(0.1)), "–");
        assert_eq!(seconds_text(Some(3.914), None), "3.9 s, doubt unknown");
    }

    /// Two decimals only where the ± is below 0.2 s.
    #[test]
    fn seconds_carry_no_more_digits_than_their_doubt() {
        assert_eq!(seconds_text(Some(3.914), Some(0.04)), "3.91 ± 0.04 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.05)), "3.91 ± 0.05 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.061)), "3.91 ± 0.07 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.12)), "3.91 ± 0.12 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.21)), "3.9 ± 0.3 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.002)), "3.91 ± 0.01 s");
        assert_eq!(seconds_text(Some(3.914), Some(0.31)), "3.9 ± 0.4 s");
    }

    /// Fixed points of the scales: 0 °C, 100 °C, and exact definitions.
    #[test]
    fn values_are_written_in_the_readers_units() {
        assert_eq!(Units::US.temperature_text(Some(100.0)), "212 °F");
        assert_eq!(Units::METRIC.temperature_text(Some(0.0)), "0.0 °C");
        assert_eq!(Units::US.kelvin_text(Some(10.0)), "+18 °F");
        assert_eq!(Units::METRIC.kelvin_text(Some(-1.25)), "−1.2 °C");
        assert_eq!(Units::US.speed_text(Some(26.8224)), "60 mph");
        assert_eq!(Units::METRIC.speed_text(Some(100.0 / 3.6)), "100 km/h");
        assert_eq!(Units::US.length_text(Some(3.048)), "10 ft");
        assert_eq!(Units::METRIC.pressure_text(Some(101_325.0)), "101.3 kPa");
    }

    #[test]
    fn a_doubt_is_rounded_up_and_never_to_zero() {
        assert_eq!(Units::US.temperature_within(100.0, 0.6), "212 ± 2 °F");
        assert_eq!(Units::METRIC.temperature_within(28.04, 0.61), "28.0 ± 0.7 °C");
        assert_eq!(Units::METRIC.kelvin_within(12.5, 0.001), "+12.5 ± 0.1 °C");
    }

    #[test]
    fn what_is_typed_comes_back_as_it_was() {
        for unit in [TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius, TemperatureUnit::Kelvin]
        {
            assert!((unit.written(unit.inside(71.5)) - 71.5).abs() < 1e-9);
        }
        for unit in [PressureUnit::Psi, PressureUnit::Kpa, PressureUnit::Bar] {
            assert!((unit.written(unit.inside(14.7)) - 14.7).abs() < 1e-9);
        }
    }

    #[test]
    fn no_minus_stands_before_a_rounded_zero() {
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(signed(0.02, 1), "0.0");
        assert_eq!(signed(-0.06, 1), "−0.1");
    }
}
