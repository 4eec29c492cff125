//! Two recordings of one drive brought to one clock, and laid together.
//!
//! In: the log of an engine, and another without one: a satellite receiver, a box of
//! accelerometers, a thermometer. Out: an [`Alignment`], the time to add to the other's
//! clock, with how well it is known; or none where nothing shows that it was one drive.
//!
//! Method: both speeds are put on one grid, and a shift is judged by how many of the moving
//! seconds agree; the best one is refined to a part of a step by a parabola. A wheel that
//! spins disagrees for a second and is outvoted. Where both logs tell their clock, it is
//! tried first, and a log without any speed rests on it alone.
//!
//! Never: two drives taken for one because they look alike (the same road driven twice
//! agrees for a stretch, not for nearly all of it), or a reading outside the first log.

use super::{Channel, Log, Role, Series};

/// The part's time plus `shift_s` is the main log's time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alignment {
    pub shift_s: f64,
    /// Standard deviation; `None` where a reader typed the shift.
    pub sd_s: Option<f64>,
    /// Share of the moving seconds in which both speeds agree.
    pub agreement: Option<f64>,
    pub by: By,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    Speeds,
    /// Neither says so alone: the clocks tell about when, the speeds exactly.
    ClocksAndSpeeds,
    /// Whole seconds at best.
    Clocks,
    /// The same logger went on in another file.
    Follows,
    Hand,
}

const COARSE_S: f64 = 1.0;
const FINE_S: f64 = 0.1;
/// Speeds this near to each other agree, in m/s and as a share.
const AGREE_MPS: f64 = 0.6;
const AGREE_SHARE: f64 = 0.04;
/// The same on the coarse grid, where a shift is off by up to half a step.
const AGREE_COARSE_MPS: f64 = 1.5;
/// Slower than this a car stands, which agrees with every other.
const MOVING_MPS: f64 = 2.0;
/// One drive is shown by this much of moving, and by speeds that vary.
const LEAST_MOVING_S: f64 = 40.0;
const LEAST_SPREAD_MPS: f64 = 3.0;
/// Of the shorter record's moving, so much lies in both.
const LEAST_SHARED: f64 = 0.5;
/// Agreement that shows one drive, alone and beside clocks that say the same.
const LEAST_ALONE: f64 = 0.9;
const LEAST_WITH_CLOCKS: f64 = 0.8;
/// The next best shift, this far away, must agree less by so much.
const OTHER_S: f64 = 10.0;
const LEAST_AHEAD: f64 = 0.15;
/// Clocks that are set right agree to within this.
const CLOCKS_S: f64 = 30.0;
const CLOCK_SD_S: f64 = 1.0;
/// A logger that begins a new file loses no more than this, and its clock no more than that.
const FOLLOWS_LATE_S: f64 = 60.0;
const FOLLOWS_EARLY_S: f64 = 1.5;
const FOLLOWS_SD_S: f64 = 0.5;
/// What filters of either may add, and no shift tells (common practice, no source).
const LEAST_SD_S: f64 = 0.03;
/// No residual counts for more: a wheel that spins must not rule the shift.
const MOST_OFF_MPS: f64 = 3.0;
/// Readings further apart than this leave a hole.
const HOLE_S: f64 = 5.0;
/// Shifts tried times seconds compared: two logs of three hours, and a tenth of a second.
const MOST_WORK: usize = 250_000_000;

/// A log that an engine's computer or a logger beside it wrote.
pub fn has_engine(log: &Log) -> bool {
    [Role::EngineSpeed, Role::Throttle, Role::Pedal].iter().any(|role| log.channel(*role).is_some())
}

/// Whether the same logger went on in the second file soon after the first one's end.
pub fn follows(first: &Log, next: &Log) -> Option<Alignment> {
    let shift_s = next.began_unix_s? - first.began_unix_s?;
    let gap_s = shift_s - first.span_s;
    let same = (first.form, &first.header_key) == (next.form, &next.header_key);
    (same && (-FOLLOWS_EARLY_S..=FOLLOWS_LATE_S).contains(&gap_s) && shift_s > 0.0).then_some(
        Alignment { shift_s, sd_s: Some(FOLLOWS_SD_S), agreement: None, by: By::Follows },
    )
}

