//! Lone readings that leap away and back as the quantity cannot are left out and said.
//!
//! Twenty readings a second unless a row says otherwise; every true reading must stay,
//! however steep: a wheel that spins and grips, a gear that goes in, a lock-up, noise.

use pullmark::log::{Channel, Log, Role, read};

/// Two hundred readings; `value` gives each, and `every_s` parts them.
fn log_of(name: &str, every_s: f64, value: impl Fn(usize) -> f64) -> Log {
    let row = |n: usize| format!("{:.3},{:.1}\n", n as f64 * every_s, value(n));
    let rows: String = (0..200).map(row).collect();
    read("a.csv", format!("Time (s),{name}\n{rows}").as_bytes()).unwrap()
}

fn channel(log: &Log, role: Role) -> &Channel {
    log.channel(role).unwrap_or_else(|| panic!("{role:?}: {:?}", log.problems))
}

/// A steady drive at 50 km/h, 3000 rpm or 40 °C that wavers by a step now and then.
fn steady(base: f64) -> impl Fn(usize) -> f64 {
    move |n| base + ((n * 7) % 3) as f64 / 10.0
}

#[test]
fn a_reading_that_leaps_is_left_out_and_said() {
    for (name, role, every_s, base, leap, said) in [
        ("Speed (km/h)", Role::VehicleSpeed, 0.05, 50.0, 350.0, "350 km/h at 2.00 s"),
        ("Speed (km/h)", Role::VehicleSpeed, 0.05, 50.0, 0.0, "0.00 km/h at 2.00 s"),
        ("Speed (mph)", Role::VehicleSpeed, 0.1, 50.0, 0.0, "0.00 mph at 4.00 s"),
        ("GPS Speed (km/h)", Role::SatelliteSpeed, 0.1, 50.0, 90.0, "90.0 km/h at 4.00 s"),
        ("GPS Speed (km/h)", Role::SatelliteSpeed, 1.0, 50.0, 190.0, "190 km/h at 40.00 s"),
        ("RPM", Role::EngineSpeed, 0.05, 3000.0, 0.0, "0.00 rpm at 2.00 s"),
        ("RPM", Role::EngineSpeed, 0.05, 850.0, 0.0, "0.00 rpm at 2.00 s"),
        ("RPM", Role::EngineSpeed, 0.05, 3000.0, 16000.0, "16000 rpm at 2.00 s"),
        ("IAT (C)", Role::InletAir, 0.05, 30.0, 0.0, "0.00 °C at 2.00 s"),
        ("IAT (C)", Role::InletAir, 1.0, 31.0, 0.0, "0.00 °C at 40.00 s"),
        ("ECT (F)", Role::Coolant, 0.1, 190.0, 32.0, "32.0 °F at 4.00 s"),
    ] {
        for run in 1..=if every_s < 0.1 { 2 } else { 1 } {
            let beside = steady(base);
            let log =
                log_of(
                    name,
                    every_s,
                    |n| if (40..40 + run).contains(&n) { leap } else { beside(n) },
                );
            let case = format!("{name} {leap} × {run}: {:?}", log.problems);
            assert_eq!(channel(&log, role).series.len(), 200 - run, "{case}");
            let problem = log.problems.iter().find(|problem| problem.code == "leaps");
            assert!(problem.is_some_and(|problem| problem.text.contains(said)), "{case}");
        }
    }
}

#[test]
fn a_true_reading_stays_however_steep() {
    // Time from the event, s, to what the channel reads.
    type Shape = fn(f64) -> f64;
    let spin: Shape = |t| {
        30.0 + if t < 0.0 {
            0.0
        } else {
            (200.0 * t).min(40.0 - 800.0 * (t - 0.25).max(0.0)).max(0.0)
        }
    };
    let shift: Shape = |t| 6800.0 - 25_000.0 * t.clamp(0.0, 0.1);
    let blip: Shape = |t| {
        2000.0
            + if t < 0.0 { 0.0 } else { (12_000.0 * t).min(3000.0 - 8000.0 * (t - 0.25)).max(0.0) }
    };
    let locked: Shape = |t| if (0.0..0.3).contains(&t) { 0.0 } else { 80.0 };
    let anti_lock: Shape = |t| 90.0 - if (0.0..0.06).contains(&t) { 22.0 } else { 0.0 };
    let flare: Shape = |t| 3000.0 + if (0.0..0.1).contains(&t) { 900.0 } else { 0.0 };
    let gust: Shape = |t| 30.0 + if (0.0..0.1).contains(&t) { 4.0 } else { 0.0 };
    for (name, role, every_s, shape) in [
        ("Speed (km/h)", Role::VehicleSpeed, 0.01, spin),
        ("Speed (km/h)", Role::VehicleSpeed, 0.05, spin),
        ("Speed (km/h)", Role::VehicleSpeed, 0.1, spin),
        ("Speed (km/h)", Role::VehicleSpeed, 0.2, spin),
        ("Speed (km/h)", Role::VehicleSpeed, 0.05, anti_lock),
        ("Speed (km/h)", Role::VehicleSpeed, 0.1, locked),
        ("Speed (km/h)", Role::VehicleSpeed, 0.2, locked),
        ("RPM", Role::EngineSpeed, 0.01, shift),
        ("RPM", Role::EngineSpeed, 0.05, blip),
        ("RPM", Role::EngineSpeed, 0.1, blip),
        ("RPM", Role::EngineSpeed, 0.05, flare),
        ("IAT (C)", Role::InletAir, 0.1, gust),
    ] {
        for phase in 0..4 {
            let after = every_s * f64::from(phase) / 4.0;
            let log = log_of(name, every_s, |n| shape((n as f64 - 100.0) * every_s + after));
            let all = channel(&log, role).series.len();
            assert_eq!(all, 200, "{name} at {every_s} s, {after}: {:?}", log.problems);
        }
    }
}

/// A sensor whose every reading jumps has a wide place to be in, not two hundred leaps.
#[test]
fn noise_is_no_leap() {
    let noisy = |n: usize| 80.0 + ((n * n * 31 + n * 17) % 101) as f64 / 2.0;
    let log = log_of("Speed (km/h)", 0.01, noisy);
    assert_eq!(channel(&log, Role::VehicleSpeed).series.len(), 200, "{:?}", log.problems);
}

#[test]
fn a_channel_of_leaps_is_kept_and_not_believed() {
    let beside = steady(50.0);
    let log = log_of("Speed (km/h)", 0.05, |n| if n % 15 == 7 { 200.0 } else { beside(n) });
    assert_eq!(channel(&log, Role::VehicleSpeed).series.len(), 200);
    let said = log.problems.iter().find(|problem| problem.code == "leaps").map(|p| &p.text);
    assert!(
        said.is_some_and(|text| text.ends_with("its readings are not to be believed.")),
        "{said:?}"
    );
}
