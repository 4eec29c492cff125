//! Heat over invented logs with a known truth.

use super::*;
use crate::log::Channel;
use crate::log::made::{log, sampled};
use crate::pull::{Cut, Effort};

const RISE_C: f64 = 16.0;
const START_C: f64 = 40.0;
const TAU_S: f64 = 40.0;
const PULL_S: f64 = 8.0;

/// Charge air with the pull at 20 s: level, even climb, Newton cooling to its level.
fn truth_c(t: f64) -> f64 {
    match t - 20.0 {
        before if before < 0.0 => START_C,
        during if during <= PULL_S => START_C + RISE_C * during / PULL_S,
        after => START_C + RISE_C * libm::exp(-(after - PULL_S) / TAU_S),
    }
}

/// Written in steps of `step`, or as it is where that is 0.
fn channel(role: Role, hz: f64, until_s: f64, step: f64, value: impl Fn(f64) -> f64) -> Channel {
    let stepped = |t: f64| if step > 0.0 { (value(t) / step).round() * step } else { value(t) };
    let resolution = (step > 0.0).then_some(step);
    Channel { resolution, ..sampled(role, hz, until_s, stepped) }
}

fn pull(number: u32, start_s: f64) -> Pull {
    Pull {
        number,
        kind: Kind::Standing,
        start_s,
        end_s: start_s + PULL_S,
        effort: Effort::Full,
        cut: Cut::default(),
        how: String::new(),
    }
}

/// 5 m/s² from the pull's start.
fn motion(start_s: f64) -> Motion {
    let time_s: Vec<f64> = (0..=80).map(|i| start_s + 0.1 * f64::from(i)).collect();
    Motion {
        start_s,
        start_sd_s: 0.01,
        ends_untold: false,
        speed_mps: time_s.iter().map(|t| 5.0 * (t - start_s)).collect(),
        speed_sd_mps: vec![0.05; time_s.len()],
        distance_m: time_s.iter().map(|t| 2.5 * (t - start_s).powi(2)).collect(),
        accel_mps2: vec![5.0; time_s.len()],
        time_s,
    }
}

fn over(charge: Channel) -> Heat {
    let log = log(vec![charge]);
    let motion = motion(20.0);
    let heats = over_pulls(&log, &[pull(1, 20.0)], &[Some(&motion)], &[12.0], None);
    heats.into_iter().next().flatten().expect("charge air over the pull")
}

#[test]
fn inlet_air_never_stands_in_for_charge_air() {
    let log = log(vec![channel(Role::InletAir, 10.0, 90.0, 0.0, truth_c)]);
    assert_eq!(over_pulls(&log, &[pull(1, 20.0)], &[None], &[], None), [None]);
}

/// Told up to 10 m/s, 2 s after the start.
#[test]
fn charge_air_is_not_read_at_a_road_speed_that_nothing_tells() {
    let log = log(vec![channel(Role::ChargeAir, 10.0, 90.0, 0.0, truth_c)]);
    let whole = motion(20.0);
    let cut = |column: &[f64]| column[..=20].to_vec();
    let motion = Motion {
        ends_untold: true,
        time_s: cut(&whole.time_s),
        speed_mps: cut(&whole.speed_mps),
        speed_sd_mps: cut(&whole.speed_sd_mps),
        distance_m: cut(&whole.distance_m),
        accel_mps2: cut(&whole.accel_mps2),
        ..whole
    };
    let heats = over_pulls(&log, &[pull(1, 20.0)], &[Some(&motion)], &[9.0, 12.0], None);
    let heat = heats.into_iter().next().flatten().expect("charge air over the pull");
    assert!(heat.at.iter().all(|at| at.speed_mps <= 10.0) && !heat.at.is_empty(), "{:?}", heat.at);
    assert_eq!(heat.rise_k_per_kjpkg, None);
    assert!((heat.rise_c - RISE_C).abs() < 0.02, "start and lift need no speed");
}

