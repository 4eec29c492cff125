//! Channels against each other: what one says of another's unit, sign, and worth.
//!
//! In: drafts with names and the units the file tells. Out: units for speeds that
//! name none, from a speed that does; accelerations that were computed from the
//! speed lose their role, reversed ones are turned round. Every change is said.

use super::assemble::Draft;
use super::infer::Guess;
use super::roles::{self, Named};
use super::{Role, Series, positions};
use crate::unit::{Quantity, Unit, by_symbol};

/// Speeds in m/s that others can be measured against.
pub struct References {
    speeds: Vec<(String, Series)>,
}

/// The speeds whose unit the file tells, and that of the positions.
pub fn references(drafts: &[Draft]) -> References {
    let known = drafts.iter().filter(|draft| {
        draft.role().is_some_and(|role| roles::quantity_of(role) == Quantity::Speed)
            && draft.unit.is_some_and(|unit| unit.quantity == Quantity::Speed)
    });
    let mut speeds: Vec<(String, Series)> =
        known.map(|draft| (format!("\"{}\"", draft.raw.name), in_mps(draft))).collect();
    speeds.extend(of_positions(drafts).map(|series| ("the positions".to_owned(), series)));
    References { speeds }
}

/// The readings of a speed in m/s.
pub fn in_mps(draft: &Draft) -> Series {
    Series { time_s: draft.raw.series.time_s.clone(), value: draft.inside().collect() }
}

/// The speed that the positions of a log make, m/s.
pub fn of_positions(drafts: &[Draft]) -> Option<Series> {
    let of = |role| drafts.iter().find(|draft| draft.role() == Some(role));
    let (lat, lon) = (of(Role::Latitude)?, of(Role::Longitude)?);
    if lat.raw.series.time_s != lon.raw.series.time_s {
        return None;
    }
    let (lat_deg, lon_deg): (Vec<f64>, Vec<f64>) = (lat.inside().collect(), lon.inside().collect());
    Some(positions::between(&lat.raw.series.time_s, &lat_deg, &lon_deg))
}

impl References {
    /// The unit under which a speed agrees with one that is known.
    pub fn speed_unit(&self, draft: &Draft, role: Role) -> Option<Guess> {
        if roles::quantity_of(role) != Quantity::Speed {
            return None;
        }
        self.speeds.iter().find_map(|(name, known)| {
            let [_, ratio, _] = ratios(&draft.raw.series, known)?;
            // Wheel against ground differs by some percent, the units by 15 and more.
            let fits = |unit: &Unit| (unit.factor / ratio - 1.0).abs() < 0.07;
            let unit = ["km/h", "mph", "m/s", "kn"]
                .iter()
                .filter_map(|symbol| by_symbol(symbol))
                .find(fits)?;
            Some(Guess { unit, because: format!("it then agrees with {name}") })
        })
    }
}

/// Quarter, middle and three quarters of known over written speed at the written times,
/// where both move; `None` under 20 pairs.
pub fn ratios(written: &Series, known: &Series) -> Option<[f64; 3]> {
    const MOVING_MPS: f64 = 4.0;
    let mut ratios: Vec<f64> = written
        .time_s
        .iter()
        .zip(&written.value)
        .filter_map(|(&t, &v)| Some((known.at(t)?, v)))
        .filter(|(known, v)| *known > MOVING_MPS && *v > 0.5)
        .map(|(known, v)| known / v)
        .collect();
    ratios.sort_by(f64::total_cmp);
    let at = |quarters: usize| ratios.get(ratios.len() * quarters / 4).copied();
    let found = [at(1)?, at(2)?, at(3)?];
    (ratios.len() >= 20).then_some(found)
}

