//! The grid that numbers are written on: how fine the last digit is, not the values.
//!
//! In: values. Out: the step between neighbours on their grid, or `None` where they show
//! none. A steady drive moves by equal distances, which are no grid: only digits tell.

/// Parts of a degree: whole ones, minutes, seconds.
const PARTS: [f64; 3] = [1.0, 60.0, 3600.0];
/// Decimals that are looked for; a double holds about seven behind a second of arc.
const MOST_DECIMALS: i32 = 8;
/// How far from a whole number of steps a value may lie: it went through a product or two.
const OFF: f64 = 1e-3;
/// So many steps in a value, and a double cannot tell them apart.
const MOST_STEPS: f64 = 1e12;

/// Of whole degrees no speed can be made, whatever they look like.
const WHOLE: f64 = 0.5;
/// One step in so many is unlike the one before, where a car moves over a coarse grid.
const ONE_UNLIKE_IN: usize = 10;

/// The step of positions; `None` as well where they move on the grid so evenly that it may
/// be the pace that keeps to it.
pub fn of_positions(lat: &[f64], lon: &[f64]) -> Option<f64> {
    // Their writer gave both as many digits, but a round value shows fewer.
    let step = step(lat)?.min(step(lon)?);
    let unlike = |values: &[f64]| {
        let turns = values.windows(3).map(|three| three[2] - 2.0 * three[1] + three[0]);
        turns.filter(|turn| turn.abs() > step / 2.0).count()
    };
    let shows = unlike(lat).max(unlike(lon)) * ONE_UNLIKE_IN > lat.len();
    (shows || step > WHOLE).then_some(step)
}

/// The step of values in degrees, written in degrees, minutes or seconds with some
/// decimals, or held in four bytes.
fn step(degrees: &[f64]) -> Option<f64> {
    let most = degrees.iter().fold(0.0, |most: f64, v| most.max(v.abs()));
    let of_decimals = PARTS.iter().filter_map(|part| decimals(degrees, *part, most));
    // 48.5° is 2910' as well: of all ways to write it, the coarsest grid that holds all.
    of_decimals.reduce(f64::max).or_else(|| of_four_bytes(degrees, most))
}

fn decimals(degrees: &[f64], part: f64, most: f64) -> Option<f64> {
    let steps = (0..=MOST_DECIMALS).map(|decimals| part * libm::pow(10.0, f64::from(decimals)));
    let fits = |per_degree: &f64| {
        degrees.iter().all(|v| (v * per_degree - (v * per_degree).round()).abs() < OFF)
    };
    steps.take_while(|per_degree| per_degree * most < MOST_STEPS).find(fits).map(|n| 1.0 / n)
}

/// Neighbours among numbers of four bytes (IEEE 754) of that size.
fn of_four_bytes(degrees: &[f64], most: f64) -> Option<f64> {
    let most = most as f32;
    let is_held = degrees.iter().all(|v| f64::from(*v as f32) == *v);
    is_held.then(|| f64::from(most.next_up() - most))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_digit_tells_and_not_the_pace() {
        let written = |decimals: i32, by: f64| -> Vec<f64> {
            let ten = libm::pow(10.0, f64::from(decimals));
            (0..200).map(|n| ((48.1 + f64::from(n) * by) * ten).round() / ten).collect()
        };
        let close = |found: Option<f64>, wanted: f64| {
            assert!(found.is_some_and(|f| (f / wanted - 1.0).abs() < 1e-6), "{found:?}, {wanted}");
        };
        for decimals in 4..=7 {
            close(step(&written(decimals, 2.2459e-5)), libm::pow(10.0, f64::from(-decimals)));
        }
        // Ten-thousandths of a minute; four bytes, of which 2^-18 is the last at 48.
        let minutes: Vec<f64> =
            (0..200).map(|n| 48.0 + (6.1234 + f64::from(n) * 0.0013) / 60.0).collect();
        close(step(&minutes), 1e-4 / 60.0);
        let bytes: Vec<f64> = (0..200).map(|n| f64::from(48.1 + n as f32 * 3.3e-5)).collect();
        close(step(&bytes), libm::pow(2.0, -18.0));
        let fine: Vec<f64> =
            (0..200).map(|n| 48.1 + f64::from(n) * std::f64::consts::PI * 1e-5).collect();
        assert_eq!(step(&fine), None);
    }
}