#[test]
fn start_end_rise_and_marks_are_the_truth() {
    let heat = over(channel(Role::ChargeAir, 10.0, 150.0, 0.0, truth_c));
    let near = |ours: f64, truth: f64| assert!((ours - truth).abs() < 0.02, "{ours} for {truth}");
    near(heat.start_c, START_C);
    near(heat.end_c, START_C + RISE_C);
    near(heat.rise_c, RISE_C);
    near(heat.peak_after_s, 0.0);
    near(heat.rise_k_per_s.expect("lasts"), RISE_C / PULL_S);
    // 40 m/s at the lift: 0.8 kJ/kg.
    near(heat.rise_k_per_kjpkg.expect("moved"), RISE_C / 0.8);
    for at in &heat.at {
        near(at.charge_c, START_C + RISE_C * at.speed_mps / 40.0);
    }
    let own = heat.at.iter().find(|at| at.speed_mps == 12.0);
    assert!(own.is_some(), "the reader's own mark");
    assert!(heat.at.iter().all(|at| at.speed_mps <= 40.0), "read beyond the lift");
    let recovery = heat.recovery.expect("two minutes of it");
    near(recovery.tau_s.expect("told"), TAU_S);
    near(recovery.settles_at_c.expect("told"), START_C);
    // 60 s after the lift, and back within 2 °F of the start.
    near(recovery.after_60s_c.expect("read"), truth_c(88.0));
    let back = recovery.back_after_s.expect("came back");
    assert!((back - TAU_S * libm::log(RISE_C / (2.0 / 1.8))).abs() < 0.11, "{back}");
}

#[test]
fn whole_degrees_cover_the_truth_with_wider_doubt() {
    let fine = over(channel(Role::ChargeAir, 5.0, 150.0, 0.0, truth_c));
    let whole = over(channel(Role::ChargeAir, 5.0, 150.0, 1.0, |t| truth_c(t) + 0.3));
    // Two levels, each with a whole degree's 1/√12 on top of what the moment leaves open.
    let added = whole.rise_sd_c * whole.rise_sd_c - fine.rise_sd_c * fine.rise_sd_c;
    assert!(whole.rise_sd_c > 0.4 && added > 2.0 / 12.0 - 0.02, "{added}");
    assert!((whole.rise_c - RISE_C).abs() < 2.0 * whole.rise_sd_c);
    let recovery = whole.recovery.expect("long enough");
    let (low, high) = (recovery.tau_low_s.expect("closed"), recovery.tau_high_s.expect("closed"));
    assert!(low < TAU_S && TAU_S < high, "{low} to {high}");
}

/// Read once a second and repeated in the rows between.
#[test]
fn a_held_reading_is_as_old_as_its_last_change() {
    let charge = channel(Role::ChargeAir, 10.0, 150.0, 0.1, |t| truth_c((t + 0.05).floor()));
    let log = log(vec![charge.clone()]);
    let rows = Thermometer::of(&log, Role::ChargeAir).expect("it is there").series().len();
    assert!((140..190).contains(&rows), "{rows} fresh readings in 150 s");
    let heat = over(charge);
    for at in &heat.at {
        let true_c = START_C + RISE_C * at.speed_mps / 40.0;
        assert!((at.charge_c - true_c).abs() < 1.96 * at.sd_c, "{at:?} for {true_c}");
        assert!((at.charge_c - true_c).abs() < 0.5, "{at:?} for {true_c}");
    }
}

/// Joined recordings leave a pause in the record: what comes after it is another story.
#[test]
fn a_recovery_ends_at_a_pause_of_the_record() {
    let whole = channel(Role::ChargeAir, 10.0, 800.0, 0.1, truth_c);
    let kept = |t: &f64| *t < 70.0 || *t > 670.0;
    let time_s: Vec<f64> = whole.series.time_s.iter().copied().filter(kept).collect();
    // Driven hard in between: hot again.
    let value = time_s.iter().map(|t| if *t > 670.0 { 70.0 } else { truth_c(*t) }).collect();
    let series = crate::log::Series { time_s: time_s.into(), value };
    let recovery = over(Channel { series, ..whole }).recovery.expect("40 s of it");
    assert!(recovery.to_s < 70.0, "fitted to {} s", recovery.to_s);
    assert!(recovery.tau_s.is_none_or(|tau_s| (tau_s - TAU_S).abs() < 10.0));
}