/// Judges accelerations by the change of speed.
pub fn settle(drafts: &mut [Draft]) {
    let Some(speed) = speed_of(drafts) else { return };
    name_best_axis(drafts, &speed);
    for draft in drafts.iter_mut().filter(|d| d.role() == Some(Role::LongitudinalAcceleration)) {
        if is_computed(&draft.raw.series, &speed) {
            draft.refuse("it is the difference of neighbouring speeds, computed and not measured");
            continue;
        }
        let Some(fit) = Fit::of(&draft.raw.series, &speed) else { continue };
        settle_unit(draft, &fit);
        settle_sign(draft, &fit);
    }
}

/// The speed to judge by, in m/s: the satellites' first, then the car's own.
fn speed_of(drafts: &[Draft]) -> Option<Series> {
    let of =
        |role| drafts.iter().find(|d| d.role() == Some(role) && d.unit.is_some() && !d.raw.derived);
    let draft = of(Role::SatelliteSpeed).or_else(|| of(Role::VehicleSpeed))?;
    Some(in_mps(draft))
}

/// How an acceleration as written follows the change of speed in m/s².
struct Fit {
    /// Written acceleration per m/s².
    slope: f64,
    correlation: f64,
}

impl Fit {
    /// From means over one second; `None` where the speed hardly changes.
    fn of(written: &Series, speed: &Series) -> Option<Fit> {
        let (first, last) = (*speed.time_s.first()?, *speed.time_s.last()?);
        let half = window_s(speed)? / 2.0;
        let (mut x, mut y) = (Vec::new(), Vec::new());
        let mut t = first + half;
        while t + half <= last && x.len() < 20_000 {
            if let (Some(a), Some(b)) = (speed.at(t - half), speed.at(t + half)) {
                let (_, values) = written.between(t - half, t + half);
                if !values.is_empty() && gap_free(speed, t, half) {
                    x.push((b - a) / (2.0 * half));
                    y.push(values.iter().sum::<f64>() / values.len() as f64);
                }
            }
            t += half * steps_on(speed, t, half);
        }
        let n = x.len() as f64;
        let (mx, my) = (x.iter().sum::<f64>() / n, y.iter().sum::<f64>() / n);
        let sum = |f: &dyn Fn(f64, f64) -> f64| {
            x.iter().zip(&y).map(|(x, y)| f(x - mx, y - my)).sum::<f64>()
        };
        let (sxx, syy, sxy) = (sum(&|x, _| x * x), sum(&|_, y| y * y), sum(&|x, y| x * y));
        let lively = x.len() >= 30 && sxx / n > 0.25 && syy > 0.0;
        lively.then(|| Fit { slope: sxy / sxx, correlation: sxy / (sxx * syy).sqrt() })
    }
}

/// Whole steps to the next window that a reading is in: a clock that was set may leave
/// years between two.
fn steps_on(speed: &Series, t: f64, half: f64) -> f64 {
    let next = speed.time_s.get(speed.first_at(t + half)).copied().unwrap_or(t);
    ((next - t) / half - 1.0).floor().max(1.0)
}

/// Two readings of the speed at least, and a second at least.
fn window_s(speed: &Series) -> Option<f64> {
    super::assemble::rate(&speed.time_s)
        .map(|rate| (2.0 / rate).max(1.0))
        .filter(|window| *window < 5.0)
}

fn gap_free(speed: &Series, t: f64, half: f64) -> bool {
    let (times, _) = speed.between(t - half, t + half);
    !times.is_empty() && times.windows(2).all(|pair| pair[1] - pair[0] <= 2.0 * half)
}

