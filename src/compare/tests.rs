//! Comparisons with a known answer.

use super::*;
use crate::air::Air;
use crate::heat::{Reading, SpeedReading};
use crate::launch::Verdict;
use crate::launch::power::WheelPower;

const SPEED_MPS: f64 = 26.8224;

/// A pull with a start and a rise in °C, in air of a temperature.
fn run(build: usize, number: u32, ambient_c: f64, start_c: f64, rise_k: f64) -> Run {
    let reading = |c: f64| Some(Reading { c, sd_c: 0.1 });
    let at = |speed_mps: f64, share: f64, since_start_s: f64| SpeedReading {
        speed_mps,
        charge_c: start_c + share * rise_k,
        sd_c: 0.1,
        own_sd_c: 0.1,
        since_start_s,
    };
    Run {
        build,
        number,
        air: Air {
            ambient_c: Some(ambient_c),
            relative_humidity_percent: Some(50.0),
            pressure_pa: Some(99_000.0),
        },
        start: reading(start_c),
        end: reading(start_c + rise_k),
        rise: reading(rise_k),
        end_speed_mps: Some(39.0),
        at: vec![at(SPEED_MPS, 0.6, 4.0), at(1.35 * SPEED_MPS, 0.9, 6.5)],
        ..Run::default()
    }
}

/// Three pulls: starts climb by 2 K, rises scatter a little.
fn build(build: usize, ambient_c: f64, start_c: f64, rise_k: f64) -> Vec<Run> {
    let scatter = [[0.2, -0.3, 0.1], [-0.1, 0.2, -0.1], [0.3, 0.0, -0.2], [0.0, 0.1, 0.2]];
    (1..=3_u32)
        .map(|number| {
            let off = scatter[build % 4][number as usize - 1];
            let climb = 2.0 * f64::from(number - 1);
            run(build, number, ambient_c, start_c + climb, rise_k + off)
        })
        .collect()
}

fn compared(runs: &[Run], measure: Measure) -> Comparison {
    let count = runs.iter().map(|run| run.build + 1).max().unwrap_or(0);
    let all = builds(count, runs, &[]);
    all.into_iter().find(|c| c.measure == measure).expect("asked of every pair")
}

fn codes(found: &Comparison) -> Vec<&'static str> {
    found.reasons.iter().map(|reason| reason.code).collect()
}

#[test]
fn a_change_of_ten_fahrenheit_is_real_and_none_is_not() {
    let changed = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 12.44)].concat();
    let found = compared(&changed, Measure::ChargeRise);
    assert_eq!(found.worth, Worth::Real, "{found:#?}");
    assert!(found.high.is_some_and(|high| high < 0.0) && found.adjusted);
    assert_eq!(found.pairs, 3);

    let same = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 18.0)].concat();
    assert_eq!(compared(&same, Measure::ChargeRise).worth, Worth::NotShown);
}

#[test]
fn a_warmer_day_is_not_a_worse_part() {
    // The same car, 4 K warmer air: start and end both some 4 K higher.
    let runs = [build(0, 20.0, 40.0, 16.0), build(1, 24.0, 43.9, 16.2)].concat();
    let measure = Measure::ChargeAtMark { speed_mps: SPEED_MPS };
    let found = compared(&runs, measure);
    assert_eq!(found.worth, Worth::NotShown, "{found:#?}");
    assert!(found.raw_difference.is_some_and(|raw| raw > 3.5));
    assert!(found.difference.is_some_and(|difference| difference.abs() < 0.6), "{found:#?}");
    assert!(codes(&found).contains(&"air_differs"));
}

#[test]
fn air_too_far_apart_cannot_be_compared() {
    let runs = [build(0, 8.0, 30.0, 16.0), build(1, 30.0, 52.0, 17.0)].concat();
    let found = compared(&runs, Measure::ChargeRise);
    assert_eq!((found.worth, found.difference), (Worth::CannotCompare, None));
    assert_eq!(codes(&found), ["air_differs"]);
    assert!(found.raw_difference.is_some(), "the plain difference is still told");
}

#[test]
fn unknown_air_widens_the_interval_and_says_so() {
    let known = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 42.0, 18.0)].concat();
    let mut unknown = known.clone();
    for run in &mut unknown {
        run.air = Air::default();
    }
    let measure = Measure::ChargeStart;
    let width = |runs: &[Run]| {
        let found = compared(runs, measure);
        found.high.expect("an interval") - found.low.expect("an interval")
    };
    assert!(width(&unknown) > 3.0 * width(&known));
    let found = compared(&unknown, measure);
    assert!(!found.adjusted && codes(&found).contains(&"air_unknown"));
    assert_eq!(found.worth, Worth::NotShown);
}

