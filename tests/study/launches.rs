//! The launch study: drawn launches through the whole program, each against its truth.
//!
//! In: seeds. Out: a [`Tried`] a launch. Nothing is told to the program that a reader's file
//! would not tell it: it gets the text of a log, and now and then a day file with the car.

use pullmark::sheet::{MarkRow, PullRow};
use pullmark::work::Work;

use crate::simulation::truth::PullTruth;
use crate::simulation::varied::{self, Case};

/// What stands may be off by no more than this to be right, as the limits have it: their
/// 0.075 s or 2 %, and twice that before a time is called wrong.
const LIMIT_S: f64 = 0.075;
const LIMIT_SHARE: f64 = 0.02;
/// Marks up to a 0-60 mph; longer ones have the share.
const SHORT: [&str; 5] = ["60ft", "330ft", "0-30mph", "0-60mph", "0-100kmh"];
/// Slips shorter than this come and go between two readings.
const SPIN_S: f64 = 0.4;
/// A tyre that slips less than this turns with the road.
const NO_SPIN: f64 = 0.08;

/// The best that a log has to tell the ground by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    GroundAndAccelerometer,
    Ground,
    Accelerometer,
    LoggedFree,
    LoggedDriven,
    TooSlow,
}

/// One launch and what was found of it.
#[derive(Debug, Clone)]
pub struct Tried {
    pub seed: u64,
    pub number: usize,
    pub class: Class,
    /// Rate of the quickest witness of the ground.
    pub best_hz: f64,
    pub slope: f64,
    /// `None` when the pull was not found.
    pub verdict: Option<String>,
    pub reasons: Vec<String>,
    pub start_off_s: Option<f64>,
    pub marks: Vec<Mark>,
    /// The logged speed is a driven wheel's.
    pub driven: bool,
    /// True tyre slips of some length, and how many of them were found.
    pub spins: usize,
    pub spins_found: usize,
    /// Stretches called tyre spin in which no tyre spun.
    pub spins_false: usize,
}

#[derive(Debug, Clone)]
pub struct Mark {
    pub name: &'static str,
    pub true_s: f64,
    pub found: Option<Found>,
}

#[derive(Debug, Clone)]
pub struct Found {
    pub time_s: f64,
    pub half_s: f64,
    pub logged_s: Option<f64>,
    pub stands: bool,
    pub void: bool,
}

impl Mark {
    pub fn off_s(&self) -> Option<f64> {
        self.found.as_ref().map(|found| found.time_s - self.true_s)
    }

    pub fn limit_s(&self) -> f64 {
        if SHORT.contains(&self.name) { LIMIT_S } else { LIMIT_S.max(LIMIT_SHARE * self.true_s) }
    }

    pub fn covered(&self) -> Option<bool> {
        self.found.as_ref().map(|found| (found.time_s - self.true_s).abs() <= found.half_s)
    }

    /// Stands, and is off by more than the limit of doubt.
    pub fn stands_wrong(&self) -> bool {
        let off_s = self.off_s().unwrap_or(0.0).abs();
        self.found.as_ref().is_some_and(|found| found.stands) && off_s > 2.0 * self.limit_s()
    }
}

impl Tried {
    pub fn mark(&self, name: &str) -> Option<&Mark> {
        self.marks.iter().find(|mark| mark.name == name)
    }
}

/// Runs the seeds, on as many threads as there are.
pub fn run(seeds: std::ops::Range<u64>) -> Vec<Tried> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    let shares: Vec<Vec<u64>> = (0..threads)
        .map(|share| seeds.clone().filter(|seed| seed % threads == share).collect())
        .collect();
    let mut tried: Vec<Tried> = std::thread::scope(|scope| {
        let workers: Vec<_> = shares
            .into_iter()
            .map(|share| {
                scope.spawn(move || share.into_iter().flat_map(one).collect::<Vec<Tried>>())
            })
            .collect();
        workers.into_iter().flat_map(|worker| worker.join().expect("a worker ends")).collect()
    });
    tried.sort_by_key(|launch| (launch.seed, launch.number));
    tried
}

