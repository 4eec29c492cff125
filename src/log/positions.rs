//! Speed from positions, where a log has positions and no speed.
//!
//! In: raw latitude and longitude of one receiver. Out: one raw channel, marked as
//! derived, with the step that the digits of the positions leave it; or why there is none. It is no Doppler speed: it is noisier, and smooths what is faster than
//! the positions come.

use super::assemble::rate;
use super::infer::short;
use super::names::Words;
use super::raw::Raw;
use super::{Problem, Role, Series, grid, roles};
use crate::unit::{Quantity, by_symbol};

/// Mean radius of the Earth, m. Source: IUGG (1980), R1.
const EARTH_RADIUS_M: f64 = 6_371_008.8;
/// Longest span over which a mean speed still tells something of the car.
const LONGEST_SPAN_S: f64 = 20.0;

/// Coarsest step of a derived speed that still tells a launch from noise: at 1 m/s, 0 to
/// 100 km/h has 28 of them.
const COARSEST_MPS: f64 = 1.0;

/// Leaves out positions that are none: 0°, 0°, which receivers write before their first
/// fix, and degrees that the Earth does not have. Many of these are another unit.
pub fn leave_out_no_fix(raws: &mut [Raw]) -> Option<Problem> {
    const MOST_OUTSIDE: f64 = 0.1;
    let (lat, lon) = (place_of(raws, Role::Latitude)?, place_of(raws, Role::Longitude)?);
    let inside = |at: usize, v: &f64| raws[at].unit.map_or(*v, |unit| unit.inside(*v));
    let (lats, lons) = (&raws[lat].series, &raws[lon].series);
    if lats.time_s != lons.time_s {
        return None;
    }
    let pairs = || lats.value.iter().zip(&lons.value);
    let is_zero = |(lat, lon): &(&f64, &f64)| **lat == 0.0 && **lon == 0.0;
    let is_outside = |(lat_v, lon_v): &(&f64, &f64)| {
        inside(lat, lat_v).abs() > 90.0 || inside(lon, lon_v).abs() > 360.0
    };
    let all = lats.value.len();
    let outside = pairs().filter(is_outside).count();
    let by_range = outside as f64 <= MOST_OUTSIDE * all as f64;
    let kept: Vec<bool> =
        pairs().map(|pair| !(is_zero(&pair) || by_range && is_outside(&pair))).collect();
    let none = kept.iter().filter(|kept| !**kept).count();
    if none == 0 || none == all {
        return None;
    }
    let none_s: Vec<f64> =
        lats.time_s.iter().zip(&kept).filter(|(_, kept)| !**kept).map(|(t, _)| *t).collect();
    leave_out(&mut raws[lat].series, &none_s);
    leave_out(&mut raws[lon].series, &none_s);
    let mut text = format!(
        "{none} of {all} positions are 0°, 0° or outside the degrees of the Earth; they were left out as no fix."
    );
    // What else the receiver wrote there it did not know either.
    for raw in raws.iter_mut().filter(|raw| is_receivers(raw)) {
        let left_out = leave_out(&mut raw.series, &none_s);
        if left_out > 0 {
            text += &format!(" So were {left_out} readings of \"{}\" at these times.", raw.name);
        }
    }
    Some(Problem { code: "no_fix", text })
}

/// Leaves out the readings at some times, which rise. Out: how many.
fn leave_out(series: &mut Series, times_s: &[f64]) -> usize {
    let is_kept = |t: f64| times_s.binary_search_by(|other| other.total_cmp(&t)).is_err();
    let kept: Vec<bool> = series.time_s.iter().map(|t| is_kept(*t)).collect();
    let picked = |(at, value): (usize, &f64)| kept[at].then_some(*value);
    series.time_s = series.time_s.iter().enumerate().filter_map(picked).collect();
    series.value = series.value.iter().enumerate().filter_map(picked).collect();
    kept.iter().filter(|kept| !**kept).count()
}

fn is_receivers(raw: &Raw) -> bool {
    let quantity = raw.unit.map(|unit| unit.quantity);
    roles::named(&raw.words, quantity)
        .is_some_and(|named| matches!(named.role, Role::SatelliteSpeed | Role::Altitude))
}

