//! Freshness: which of the values in a table were read anew, and which repeated.
//!
//! In: columns of values with the record each stands in. Out: for every column
//! the readings to keep and one line on why, or nothing when all are fresh. A
//! value is as old as its last update: a fresh engine speed beside a stale road
//! speed looks like wheelspin, so what was repeated must go.
//!
//! Method. A polled signal changes only in records that lie a whole number of
//! polling turns apart, and jumps by several steps of its resolution after
//! standing still. Where turns of equal length are seen, every column's place in
//! the turn is found from its changes, and its readings at that place are kept,
//! also those that happen to equal the one before. Where a signal is held without
//! such a lattice, the first of every run is kept and, in long runs, one more
//! for every usual run length. An honest signal that stands still is left alone.

use std::collections::BTreeMap;

use crate::math::ends::ends;

/// A column of a table: values, and the record of each.
pub struct Held<'a> {
    pub value: &'a [f64],
    /// `None` when value `i` stands in record `i`.
    pub record: Option<&'a [u32]>,
}

/// What becomes of readings that only repeat an old value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repeated {
    LeftOut,
    /// As the file has them.
    Kept,
}

impl Repeated {
    /// One entry a column: `None` when all its values stay.
    pub fn keep(self, columns: &[Held], records: usize) -> Vec<Option<Kept>> {
        match self {
            Repeated::LeftOut => keep(columns, records),
            Repeated::Kept => columns.iter().map(|_| None).collect(),
        }
    }
}

/// What is fresh in one column.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Indices of the fresh values, rising.
    pub index: Vec<usize>,
    pub how: String,
}

/// Fewest changes from which a lattice or a hold is believed.
const FEWEST_CHANGES: usize = 12;
/// Longest turn looked for: 60 signals polled one after another and some.
const LONGEST_TURN: usize = 128;

/// One entry a column: `None` when all its values are fresh.
fn keep(columns: &[Held], records: usize) -> Vec<Option<Kept>> {
    let mut changes: Vec<Changes> =
        columns.iter().map(|column| Changes::where_telling(column, records)).collect();
    let turns: Vec<Option<usize>> = changes.iter().map(Changes::turn).collect();
    let mut kept: Vec<Option<Kept>> = columns.iter().map(|_| None).collect();
    let mut lengths: Vec<usize> = turns.iter().flatten().copied().collect();
    lengths
        .sort_by_key(|length| (turns.iter().flatten().filter(|t| *t == length).count(), *length));
    lengths.dedup();
    if !lengths.is_empty() {
        // Another column's turn may be a lively one's too.
        for (column, changes) in columns.iter().zip(&mut changes).filter(|(_, c)| c.lively) {
            *changes = Changes { lively: true, ..Changes::of(column, records) };
        }
    }
    for &turn in lengths.iter().rev() {
        let lattice = Lattice::of(turn, &turns, &changes, records);
        for (column, slot) in kept.iter_mut().enumerate().filter(|(_, slot)| slot.is_none()) {
            let own = turns[column].is_none_or(|own| own == turn);
            if own && let Some(place) = lattice.places[column] {
                *slot = Some(lattice.keep(&columns[column], &changes[column], place));
            }
        }
    }
    for ((column, changes), slot) in columns.iter().zip(&changes).zip(&mut kept) {
        if slot.is_none() {
            let run = changes.hold().filter(|_| !changes.is_of_a_switch(column.value));
            *slot = run.map(|run| keep_runs(column, run));
        }
    }
    kept
}

impl Held<'_> {
    fn record_of(&self, index: usize) -> usize {
        self.record.map_or(index, |records| records[index] as usize)
    }
}

/// Where and how far a column changes.
struct Changes {
    /// Records of the changes, the first reading included when it comes late.
    at: Vec<usize>,
    /// Size of each change; NaN for the first reading.
    size: Vec<f64>,
    /// Smallest change: the step the values move in.
    step: f64,
    /// Blank cells between the readings: what is written is fresh.
    sparse: bool,
    /// Changes from record to record, more often than any signal that is held or polled
    /// in turn does: it is neither, and its changes are gathered only when asked for.
    lively: bool,
}

