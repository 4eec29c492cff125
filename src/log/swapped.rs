//! Records that stand a few places from where they belong.
//!
//! In: seconds per record as written. Out: the records in order of time, or `None` where
//! none is plainly out of place. Plainly means: a short stretch of records, put in order,
//! goes on from the one before to the one behind it in the table's usual steps. Two
//! recordings that overlap, a clock that was set, and one wild time never do.

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
/// How far a step may be from the usual one, as a share.
const STEPS: std::ops::RangeInclusive<f64> = 0.5..=1.5;

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
    let usual_s = usual_step(time)?;
    let mut found = Order { order: (0..time.len()).collect(), moved: 0, first: usize::MAX };
    let mut in_stretches = 0;
    for (from, to) in stretches(time) {
        let mut sorted: Vec<usize> = (from..to).collect();
        sorted.sort_by(|&a, &b| time[a].total_cmp(&time[b]));
        if to - from > LONGEST || !fits(time, &sorted, from, to, usual_s) {
            continue;
        }
        found.order[from..to].copy_from_slice(&sorted);
        in_stretches += to - from;
        let mut highest = f64::NEG_INFINITY;
        for (at, &t) in time.iter().enumerate().take(to).skip(from) {
            if t < highest {
                found.moved += 1;
                found.first = found.first.min(at);
            }
            highest = highest.max(t);
        }
    }
    (found.moved > 0 && in_stretches * 2 <= time.len()).then_some(found)
}

fn usual_step(time: &[f64]) -> Option<f64> {
    let steps = time.windows(2).map(|pair| pair[1] - pair[0]).filter(|step| *step > 0.0);
    let mut steps: Vec<f64> = steps.collect();
    let middle = steps.len() / 2;
    (!steps.is_empty()).then(|| *steps.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Shortest stretches outside of which the times rise: from, and up to but not with.
fn stretches(time: &[f64]) -> Vec<(usize, usize)> {
    let mut lowest_behind = vec![f64::INFINITY; time.len() + 1];
    for at in (0..time.len()).rev() {
        lowest_behind[at] = time[at].min(lowest_behind[at + 1]);
    }
    let (mut stretches, mut from, mut highest) = (Vec::new(), 0, f64::NEG_INFINITY);
    for (at, &t) in time.iter().enumerate() {
        highest = highest.max(t);
        if highest <= lowest_behind[at + 1] {
            stretches.extend((at > from).then_some((from, at + 1)));
            from = at + 1;
        }
    }
    stretches
}

/// Whether the records, put in order, go on in usual steps from before to behind.
fn fits(time: &[f64], sorted: &[usize], from: usize, to: usize, usual_s: f64) -> bool {
    let before = from.checked_sub(1);
    let behind = (to < time.len()).then_some(to);
    let places: Vec<usize> =
        before.into_iter().chain(sorted.iter().copied()).chain(behind).collect();
    places.windows(2).all(|pair| STEPS.contains(&((time[pair[1]] - time[pair[0]]) / usual_s)))
}