#[test]
fn a_log_that_stops_early_says_so_and_gives_no_time_constant() {
    let heat = over(channel(Role::ChargeAir, 10.0, 58.0, 0.1, truth_c));
    let recovery = heat.recovery.expect("30 s of it");
    assert_eq!(recovery.tau_s, None);
    assert_eq!(recovery.after_60s_c, None);
    assert!(recovery.no_tau.is_some_and(|why| why.contains("stops too early")));
    assert!(recovery.falls_k_per_s.is_some_and(|rate| (0.25..0.45).contains(&rate)));

    let shorter = over(channel(Role::ChargeAir, 10.0, 32.0, 0.1, truth_c));
    assert_eq!(shorter.recovery, None);
    assert!(shorter.no_recovery.is_some_and(|why| why.contains("Keep logging")));
}

#[test]
fn a_single_wild_reading_moves_nothing() {
    let mut charge = channel(Role::ChargeAir, 10.0, 150.0, 0.0, truth_c);
    for place in [195, 240, 280] {
        charge.series.value[place] = 140.0;
    }
    let heat = over(charge);
    assert!((heat.rise_c - RISE_C).abs() < 0.2, "{}", heat.rise_c);
    assert!((heat.start_c - START_C).abs() < 0.05 && heat.peak_c < START_C + RISE_C + 0.1);
}

#[test]
fn a_pull_that_charge_air_does_not_reach_into_has_no_heat() {
    let log = log(vec![channel(Role::ChargeAir, 10.0, 23.0, 0.0, truth_c)]);
    assert_eq!(over_pulls(&log, &[pull(1, 20.0)], &[None], &[], None), [None]);
}

#[test]
fn standing_and_driving_are_told_apart() {
    // Stands for 30 s after the lift and keeps its heat, then drives and cools.
    let charge = |t: f64| match t {
        t if t < 58.0 => truth_c(t.min(28.0)),
        t => START_C + RISE_C * libm::exp(-(t - 58.0) / 25.0),
    };
    let speed = |t: f64| if (28.0..58.0).contains(&t) { 0.0 } else { 15.0 };
    let log = log(vec![
        channel(Role::ChargeAir, 10.0, 150.0, 0.1, charge),
        channel(Role::VehicleSpeed, 10.0, 150.0, 0.0, speed),
    ]);
    let heats = over_pulls(&log, &[pull(1, 20.0)], &[None], &[], None);
    let recovery = heats[0].as_ref().and_then(|heat| heat.recovery.as_ref()).expect("a recovery");
    assert_eq!(recovery.while_car, WhileCar::Drove);
    assert!(recovery.tau_s.is_some_and(|tau| (tau - 25.0).abs() < 1.0), "{:?}", recovery.tau_s);
}

/// Charge air over several pulls that carry heat over, by the ladder's own law.
fn ladder_log(pulls: usize, gap_s: f64) -> (Log, Vec<Pull>) {
    let lasts = PULL_S + gap_s;
    let truth = move |t: f64| {
        let mut start = START_C;
        for number in 0..pulls {
            let since = t - 20.0 - lasts * number as f64;
            if since < 0.0 {
                return start;
            }
            let cooled = 30.0 + (start + RISE_C - 30.0) * libm::exp(-(since - PULL_S) / TAU_S);
            if since <= PULL_S {
                return start + RISE_C * since / PULL_S;
            }
            if since <= lasts || number + 1 == pulls {
                return cooled;
            }
            start = 30.0 + (start + RISE_C - 30.0) * libm::exp(-gap_s / TAU_S);
        }
        start
    };
    let until_s = 20.0 + lasts * pulls as f64 + 60.0;
    let pulls = (0..pulls).map(|n| pull(n as u32 + 1, 20.0 + lasts * n as f64)).collect();
    (log(vec![channel(Role::ChargeAir, 10.0, until_s, 0.1, truth)]), pulls)
}