/// How the second log lies on the first one's clock; `None` where nothing shows one drive.
pub fn align(main: &Log, part: &Log) -> Option<Alignment> {
    let clock_s = part.began_unix_s.zip(main.began_unix_s).map(|(part, main)| part - main);
    let apart = |shift_s: f64| shift_s > main.span_s || shift_s + part.span_s < 0.0;
    if clock_s.is_some_and(apart) {
        return None;
    }
    match (speed(main), speed(part)) {
        (Some(a), Some(b)) => by_speeds(a, b, clock_s),
        _ => clock_s.map(|shift_s| Alignment {
            shift_s,
            sd_s: Some(CLOCK_SD_S),
            agreement: None,
            by: By::Clocks,
        }),
    }
}

fn speed(log: &Log) -> Option<&Series> {
    let speeds = [Role::VehicleSpeed, Role::SatelliteSpeed, Role::UndrivenWheelSpeed];
    speeds.iter().find_map(|role| log.series(*role)).filter(|series| series.len() > 10)
}

fn by_speeds(a: &Series, b: &Series, clock_s: Option<f64>) -> Option<Alignment> {
    let coarse = [a, b].map(|series| Grid::of(series, COARSE_S));
    let total = coarse[0].moving.min(coarse[1].moving);
    let reach = |clock_s: f64| (clock_s - CLOCKS_S, clock_s + CLOCKS_S);
    let all = (-coarse[1].span_s(), coarse[0].span_s());
    let near = clock_s.and_then(|clock_s| best(&coarse, reach(clock_s), total));
    let far = || {
        let best = best(&coarse, all, total)?;
        (best.share - best.runner_up >= LEAST_AHEAD).then_some(best)
    };
    let (found, least, by) = match near.filter(|near| near.share >= LEAST_WITH_CLOCKS) {
        Some(near) => (near, LEAST_WITH_CLOCKS, By::ClocksAndSpeeds),
        None => (far()?, LEAST_ALONE, By::Speeds),
    };
    let fine = [a, b].map(|series| Grid::of(series, FINE_S));
    let (shift_s, sd_s) = refined(&fine, found.shift_s, fewer_readings(a, b))?;
    let share = agreement(&fine, shift_s, AGREE_MPS, 0.0)?.share;
    (share >= least).then_some(Alignment { shift_s, sd_s: Some(sd_s), agreement: Some(share), by })
}

/// Readings a second of the slower one, in effect: what a fine grid adds is no evidence.
fn fewer_readings(a: &Series, b: &Series) -> f64 {
    let rate = |series: &Series| {
        let span = series.time_s.last().zip(series.time_s.first()).map_or(0.0, |(b, a)| b - a);
        series.len() as f64 / span.max(1.0)
    };
    rate(a).min(rate(b))
}

/// Longest grid, in points.
const MOST_POINTS: usize = 20_000_000;

/// A speed at even times from its first reading on; not a number in a hole.
struct Grid {
    from_s: f64,
    step_s: f64,
    mps: Vec<f64>,
    /// Points at which the car moves.
    moving: usize,
}

impl Grid {
    fn of(series: &Series, step_s: f64) -> Grid {
        let from_s = series.time_s.first().copied().unwrap_or(0.0);
        let to_s = series.time_s.last().copied().unwrap_or(0.0);
        let mut next = 0;
        // Days at a hundred a second: who drives longer is not laid beside another by this.
        let points = Some(((to_s - from_s) / step_s).max(0.0) as usize + 1);
        let points = points.filter(|points| *points <= MOST_POINTS).unwrap_or(0);
        let mps: Vec<f64> = (0..points)
            .map(|k| {
                let t = from_s + step_s * k as f64;
                while next + 1 < series.len() && series.time_s[next + 1] <= t {
                    next += 1;
                }
                between(series, next, t)
            })
            .collect();
        let moving = mps.iter().filter(|v| **v > MOVING_MPS).count();
        Grid { from_s, step_s, mps, moving }
    }

    fn span_s(&self) -> f64 {
        self.mps.len() as f64 * self.step_s
    }

    /// The value at a time, from the two points beside it.
    fn at(&self, time_s: f64) -> f64 {
        let place = (time_s - self.from_s) / self.step_s;
        if place < 0.0 {
            return f64::NAN;
        }
        let (before, share) = (place as usize, place.fract());
        match (self.mps.get(before), self.mps.get(before + 1)) {
            (Some(a), Some(b)) => a + share * (b - a),
            (Some(a), None) if share == 0.0 => *a,
            _ => f64::NAN,
        }
    }
}

