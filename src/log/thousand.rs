//! Times that are a thousand times too long or too short for a car.
//!
//! In: a log of a table, and how its clock was found. Out: a refusal where the car's speed
//! refutes the times as read and a factor of a thousand would make them a car's: seconds
//! in a column of ms, or ms in one of s. Which unit is true is for the writer to say.

use super::infer::{Spread, short};
use super::{Channel, Log, LogError, Role, Series};

/// Its slowest change is above this in no log, not of a wheel that spins (`leaps`), and its
/// quickest below that in none where it was driven: at 0.02 m/s², 50 km/h take eleven minutes.
const MOST_MPS2: f64 = 200.0;
const LEAST_MPS2: f64 = 0.02;
/// What a drive shows where it is quickest, and slowest: what the times would have to be.
const DRIVEN_MPS2: std::ops::Range<f64> = 0.05..30.0;
const THOUSAND: f64 = 1000.0;
/// A car that was driven at all.
const LEAST_RANGE_MPS: f64 = 8.0;
/// Readings on the way, so that a leap is not taken for a car's way.
const FEWEST_BETWEEN: usize = 5;

/// Why a log's times are not a car's; `None` where they may be.
pub fn refusal(file: &str, log: &Log, clock: &str) -> Option<LogError> {
    let roles = [Role::SatelliteSpeed, Role::VehicleSpeed];
    let speeds = || {
        let speeds = roles.into_iter().filter_map(|role| log.channel(role));
        speeds.filter(|channel| !channel.derived)
    };
    let Some((channel, way, quick)) = speeds().find_map(of) else {
        let is_guessed = log.problems.iter().any(|problem| {
            problem.code == "unit_guessed" && problem.text.contains("from record to record")
        });
        return is_guessed.then(|| speeds().find_map(too_quick)).flatten().map(|(channel, way)| {
            let what = format!(
                "its unit is not written, and as it was taken ({clock}), \"{}\" changes by {} km/h in \
                 {} s where it is slowest: no car does.",
                channel.name,
                short(way.change_mps / crate::unit::MPS_PER_KMH),
                short(way.lasts_s),
            );
            LogError::at(file, "times", what, NAME_UNIT)
        });
    };
    let (much, true_one, as_read) = match quick {
        true => ("only", "longer: s in a column of ms", "slowest"),
        false => ("as much as", "shorter: ms in a column of s", "quickest"),
    };
    let what = format!(
        "as they are read ({clock}), \"{}\" takes {much} {} s for {} km/h where it is {as_read}; the \
         times of a car would be a thousand times {true_one}.",
        channel.name,
        if way.lasts_s < 0.01 { format!("{:.1e}", way.lasts_s) } else { short(way.lasts_s) },
        short(way.change_mps / crate::unit::MPS_PER_KMH),
    );
    Some(LogError::at(file, "times", what, NAME_UNIT))
}

const NAME_UNIT: &str = "Name the column of the time with its true unit, and open the log again.";
/// What no car gains, nor loses, in every change of its speed: 1.5 g, coasting included.
const NEVER_SLOWER_MPS2: f64 = 15.0;

/// The slowest change of a speed, where even that is no car's: the times are some ten times
/// too short, as where hundredths of a second were taken for thousandths.
fn too_quick(channel: &Channel) -> Option<(&Channel, Way)> {
    let ways = ways(&channel.series)?;
    let slowest = ways.iter().min_by(|a, b| a.mps2().total_cmp(&b.mps2()))?;
    (ways.len() > 1 && slowest.mps2() > NEVER_SLOWER_MPS2).then_some((channel, *slowest))
}

/// From a quarter of a speed's range to three quarters of it, or back.
#[derive(Clone, Copy)]
struct Way {
    lasts_s: f64,
    change_mps: f64,
}

impl Way {
    fn mps2(self) -> f64 {
        self.change_mps / self.lasts_s
    }
}

/// The way that refutes the times, and whether they are too short.
fn of(channel: &Channel) -> Option<(&Channel, Way, bool)> {
    let ways = ways(&channel.series)?;
    let by_pace = |a: &&Way, b: &&Way| a.mps2().total_cmp(&b.mps2());
    let (slowest, quickest) = (ways.iter().min_by(by_pace)?, ways.iter().max_by(by_pace)?);
    let is_driven = |mps2: f64| DRIVEN_MPS2.contains(&mps2);
    let too_short = slowest.mps2() > MOST_MPS2 && is_driven(slowest.mps2() / THOUSAND);
    let too_long = quickest.mps2() < LEAST_MPS2 && is_driven(quickest.mps2() * THOUSAND);
    match (too_short, too_long) {
        (true, _) => Some((channel, *slowest, true)),
        (_, true) => Some((channel, *quickest, false)),
        _ => None,
    }
}

/// All ways of a speed; `None` where it hardly moved.
fn ways(speed: &Series) -> Option<Vec<Way>> {
    let spread = Spread::of(&speed.value)?;
    let range = spread.high - spread.low;
    if range < LEAST_RANGE_MPS {
        return None;
    }
    let (low, high) = (spread.low + range / 4.0, spread.high - range / 4.0);
    let mut ways = Vec::new();
    // The newest reading beyond either quarter, and which.
    let mut last: Option<(usize, bool)> = None;
    for (at, &value) in speed.value.iter().enumerate() {
        let is_high = value >= high;
        if !is_high && value > low {
            continue;
        }
        if let Some((from, _)) =
            last.filter(|(from, was)| *was != is_high && at - from > FEWEST_BETWEEN)
        {
            let lasts_s = speed.time_s[at] - speed.time_s[from];
            ways.push(Way { lasts_s, change_mps: (value - speed.value[from]).abs() });
        }
        last = Some((at, is_high));
    }
    Some(ways)
}