/// Every launch of one seed.
pub fn one(seed: u64) -> Vec<Tried> {
    let case = varied::launch(seed);
    let mut work = Work::new();
    work.open("drawn.csv", case.log.as_bytes()).expect("a drawn log opens");
    if let Some(day) = &case.day {
        work.open("day.json", day.as_bytes()).expect("a drawn day opens");
    }
    let pulls = work.sheet().pulls;
    case.pulls.iter().enumerate().map(|(at, truth)| tried(&case, at, truth, &pulls)).collect()
}

fn tried(case: &Case, at: usize, truth: &PullTruth, pulls: &[PullRow]) -> Tried {
    let found = pulls.iter().find(|pull| (pull.start_s - truth.start_s).abs() < 1.2);
    let spins: Vec<(f64, f64)> = found
        .iter()
        .flat_map(|pull| &pull.spin)
        .filter(|spin| spin.kind == "tyre")
        .map(|spin| (spin.from_s, spin.to_s))
        .collect();
    let truly: Vec<(f64, f64)> = truth
        .slip
        .iter()
        .filter(|slip| slip.kind == "tyre" && slip.to_s - slip.from_s >= SPIN_S)
        .map(|slip| (slip.from_s, slip.to_s))
        .collect();
    // A channel may be late by a quarter of a second, and a stretch ends between readings.
    let meets = |a: &(f64, f64), b: &(f64, f64)| a.0 < b.1 + 0.3 && b.0 < a.1 + 0.3;
    let is_false = |s: &&(f64, f64)| case.slip_between(s.0 - 0.5, s.1 + 0.2) < NO_SPIN;
    Tried {
        seed: case.seed,
        number: at + 1,
        class: class(case),
        best_hz: best_hz(case),
        slope: case.slope,
        driven: case.logger.driven,
        verdict: found.map(|pull| pull.verdict.clone()),
        reasons: found
            .iter()
            .flat_map(|pull| &pull.reasons)
            .map(|reason| reason.code.clone())
            .collect(),
        start_off_s: found.map(|pull| pull.start_s - truth.start_s),
        marks: truth
            .marks
            .iter()
            .map(|(&name, &true_s)| Mark {
                name,
                true_s,
                found: found
                    .and_then(|pull| pull.marks.iter().find(|mark| mark.mark == name))
                    .and_then(of_row),
            })
            .collect(),
        spins: truly.len(),
        spins_found: truly.iter().filter(|t| spins.iter().any(|s| meets(s, t))).count(),
        spins_false: spins.iter().filter(is_false).count(),
    }
}

fn of_row(row: &MarkRow) -> Option<Found> {
    Some(Found {
        time_s: row.time_s?,
        half_s: row.plus_minus_s?,
        logged_s: row.logged_time_s,
        stands: row.verdict == "stands",
        void: row.verdict == "void",
    })
}

/// A ground speed tells anything from 5 Hz on, an accelerometer from 10 Hz on.
fn class(case: &Case) -> Class {
    let logger = &case.logger;
    if logger.in_turn {
        return Class::TooSlow;
    }
    let ground = logger.satellite_hz.into_iter().chain(logger.free_wheel_hz).any(|hz| hz >= 5.0);
    let accelerometer = logger.accelerometer_hz.is_some_and(|hz| hz >= 10.0);
    match (ground, accelerometer) {
        (true, true) => Class::GroundAndAccelerometer,
        (true, false) => Class::Ground,
        (false, true) => Class::Accelerometer,
        (false, false) if logger.driven => Class::LoggedDriven,
        (false, false) => Class::LoggedFree,
    }
}

fn best_hz(case: &Case) -> f64 {
    let logger = &case.logger;
    let all = [logger.satellite_hz, logger.free_wheel_hz, logger.accelerometer_hz];
    all.into_iter().flatten().fold(logger.speed_hz.min(logger.rows_hz), f64::max)
}