fn between(series: &Series, before: usize, t: f64) -> f64 {
    let (t0, v0) = (series.time_s[before], series.value[before]);
    let (Some(&t1), Some(&v1)) = (series.time_s.get(before + 1), series.value.get(before + 1))
    else {
        return v0;
    };
    if t1 - t0 > HOLE_S { f64::NAN } else { v0 + (v1 - v0) * ((t - t0) / (t1 - t0)).max(0.0) }
}

/// How well a shift agrees.
struct Agreement {
    share: f64,
    moving: usize,
}

/// Share of the points at which either moves and both agree; `None` where too little of
/// both is shared to tell, or the speed never varies.
fn agreement(
    [a, b]: &[Grid; 2],
    shift_s: f64,
    near_mps: f64,
    least_moving: f64,
) -> Option<Agreement> {
    let (mut moving, mut agreed, mut sum, mut squares) = (0_usize, 0_usize, 0.0, 0.0);
    for (k, v) in a.mps.iter().enumerate() {
        let other = b.at(a.from_s + a.step_s * k as f64 - shift_s);
        let fast = v.max(other);
        if v.is_nan() || other.is_nan() || fast < MOVING_MPS {
            continue;
        }
        moving += 1;
        agreed += usize::from((v - other).abs() < near_mps + AGREE_SHARE * fast);
        sum += v;
        squares += v * v;
    }
    let n = moving as f64;
    let spread = libm::sqrt((squares / n - (sum / n) * (sum / n)).max(0.0));
    let enough = n * a.step_s >= LEAST_MOVING_S && n >= least_moving;
    (enough && spread >= LEAST_SPREAD_MPS).then(|| Agreement { share: agreed as f64 / n, moving })
}

struct Best {
    shift_s: f64,
    share: f64,
    runner_up: f64,
}

/// The shift of most agreement within a range, and the best one far from it.
fn best(coarse: &[Grid; 2], (from_s, to_s): (f64, f64), total: usize) -> Option<Best> {
    let shifts = ((to_s - from_s) / COARSE_S).max(0.0) as usize + 1;
    if shifts.saturating_mul(coarse[0].mps.len()) > MOST_WORK {
        return None;
    }
    let least = LEAST_SHARED * total as f64;
    let offset_s = coarse[0].from_s - coarse[1].from_s;
    let tried: Vec<(f64, f64, usize)> = (0..shifts)
        .filter_map(|k| {
            let shift_s = offset_s + from_s + COARSE_S * k as f64;
            let told = agreement(coarse, shift_s, AGREE_COARSE_MPS, least)?;
            Some((shift_s, told.share, told.moving))
        })
        .collect();
    let &(shift_s, share, _) =
        tried.iter().max_by(|a, b| a.1.total_cmp(&b.1).then(a.2.cmp(&b.2)))?;
    let others = tried.iter().filter(|(other_s, ..)| (other_s - shift_s).abs() > OTHER_S);
    let runner_up = others.map(|(_, share, _)| *share).fold(0.0, f64::max);
    Some(Best { shift_s, share, runner_up })
}

/// The shift of least squares near another, and its standard deviation from how sharply the
/// squares rise about it.
fn refined(fine: &[Grid; 2], near_s: f64, readings_hz: f64) -> Option<(f64, f64)> {
    const REACH: i32 = 15;
    let squares: Vec<(f64, f64)> = (-REACH..=REACH)
        .map(|k| mean_square(fine, near_s + FINE_S * f64::from(k)))
        .collect::<Option<_>>()?;
    let least = (1..squares.len() - 1).min_by(|&i, &j| squares[i].0.total_cmp(&squares[j].0))?;
    let (before, here, after) = (squares[least - 1].0, squares[least].0, squares[least + 1].0);
    let bend = before - 2.0 * here + after;
    if bend <= 0.0 {
        return None;
    }
    let part = (0.5 * (before - after) / bend).clamp(-1.0, 1.0);
    let shift_s = near_s + FINE_S * (f64::from(least as i32 - REACH) + part);
    let readings = (squares[least].1 * readings_hz.min(1.0 / FINE_S)).max(3.0);
    let curve = 0.5 * bend / (FINE_S * FINE_S);
    let sd_s = libm::sqrt(here / (curve * readings));
    Some((shift_s, libm::hypot(sd_s, LEAST_SD_S)))
}

/// Mean square of the difference over what is in both, and how many seconds that is.
fn mean_square([a, b]: &[Grid; 2], shift_s: f64) -> Option<(f64, f64)> {
    let (mut n, mut sum) = (0_usize, 0.0);
    for (k, v) in a.mps.iter().enumerate() {
        let off = (v - b.at(a.from_s + a.step_s * k as f64 - shift_s)).abs();
        if !off.is_nan() {
            n += 1;
            sum += off.min(MOST_OFF_MPS) * off.min(MOST_OFF_MPS);
        }
    }
    (n > 0).then(|| (sum / n as f64, n as f64 * a.step_s))
}

