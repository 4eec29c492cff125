//! Slip between engine and road, told from the engine's speed: tyre, torque converter,
//! clutch, or a shift that is none of them.
//!
//! In: engine speed paired with ground speed over one pull, the locked [`Gears`], what
//! is known of the car, stretches in which the wheels are known to have spun. Out:
//! [`Spin`] stretches with their kind and the numbers that led to it.
//!
//! Never: a slip where the log is too coarse to pair the two speeds honestly.

use super::gears::{Gears, Pair};
use super::wheel::Excess;
use super::{Spin, SpinKind, Transmission};
use crate::unit::{MPS_PER_MPH, STANDARD_GRAVITY};

/// Engine speed this far above locked is slip; below it, creep and rounding.
const LEAST_SLIP: f64 = 0.08;
const SHORTEST_S: f64 = 0.15;
/// A change of gear lasts no longer than this (common practice, no source).
const SHIFT_S: f64 = 0.9;
/// A converter couples by this ratio of turbine to engine speed.
const COUPLED: f64 = 0.80;
/// A clutch is taken up by this speed; a converter couples above it (common practice,
/// no source).
const TAKEN_UP_MPS: f64 = 10.0;
/// A converter's slip is looked for this long after the ratio counts as locked.
const AFTER_S: f64 = 0.6;
/// A clutch takes this long to shut for good.
const JUST_SHUT_S: f64 = 0.15;
const STILL_SLIPS: f64 = 0.02;
/// A converter that opens under load after it had coupled slips by less than this.
const OPEN_CONVERTER: f64 = 0.35;
/// Cars change up this near to the fastest the engine turns in the pull.
const CHANGES_UP: f64 = 0.93;
/// An engine that falls back by more than this before it locks had run away.
const RUN_AWAY: f64 = 0.12;

/// One stretch of unlocked readings with the gear it is measured against.
struct Episode<'a> {
    pairs: &'a [Pair],
    locked: f64,
    from_rest: bool,
    /// The ratio locks again inside the pull.
    locks: bool,
    /// What follows, up to the next unlocked stretch or shift.
    after: &'a [Pair],
}

impl Episode<'_> {
    fn slip(&self, pair: &Pair) -> f64 {
        libm::exp(pair.ratio() - self.locked) - 1.0
    }

    fn peak_slip(&self) -> f64 {
        self.pairs.iter().map(|pair| self.slip(pair)).fold(0.0, f64::max)
    }

    /// A gripping tyre creeps more the harder it pulls.
    fn least_slip(&self) -> f64 {
        LEAST_SLIP + 0.06 * (mean_accel(self.pairs) / STANDARD_GRAVITY).max(0.0)
    }

    /// Mean slip right after the ratio counts as locked: a clutch is shut, a converter
    /// still slips by a few in a hundred.
    fn settles(&self) -> f64 {
        let end = self.ends_s() + AFTER_S;
        let near: Vec<f64> = self
            .after
            .iter()
            .take_while(|pair| pair.time_s <= end)
            .filter(|pair| pair.time_s > self.ends_s() + JUST_SHUT_S)
            .map(|pair| self.slip(pair))
            .collect();
        if near.is_empty() { 0.0 } else { near.iter().sum::<f64>() / near.len() as f64 }
    }

    fn begins_s(&self) -> f64 {
        self.pairs.first().map_or(0.0, |pair| pair.time_s)
    }

    fn ends_s(&self) -> f64 {
        self.pairs.last().map_or(0.0, |pair| pair.time_s)
    }
}

/// Slip over one pull. `pairs` hold engine speed and ground speed inside the pull.
pub fn spins(
    pairs: &[Pair],
    gears: &Gears,
    wheels: &[Excess],
    transmission: Option<Transmission>,
) -> Vec<Spin> {
    let top_rpm = pairs.iter().map(|pair| pair.rpm).fold(0.0, f64::max);
    episodes(pairs, gears)
        .into_iter()
        .filter(|e| e.ends_s() - e.begins_s() >= SHORTEST_S && e.peak_slip() >= e.least_slip())
        .filter(|e| e.pairs.len() >= 3)
        .map(|episode| spin(&episode, wheels, transmission, top_rpm))
        .collect()
}

