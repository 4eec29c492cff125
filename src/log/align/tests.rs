//! Two recordings of one drive whose shift is known, and drives that are not one.

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
fn a_clock_without_a_date_that_counts_on_is_one_drive_and_one_that_begins_anew_is_not() {
    let half = |begun_s: f64, until_s: f64| Log {
        clock_began_s: Some(begun_s),
        span_s: until_s - 0.1,
        rows: (10.0 * until_s) as u64,
        ..log(vec![sampled(Role::VehicleSpeed, 10.0, until_s, |t| driven_mps(t + begun_s))])
    };
    let first = half(20.0, 100.0);
    let found = follows(&first, &half(120.0, 60.0)).expect("it counts on");
    assert_eq!((found.shift_s, found.by), (100.0, By::Follows));
    assert!(found.sd_s.is_some_and(|sd| sd < 0.11));
    for begun_s in [0.0, 20.0, 119.9, 121.0, 400.0] {
        assert_eq!(follows(&first, &half(begun_s, 60.0)), None, "{begun_s}");
    }
    let dated = Log { began_unix_s: Some(1.7e9), ..half(120.0, 60.0) };
    assert_eq!(follows(&first, &dated), None, "one of them has a date");
}

#[test]
fn files_that_overlap_by_some_records_are_one_and_those_that_differ_there_are_not() {
    let cut = |begun_s: f64, until_s: f64, faster_mps: f64| Log {
        clock_began_s: Some(begun_s),
        span_s: until_s - 0.1,
        rows: (10.0 * until_s) as u64,
        ..log(vec![sampled(Role::VehicleSpeed, 10.0, until_s, |t| {
            driven_mps(t + begun_s) + faster_mps
        })])
    };
    let first = cut(0.0, 100.0, 0.0);
    let next = cut(99.5, 60.0, 0.0);
    let found = follows(&first, &next).expect("the same five records");
    assert_eq!(found.shift_s, 99.5);
    assert_eq!(follows(&first, &cut(99.5, 60.0, 0.5)), None, "another drive");
    let whole = followed_by(first, &next, found.shift_s);
    let speed = whole.series(Role::VehicleSpeed).expect("it has one");
    assert_eq!(speed.len(), 1595);
    assert!(speed.time_s.windows(2).all(|pair| pair[1] > pair[0]));
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