#[test]
fn the_ladder_forecasts_what_the_law_would_bring() {
    let (log, pulls) = ladder_log(3, 70.0);
    let heats = over_pulls(&log, &pulls, &[None, None, None], &[], None);
    let ladder = ladder(&pulls, &heats).expect("three pulls");

    let q = libm::exp(-70.0 / TAU_S);
    let limit = 30.0 + RISE_C * q / (1.0 - q);
    let found = ladder.tends_to_c.expect("a recovery was told");
    assert!(
        (found - limit).abs() < ladder.tends_plus_minus_c.expect("known"),
        "{found} for {limit}"
    );
    assert_eq!(ladder.forecast_c.len(), 3);
    assert!((ladder.gap_s.expect("two gaps") - 70.0).abs() < 0.6);

    // A wait until 35 °C: (peak − 30) exp(−t/40) = 5.
    let cooling = ladder.cooling.expect("told");
    let wait = cooling.wait(35.0).expect("above the level");
    let truth = TAU_S * libm::log((cooling.peak_c - 30.0) / 5.0);
    assert!((wait.low_s..=wait.high_s.expect("bounded")).contains(&truth), "{wait:?} for {truth}");
    assert_eq!(cooling.wait(25.0), None, "below the level no wait helps");
}

#[test]
fn one_pull_is_no_ladder() {
    let (log, pulls) = ladder_log(1, 70.0);
    let heats = over_pulls(&log, &pulls, &[None], &[], None);
    assert_eq!(ladder(&pulls, &heats), None);
}

#[test]
fn a_lagging_sensor_is_seen_and_undone_at_a_cost() {
    let tau = 2.0;
    let lagged = move |t: f64| match t - 20.0 {
        before if before < 0.0 => START_C,
        since if since <= PULL_S => START_C + 2.0 * since - lag::behind_ramp_c(2.0, since, tau),
        _ => START_C + 12.0,
    };
    let heat = over(channel(Role::ChargeAir, 20.0, 60.0, 0.05, lagged));
    let lag = heat.lag.expect("four lags long");
    assert!((1.4..2.8).contains(&lag.tau_s), "{lag:?}");
    let undone = lag.end_undone.expect("little noise");
    assert!((undone.c - (START_C + 2.0 * PULL_S)).abs() < 2.0 * undone.sd_c, "{undone:?}");
    assert!(undone.sd_c > heat.end_sd_c, "undoing costs noise");
}

#[test]
fn cooler_and_compressor_are_told_only_where_channels_allow() {
    let held = |role, value: f64| channel(role, 10.0, 60.0, 0.0, move |_| value);
    let charge = || channel(Role::ChargeAir, 10.0, 60.0, 0.0, truth_c);
    let bare = log(vec![charge()]);
    let hardware = Hardware::over(&bare, &pull(1, 20.0), 50.0);
    assert_eq!(hardware, Hardware::default());

    let full = log(vec![
        charge(),
        held(Role::InletAir, 25.0),
        held(Role::ChargeCoolant, 25.0),
        held(Role::CompressorOutletAir, 118.28),
        held(Role::ManifoldPressure, 200e3),
        held(Role::BarometricPressure, 100e3),
    ]);
    let hardware = Hardware::over(&full, &pull(1, 20.0), 45.0);
    // 298.15 K, ratio 2, efficiency 0.7 give 391.43 K (fluids 1.3.1).
    assert!((hardware.efficiency.expect("logged") - 0.7).abs() < 1e-3);
    let cooler = hardware.effectiveness.expect("all three temperatures");
    assert!(cooler.measured() && (cooler.low - (118.28 - 45.0) / (118.28 - 25.0)).abs() < 1e-9);

    let guessed = log(vec![
        charge(),
        held(Role::AmbientAir, 25.0),
        held(Role::ManifoldPressure, 200e3),
        held(Role::BarometricPressure, 100e3),
    ]);
    let hardware = Hardware::over(&guessed, &pull(1, 20.0), 45.0);
    let outlet = hardware.outlet_c.expect("a span");
    assert!(outlet.low < 118.28 && outlet.high > 118.28 && !outlet.measured());
    assert_eq!(hardware.efficiency, None);
}