#[test]
fn total_and_direct_effect_are_told_apart() {
    // The rise falls by 0.3 K for each kelvin of start; the part takes 3 K off it.
    let pull = |build: usize, number: u32, start_c: f64, part: f64| {
        run(
            build,
            number,
            22.0,
            start_c,
            18.0 - 0.3 * (start_c - 40.0) - part + 0.02 * f64::from(number),
        )
    };
    let starts = [[40.0, 44.0, 47.0], [38.0, 41.0, 45.0]];
    let runs: Vec<Run> = (0..2)
        .flat_map(|b| (0..3).map(move |n| pull(b, n as u32 + 1, starts[b][n], 3.0 * b as f64)))
        .collect();
    let found = compared(&runs, Measure::ChargeRise);
    let direct = found.direct.expect("starts overlap");
    assert!((direct.difference + 3.0).abs() < 0.1, "{direct:?}");
    assert!(direct.low < -3.0 && -3.0 < direct.high);
    // Cooler starts leave more rise, so the total effect is smaller.
    assert!(found.difference.is_some_and(|total| total > -2.6), "{found:#?}");
}

#[test]
fn starts_that_do_not_overlap_give_no_direct_effect() {
    let runs = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 30.0, 18.0)].concat();
    let found = compared(&runs, Measure::ChargeRise);
    assert_eq!(found.direct, None);
    assert!(found.no_direct.is_some_and(|why| why.contains("overlap")));
    assert!(codes(&found).contains(&"starts_differ"));
}

#[test]
fn pulls_to_different_speeds_have_no_common_rise_but_common_marks() {
    let mut runs = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 12.0)].concat();
    for run in runs.iter_mut().filter(|run| run.build == 1) {
        run.end_speed_mps = Some(50.0);
    }
    let rise = compared(&runs, Measure::ChargeRise);
    assert_eq!((rise.worth, codes(&rise)), (Worth::CannotCompare, vec!["end_speed_differs"]));
    let mark = compared(&runs, Measure::ChargeAtMark { speed_mps: SPEED_MPS });
    assert_eq!(mark.worth, Worth::Real, "{mark:#?}");
}

#[test]
fn spin_that_left_no_speed_is_named() {
    let mut runs = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 12.0)].concat();
    for run in runs.iter_mut().filter(|run| run.build == 1) {
        (run.at, run.spun) = (Vec::new(), true);
    }
    let all = builds(2, &runs, &[SPEED_MPS]);
    let measure = Measure::ChargeAtMark { speed_mps: SPEED_MPS };
    let found = all.iter().find(|c| c.measure == measure).expect("the reader's own speed");
    assert_eq!((found.worth, codes(found)), (Worth::CannotCompare, vec!["spin"]));
}

#[test]
fn two_pulls_a_build_carry_no_verdict() {
    let all = [build(0, 22.0, 40.0, 30.0), build(1, 22.0, 40.0, 12.0)].concat();
    let runs: Vec<Run> = all.into_iter().filter(|run| run.number < 3).collect();
    let found = compared(&runs, Measure::ChargeRise);
    assert_eq!(found.worth, Worth::NotShown);
    assert!(found.low.is_some() && codes(&found).contains(&"too_few_pulls"));
}

#[test]
fn other_builds_lend_their_degrees_of_freedom() {
    let pair = [build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 17.0)].concat();
    let day = [pair.clone(), build(2, 22.0, 40.0, 15.0), build(3, 22.0, 40.0, 11.0)].concat();
    let half = |runs: &[Run]| {
        let found = compared(runs, Measure::ChargeRise);
        found.high.expect("an interval") - found.difference.expect("compared")
    };
    assert!(half(&day) < 0.8 * half(&pair), "{} against {}", half(&day), half(&pair));
}

#[test]
fn outings_that_disagree_widen_their_builds_interval() {
    let outing = |build_at: usize, outing: usize, rise_k: f64| -> Vec<Run> {
        let mut runs = build(build_at, 22.0, 40.0, rise_k);
        runs.iter_mut().for_each(|run| run.outing = outing);
        runs
    };
    let steady = [outing(0, 0, 18.0), outing(0, 1, 18.0), outing(1, 0, 15.0), outing(1, 1, 15.0)];
    let moody = [outing(0, 0, 16.0), outing(0, 1, 20.0), outing(1, 0, 13.5), outing(1, 1, 16.5)];
    let steady = compared(&steady.concat(), Measure::ChargeRise);
    let moody = compared(&moody.concat(), Measure::ChargeRise);
    assert_eq!((steady.worth, moody.worth), (Worth::Real, Worth::NotShown), "{moody:#?}");
}

