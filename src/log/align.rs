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
/// Of a clock that counts on: steps that the pause between two files may be longer or
/// shorter by.
const COUNTS_ON_STEPS: f64 = 3.0;
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
    let same = first.header_key == next.header_key;
    goes_on(first, next).filter(|_| same)
}

/// The same, whatever names the second file has for its columns. Where clocks tell no date,
/// it has to count on from the very record at which the first one ended: two drives each
/// count from their own beginning.
pub fn goes_on(first: &Log, next: &Log) -> Option<Alignment> {
    let dated_s = || Some((next.began_unix_s? - first.began_unix_s?, FOLLOWS_SD_S));
    let counted_s = || {
        let shift_s = next.clock_began_s? - first.clock_began_s?;
        let step_s = first.span_s / first.rows.saturating_sub(1).max(1) as f64;
        let gap_s = shift_s - first.span_s;
        let counts_on = (step_s / COUNTS_ON_STEPS..=step_s * COUNTS_ON_STEPS).contains(&gap_s);
        (counts_on || repeats_end(first, next, shift_s)).then_some((shift_s, step_s))
    };
    let (shift_s, sd_s) = match first.began_unix_s.or(next.began_unix_s) {
        Some(_) => dated_s()?,
        None => counted_s()?,
    };
    let gap_s = shift_s - first.span_s;
    // An overlap of a clock without a date was held against the readings.
    let early_s = if first.began_unix_s.is_some() { FOLLOWS_EARLY_S } else { FOLLOWS_LATE_S };
    let soon = (-early_s..=FOLLOWS_LATE_S).contains(&gap_s) && shift_s > 0.0;
    let alignment = Alignment { shift_s, sd_s: Some(sd_s), agreement: None, by: By::Follows };
    (first.form == next.form && soon).then_some(alignment)
}

/// Whether the second file begins with the very readings with which the first one ends, as
/// files are cut that overlap by some records.
fn repeats_end(first: &Log, next: &Log, shift_s: f64) -> bool {
    const SAME_S: f64 = 1e-6;
    let from_end_s = first.span_s - shift_s;
    if !(0.0..=FOLLOWS_LATE_S).contains(&from_end_s) || shift_s <= 0.0 {
        return false;
    }
    let own: Vec<&Channel> = first.channels.iter().filter(|channel| !channel.derived).collect();
    let more: Vec<&Channel> = next.channels.iter().filter(|channel| !channel.derived).collect();
    let same = |(own, more): (&&Channel, &&Channel)| {
        let (time_s, value) = own.series.between(shift_s - SAME_S, first.span_s + SAME_S);
        let written =
            |channel: &Channel, value: f64| channel.unit.map_or(value, |unit| unit.written(value));
        let ends = time_s.iter().zip(value).map(|(t, v)| (t - shift_s, written(own, *v)));
        let begins = more.series.time_s.iter().zip(&more.series.value);
        let begins = begins.map(|(t, v)| (*t, written(more, *v)));
        let alike = |((a_s, a), (b_s, b)): ((f64, f64), (f64, f64))| {
            (a_s - b_s).abs() < SAME_S && (a - b).abs() <= 1e-9 * a.abs().max(1.0)
        };
        value.len() > 1 && more.series.len() >= value.len() && ends.zip(begins).all(alike)
    };
    own.len() == more.len() && !own.is_empty() && own.iter().zip(&more).all(same)
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
mod tests;