impl Changes {
    /// The changes of a column, left out where nothing can follow from them: a long log
    /// has many, and they would take more room than its readings.
    #[inline(never)]
    fn where_telling(column: &Held, records: usize) -> Self {
        let start = if column.value.is_empty() { 0 } else { column.record_of(0) };
        if column.value.len() * 2 < records.saturating_sub(start) {
            return Changes { sparse: true, ..Changes::none() };
        }
        let (mut changes, mut single) = (0usize, 0usize);
        // Where the change before was; none is followed by the first.
        let mut before = usize::MAX - 1;
        for (index, pair) in column.value.array_windows::<2>().enumerate() {
            let at = column.record_of(index + 1);
            let changed = pair[0] != pair[1];
            changes += usize::from(changed);
            single += usize::from(changed && at == before + 1);
            before = if changed { at } else { before };
        }
        let gaps = changes.saturating_sub(1);
        // A turn bears one such gap in 20, a hold one in 5, see below.
        if single * 4 > gaps && gaps >= FEWEST_CHANGES {
            return Changes { lively: true, ..Changes::none() };
        }
        Self::of(column, records)
    }

    fn none() -> Self {
        Changes { at: Vec::new(), size: Vec::new(), step: f64::MAX, sparse: false, lively: false }
    }

    fn of(column: &Held, records: usize) -> Self {
        let mut changes = Self::none();
        let Some(&first) = column.value.first() else { return changes };
        let start = column.record_of(0);
        changes.sparse = column.value.len() * 2 < records.saturating_sub(start);
        if start > 0 {
            changes.at.push(start);
            changes.size.push(f64::NAN);
        }
        let mut before = first;
        for (index, &value) in column.value.iter().enumerate().skip(1) {
            if value != before {
                let size = (value - before).abs();
                changes.at.push(column.record_of(index));
                changes.size.push(size);
                // Below this the difference is rounding of a computed value.
                if size > 1e-9 * value.abs().max(before.abs()) {
                    changes.step = changes.step.min(size);
                }
                before = value;
            }
        }
        changes
    }

    fn gaps(&self) -> impl Iterator<Item = usize> {
        self.at.windows(2).map(|pair| pair[1] - pair[0])
    }

    /// Share of changes by more than one step: a fresh signal seldom leaps after a rest.
    fn leaps(&self, after_rest: bool) -> f64 {
        let gaps = std::iter::once(usize::MAX).chain(self.gaps());
        let (mut all, mut leaps) = (0usize, 0usize);
        for (size, gap) in self.size.iter().zip(gaps) {
            if size.is_finite() && (!after_rest || gap > 1) {
                all += 1;
                leaps += usize::from(*size > 1.5 * self.step);
            }
        }
        if all == 0 { 0.0 } else { leaps as f64 / all as f64 }
    }

    /// The length of the polling turn that this column's own changes show.
    fn turn(&self) -> Option<usize> {
        let count = self.at.len().saturating_sub(1);
        if self.sparse || self.lively || count < FEWEST_CHANGES || self.leaps(false) < 0.2 {
            return None;
        }
        // Few gaps differ, and each is counted once: a long log must not pay for every turn.
        let mut gaps: BTreeMap<usize, usize> = BTreeMap::new();
        self.gaps().for_each(|gap| *gaps.entry(gap).or_default() += 1);
        (2..=LONGEST_TURN).rev().find(|turn| {
            let whole: usize =
                gaps.iter().filter(|(gap, _)| *gap % turn == 0).map(|(_, count)| count).sum();
            let single = gaps.get(turn).copied().unwrap_or(0);
            whole * 20 >= count * 19 && single >= 3
        })
    }

    /// Whether most changes go through half of all that the column reads, as those of a
    /// foot that is on the floor or off: how long it stays there is no age of a reading.
    fn is_of_a_switch(&self, values: &[f64]) -> bool {
        let Some((low, high)) = ends(values) else { return false };
        let sizes = || self.size.iter().filter(|size| size.is_finite());
        let through = sizes().filter(|size| **size >= 0.5 * (high - low)).count();
        through * 2 > sizes().count()
    }

