//! The heat study: drawn test days through the whole program, each against its truth.
//!
//! In: seeds. Out: a [`Tried`] a day, and of many the table. Nothing is told to the program
//! that a reader's files would not tell it: two logs and a day file.

use std::fmt::Write;

use pullmark::sheet::{ComparisonRow, HeatRow, PullRow, RecoveryRow};
use pullmark::work::Work;

use crate::simulation::varied_heat::{self, FILES, Gauge, HeatDay, Pulled, SPEEDS_MPS};

/// What a value belongs to, in the table's order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    Start,
    End,
    Rise,
    AtMark,
    Tau,
    RiseDifference,
    StartDifference,
    AtMarkDifference,
}

pub const ALL: [(What, &str); 8] = [
    (What::Start, "start of a pull, K"),
    (What::End, "end of a pull, K"),
    (What::Rise, "rise of a pull, K"),
    (What::AtMark, "charge air at a mark, K"),
    (What::Tau, "time constant of a recovery, s"),
    (What::RiseDifference, "rise, build against build, K"),
    (What::StartDifference, "start, build against build, K"),
    (What::AtMarkDifference, "at a mark, build against build, K"),
];

/// A value with its interval and its truth.
#[derive(Debug, Clone, Copy)]
pub struct Value {
    pub what: What,
    pub found: f64,
    pub low: f64,
    pub high: f64,
    pub truth: f64,
}

impl Value {
    pub fn covered(&self) -> bool {
        (self.low..=self.high).contains(&self.truth)
    }

    pub fn off(&self) -> f64 {
        (self.found - self.truth).abs()
    }

    fn within(what: What, found: f64, half: f64, truth: f64) -> Self {
        Self { what, found, low: found - half, high: found + half, truth }
    }
}

/// One day and what was found of it.
#[derive(Debug, Clone)]
pub struct Tried {
    pub seed: u64,
    pub gauge: Gauge,
    pub changed: bool,
    pub pulls: usize,
    pub missed: usize,
    /// Recoveries of the pulls found, and how many of them told a time constant.
    pub recoveries: usize,
    pub told: usize,
    pub values: Vec<Value>,
    /// Comparisons by quantity, and whether they were called real.
    pub called: Vec<(What, bool)>,
}

/// Runs the seeds, on as many threads as there are.
pub fn run(seeds: std::ops::Range<u64>) -> Vec<Tried> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    let of_share = |share: u64| seeds.clone().filter(move |seed| seed % threads == share);
    let mut tried: Vec<Tried> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads)
            .map(|share| {
                let seeds = of_share(share);
                scope.spawn(move || seeds.map(one).collect::<Vec<Tried>>())
            })
            .collect();
        workers.into_iter().flat_map(|worker| worker.join().expect("a worker ends")).collect()
    });
    tried.sort_by_key(|day| day.seed);
    tried
}

/// One day.
pub fn one(seed: u64) -> Tried {
    let day = varied_heat::day(seed);
    let mut work = Work::new();
    work.open("day.json", day.day.as_bytes()).expect("a drawn day opens");
    for (file, log) in FILES.iter().zip(&day.logs) {
        work.open(file, log.as_bytes()).expect("a drawn log opens");
    }
    let sheet = work.sheet();
    let mut tried = Tried {
        seed,
        gauge: day.gauge,
        changed: day.changed,
        pulls: 0,
        missed: 0,
        recoveries: 0,
        told: 0,
        values: Vec::new(),
        called: Vec::new(),
    };
    for build in 0..2 {
        for truth in &day.pulls[build] {
            tried.pulls += 1;
            let own = |pull: &&PullRow| {
                pull.build == Some(build) && (pull.start_s - truth.start_s).abs() < 1.5
            };
            match sheet.pulls.iter().find(own).and_then(|pull| pull.heat.as_ref()) {
                Some(heat) => tried.pull(&day, build, heat, truth),
                None => tried.missed += 1,
            }
        }
    }
    sheet.comparisons.iter().for_each(|row| tried.comparison(&day, row));
    tried
}

impl Tried {
    fn pull(&mut self, day: &HeatDay, build: usize, heat: &HeatRow, truth: &Pulled) {
        let rise_k = truth.end_c - truth.start_c;
        self.values.extend([
            Value::within(What::Start, heat.start_c, heat.start_plus_minus_c, truth.start_c),
            Value::within(What::End, heat.end_c, heat.end_plus_minus_c, truth.end_c),
            Value::within(What::Rise, heat.rise_c, heat.rise_plus_minus_c, rise_k),
        ]);
        for at in &heat.at {
            let Some(true_c) = at_speed(at.speed_mps, &truth.at_c) else { continue };
            self.values.push(Value::within(What::AtMark, at.charge_c, at.plus_minus_c, true_c));
        }
        let Some(recovery) = &heat.recovery else { return };
        self.recoveries += 1;
        self.values.extend(tau(day, build, recovery));
        self.told += usize::from(recovery.tau_s.is_some());
    }