/// Which transmission the starts of a log show, where the reader has not said: after a
/// start a clutch is shut, a converter still slips. `None` where no start tells.
pub fn transmission(starts: &[Vec<Pair>], gears: &Gears) -> Option<Transmission> {
    let mut settled: Vec<f64> = starts
        .iter()
        .filter_map(|pairs| episodes(pairs, gears).into_iter().find(|e| e.from_rest && e.locks))
        .filter(|episode| episode.after.len() >= 3)
        .map(|episode| episode.settles())
        .collect();
    settled.sort_by(f64::total_cmp);
    let median = settled.get(settled.len() / 2)?;
    let slips = *median >= STILL_SLIPS;
    Some(if slips { Transmission::TorqueConverter } else { Transmission::Manual })
}

/// Cuts the pull into stretches in which no gear is locked.
fn episodes<'a>(pairs: &'a [Pair], gears: &Gears) -> Vec<Episode<'a>> {
    let gear_of = |pair: &Pair| {
        gears.nearest(pair.ratio()).filter(|&(_, off)| off.abs() <= tolerance(pair)).map(|g| g.0)
    };
    let states: Vec<Option<usize>> = pairs.iter().map(gear_of).collect();
    let mut found = Vec::new();
    let mut i = 0;
    while i < pairs.len() {
        let end = (i..pairs.len()).find(|&k| states[k].is_some()).unwrap_or(pairs.len());
        if end > i {
            let before = i.checked_sub(1).and_then(|k| states[k]);
            let after = states.get(end).copied().flatten();
            let run = (end..pairs.len()).find(|&k| states[k] != after).unwrap_or(pairs.len());
            found.extend(episode(&pairs[i..end], &pairs[end..run], before, after, gears));
        }
        i = end + 1;
    }
    found
}

fn tolerance(pair: &Pair) -> f64 {
    0.05 + 0.3 / pair.speed_mps.max(1.0)
}

/// What an unlocked stretch is measured against; `None` for an ordinary shift.
fn episode<'a>(
    pairs: &'a [Pair],
    follow: &'a [Pair],
    before: Option<usize>,
    after: Option<usize>,
    gears: &Gears,
) -> Option<Episode<'a>> {
    let locked = |gear: usize| gears.locked[gear];
    let (first, last) = (pairs.first()?, pairs.last()?);
    let locks = after.is_some();
    let Some(gear) = before else {
        let locked = locked(after?);
        return Some(Episode { pairs, locked, from_rest: true, locks, after: follow });
    };
    let above = |pair: &&Pair| pair.ratio() > locked(gear) + tolerance(pair);
    if pairs.iter().any(|pair| above(&pair)) {
        let to = pairs.iter().rposition(|pair| above(&pair))?;
        return Some(Episode {
            pairs: &pairs[..=to],
            locked: locked(gear),
            from_rest: false,
            locks,
            after: follow,
        });
    }
    let lasts = last.time_s - first.time_s;
    let next = after.filter(|&next| locked(next) < locked(gear) && lasts > SHIFT_S)?;
    Some(Episode { pairs, locked: locked(next), from_rest: false, locks, after: follow })
}

/// Names the kind of a slip, with the numbers behind it.
fn spin(
    episode: &Episode,
    wheels: &[Excess],
    transmission: Option<Transmission>,
    top_rpm: f64,
) -> Spin {
    let (from_s, to_s) = (episode.begins_s(), episode.ends_s());
    let shared: f64 =
        wheels.iter().map(|w| (w.to_s.min(to_s) - w.from_s.max(from_s)).max(0.0)).sum();
    let by_wheel = shared > 0.4 * (to_s - from_s);
    let (kind, why) = if by_wheel {
        (SpinKind::Tyre, "the wheels ran ahead of the ground at the same time".to_owned())
    } else if episode.from_rest {
        at_launch(episode, transmission, top_rpm)
    } else {
        in_gear(episode, transmission)
    };
    let peak_slip = episode.peak_slip();
    let evidence = vec![format!(
        "From {from_s:.2} s to {to_s:.2} s of the log the engine turns up to {:.0} % faster than \
         the road through the locked gear allows; {why}.",
        100.0 * peak_slip
    )];
    let (mean_slip, slip_distance_m, time_lost) = (None, None, None);
    Spin { from_s, to_s, peak_slip, kind, mean_slip, slip_distance_m, time_lost, evidence }
}

