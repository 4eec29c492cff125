//! The trade's own series as plain arithmetic: common practice, no source. Start and
//! end of charge air in °F over three pulls from rest to 87 mph, four builds of a car.

use crate::support::near;
use pullmark::air::Air;
use pullmark::compare::{Comparison, Measure, Run, Worth, builds};
use pullmark::heat::{Reading, SpeedReading};
use pullmark::unit::{MPS_PER_MPH, c_from_f};

const STOCK: [(f64, f64); 3] = [(140., 151.), (138., 153.), (145., 158.)];
const OVERHEATING: [(f64, f64); 3] = [(126., 171.), (133., 177.), (136., 179.)];
const FRONT_EXCHANGER: [(f64, f64); 3] = [(115., 151.), (122., 156.), (126., 160.)];
const CHARGE_COOLERS: [(f64, f64); 3] = [(144., 165.), (140., 158.), (138., 156.)];
const SERIES: [[(f64, f64); 3]; 4] = [STOCK, OVERHEATING, FRONT_EXCHANGER, CHARGE_COOLERS];
const TOP_MPS: f64 = 87.0 * MPS_PER_MPH;

/// Readings in whole °F.
fn reading(f: f64) -> Reading {
    Reading { c: c_from_f(f), sd_c: (1.0 / 1.8) / 12f64.sqrt() }
}

fn run(build: usize, number: u32, (start_f, end_f): (f64, f64)) -> Run {
    let (start, end) = (reading(start_f), reading(end_f));
    let at = SpeedReading {
        speed_mps: TOP_MPS,
        charge_c: end.c,
        sd_c: end.sd_c,
        own_sd_c: end.sd_c,
        since_start_s: 7.0,
    };
    Run {
        build,
        number,
        air: Air::default(),
        start: Some(start),
        end: Some(end),
        rise: Some(Reading { c: end.c - start.c, sd_c: 2f64.sqrt() * end.sd_c }),
        end_speed_mps: Some(TOP_MPS),
        at: vec![at],
        ..Run::default()
    }
}

fn runs(series: &[[(f64, f64); 3]], pulls: std::ops::RangeInclusive<u32>) -> Vec<Run> {
    let of_build = |(build, pairs): (usize, &[(f64, f64); 3])| {
        let pairs = *pairs;
        pulls.clone().map(move |number| run(build, number, pairs[number as usize - 1]))
    };
    series.iter().enumerate().flat_map(of_build).collect()
}

fn find(all: &[Comparison], pair: (usize, usize), measure: Measure) -> &Comparison {
    all.iter()
        .find(|c| (c.from, c.to) == pair && c.measure == measure)
        .expect("every such pair is compared")
}

const END: Measure = Measure::ChargeAtMark { speed_mps: TOP_MPS };

#[test]
fn rises_and_third_ends_are_the_plain_differences() {
    let all = runs(&SERIES, 1..=3);
    let rises = [[11., 15., 13.], [45., 44., 43.], [36., 34., 34.], [21., 18., 18.]];
    let thirds = [158., 179., 160., 156.];
    for run in &all {
        let rise_f = run.rise.expect("read").c * 1.8;
        near("rise", rise_f, rises[run.build][run.number as usize - 1], 1e-9);
        if run.number == 3 {
            near("third end", run.end.expect("read").c * 1.8 + 32.0, thirds[run.build], 1e-9);
        }
    }
}

#[test]
fn the_last_builds_rise_differs_from_the_overheating_ones_for_certain() {
    // The pair alone, and among all four builds.
    let alone = builds(2, &runs(&[OVERHEATING, CHARGE_COOLERS], 1..=3), &[TOP_MPS]);
    let found = find(&alone, (0, 1), Measure::ChargeRise);
    assert_eq!(found.worth, Worth::Real, "{found:#?}");
    near("difference in °F", found.difference.expect("compared") * 1.8, -25.0, 1e-9);
    assert!(found.high.expect("an interval") * 1.8 < -18.0, "{found:#?}");

    let series = [OVERHEATING, FRONT_EXCHANGER, CHARGE_COOLERS];
    let all = builds(3, &runs(&series, 1..=3), &[TOP_MPS]);
    for pair in [(0, 1), (1, 2), (0, 2)] {
        let found = find(&all, pair, Measure::ChargeRise);
        assert_eq!(found.worth, Worth::Real, "{found:#?}");
    }
}

#[test]
fn two_degrees_below_stock_are_not_shown_by_one_pair_of_readings() {
    let one_pair = builds(2, &runs(&[STOCK, CHARGE_COOLERS], 3..=3), &[TOP_MPS]);
    let found = find(&one_pair, (0, 1), END);
    assert_eq!(found.worth, Worth::NotShown);
    near("difference in °F", found.difference.expect("both read") * 1.8, -2.0, 1e-9);
    assert_eq!((found.low, found.high), (None, None), "one reading tells no scatter");
    assert!(found.reasons.iter().any(|reason| reason.code == "too_few_pulls"));

    // Nor by all three pulls, nor among all four builds.
    for (count, series, pair) in
        [(2, vec![STOCK, CHARGE_COOLERS], (0, 1)), (4, SERIES.to_vec(), (0, 3))]
    {
        let all = builds(count, &runs(&series, 1..=3), &[TOP_MPS]);
        let found = find(&all, pair, END);
        assert_eq!(found.worth, Worth::NotShown, "{found:#?}");
        let third = found.at_pull.expect("three pairs");
        assert_eq!(third.number, 3);
        near("third pull in °F", third.effect.difference * 1.8, -2.0, 1e-9);
        assert!(third.effect.low < 0.0 && third.effect.high > 0.0);
    }
}
