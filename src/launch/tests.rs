//! Launches with a known answer: exact kinematics, and facts of the trade.

use super::*;
use crate::log::made::{channel, log, sampled};
use crate::log::{Problem, Role};
use crate::pull::{self, Effort, Kind};
use crate::unit::{MPS_PER_KMH, MPS_PER_MPH, STANDARD_GRAVITY};
use proptest::prelude::*;

const G: f64 = STANDARD_GRAVITY;

fn judged(log: &Log) -> (Vec<Pull>, Vec<Launch>) {
    let pulls = pull::find(log);
    let launches = judge(log, &pulls, &Car::default(), &Limits::default());
    (pulls, launches)
}

fn mark<'a>(launch: &'a Launch, name: &str) -> &'a MarkTime {
    launch.marks.iter().find(|mark| mark.mark == name).expect("the mark was reached")
}

/// A launch at constant acceleration from `start_s` to 35 m/s, then a coast.
fn constant(accel_mps2: f64, start_s: f64) -> impl Fn(f64) -> (f64, f64) + Copy {
    move |t| {
        let lift_s = start_s + 35.0 / accel_mps2;
        match t {
            t if t < start_s => (0.0, 0.0),
            t if t < lift_s => (accel_mps2 * (t - start_s), accel_mps2),
            t => ((35.0 - 0.8 * (t - lift_s)).max(0.0), -0.8),
        }
    }
}

/// Source: v = a t, exact; 0-60 mph at 0.75 g takes 3.64683 s, and 3.35894 s from one
/// foot on. First motion counts from 0.05 m/s, 7 ms later, and the filter sees a step of
/// acceleration as a steep rise: hence 0.03 s.
#[test]
fn constant_acceleration_gives_the_exact_times() {
    let truth = constant(0.75 * G, 10.037);
    let log = log(vec![
        sampled(Role::SatelliteSpeed, 10.0, 30.0, |t| truth(t).0),
        sampled(Role::LongitudinalAcceleration, 50.0, 30.0, |t| truth(t).1),
        sampled(Role::Throttle, 10.0, 30.0, |t| if (9.9..16.6).contains(&t) { 99.0 } else { 12.0 }),
    ]);
    let (pulls, launches) = judged(&log);
    assert_eq!(pulls.len(), 1);
    let sixty = mark(&launches[0], "0-60mph");
    let time_s = sixty.time_s.expect("timed");
    assert!((time_s - 3.64683).abs() < 0.03, "0-60 mph in {time_s}");
    assert!(
        sixty.plus_minus_s.is_some_and(|half| (time_s - 3.64683).abs() <= half && half < 0.075)
    );
    let rollout_s = sixty.rollout_time_s.expect("rollout");
    assert!((rollout_s - 3.35894).abs() < 0.04, "with rollout {rollout_s}");
    assert_eq!(sixty.verdict, Verdict::Stands, "{:?}", launches[0].reasons);
    assert_eq!(launches[0].spin, []);
}

/// The same launch on a clock of whole seconds: the same time, and nobody's word for it.
#[test]
fn a_launch_on_a_coarse_clock_is_in_doubt() {
    let truth = constant(0.75 * G, 10.037);
    let mut log = log(vec![
        sampled(Role::SatelliteSpeed, 10.0, 30.0, |t| truth(t).0),
        sampled(Role::LongitudinalAcceleration, 50.0, 30.0, |t| truth(t).1),
    ]);
    assert_eq!(mark(&judged(&log).1[0], "0-60mph").verdict, Verdict::Stands);
    log.problems.push(Problem { code: "clock_coarse", text: "whole seconds".to_owned() });
    let launches = judged(&log).1;
    assert_eq!(mark(&launches[0], "0-60mph").verdict, Verdict::InDoubt);
    assert!(launches[0].reasons.iter().any(|reason| reason.code == "clock_coarse"));
}