/// Where the named axis does not follow the speed and a sibling clearly does, that is it.
fn name_best_axis(drafts: &mut [Draft], speed: &Series) {
    let fit =
        |draft: &Draft| Fit::of(&draft.raw.series, speed).map_or(0.0, |fit| fit.correlation.abs());
    let named = drafts.iter().position(|d| d.role() == Some(Role::LongitudinalAcceleration));
    let Some(named) = named.filter(|&at| drafts[at].named.is_some_and(|named| named.loose)) else {
        return;
    };
    if fit(&drafts[named]) > 0.4 {
        return;
    }
    let axis = |draft: &Draft| {
        draft.role().is_none()
            && roles::is_axis(&draft.raw.words)
            && draft.unit == drafts[named].raw.unit
    };
    let best = (0..drafts.len())
        .filter(|&at| axis(&drafts[at]))
        .map(|at| (at, fit(&drafts[at])))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((best, correlation)) = best.filter(|(_, correlation)| *correlation > 0.75) else {
        return;
    };
    let old = drafts[named].raw.name.clone();
    drafts[named].refuse("it does not follow the change of speed, and another axis does");
    let (unit, guessed) = (drafts[named].unit, drafts[named].guessed);
    let draft = &mut drafts[best];
    draft.named = Some(Named { role: Role::LongitudinalAcceleration, loose: true });
    (draft.unit, draft.guessed) = (unit, guessed);
    draft.how = vec![format!(
        "longitudinal because it follows the change of speed ({correlation:.2}) and \"{old}\" does not"
    )];
}

/// A guessed unit is the one under which the acceleration is the change of speed.
fn settle_unit(draft: &mut Draft, fit: &Fit) {
    if !draft.guessed || fit.correlation.abs() < 0.6 {
        return;
    }
    let off = |unit: &Unit| libm::log((fit.slope * unit.factor).abs()).abs();
    let best =
        ["m/s²", "g"].iter().filter_map(|s| by_symbol(s)).min_by(|a, b| off(a).total_cmp(&off(b)));
    // A factor of two either way is pitch, lag and mounting; ten is a unit.
    if let Some(unit) = best.filter(|unit| off(unit) < 0.7 && Some(*unit) != draft.unit) {
        let because = "it then equals the change of speed";
        draft.unit = Some(unit);
        draft.how.push(format!("{} after all because {because}", unit.symbol));
        draft.problems.retain(|problem| problem.code != "unit_guessed");
        let text = format!(
            "\"{}\" names no unit; it was taken as {} because {because}.",
            draft.raw.name, unit.symbol
        );
        draft.problem("unit_guessed", text);
    }
}

/// Positive is speeding up. A sensor mounted backwards is turned round.
fn settle_sign(draft: &mut Draft, fit: &Fit) {
    let Some(unit) = draft.unit else { return };
    if fit.correlation > -0.6 {
        return;
    }
    draft.unit = Some(Unit { factor: -unit.factor, ..unit });
    let why = format!("it falls when the speed rises (correlation {:.2})", fit.correlation);
    draft.how.push(format!("sign turned because {why}"));
    let text = format!("\"{}\" was turned round because {why}.", draft.raw.name);
    draft.problem("sign_turned", text);
}

/// Whether an acceleration is nothing but the difference of neighbouring speeds.
fn is_computed(accel: &Series, speed: &Series) -> bool {
    let at_speed = |t: f64| {
        let at = speed.first_at(t);
        (speed.time_s.get(at) == Some(&t)).then_some(at)
    };
    let slope = |from: usize, to: usize| -> Option<f64> {
        let lasts = speed.time_s.get(to)? - speed.time_s.get(from)?;
        Some((speed.value[to] - speed.value[from]) / lasts)
    };
    [(1, 0), (0, 1), (1, 1)].iter().any(|&(before, after)| {
        let mut ratios: Vec<f64> = accel
            .time_s
            .iter()
            .zip(&accel.value)
            .filter_map(|(&t, &a)| {
                let at = at_speed(t)?;
                Some(
                    a / slope(at.checked_sub(before)?, at + after)
                        .filter(|slope| slope.abs() > 0.05)?,
                )
            })
            .collect();
        ratios.sort_by(f64::total_cmp);
        let Some(&middle) = ratios.get(ratios.len() / 2).filter(|_| ratios.len() >= 20) else {
            return false;
        };
        let same = ratios.iter().filter(|ratio| (**ratio / middle - 1.0).abs() < 5e-3).count();
        same * 10 >= ratios.len() * 9
    })
}
