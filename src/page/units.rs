//! The reader's units, chosen once.

use yew::prelude::*;

use super::field::Choice;
use crate::screen::Units;
use crate::unit::reader::{LengthUnit, PressureUnit, SpeedUnit, TemperatureUnit};

#[derive(PartialEq, Properties)]
pub struct UnitsProps {
    pub units: Units,
    pub onchange: Callback<Units>,
}

#[component]
pub fn UnitsMenu(props: &UnitsProps) -> Html {
    let units = props.units;
    let now = format!(
        "{}, {}, {}, {}",
        units.speed.symbol(),
        units.temperature.symbol(),
        units.pressure.symbol(),
        units.length.symbol()
    );
    html! {
        <details class="units no-print">
            <summary><span class="units-word">{ "Units: " }</span>{ now }</summary>
            <div class="units-box">
                { choice("Speed", &SPEEDS, units.speed, SpeedUnit::symbol,
                    props.onchange.reform(move |speed| Units { speed, ..units })) }
                { choice("Temperature", &TEMPERATURES, units.temperature, TemperatureUnit::symbol,
                    props.onchange.reform(move |temperature| Units { temperature, ..units })) }
                { choice("Pressure", &PRESSURES, units.pressure, PressureUnit::symbol,
                    props.onchange.reform(move |pressure| Units { pressure, ..units })) }
                { choice("Length", &LENGTHS, units.length, LengthUnit::symbol,
                    props.onchange.reform(move |length| Units { length, ..units })) }
            </div>
        </details>
    }
}

const SPEEDS: [SpeedUnit; 2] = [SpeedUnit::Mph, SpeedUnit::Kmh];
const TEMPERATURES: [TemperatureUnit; 3] =
    [TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius, TemperatureUnit::Kelvin];
const PRESSURES: [PressureUnit; 3] = [PressureUnit::Psi, PressureUnit::Kpa, PressureUnit::Bar];
const LENGTHS: [LengthUnit; 2] = [LengthUnit::Foot, LengthUnit::Metre];

/// A choice between units of one quantity, by their symbols.
fn choice<T: Copy + 'static>(
    label: &'static str,
    all: &'static [T],
    chosen: T,
    symbol: fn(T) -> &'static str,
    onchange: Callback<T>,
) -> Html {
    let options = all
        .iter()
        .map(|&unit| (symbol(unit).to_owned(), symbol(unit).to_owned()))
        .collect::<Vec<_>>();
    let onchange = Callback::from(move |text: String| {
        if let Some(&unit) = all.iter().find(|&&unit| symbol(unit) == text) {
            onchange.emit(unit);
        }
    });
    html! { <Choice {label} {options} chosen={symbol(chosen)} {onchange} /> }
}
