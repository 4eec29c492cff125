//! Roles by name: what a channel says it is, in the languages of the trade.
//!
//! In: a name's [`Words`] and the quantity of its written unit, if any. Out: a
//! [`Named`] role, or `None`. Whether values agree is decided elsewhere.
//!
//! Names: SAE J1979 and J1930 terms as public lists write them; synonyms and
//! abbreviations are common practice, no source. The intake air temperature at
//! the air filter and the charge air after the cooler are different things: a
//! name that says neither boost, charge, cooler nor manifold is inlet air.

#[macro_use]
mod unmeasured;
mod rules;
mod wheels;

use self::rules::{
    ACCELERATION, ACROSS, BY_UNIT, CHARGE_WORD, HEAT_RULES, NOT_ACCELERATION, OTHER_HEAT, RULES,
    Rule, SPEED, TEMPERATURE,
};
pub use self::rules::{LATITUDE, LONGITUDE};
use self::unmeasured::{BUT_MEASURED, NOT_HEAT, NOT_MEASURED};
use super::Role;
use super::names::Words;
use crate::unit::Quantity;

/// A role found by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named {
    pub role: Role,
    /// Whether the name leaves room for doubt ("air temp", "accel").
    pub loose: bool,
}

/// The role a name asks for, given the quantity of its unit where the file tells it.
pub fn named(name: &Words, quantity: Option<Quantity>) -> Option<Named> {
    if name.has(NOT_MEASURED) && !name.has_all(BUT_MEASURED) {
        return None;
    }
    let found = match quantity {
        Some(Quantity::Temperature) => heat(name),
        Some(Quantity::Acceleration) => acceleration(name, true),
        _ => by_unit(name, quantity)
            .or_else(|| wheels::named(name))
            .or_else(|| acceleration(name, false))
            .or_else(|| said_heat(name, quantity))
            .or_else(|| plain(name)),
    };
    found.filter(|named| quantity.is_none_or(|quantity| fits(named.role, quantity)))
}

/// The thing itself in a name that leads to it: `ECU.Engine.VehicleSpeed`. Only through
/// what says nothing against it, and only where it is more than one word.
pub fn of_a_part(name: &str) -> Option<&str> {
    const PLACES: [&str; 16] = [
        "ecu",
        "ecm",
        "pcm",
        "dme",
        "engine",
        "motor",
        "powertrain",
        "vehicle",
        "car",
        "can",
        "bus",
        "sensor",
        "sensors",
        "data",
        "log",
        "chassis",
    ];
    let (path, last) = name.rsplit_once(['.', '/', '\\', ':'])?;
    let is_place =
        |word: &String| PLACES.contains(&word.trim_end_matches(|c: char| c.is_ascii_digit()));
    let leads = !path.contains(' ') && Words::of(path).words.iter().all(is_place);
    (leads && Words::of(last).words.len() > 1).then_some(last)
}

/// A name of one word that says enough beside its unit.
fn by_unit(name: &Words, quantity: Option<Quantity>) -> Option<Named> {
    let fits = |line: &&(Quantity, Role, &'static str)| {
        Some(line.0) == quantity && name.words.len() == 1 && name.has(line.2)
    };
    BY_UNIT.iter().find(fits).map(|line| Named { role: line.1, loose: false })
}

/// Whether a role can be written in a unit of this quantity.
pub fn fits(role: Role, quantity: Quantity) -> bool {
    let own = quantity_of(role);
    // A switch or a pressure is as good for a brake as a share.
    own == quantity || (role == Role::Brake && quantity == Quantity::Pressure)
}

/// What kind of thing a role is measured in.
pub fn quantity_of(role: Role) -> Quantity {
    use Role::*;
    match role {
        VehicleSpeed | SatelliteSpeed | UndrivenWheelSpeed => Quantity::Speed,
        WheelSpeedFrontLeft | WheelSpeedFrontRight | WheelSpeedRearLeft | WheelSpeedRearRight => {
            Quantity::Speed
        }
        EngineSpeed => Quantity::EngineSpeed,
        Throttle | Pedal | Brake | RelativeHumidity => Quantity::Share,
        Gear => Quantity::Number,
        LongitudinalAcceleration => Quantity::Acceleration,
        InletAir | ChargeAir | CompressorOutletAir | AmbientAir | Coolant | ChargeCoolant => {
            Quantity::Temperature
        }
        ManifoldPressure | BarometricPressure => Quantity::Pressure,
        Latitude | Longitude => Quantity::Angle,
        Altitude => Quantity::Length,
    }
}

fn plain(name: &Words) -> Option<Named> {
    let rule = first(RULES, name)?;
    let loose = name.words.len() == 1 && name.joined.len() == 1;
    Some(Named { role: rule, loose })
}

fn first(rules: &[Rule], name: &Words) -> Option<Role> {
    let fits = |rule: &&Rule| name.has_all(rule.1) && (rule.2.is_empty() || !any(name, rule.2));
    rules.iter().find(fits).map(|rule| rule.0)
}

/// Refusals are alternatives throughout, blanks included.
fn any(name: &Words, refused: &'static str) -> bool {
    refused.split(' ').any(|part| name.has(part))
}

/// Abbreviations that say temperature by themselves.
const HEAT_NAMES: &str = "iat|iats|ect|clt|cts|act|mat|aat|oat|cact|tmap|ait|maft|tcharge|tboost|=tll|=llt|=tllk|=tladeluft|=tmot|=tkm|=tkuehl|=tkuhl|=tclnt|=tcoolant|=tans|=tansaug|=tintake";

fn said_heat(name: &Words, quantity: Option<Quantity>) -> Option<Named> {
    // "Coolant" alone is its temperature; its level, flow or pump are not.
    let coolant = name
        .has("coolant|kuhlmittel|kuehlmittel|kuhlwasser|kuehlwasser|koelvloeistof|refrigerante")
        && !name.has("level|=flow|pump|pumpe|=fan|stand|niveau|=duty|valve|ventil|leak|=status");
    let says = name.has(TEMPERATURE) || name.has(HEAT_NAMES) || coolant;
    if quantity.is_some() || !says || name.has("press|pressure|druck|speed") {
        return None;
    }
    heat(name)
}

fn heat(name: &Words) -> Option<Named> {
    if name.has(NOT_HEAT) || name.has(OTHER_HEAT) && !name.has(CHARGE_WORD) {
        return None;
    }
    let role = first(HEAT_RULES, name)?;
    let by_last_rule = role == Role::InletAir && !name.has(HEAT_RULES[HEAT_RULES.len() - 2].1);
    Some(Named { role, loose: by_last_rule || name.has("act|mat|iat2|tmap|manifold") })
}

fn acceleration(name: &Words, sure: bool) -> Option<Named> {
    let is = (sure || name.has(ACCELERATION)) && !name.has(NOT_ACCELERATION) && !name.has(ACROSS);
    let along = name.has("long|longitudinal|forward|fwd|=x|laengs|langs|fore|inline|=ax|=gx|前後|forwards|longg|voorwaarts|avant|lengte");
    let plainly =
        name.has("accel|=acc|acceleration|beschleunigung|aceleracion|accelerazione|acceleratie");
    (is && (along || plainly)).then_some(Named {
        role: Role::LongitudinalAcceleration,
        loose: !along || name.has("=x|ax|gx"),
    })
}

/// Whether a name is one axis of an accelerometer.
pub fn is_axis(name: &Words) -> bool {
    name.has(ACCELERATION)
        && !name.has(NOT_ACCELERATION)
        && name.has("=x|=y|=z|=ax|=ay|=az|=gx|=gy|=gz")
}
