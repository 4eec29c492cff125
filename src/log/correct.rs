//! The reader's corrections: another role or another unit for a channel.
//!
//! In: a log as read and the corrections. Out: the log as corrected. What was
//! written is never lost: a unit is corrected by taking the values back to what
//! the file said and reading them anew.

use super::{Channel, Log, Role, assemble};
use crate::unit::{self, Quantity, Unit};

/// What a reader says of one channel. A field that is `None` leaves things as they are.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    pub channel: String,
    /// `Some(None)` takes the role away.
    pub role: Option<Option<Role>>,
    pub unit: Option<Unit>,
}

/// The log with every correction made, in order. A name that no channel has does nothing.
pub fn corrected(log: &Log, corrections: &[Correction]) -> Log {
    let mut log = log.clone();
    for correction in corrections {
        let channels = &mut log.channels;
        let Some(at) = channels.iter().position(|c| c.name == correction.channel) else { continue };
        if let Some(unit) = correction.unit {
            set_unit(&mut channels[at], unit);
        }
        if let Some(role) = correction.role {
            set_role(channels, at, role);
        }
    }
    log
}

/// Units a reader can choose for a role, the program's own first.
pub fn units_for(role: Role) -> Vec<Unit> {
    unit::of_quantity(super::roles::quantity_of(role)).collect()
}

/// Units a reader can choose for a channel: those of its quantity, or of any.
pub fn units_of(channel: &Channel) -> Vec<Unit> {
    match (channel.role, channel.unit) {
        (Some(role), _) => units_for(role),
        (None, Some(unit)) if unit.quantity != Quantity::Number => {
            unit::of_quantity(unit.quantity).collect()
        }
        _ => unit::UNITS.to_vec(),
    }
}

fn set_unit(channel: &mut Channel, unit: Unit) {
    let before = channel.unit;
    for value in &mut channel.series.value {
        *value = unit.inside(before.map_or(*value, |before| before.written(*value)));
    }
    let written: Vec<f64> = channel.series.value.iter().map(|value| unit.written(*value)).collect();
    channel.resolution = assemble::resolution(&written).map(|step| step * unit.factor.abs());
    channel.unit = Some(unit);
    channel.how = format!("{}; unit {} set by hand", channel.how, unit.symbol);
}

/// The first channel in a role is the one that counts, so a channel that is given
/// a role by hand goes before the others.
fn set_role(channels: &mut Vec<Channel>, at: usize, role: Option<Role>) {
    let mut channel = channels.remove(at);
    channel.role = role;
    channel.how = format!("{}; role set by hand", channel.how);
    let first = role.and_then(|role| channels.iter().position(|c| c.role == Some(role)));
    channels.insert(first.map_or(at, |first| first.min(at)), channel);
}