/// From rest something must slip: which, is told by how the engine behaves. An engine that
/// falls back from where this car changes up may just have changed up.
fn at_launch(
    episode: &Episode,
    transmission: Option<Transmission>,
    top_rpm: f64,
) -> (SpinKind, String) {
    let rpm: Vec<f64> = episode.pairs.iter().map(|pair| pair.rpm).collect();
    let top = rpm.iter().copied().fold(0.0, f64::max);
    let last = rpm.last().copied().unwrap_or(top);
    let fell_back = 1.0 - last / top;
    let changed_up = fell_back > RUN_AWAY && top > CHANGES_UP * top_rpm;
    let smooth = smoothly_falling(episode);
    let ratio = episode.pairs.last().map_or(0.0, |pair| 1.0 / (1.0 + episode.slip(pair)));
    let at_mps = episode.pairs.last().map_or(0.0, |pair| pair.speed_mps);
    match transmission {
        Some(Transmission::TorqueConverter) if fell_back <= RUN_AWAY || changed_up => (
            SpinKind::Converter,
            format!(
                "the speed ratio climbs to {ratio:.2} near {last:.0} rpm, as a torque converter's does"
            ),
        ),
        Some(Transmission::Manual | Transmission::DualClutch) if at_mps < TAKEN_UP_MPS => (
            SpinKind::Clutch,
            format!("it ends at {:.0} mph, where a clutch is taken up", at_mps / MPS_PER_MPH),
        ),
        _ if fell_back > RUN_AWAY && !changed_up => (
            SpinKind::Tyre,
            format!(
                "the engine ran away to {top:.0} rpm and fell back by {:.0} %",
                100.0 * fell_back
            ),
        ),
        _ if smooth && episode.locks && ratio >= COUPLED => (
            SpinKind::Converter,
            format!(
                "the speed ratio climbs smoothly to {ratio:.2} while the engine holds near \
                 {last:.0} rpm, as a torque converter does"
            ),
        ),
        _ => (SpinKind::Unknown, "the log cannot tell tyre, clutch and converter apart".to_owned()),
    }
}

/// The ratio falls all the way, but for a part of it that noise explains.
fn smoothly_falling(episode: &Episode) -> bool {
    let ratios: Vec<f64> = episode.pairs.iter().map(Pair::ratio).collect();
    let falls: f64 = ratios.windows(2).map(|w| (w[0] - w[1]).max(0.0)).sum();
    let rises: f64 = ratios.windows(2).map(|w| (w[1] - w[0]).max(0.0)).sum();
    rises <= 0.1 * falls
}

/// Slip after a gear had locked.
fn in_gear(episode: &Episode, transmission: Option<Transmission>) -> (SpinKind, String) {
    let converter = transmission == Some(Transmission::TorqueConverter);
    if converter && episode.peak_slip() < OPEN_CONVERTER {
        return (SpinKind::Converter, "a torque converter that is not locked slips so".to_owned());
    }
    let pull = mean_accel(episode.pairs) / STANDARD_GRAVITY;
    let at_mps = episode.pairs.first().map_or(0.0, |pair| pair.speed_mps);
    if pull > 0.3 && at_mps < 35.0 {
        (SpinKind::Tyre, format!("the car pulls at {pull:.2} g, where tyres let go"))
    } else if pull < 0.25 {
        (SpinKind::Clutch, format!("the car pulls at only {pull:.2} g, which tyres can hold"))
    } else {
        (SpinKind::Unknown, "the log cannot tell tyre and clutch apart".to_owned())
    }
}

fn mean_accel(pairs: &[Pair]) -> f64 {
    match (pairs.first(), pairs.last()) {
        (Some(a), Some(b)) if b.time_s > a.time_s => {
            (b.speed_mps - a.speed_mps) / (b.time_s - a.time_s)
        }
        _ => 0.0,
    }
}