#[test]
fn a_void_time_takes_no_part() {
    let timed = |build: usize, number: u32, time_s: f64, verdict: Verdict| Run {
        build,
        number,
        times: vec![RunTime { mark: "0-60mph", time_s, sd_s: 0.02, verdict }],
        ..run(build, number, 22.0, 40.0, 18.0)
    };
    let mut runs: Vec<Run> = [3.70, 3.64, 3.72, 3.22, 3.25, 3.17]
        .iter()
        .zip(0..)
        .map(|(time_s, at)| timed(at / 3, at as u32 % 3 + 1, *time_s, Verdict::Stands))
        .collect();
    let measure = Measure::TimeToMark { mark: "0-60mph" };
    let found = compared(&runs, measure);
    assert!(found.difference.is_some_and(|d| (d + 0.473_33).abs() < 1e-5), "{found:#?}");
    assert!(!found.adjusted, "a time is never corrected for air");
    assert_eq!(found.worth, Worth::Real, "{found:#?}");
    runs[4].times[0].verdict = Verdict::InDoubt;
    let doubtful = compared(&runs, measure);
    assert_eq!((doubtful.difference, doubtful.low), (found.difference, found.low));
    assert_eq!(doubtful.worth, Worth::NotShown);
    assert!(codes(&doubtful).contains(&"times_in_doubt"));
    for run in runs.iter_mut().filter(|run| run.build == 1) {
        (run.times[0].verdict, run.spun) = (Verdict::Void, true);
    }
    let found = compared(&runs, measure);
    assert_eq!((found.worth, codes(&found)), (Worth::CannotCompare, vec!["no_standing_time"]));
}

#[test]
fn builds_without_a_pull_are_passed_over() {
    let runs = [build(0, 22.0, 40.0, 18.0), build(3, 22.0, 40.0, 12.0)].concat();
    let all = builds(4, &runs, &[]);
    assert!(!all.is_empty() && all.iter().all(|c| (c.from, c.to) == (0, 3)));
    assert!(builds(0, &[], &[]).is_empty());
}

/// 3 of 200 kW lie within what a tank of fuel and the pulls' own scatter make; 30 do not. At
/// 40 m/s one pull tells none, so it is the next speed below that is asked.
#[test]
fn power_is_compared_at_the_highest_speed_that_all_pulls_tell() {
    let with_power = |runs: Vec<Run>, kilowatt: f64| -> Vec<Run> {
        let scatter_kw = if kilowatt > 200.0 { [-0.9, 0.7, 0.2] } else { [0.8, -0.7, -0.1] };
        let told = |number: u32, speed_mps: f64| WheelPower {
            speed_mps,
            power_w: 1000.0 * (kilowatt + scatter_kw[number as usize - 1]),
            plus_minus_w: 12_000.0,
        };
        let speeds = |number: u32| if number == 3 { vec![30.0, 35.0] } else { vec![35.0, 40.0] };
        let add = |run: Run| {
            let power = speeds(run.number).into_iter().map(|mps| told(run.number, mps)).collect();
            Run { power, ..run }
        };
        runs.into_iter().map(add).collect()
    };
    let worth = |other_kilowatt: f64| {
        let a = with_power(build(0, 22.0, 40.0, 18.0), 200.0);
        let b = with_power(build(1, 22.0, 40.0, 18.0), other_kilowatt);
        compared(&[a, b].concat(), Measure::WheelPower { speed_mps: 35.0 })
    };
    let (much, little) = (worth(230.0), worth(203.0));
    assert!(much.difference.is_some_and(|w| (w - 30_000.0).abs() < 1.0), "{much:#?}");
    assert_eq!((much.worth, little.worth), (Worth::Real, Worth::NotShown), "{little:#?}");
    assert!(
        little.high.is_some_and(|w| w > 3_000.0 + 2.0 * 1_900.0),
        "the share of fuel and scale"
    );
    let asked = builds(2, &[build(0, 22.0, 40.0, 18.0), build(1, 22.0, 40.0, 18.0)].concat(), &[]);
    assert!(!asked.iter().any(|c| matches!(c.measure, Measure::WheelPower { .. })));
}