    /// The usual run length of a signal that is held without a lattice.
    fn hold(&self) -> Option<usize> {
        let mut runs: Vec<usize> = self.gaps().collect();
        let rests = runs.iter().filter(|run| **run > 1).count();
        if self.sparse
            || self.lively
            || runs.len() < FEWEST_CHANGES
            || rests * 5 < runs.len() * 4
            || self.leaps(true) < 0.5
        {
            return None;
        }
        runs.sort_unstable();
        runs.get(runs.len() / 4).copied().filter(|run| *run > 1)
    }
}

/// A polling turn and every column's place in it.
struct Lattice {
    turn: usize,
    places: Vec<Option<usize>>,
    /// Stretches of records over which the turn runs on without a slip.
    stretches: Vec<Stretch>,
}

struct Stretch {
    from: usize,
    to: usize,
    /// Record number modulo the turn at which place 0 is read.
    phase: usize,
}

impl Lattice {
    fn of(turn: usize, turns: &[Option<usize>], changes: &[Changes], records: usize) -> Self {
        let leader = (0..turns.len())
            .filter(|&column| turns[column] == Some(turn))
            .max_by_key(|&column| changes[column].at.len());
        let Some(leader) = leader else {
            return Lattice { turn, places: vec![None; turns.len()], stretches: Vec::new() };
        };
        let places: Vec<Option<usize>> = changes
            .iter()
            .map(|column| place(&column.at, &changes[leader].at, turn, column.sparse))
            .collect();
        let mut anchors: Vec<(usize, usize)> = Vec::new();
        for (column, place) in changes.iter().zip(&places) {
            let Some(place) = place else { continue };
            anchors
                .extend(column.at.iter().map(|&record| (record, (record + turn - place) % turn)));
        }
        anchors.sort_unstable();
        Lattice { turn, places, stretches: stretches(&anchors, records) }
    }

    fn keep(&self, column: &Held, changes: &Changes, place: usize) -> Kept {
        let mut keep = changes.at.clone();
        for stretch in &self.stretches {
            let wanted = (stretch.phase + place) % self.turn;
            let first = stretch.from + (wanted + self.turn - stretch.from % self.turn) % self.turn;
            keep.extend((first..=stretch.to).step_by(self.turn));
        }
        keep.sort_unstable();
        keep.dedup();
        let mut records = keep.iter().peekable();
        let mut index = Vec::with_capacity(keep.len());
        for at in 0..column.value.len() {
            let record = column.record_of(at);
            while records.next_if(|&&kept| kept < record).is_some() {}
            if records.next_if(|&&kept| kept == record).is_some() {
                index.push(at);
            }
        }
        let how = format!(
            "polled in turn, read anew in every {} record and repeated between; repeats left out",
            ordinal(self.turn)
        );
        Kept { index, how }
    }
}

/// A column's place in the turn, counted from the leader's.
fn place(own: &[usize], leader: &[usize], turn: usize, sparse: bool) -> Option<usize> {
    if sparse || own.is_empty() {
        return None;
    }
    let mut votes = vec![0usize; turn];
    for &record in own {
        let next = leader.partition_point(|&other| other <= record);
        let near = [next.checked_sub(1), Some(next)];
        let near = near
            .into_iter()
            .flatten()
            .filter_map(|at| leader.get(at))
            .min_by_key(|&&other| other.abs_diff(record));
        if let Some(&near) = near {
            votes[(record + turn * (near / turn + 1) - near) % turn] += 1;
        }
    }
    let (place, &most) = votes.iter().enumerate().max_by_key(|(_, count)| **count)?;
    (most * 5 >= own.len() * 4).then_some(place)
}

/// Between neighbours that agree on the phase the turn ran on undisturbed.
fn stretches(anchors: &[(usize, usize)], records: usize) -> Vec<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for &(record, phase) in anchors {
        match stretches.last_mut() {
            Some(last) if last.phase == phase => last.to = record,
            Some(_) => stretches.push(Stretch { from: record, to: record, phase }),
            None => stretches.push(Stretch { from: 0, to: record, phase }),
        }
    }
    if let Some(last) = stretches.last_mut() {
        last.to = records.saturating_sub(1);
    }
    stretches
}