pub fn place_of(raws: &[Raw], wanted: Role) -> Option<usize> {
    raws.iter().position(|raw| {
        let quantity = raw.unit.map(|unit| unit.quantity);
        roles::named(&raw.words, quantity).is_some_and(|named| named.role == wanted)
    })
}

/// The derived speed; nothing when the log has a speed or lacks positions, and the reason
/// where these are written too coarsely for one.
pub fn speed(raws: &[Raw]) -> Option<Result<Raw, Problem>> {
    let role = |raw: &Raw| roles::named(&raw.words, raw.unit.map(|unit| unit.quantity));
    let has_speed = |raw: &Raw| {
        role(raw).is_some_and(|named| roles::quantity_of(named.role) == Quantity::Speed)
    };
    let of = |wanted| raws.iter().find(|raw| role(raw).is_some_and(|named| named.role == wanted));
    let (lat, lon) = (of(Role::Latitude)?, of(Role::Longitude)?);
    if raws.iter().any(has_speed) || lat.series.time_s != lon.series.time_s {
        return None;
    }
    let degrees = |raw: &Raw| -> Vec<f64> {
        let inside = |&v: &f64| raw.unit.map_or(v, |unit| unit.inside(v));
        raw.series.value.iter().map(inside).collect()
    };
    let (lats, lons) = (degrees(lat), degrees(lon));
    let series = between(&lat.series.time_s, &lats, &lons);
    if series.len() < 2 {
        return None;
    }
    let step_m = grid::of_positions(&lats, &lons).map(|step| step.to_radians() * EARTH_RADIUS_M);
    // A step of either end of the two intervals that a speed is the mean of.
    let step_mps = step_m.zip(rate(&lat.series.time_s)).map(|(step, hz)| step * hz / 2.0);
    if let Some((step_m, step_mps)) = step_m.zip(step_mps).filter(|(_, mps)| *mps > COARSEST_MPS) {
        return Some(Err(too_coarse(step_m, step_mps)));
    }
    let mut raw = Raw::new("speed from positions", by_symbol("m/s"), series);
    raw.words = Words::of("satellite speed");
    (raw.derived, raw.step) = (true, step_mps);
    raw.fresh = "computed from each position and its two neighbours".to_owned();
    if let Some(step) = step_mps {
        raw.fresh += &format!(", in steps of {} m/s", short(step));
    }
    Some(Ok(raw))
}

fn too_coarse(step_m: f64, step_mps: f64) -> Problem {
    let text = format!(
        "The positions are written in steps of {} m; a speed from them would move in steps of {} m/s, \
         so that none was worked out. Log the receiver's own speed, or positions with more digits.",
        short(step_m),
        short(step_mps)
    );
    Problem { code: "positions_coarse", text }
}

/// Mean speed over the two intervals beside each position, at its time.
pub fn between(time_s: &[f64], lat: &[f64], lon: &[f64]) -> Series {
    let (mut times, mut value) = (Vec::new(), Vec::new());
    let at = |place: usize| (lat[place], lon[place]);
    for place in 1..time_s.len().min(lat.len()).min(lon.len()).saturating_sub(1) {
        let lasts = time_s[place + 1] - time_s[place - 1];
        if lasts <= LONGEST_SPAN_S {
            let path = distance_m(at(place - 1), at(place)) + distance_m(at(place), at(place + 1));
            times.push(time_s[place]);
            value.push(path / lasts);
        }
    }
    Series { time_s: times.into(), value }
}

/// Great-circle distance of two positions in degrees, by the haversine formula.
///
/// Good to 0.5 % of the true distance anywhere, as the Earth is no sphere.
pub fn distance_m((lat_a, lon_a): (f64, f64), (lat_b, lon_b): (f64, f64)) -> f64 {
    let half_sine = |degrees: f64| libm::sin(degrees.to_radians() / 2.0);
    let (up, across) = (half_sine(lat_b - lat_a), half_sine(lon_b - lon_a));
    let cosines = libm::cos(lat_a.to_radians()) * libm::cos(lat_b.to_radians());
    let chord = (up * up + cosines * across * across).sqrt().min(1.0);
    2.0 * EARTH_RADIUS_M * libm::asin(chord)
}
