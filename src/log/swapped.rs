//! Records that stand a few places from where they belong, or anywhere at all.
//!
//! In: seconds per record as written. Out: the records in order of time, or `None` where
//! none is plainly out of place. Plainly means: a short stretch of records, put in order,
//! goes on from the one before to the one behind it in the table's usual steps. Two
//! recordings that overlap, a clock that was set, and one wild time never do. A table sorted
//! by another column is one recording where its times, sorted, are one even count.

/// Records in order, and what moved.
pub struct Order {
    /// For each place the record that belongs there.
    pub order: Vec<usize>,
    /// How many records stood behind a later one, and the first of them.
    pub moved: usize,
    pub first: usize,
}

/// Longest stretch of records that is put in order.
const LONGEST: usize = 64;
/// A stretch up to this long speaks for itself; of longer ones half a table at most.
const SHORT: usize = 4;
/// How far a step may be from the usual one, as a share.
const STEPS: std::ops::RangeInclusive<f64> = 0.6..=1.4;

/// The order, where more than `small_s` is to be gone back in the time as written.
pub fn order(time: &[f64], small_s: f64) -> Option<Order> {
    let mut highest = f64::NEG_INFINITY;
    let goes_back = |&t: &f64| {
        highest = highest.max(t);
        highest - t > small_s
    };
    if !time.iter().any(goes_back) {
        return None;
    }
    let mut sorted = time.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (as_written, in_order) = (usual_step(time)?, usual_step(&sorted)?);
    found_near(time, as_written, in_order)
        .or_else(|| is_one_count(time, &sorted, as_written, in_order).then(|| anywhere(time)))
}

/// The order of stretches that are put right by themselves.
fn found_near(time: &[f64], as_written: f64, in_order: f64) -> Option<Order> {
    let mut found = Order { order: (0..time.len()).collect(), moved: 0, first: usize::MAX };
    let mut in_long = 0;
    for stretch in stretches(time) {
        let (from, to) = (stretch.from, stretch.to);
        let mut sorted: Vec<usize> = (from..to).collect();
        sorted.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
        let is_short = to - from <= SHORT;
        let usual_s = if is_short { in_order } else { as_written };
        if to - from > LONGEST || !stretch.fits(time, &sorted, usual_s) {
            continue;
        }
        in_long += if is_short { 0 } else { to - from };
        found.order[from..to].copy_from_slice(&sorted);
        let mut highest = f64::NEG_INFINITY;
        for (at, &t) in time.iter().enumerate().take(to).skip(from) {
            if t < highest {
                found.moved += 1;
                found.first = found.first.min(at);
            }
            highest = highest.max(t);
        }
    }
    (found.moved > 0 && in_long * 2 <= time.len()).then_some(found)
}

/// Fewest records that show a count, the share of its steps that are the usual one, and the
/// share of steps forward by which a table is in the order it was recorded in.
const FEWEST: usize = 20;
const EVEN: f64 = 0.98;
const RECORDED: f64 = 0.8;
/// A few records may have been missed. A longer hole may be what lies between two
/// recordings, or the hour of a clock that was set back.
const MISSED: f64 = 5.0;

/// Whether the times are an even count without a time twice. Two recordings between whose
/// times those of the other lie would be one as well, in steps of their own: where the
/// table goes on in steps of one length, that has to be the count's.
fn is_one_count(time: &[f64], sorted: &[f64], as_written: f64, in_order: f64) -> bool {
    let count = sorted.iter().take_while(|t| t.is_finite()).count();
    let share = |time: &[f64], usual: f64| {
        let steps = || time.windows(2).map(|pair| pair[1] - pair[0]).filter(|step| *step >= 0.0);
        let usual = steps().filter(|step| STEPS.contains(&(step / usual))).count();
        usual as f64 / steps().count().max(1) as f64
    };
    count >= FEWEST
        && sorted[..count]
            .windows(2)
            .all(|pair| (f64::MIN_POSITIVE..MISSED * in_order).contains(&(pair[1] - pair[0])))
        && share(&sorted[..count], in_order) >= EVEN
        && runs_meet(time, &sorted[..count], in_order)
        && (share(time, as_written) < RECORDED || STEPS.contains(&(as_written / in_order)))
}

/// Whether long stretches in order meet in a usual step where they are put beside one
/// another. A recorder that began anew at zero may have stopped just before the time at
/// which the first stretch begins; a table sorted by another column has no long stretches.
fn runs_meet(time: &[f64], sorted: &[f64], usual: f64) -> bool {
    let meets = |end: f64| {
        let next = sorted.partition_point(|t| *t <= end);
        sorted.get(next).is_none_or(|next| STEPS.contains(&((next - end) / usual)))
    };
    let breaks = time.windows(2).enumerate().filter(|(_, pair)| pair[1] < pair[0]);
    let ends: Vec<usize> = breaks.map(|(at, _)| at + 1).chain([time.len()]).collect();
    let mut from = 0;
    ends.into_iter().all(|to| {
        let is_long = to - std::mem::replace(&mut from, to) >= FEWEST;
        !is_long || meets(time[to - 1])
    })
}

/// All records by their time; those without one last.
fn anywhere(time: &[f64]) -> Order {
    let mut order: Vec<usize> = (0..time.len()).collect();
    order.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
    let mut highest = f64::NEG_INFINITY;
    let is_late = |t: f64| {
        highest = highest.max(t);
        t < highest
    };
    let late: Vec<bool> = time.iter().copied().map(is_late).collect();
    Order {
        order,
        moved: late.iter().filter(|late| **late).count(),
        first: late.iter().position(|late| *late).unwrap_or(0),
    }
}

/// The median of the steps forward; `None` where nothing rises.
pub fn usual_step(time: &[f64]) -> Option<f64> {
    let steps = time.windows(2).map(|pair| pair[1] - pair[0]).filter(|step| *step > 0.0);
    let mut steps: Vec<f64> = steps.collect();
    let middle = steps.len() / 2;
    (!steps.is_empty()).then(|| *steps.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Records from one up to, but not with, another; outside of it the times rise.
struct Stretch {
    from: usize,
    to: usize,
    /// Latest time of all before it, earliest of all behind: infinite where there is none.
    before_s: f64,
    behind_s: f64,
}

/// The shortest stretches of more than one record.
fn stretches(time: &[f64]) -> Vec<Stretch> {
    let mut lowest_behind = vec![f64::INFINITY; time.len() + 1];
    for at in (0..time.len()).rev() {
        lowest_behind[at] = time[at].min(lowest_behind[at + 1]);
    }
    let (mut stretches, mut from) = (Vec::new(), 0);
    let (mut before_s, mut highest) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    for (at, &t) in time.iter().enumerate() {
        highest = highest.max(t);
        let behind_s = lowest_behind[at + 1];
        if highest <= behind_s {
            let stretch = Stretch { from, to: at + 1, before_s, behind_s };
            stretches.extend((at > from).then_some(stretch));
            (from, before_s) = (at + 1, highest);
        }
    }
    stretches
}

impl Stretch {
    /// Whether the records, put in order, go on in usual steps from before to behind.
    fn fits(&self, time: &[f64], sorted: &[usize], usual_s: f64) -> bool {
        let inside = sorted.iter().map(|&at| time[at]);
        let all = [self.before_s].into_iter().chain(inside).chain([self.behind_s]);
        let all: Vec<f64> = all.filter(|t| t.is_finite()).collect();
        all.windows(2).all(|pair| STEPS.contains(&((pair[1] - pair[0]) / usual_s)))
            && sorted.iter().all(|&at| time[at].is_finite())
    }
}
