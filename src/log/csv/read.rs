//! One cell as its column is read: a number, a clock, a gear, a position.
//!
//! In: the column's [`Kind`] and the bytes of a cell. Out: what it holds, not yet in the
//! table: its record may turn out to be none.

use super::arcs;
use super::cells::{self, Cell, Decimal};
use super::gears::gear;
use super::positions;
use super::table::Kind;
use crate::log::clock::{self, Stamp};
use crate::unit::Unit;

/// A cell as read, before its record is known to be one.
pub enum Read {
    Number(f64),
    Measured(f64, Unit),
    Stamp(Stamp),
    Blank,
    Text,
}

pub fn read(kind: Kind, cell: &[u8]) -> Read {
    let decimal = match kind {
        Kind::Number(decimal) => decimal,
        Kind::Clock => return read_stamp(cell, clock::parse_length),
        Kind::DottedClock => return read_stamp(cell, clock::dotted),
        Kind::Hemisphere(_) => {
            return match arcs::hemisphere(cell) {
                Some(sign) => Read::Number(sign),
                None if cells::parse(cell, Decimal::Point) == Cell::Blank => Read::Blank,
                None => Read::Text,
            };
        }
        Kind::Position(decimal) => match positions::degrees(cell) {
            Some(value) => return Read::Number(value),
            None => decimal,
        },
        Kind::Gear(decimal) => match gear(cell) {
            Some(Some(value)) => return Read::Number(value),
            Some(None) => return Read::Blank,
            None => decimal,
        },
    };
    match cells::parse(cell, decimal) {
        Cell::Number(value) => Read::Number(value),
        Cell::Measured(value, unit) => Read::Measured(value, unit),
        Cell::Blank => Read::Blank,
        Cell::Text => Read::Text,
    }
}

fn read_stamp(cell: &[u8], parse: fn(&[u8]) -> Option<Stamp>) -> Read {
    match parse(cell) {
        Some(stamp) => Read::Stamp(stamp),
        None if cells::parse(cell, Decimal::Point) == Cell::Blank => Read::Blank,
        None => Read::Text,
    }
}