/// A driven wheel that runs away for a second while the car pulls at 0.7 g, four times
/// over with growing spin; the accelerometer is on board. Common practice, no source: a
/// 0-60 mph shown as 2.2 s by a car whose others show 3.3 s and more is not believable.
#[test]
fn a_wheel_that_runs_away_does_not_set_the_time() {
    let ground = |t: f64| constant(0.74 * G, 5.0)(t);
    let wheel = |t: f64| {
        let extra = match t - 5.0 {
            s if (0.15..1.6).contains(&s) => 11.0 * (s - 0.15) / 1.45,
            s if (1.6..2.6).contains(&s) => 11.0,
            s if (2.6..3.2).contains(&s) => 11.0 * (3.2 - s) / 0.6,
            _ => 0.0,
        };
        let (v, a) = ground(t);
        if t < 9.7 { v * (1.0 + 0.02 * a / G) + extra } else { v }
    };
    let log = log(vec![
        sampled(Role::VehicleSpeed, 20.0, 25.0, |t| (wheel(t) / MPS_PER_KMH).round() * MPS_PER_KMH),
        sampled(Role::LongitudinalAcceleration, 50.0, 25.0, |t| 1.03 * ground(t).1),
        sampled(Role::Throttle, 20.0, 25.0, |t| if (4.9..9.8).contains(&t) { 98.0 } else { 14.0 }),
    ]);
    let (_, launches) = judged(&log);
    let sixty = mark(&launches[0], "0-60mph");
    let truth_s = 60.0 * MPS_PER_MPH / (0.74 * G);
    let (time_s, half) = (sixty.time_s.expect("timed"), sixty.plus_minus_s.expect("interval"));
    assert!(sixty.logged_time_s.is_some_and(|logged| logged < 2.7), "{sixty:?}");
    assert!((time_s - truth_s).abs() < half.max(0.1), "{time_s} ± {half} against {truth_s}");
    assert!(
        launches[0].spin.iter().any(|spin| spin.kind == SpinKind::Tyre && spin.peak_slip > 0.3)
    );
    assert!(launches[0].reasons.iter().any(|reason| reason.code == "wheelspin"));
}

/// The same wheel with nothing else in the log: no time can stand, and the sheet says why.
#[test]
fn a_speed_beyond_the_tyres_is_void_where_nothing_else_witnesses() {
    let wheel = |t: f64| match t - 5.0 {
        s if s < 0.0 => 0.0,
        s if s < 1.0 => 22.0 * s,
        s if s < 1.8 => 22.0 + 7.0 * (s - 1.0),
        s if s < 2.3 => 27.6 - 18.0 * (s - 1.8),
        s if s < 5.0 => 18.6 + 5.0 * (s - 2.3),
        s => (32.1 - 1.0 * (s - 5.0)).max(0.0),
    };
    let log = log(vec![
        sampled(Role::VehicleSpeed, 10.0, 25.0, wheel),
        sampled(Role::Throttle, 10.0, 25.0, |t| if (4.9..10.0).contains(&t) { 98.0 } else { 14.0 }),
    ]);
    let (_, launches) = judged(&log);
    assert_eq!(launches[0].verdict, Verdict::Void);
    assert!(launches[0].marks.iter().all(|mark| mark.verdict != Verdict::Stands));
    let codes: Vec<&str> = launches[0].reasons.iter().map(|reason| reason.code).collect();
    assert!(codes.contains(&"beyond_tyres") && codes.contains(&"wheelspin"), "{codes:?}");
    // It spun from the start: the wheel hands on no road speed, for there was none to see.
    assert_eq!((&launches[0].motion, launches[0].push.mean_mps2), (&None, None));
}

#[test]
fn a_lone_logged_speed_never_stands_on_faith() {
    let truth = constant(0.45 * G, 5.0);
    let log = log(vec![
        sampled(Role::VehicleSpeed, 50.0, 30.0, |t| truth(t).0),
        sampled(Role::Throttle, 20.0, 30.0, |t| if (4.9..12.9).contains(&t) { 98.0 } else { 14.0 }),
    ]);
    let (_, launches) = judged(&log);
    assert!(launches[0].marks.iter().all(|mark| mark.verdict != Verdict::Stands));
    assert!(launches[0].reasons.iter().any(|reason| reason.code == "single_witness"));
    assert_eq!(launches[0].spin, []);
}