/// The first log with what only the other has: its channels follow the first one's own, on
/// the first one's clock, and take a role that the first one lacks or only worked out.
pub fn laid_together(mut main: Log, part: &Log, shift_s: f64) -> Log {
    let told = |log: &Log, role: Role| {
        log.channels.iter().any(|channel| channel.role == Some(role) && !channel.derived)
    };
    for channel in &part.channels {
        let Some(role) = channel.role.map(|role| beside(&main, part, role)) else { continue };
        let is_known = main.channel(role).is_some_and(|own| !own.derived || channel.derived);
        if is_known || told(&main, role) {
            continue;
        }
        for own in main.channels.iter_mut().filter(|own| own.role == Some(role)) {
            own.role = None;
        }
        main.channels.push(moved(channel, role, shift_s, main.span_s, &part.name));
    }
    main
}

/// The first log with the next one's readings after its own, channel by channel.
pub fn followed_by(mut main: Log, next: &Log, shift_s: f64) -> Log {
    for own in &mut main.channels {
        let Some(more) = next.channels.iter().find(|channel| channel.name == own.name) else {
            continue;
        };
        let last_s = own.series.time_s.last().copied().unwrap_or(f64::NEG_INFINITY);
        let from = more.series.time_s.partition_point(|t| t + shift_s <= last_s);
        let later = more.series.time_s[from..].iter().map(|t| t + shift_s);
        own.series.time_s = own.series.time_s.iter().copied().chain(later).collect();
        own.series.value.extend_from_slice(&more.series.value[from..]);
    }
    main.span_s = main.span_s.max(shift_s + next.span_s);
    main
}

/// A receiver's speed is called just "speed" where it stands alone; beside a car's own it is
/// the satellites'.
fn beside(main: &Log, part: &Log, role: Role) -> Role {
    let is_receiver = part.channel(Role::Latitude).is_some();
    match role {
        Role::VehicleSpeed if is_receiver && main.channel(Role::VehicleSpeed).is_some() => {
            Role::SatelliteSpeed
        }
        role => role,
    }
}