    fn comparison(&mut self, day: &HeatDay, row: &ComparisonRow) {
        let [a, b] = &day.means;
        let (what, truth) = match row.quantity.as_str() {
            "charge_rise" => (What::RiseDifference, Some(b.rise_c - a.rise_c)),
            "charge_start" => (What::StartDifference, Some(b.start_c - a.start_c)),
            "charge_at_mark" => {
                let at = |of| row.mark_speed_mps.and_then(|mps| at_speed(mps, of));
                (What::AtMarkDifference, at(&b.at_c).zip(at(&a.at_c)).map(|(b, a)| b - a))
            }
            _ => return,
        };
        self.called.push((what, row.verdict == "real"));
        if let (Some(found), Some(low), Some(high), Some(truth)) =
            (row.difference, row.low, row.high, truth)
        {
            self.values.push(Value { what, found, low, high, truth });
        }
    }
}

fn at_speed(speed_mps: f64, of: &[Option<f64>]) -> Option<f64> {
    let place = SPEEDS_MPS.iter().position(|mps| (mps - speed_mps).abs() < 0.01)?;
    of[place]
}

fn tau(day: &HeatDay, build: usize, recovery: &RecoveryRow) -> Option<Value> {
    Some(Value {
        what: What::Tau,
        found: recovery.tau_s?,
        low: recovery.tau_low_s.unwrap_or(0.0),
        high: recovery.tau_high_s.unwrap_or(f64::INFINITY),
        truth: day.tau_s(build, recovery.from_s, recovery.to_s)?,
    })
}

/// Share of the comparisons called real, of days with or without a change.
pub fn called_real(tried: &[Tried], what: What, changed: bool) -> (usize, usize) {
    let days = tried.iter().filter(|day| day.changed == changed);
    let calls: Vec<bool> =
        days.flat_map(|day| &day.called).filter(|call| call.0 == what).map(|call| call.1).collect();
    (calls.iter().filter(|real| **real).count(), calls.len())
}

/// How many of these values there are, and the share their intervals cover.
pub fn coverage(tried: &[Tried], what: What) -> (usize, f64) {
    let own: Vec<&Value> = of(tried, what);
    let covered = own.iter().filter(|value| value.covered()).count();
    (own.len(), covered as f64 / own.len().max(1) as f64)
}

fn of(tried: &[Tried], what: What) -> Vec<&Value> {
    tried.iter().flat_map(|day| &day.values).filter(|value| value.what == what).collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

pub fn table(tried: &[Tried]) -> String {
    let mut text = "| | values | 95 % interval covers | median error | median half width |\n\
                    | --- | --- | --- | --- | --- |\n"
        .to_owned();
    for (what, name) in ALL {
        let own = of(tried, what);
        let (count, share) = coverage(tried, what);
        let off = median(own.iter().map(|value| value.off()).collect());
        let half = median(own.iter().map(|value| 0.5 * (value.high - value.low)).collect());
        let _ =
            writeln!(text, "| {name} | {count} | {:.0} % | {off:.2} | {half:.2} |", 100.0 * share);
    }
    let _ = writeln!(text);
    for (what, name) in &ALL[5..] {
        let (false_real, same) = called_real(tried, *what, false);
        let (real, other) = called_real(tried, *what, true);
        let _ = writeln!(
            text,
            "- {name}: called real in {false_real} of {same} where nothing was changed, in {real} \
             of {other} where the cooler takes 10 °F off the third pull's rise."
        );
    }
    let sum = |of: fn(&Tried) -> usize| tried.iter().map(of).sum::<usize>();
    let _ = writeln!(
        text,
        "- {} days, {} pulls, {} not found. {} of {} recoveries tell a time constant.",
        tried.len(),
        sum(|day| day.pulls),
        sum(|day| day.missed),
        sum(|day| day.told),
        sum(|day| day.recoveries)
    );
    text
}

/// One day in some lines, for a closer look.
pub fn day(tried: &Tried) -> String {
    let mut text = format!("seed {} changed {} {:?}\n", tried.seed, tried.changed, tried.gauge);
    for value in &tried.values {
        let _ = writeln!(
            text,
            "  {} {:?}: {:.2} ({:.2} to {:.2}), true {:.2}",
            if value.covered() { "   " } else { "OUT" },
            value.what,
            value.found,
            value.low,
            value.high,
            value.truth
        );
    }
    text
}