/// The first of every run, and one for every usual run length in a longer one.
fn keep_runs(column: &Held, run: usize) -> Kept {
    let mut index = Vec::new();
    let mut since = 0;
    for at in 0..column.value.len() {
        let changed = at == 0 || column.value[at] != column.value[at - 1];
        if changed || column.record_of(at) - since >= run {
            index.push(at);
            since = column.record_of(at);
        }
    }
    let how = format!("held for {run} records or more between updates; repeats left out");
    Kept { index, how }
}

fn ordinal(number: usize) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keep_all(columns: &[Vec<f64>]) -> Vec<Option<Kept>> {
        let held: Vec<Held> = columns.iter().map(|value| Held { value, record: None }).collect();
        keep(&held, columns[0].len())
    }

    /// A reading that never repeats and never rests.
    fn lively(k: usize) -> f64 {
        800.0 + ((k * k * 31 + k * 17) % 1009) as f64
    }

    #[test]
    fn round_robin_keeps_each_signal_where_it_is_polled() {
        let records = 400;
        let polled = |place: usize, value: &dyn Fn(usize) -> f64| -> Vec<f64> {
            (0..records).map(|r| value((r + 4 - place) / 4)).collect()
        };
        let columns = [
            polled(0, &lively),
            polled(1, &|k| lively(k + 3)),
            // Stands at zero for half of the time: its zeros are readings too.
            polled(2, &|k| if k < 50 { 0.0 } else { (k - 50) as f64 * 3.0 }),
            polled(3, &|k| lively(k * 2)),
        ];
        let kept = keep_all(&columns);
        for (place, kept) in kept.iter().enumerate() {
            let index = &kept.as_ref().unwrap().index;
            assert!(index.iter().all(|at| at % 4 == place), "{place}: {:?}", &index[..4]);
            assert!(index.len() >= 99, "{place}: {}", index.len());
        }
    }

    #[test]
    fn an_honest_signal_at_rest_is_left_alone() {
        // 10 Hz, whole km/h: rests, then pulls away at 3 m/s², about one step a record.
        let speed: Vec<f64> = (0..300)
            .map(|k| if k < 150 { 0.0 } else { (f64::from(k - 150) * 1.08).floor() })
            .collect();
        // The same, pulling away slowly: a step every ten records.
        let slow: Vec<f64> = (0..300).map(|k| f64::from(k / 10)).collect();
        let rpm: Vec<f64> = (0..300).map(lively).collect();
        assert_eq!(keep_all(&[speed, slow, rpm]), [None, None, None]);
    }

    #[test]
    fn a_slip_in_the_turn_keeps_only_what_is_certain() {
        // One poll is skipped at record 200: the turn runs on one record later.
        let at = |r: usize| if r < 200 { r } else { r - 1 };
        let a: Vec<f64> = (0..400).map(|r| lively(at(r) / 3)).collect();
        let b: Vec<f64> = (0..400).map(|r| lively(at(r).div_ceil(3) + 40)).collect();
        let kept = keep_all(&[a.clone(), b]);
        let index = &kept[0].as_ref().unwrap().index;
        for pair in index.windows(2) {
            assert!(a[pair[0]] != a[pair[1]], "a repeat was kept at {pair:?}");
        }
        assert!(index.len() > 130);
    }

    #[test]
    fn a_held_signal_without_a_lattice_keeps_run_starts() {
        // Refreshed every 7.6 records, so runs are 7 or 8 long.
        let column: Vec<f64> = (0..800).map(|r| lively((f64::from(r) / 7.6) as usize)).collect();
        let kept = keep_all(&[column]);
        let kept = kept[0].as_ref().unwrap();
        assert!((100..=212).contains(&kept.index.len()), "{}", kept.index.len());
    }

    #[test]
    fn a_foot_on_the_floor_or_off_is_read_in_every_record() {
        // Idle, floor, overrun: five pulls, each level for seconds.
        let level = |r: usize| match r % 420 {
            0..130 => 98.5,
            130..340 => 2.0,
            _ => 0.8,
        };
        let column: Vec<f64> = (0..2100).map(level).collect();
        assert_eq!(keep_all(&[column]), [None]);
    }
}
