//! Positions in degrees and minutes run together, as receivers write them: 4806.5 is
//! 48° 6.5'.
//!
//! In: raw latitude and longitude. Out: both in degrees, and said. Only what can be no
//! degrees is taken so: latitudes beyond 90 whose last two digits before the point are
//! below 60 throughout, beside longitudes of which the same holds.
//! Source of the form: NMEA 0183, `llll.ll` and `yyyyy.yy`.

use super::raw::Raw;
use super::{Problem, Role, positions};
use crate::unit::{Quantity, by_symbol};

/// Positions before the first fix, 0°, 0°, speak for neither form.
const MOST_WITHIN: usize = 10;

pub fn settle(raws: &mut [Raw]) -> Option<Problem> {
    let lat = positions::place_of(raws, Role::Latitude)?;
    let lon = positions::place_of(raws, Role::Longitude)?;
    let are_minutes = |at: usize, most: f64| {
        let values = &raws[at].series.value;
        let fits = |v: &f64| v.abs() % 100.0 < 60.0 && v.abs() < 100.0 * most + 60.0;
        // A unit of another kind, such as millionths of a degree, is no such form.
        raws[at].unit.is_none_or(|unit| unit.quantity == Quantity::Angle && unit.factor > 1e-3)
            && values.iter().all(fits)
    };
    let beyond = |at: usize, most: f64| {
        let values = || raws[at].series.value.iter().filter(|v| **v != 0.0);
        let within = values().filter(|v| v.abs() <= most).count();
        values().count() > 0 && within * MOST_WITHIN <= values().count()
    };
    // 30' east of Greenwich is 30.0, which degrees could be as well: no unit says so then.
    let both = beyond(lat, 90.0) && (beyond(lon, 180.0) || raws[lon].unit.is_none());
    if !both || !are_minutes(lat, 90.0) || !are_minutes(lon, 180.0) {
        return None;
    }
    let text = format!(
        "\"{}\" reads up to {:.0}, which is no latitude in degrees; it and \"{}\" were taken as degrees \
         and minutes run together, as receivers write them.",
        raws[lat].name,
        raws[lat].series.value.iter().fold(0.0, |most: f64, v| most.max(v.abs())),
        raws[lon].name
    );
    for at in [lat, lon] {
        raws[at].series.value.iter_mut().for_each(|value| *value = in_degrees(*value));
        raws[at].unit = by_symbol("°");
    }
    Some(Problem { code: "position_minutes", text })
}

fn in_degrees(written: f64) -> f64 {
    let size = written.abs();
    ((size / 100.0).floor() + size % 100.0 / 60.0).copysign(written)
}