fn moved(channel: &Channel, role: Role, shift_s: f64, span_s: f64, from: &str) -> Channel {
    let (time_s, value) = channel.series.between(-shift_s, span_s - shift_s);
    let time_s: Vec<f64> = time_s.iter().map(|t| t + shift_s).collect();
    Channel {
        name: format!("{} ({from})", channel.name),
        role: Some(role),
        series: Series { time_s: time_s.into(), value: value.to_vec() },
        ..channel.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::made::{log, sampled};

    /// Town and pulls: never the same twice.
    fn driven_mps(t: f64) -> f64 {
        let pull =
            |at: f64| (5.0 * (t - at)).clamp(0.0, 32.0) - (4.0 * (t - at - 9.0)).clamp(0.0, 32.0);
        let town = 6.0 + 5.0 * libm::sin(t / 7.0) * libm::sin(t / 23.0);
        if t < 60.0 { town * (t / 5.0).min(1.0) } else { pull(70.0) + pull(130.0) + pull(195.0) }
    }

    fn engine(until_s: f64) -> Log {
        let spun = |t: f64| driven_mps(t) + if (130.5..132.0).contains(&t) { 6.0 } else { 0.0 };
        let rounded = |t: f64| (3.6 * 1.012 * spun(t)).round() / 3.6;
        Log {
            span_s: until_s,
            ..log(vec![
                sampled(Role::VehicleSpeed, 10.0, until_s, rounded),
                sampled(Role::EngineSpeed, 10.0, until_s, |t| 900.0 + 100.0 * spun(t)),
            ])
        }
    }

    fn receiver(begun_s: f64, hz: f64, until_s: f64) -> Log {
        let speed = sampled(Role::SatelliteSpeed, hz, until_s, |t| driven_mps(t + begun_s));
        Log { span_s: until_s, name: "receiver.nmea".to_owned(), ..log(vec![speed]) }
    }

    #[test]
    fn a_receiver_that_began_later_is_laid_where_it_belongs() {
        for (begun_s, hz) in [(12.34, 10.0), (-7.5, 5.0), (41.0, 1.0)] {
            let found = align(&engine(260.0), &receiver(begun_s, hz, 200.0)).expect("one drive");
            let off_s = (found.shift_s - begun_s).abs();
            let sd_s = found.sd_s.expect("told by the speeds");
            assert!(off_s < 2.5 * sd_s && off_s < 0.12, "{found:?} for {begun_s}");
            assert_eq!(found.by, By::Speeds);
        }
    }

    #[test]
    fn clocks_that_agree_need_less_and_clocks_apart_part() {
        let mut main = engine(260.0);
        let mut part = receiver(12.0, 10.0, 200.0);
        (main.began_unix_s, part.began_unix_s) = (Some(1.7e9), Some(1.7e9 + 15.0));
        let found = align(&main, &part).expect("one drive");
        assert_eq!(found.by, By::ClocksAndSpeeds);
        assert!((found.shift_s - 12.0).abs() < 0.1, "{found:?}");
        part.began_unix_s = Some(1.7e9 + 4000.0);
        assert_eq!(align(&main, &part), None);
    }

    /// The same pulls, half a minute more between them: another outing.
    #[test]
    fn the_same_road_driven_again_is_another_drive() {
        let again = |t: f64| if t < 100.0 { driven_mps(t) } else { driven_mps(t - 17.0) };
        let speed = sampled(Role::SatelliteSpeed, 10.0, 250.0, again);
        let other = Log { span_s: 250.0, ..log(vec![speed]) };
        assert_eq!(align(&engine(260.0), &other), None);
    }

    #[test]
    fn a_thermometer_without_a_speed_rests_on_the_clocks() {
        let mut main = engine(260.0);
        let mut part = Log {
            span_s: 100.0,
            ..log(vec![sampled(Role::ChargeAir, 1.0, 100.0, |t| 30.0 + t / 10.0)])
        };
        assert_eq!(align(&main, &part), None);
        (main.began_unix_s, part.began_unix_s) = (Some(1.7e9), Some(1.7e9 - 20.0));
        let found = align(&main, &part).expect("both have clocks");
        assert_eq!((found.shift_s, found.by), (-20.0, By::Clocks));
        let whole = laid_together(main, &part, found.shift_s);
        let charge = whole.series(Role::ChargeAir).expect("it came along");
        assert_eq!(charge.time_s.first(), Some(&0.0));
        assert_eq!(charge.value.first(), Some(&32.0));
    }

    #[test]
    fn a_log_that_goes_on_in_the_next_file_is_one() {
        let half = |begun_s: f64, until_s: f64| Log {
            began_unix_s: Some(1.7e9 + begun_s),
            span_s: until_s - 0.1,
            ..log(vec![sampled(Role::VehicleSpeed, 10.0, until_s, |t| driven_mps(t + begun_s))])
        };
        let (first, next) = (half(0.0, 100.0), half(100.0, 160.0));
        let found = follows(&first, &next).expect("it goes on");
        assert_eq!((found.shift_s, found.by), (100.0, By::Follows));
        assert_eq!(follows(&next, &first), None);
        assert_eq!(follows(&first, &half(400.0, 50.0)), None, "five minutes later");
        let whole = followed_by(first, &next, found.shift_s);
        let speed = whole.series(Role::VehicleSpeed).expect("it has one");
        assert_eq!((speed.len(), whole.span_s), (2600, 259.9));
        assert!(speed.time_s.windows(2).all(|pair| pair[1] > pair[0]));
        assert!((speed.at(140.0).expect("within") - driven_mps(140.0)).abs() < 1e-6);
    }

    #[test]
    fn what_the_first_log_has_stays_and_a_receivers_speed_is_the_satellites() {
        let part = Log {
            name: "receiver.csv".to_owned(),
            span_s: 100.0,
            ..log(vec![
                sampled(Role::VehicleSpeed, 5.0, 100.0, driven_mps),
                sampled(Role::Latitude, 5.0, 100.0, |_| 48.0),
                sampled(Role::EngineSpeed, 5.0, 100.0, |_| 1.0),
            ])
        };
        let whole = laid_together(engine(260.0), &part, 3.0);
        let roles: Vec<_> = whole.channels.iter().filter_map(|channel| channel.role).collect();
        assert_eq!(
            roles,
            [Role::VehicleSpeed, Role::EngineSpeed, Role::SatelliteSpeed, Role::Latitude]
        );
        let satellite = whole.channel(Role::SatelliteSpeed).expect("it came along");
        assert_eq!(satellite.name, "vehicle_speed (receiver.csv)");
        assert_eq!(satellite.series.time_s.first(), Some(&3.0));
    }
}
