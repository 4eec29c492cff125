//! Pulls on hand-made logs: the shapes a test day has, and those it must not invent.

use super::*;
use crate::log::made::{channel, log};
use proptest::prelude::*;

/// Two launches at 10 Hz with a gentle drive back between them.
fn two_launches(with_throttle: bool) -> Log {
    let time_s: Vec<f64> = (0..1000).map(|i| f64::from(i) * 0.1).collect();
    let speed = |t: f64| match t {
        t if (10.0..16.0).contains(&t) => 6.0 * (t - 10.0),
        t if (16.0..28.0).contains(&t) => 36.0 - 3.0 * (t - 16.0),
        t if (40.0..50.0).contains(&t) => 1.5 * (t - 40.0),
        t if (50.0..55.0).contains(&t) => 15.0 - 3.0 * (t - 50.0),
        t if (70.0..76.0).contains(&t) => 5.5 * (t - 70.0),
        t if (76.0..87.0).contains(&t) => 33.0 - 3.0 * (t - 76.0),
        _ => 0.0,
    };
    let throttle = |t: f64| match t {
        t if (9.9..16.0).contains(&t) || (69.8..76.0).contains(&t) => 99.0,
        t if (40.0..50.0).contains(&t) => 30.0,
        _ => 14.0,
    };
    let mut channels =
        vec![channel(Role::VehicleSpeed, &time_s, time_s.iter().map(|&t| speed(t)).collect())];
    if with_throttle {
        let opening = time_s.iter().map(|&t| throttle(t)).collect();
        channels.push(channel(Role::Throttle, &time_s, opening));
    }
    log(channels)
}

#[test]
fn the_drive_back_to_the_start_is_no_pull() {
    for with_throttle in [true, false] {
        let pulls = find(&two_launches(with_throttle));
        let starts: Vec<f64> =
            pulls.iter().map(|pull| (pull.start_s * 10.0).round() / 10.0).collect();
        assert_eq!(starts, [10.0, 70.0], "throttle in the log: {with_throttle}");
        assert!(pulls.iter().all(|pull| pull.kind == Kind::Standing));
        assert!((pulls[0].end_s - 16.0).abs() < 0.15, "lift at {}", pulls[0].end_s);
    }
}

#[test]
fn effort_is_full_only_where_the_log_shows_it() {
    assert!(find(&two_launches(true)).iter().all(|pull| pull.effort == Effort::Full));
    assert!(find(&two_launches(false)).iter().all(|pull| pull.effort == Effort::Unknown));
}

/// Two recordings joined in one file, the throttle open at the end of one and the
/// beginning of the other: nobody knows the ten minutes between.
#[test]
fn no_pull_goes_across_a_hole_in_the_record() {
    let mut time_s: Vec<f64> = (0..80).map(|i| f64::from(i) * 0.1).collect();
    time_s.extend((0..80).map(|i| 608.0 + f64::from(i) * 0.1));
    let since = |t: f64| if t < 300.0 { t } else { t - 608.0 };
    let speed = time_s.iter().map(|&t| 10.0 + 3.0 * since(t)).collect();
    let throttle = time_s
        .iter()
        .map(|&t| if (1.0..7.0).contains(&since(t)) || t < 608.0 && t > 1.0 { 99.0 } else { 10.0 });
    let throttle = throttle.collect();
    let pulls = find(&log(vec![
        channel(Role::VehicleSpeed, &time_s, speed),
        channel(Role::Throttle, &time_s, throttle),
    ]));
    let ends: Vec<(f64, f64)> = pulls.iter().map(|pull| (pull.start_s, pull.end_s)).collect();
    assert_eq!(ends.len(), 2, "{ends:?}");
    assert!(ends[0].1 < 8.0 && ends[1].0 > 608.0, "{ends:?}");
    assert!(pulls[0].cut.at_end && !pulls[1].cut.at_end);
}

#[test]
fn a_log_that_ends_inside_a_pull_says_so() {
    let whole = two_launches(true);
    let keep = 135;
    let channels = whole
        .channels
        .iter()
        .map(|c| {
            let role = c.role.unwrap_or(Role::Brake);
            channel(role, &c.series.time_s[..keep], c.series.value[..keep].to_vec())
        })
        .collect();
    let pulls = find(&log(channels));
    assert_eq!(pulls.len(), 1);
    assert!(pulls[0].cut.at_end);
}

#[test]
fn a_throttle_that_stands_open_at_idle_is_no_foot() {
    let mut diesel = two_launches(false);
    let time_s = diesel.channels[0].series.time_s.clone();
    let open = vec![83.5; time_s.len()];
    diesel.channels.push(channel(Role::Throttle, &time_s, open));
    assert_eq!(find(&diesel).len(), 2);
}

proptest! {
    /// Whatever the log holds, pulls lie inside it, in order, and apart.
    #[test]
    fn pulls_never_overlap(
        rows in prop::collection::vec((0.01..0.8f64, 0.0..60.0f64, 0.0..100.0f64), 3..300),
    ) {
        let mut now_s = 0.0;
        let time_s: Vec<f64> = rows.iter().map(|&(step, _, _)| { now_s += step; now_s }).collect();
        let speed = channel(Role::VehicleSpeed, &time_s, rows.iter().map(|row| row.1).collect());
        let foot = channel(Role::Throttle, &time_s, rows.iter().map(|row| row.2).collect());
        for channels in [vec![speed.clone()], vec![speed, foot]] {
            let pulls = find(&log(channels));
            let (first, last) = (time_s[0], time_s[time_s.len() - 1]);
            prop_assert!(pulls.iter().all(|p| p.start_s >= first && p.start_s < p.end_s && p.end_s <= last));
            prop_assert!(pulls.windows(2).all(|pair| pair[0].end_s <= pair[1].start_s));
        }
    }
}

/// Written every ten minutes: five readings are no pull of forty minutes.
#[test]
fn readings_far_apart_are_no_pull() {
    let time_s: Vec<f64> = (0..6).map(|i| 600.0 * f64::from(i)).collect();
    let speed = channel(Role::VehicleSpeed, &time_s, vec![0.0, 5.0, 12.0, 20.0, 30.0, 40.0]);
    let throttle = channel(Role::Throttle, &time_s, vec![0.0, 99.0, 99.0, 99.0, 99.0, 99.0]);
    assert_eq!(find(&log(vec![speed.clone(), throttle])), []);
    assert_eq!(find(&log(vec![speed])), []);
}