#[test]
fn a_torque_converter_is_not_wheelspin() {
    let truth = constant(0.45 * G, 5.0);
    // Stall near 2600 rpm, coupled from 12 m/s on; locked at 180 rpm per m/s.
    let rpm = |t: f64| {
        let v = truth(t).0;
        let locked = 180.0 * v;
        if v < 0.1 { 800.0 } else { locked.max(2600.0 + 25.0 * v) }
    };
    let log = log(vec![
        sampled(Role::SatelliteSpeed, 20.0, 40.0, |t| truth(t).0),
        sampled(Role::EngineSpeed, 20.0, 40.0, rpm),
        sampled(Role::Throttle, 20.0, 40.0, |t| if (4.9..12.9).contains(&t) { 98.0 } else { 14.0 }),
    ]);
    let (_, launches) = judged(&log);
    let kinds: Vec<SpinKind> = launches[0].spin.iter().map(|spin| spin.kind).collect();
    assert_eq!(kinds, [SpinKind::Converter], "{:?}", launches[0].spin);
    assert_ne!(launches[0].verdict, Verdict::Void, "{:?}", launches[0].reasons);
}

#[test]
fn a_speed_read_once_a_second_is_too_slow_to_time() {
    let truth = constant(0.5 * G, 5.3);
    let log = log(vec![sampled(Role::VehicleSpeed, 0.75, 40.0, |t| truth(t).0)]);
    let (_, launches) = judged(&log);
    assert_eq!(launches[0].verdict, Verdict::Void);
    assert!(launches[0].reasons.iter().any(|reason| reason.code == "too_few_samples"));
    assert_eq!(launches[0].spin, []);
}

#[test]
fn a_rolling_pull_has_no_time_from_rest() {
    let speed = |t: f64| match t {
        t if t < 10.0 => 20.0,
        t if t < 18.0 => 20.0 + 5.0 * (t - 10.0),
        t => 60.0 - 2.0 * (t - 18.0),
    };
    let log = log(vec![
        sampled(Role::SatelliteSpeed, 10.0, 30.0, speed),
        sampled(Role::Throttle, 10.0, 30.0, |t| if (9.9..18.0).contains(&t) { 98.0 } else { 20.0 }),
    ]);
    let (pulls, launches) = judged(&log);
    assert_eq!((pulls[0].kind, pulls[0].effort), (Kind::Rolling, Effort::Full));
    assert_eq!(launches[0].verdict, Verdict::Void);
    assert!(launches[0].reasons.iter().any(|reason| reason.code == "rolling_start"));
    let between = mark(&launches[0], "100-200kmh");
    // 27.78 m/s at 5 m/s² take 5.556 s.
    assert!(between.time_s.is_some_and(|time_s| (time_s - 5.5556).abs() < 0.05), "{between:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Whatever the log holds, every number that comes out is finite, no half-interval is
    /// negative, and a longer mark never takes less time than a shorter one.
    #[test]
    fn nothing_that_comes_out_is_nonsense(
        rows in prop::collection::vec((0.02..0.5f64, 0.0..60.0f64, -20.0..20.0f64, 0.0..8000.0f64), 12..120),
        smooth in any::<bool>(),
    ) {
        let mut now_s = 0.0;
        let time_s: Vec<f64> = rows.iter().map(|row| { now_s += row.0; now_s }).collect();
        let shape = |i: usize, raw: f64| if smooth { (0.5 * i as f64).min(raw.max(20.0)) } else { raw };
        let made = |role: Role, value: Vec<f64>| channel(role, &time_s, value);
        let log = log(vec![
            made(Role::VehicleSpeed, rows.iter().enumerate().map(|(i, row)| shape(i, row.1)).collect()),
            made(Role::LongitudinalAcceleration, rows.iter().map(|row| row.2).collect()),
            made(Role::EngineSpeed, rows.iter().map(|row| row.3).collect()),
        ]);
        for launch in judged(&log).1 {
            for mark in &launch.marks {
                let numbers = [mark.time_s, mark.plus_minus_s, mark.rollout_time_s, mark.speed_mps];
                prop_assert!(numbers.iter().flatten().all(|x| x.is_finite()), "{mark:?}");
                prop_assert!(mark.plus_minus_s.is_none_or(|half| half >= 0.0));
            }
            let time = |name: &str| launch.marks.iter().find(|m| m.mark == name).and_then(|m| m.time_s);
            if let (Some(short), Some(long)) = (time("0-30mph"), time("0-60mph")) {
                prop_assert!(short <= long + 1e-9);
            }
        }
    }
}
