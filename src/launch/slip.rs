//! What a stretch of wheelspin amounted to: mean slip, slip distance, time lost.
//!
//! In: a launch with its witnesses. Out: the figures of each [`Spin`] of the tyres. Never:
//! a figure where nothing but the spinning wheel witnessed the road, or a loss without a
//! launch that stands to hold it against.
//!
//! Slip distance is the integral of wheel speed less ground speed; mean slip is that over
//! the ground covered meanwhile, so that crawling starts do not outweigh the rest.

use super::{Launch, Spin, SpinKind, Verdict, Witness};

/// Less ground covered than this gives no share worth telling.
const LEAST_GROUND_M: f64 = 0.3;
/// A wheel less ahead than this on the mean is the road's own, by scale and creep.
const LEAST_SHARE: f64 = 0.05;
/// A stretch needs so many readings of the wheel to be summed.
const FEWEST: usize = 3;

/// Time lost against the car's own best traction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimeLost {
    pub lost_s: f64,
    /// Half of the 95 % interval.
    pub plus_minus_s: Option<f64>,
}

/// Fills in mean slip and slip distance of every stretch in which the tyres spun.
pub fn measure(launch: &mut Launch) {
    let mut spins = std::mem::take(&mut launch.spin);
    for spin in spins.iter_mut().filter(|spin| spin.kind == SpinKind::Tyre) {
        if let Some((slid_m, ground_m)) = slid(launch, spin) {
            spin.slip_distance_m = Some(slid_m);
            spin.mean_slip = (ground_m > LEAST_GROUND_M).then(|| slid_m / ground_m);
        }
    }
    launch.spin = spins;
}

/// Metres slid and covered, by the logged speed where that ran ahead, else by the engine
/// through its gear, which a clutch that still slips would make too much of.
fn slid(launch: &Launch, spin: &Spin) -> Option<(f64, f64)> {
    let wheels = [Witness::LoggedSpeed, Witness::EngineThroughGear];
    let mut found = wheels.iter().filter_map(|&witness| along(launch, witness, spin));
    found.find(|&(slid_m, ground_m)| slid_m > LEAST_SHARE * ground_m.max(0.0))
}

/// The trapezium rule over one witness's readings.
fn along(launch: &Launch, witness: Witness, spin: &Spin) -> Option<(f64, f64)> {
    let motion = launch.motion.as_ref()?;
    let trace = launch.witnesses.iter().find(|trace| trace.witness == witness)?;
    let rows: Vec<(f64, f64, f64)> = trace
        .time_s
        .iter()
        .zip(&trace.speed_mps)
        .filter(|&(&t, _)| t >= spin.from_s && t <= spin.to_s)
        .filter_map(|(&t, &wheel)| Some((t, wheel, motion.speed_at(t)?)))
        .collect();
    let sum = |of: fn(&(f64, f64, f64)) -> f64| -> f64 {
        rows.windows(2).map(|w| 0.5 * (w[1].0 - w[0].0) * (of(&w[0]) + of(&w[1]))).sum()
    };
    (rows.len() >= FEWEST).then(|| (sum(|row| row.1 - row.2), sum(|row| row.2)))
}

/// Time lost in each stretch of a launch, against the quickest of `others` that stands and
/// did not spin: how much later the speed at the end of the stretch was reached.
pub fn time_lost(launch: &Launch, others: &[&Launch]) -> Vec<Option<TimeLost>> {
    launch.spin.iter().map(|spin| lost(launch, spin, others)).collect()
}

fn lost(launch: &Launch, spin: &Spin, others: &[&Launch]) -> Option<TimeLost> {
    // Without a slip distance the ground speed was not witnessed apart from the wheel.
    spin.slip_distance_m?;
    let motion = launch.motion.as_ref()?;
    let speed_mps = motion.speed_at(spin.to_s)?;
    let took_s = spin.to_s - motion.start_s;
    let gripped = |other: &&&Launch| {
        let spun = other.spin.iter().any(|spin| spin.kind == SpinKind::Tyre);
        other.verdict == Verdict::Stands && !spun
    };
    let reached = |other: &&Launch| {
        let motion = other.motion.as_ref()?;
        Some((motion.time_at_speed(speed_mps)? - motion.start_s, doubt_s(other)))
    };
    let best = others.iter().filter(gripped).filter_map(reached);
    let (best_s, best_doubt_s) = best.min_by(|a, b| a.0.total_cmp(&b.0))?;
    let doubt = doubt_s(launch).zip(best_doubt_s).map(|(a, b)| libm::hypot(a, b));
    Some(TimeLost { lost_s: took_s - best_s, plus_minus_s: doubt })
}

/// The ± of the pull's 0-60 mph, or of its first mark: most of it is the start's, which
/// all marks share.
fn doubt_s(launch: &Launch) -> Option<f64> {
    let of = |mark: &str| launch.marks.iter().find(|m| m.mark == mark);
    of("0-60mph").or(launch.marks.first())?.plus_minus_s
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::launch::{MarkTime, Motion, WitnessTrace};

    fn launch(accel_mps2: f64, verdict: Verdict) -> Launch {
        let time_s: Vec<f64> = (0..=60).map(|i| f64::from(i) * 0.1).collect();
        let motion = Motion {
            start_s: 0.0,
            start_sd_s: 0.01,
            ends_untold: false,
            speed_mps: time_s.iter().map(|t| accel_mps2 * t).collect(),
            speed_sd_mps: vec![0.1; 61],
            distance_m: time_s.iter().map(|t| 0.5 * accel_mps2 * t * t).collect(),
            accel_mps2: vec![accel_mps2; 61],
            time_s,
        };
        let mark = MarkTime {
            mark: "0-60mph",
            time_s: Some(5.0),
            plus_minus_s: Some(0.03),
            rollout_time_s: None,
            logged_time_s: None,
            speed_mps: None,
            verdict,
        };
        Launch { verdict, motion: Some(motion), marks: vec![mark], ..Launch::unknown() }
    }

    /// 4 m/s² with the wheels 3 m/s ahead from 1 to 3 s.
    fn spun() -> Launch {
        let mut launch = launch(4.0, Verdict::InDoubt);
        let motion = launch.motion.clone().unwrap();
        let ahead = motion.speed_mps.iter().map(|v| v + 3.0).collect();
        launch.witnesses = vec![WitnessTrace {
            witness: Witness::LoggedSpeed,
            time_s: motion.time_s,
            speed_mps: ahead,
        }];
        launch.spin = vec![Spin {
            from_s: 1.0,
            to_s: 3.0,
            peak_slip: 0.75,
            kind: SpinKind::Tyre,
            evidence: Vec::new(),
            mean_slip: None,
            slip_distance_m: None,
            time_lost: None,
        }];
        measure(&mut launch);
        launch
    }

    /// Exact: 3 m/s for 2 s are 6 m; the car went 0.5 · 4 · (9 − 1) = 16 m meanwhile.
    #[test]
    fn slip_distance_and_mean_slip_are_integrals() {
        let spin = spun().spin.remove(0);
        assert!(spin.slip_distance_m.is_some_and(|m| (m - 6.0).abs() < 1e-9), "{spin:?}");
        assert!(spin.mean_slip.is_some_and(|share| (share - 0.375).abs() < 1e-9), "{spin:?}");
    }

    /// Exact: 12 m/s after 3 s here, after 12/6 and 12/5 s by the others that grip; the one of
    /// 6 m/s² is void and tells nothing. ± of two times 0.03 s.
    #[test]
    fn time_is_lost_against_the_quickest_that_stands_and_did_not_spin() {
        let (spun, void) = (spun(), launch(6.0, Verdict::Void));
        let stood = launch(5.0, Verdict::Stands);
        let lost = time_lost(&spun, &[&void, &stood, &spun])[0].unwrap();
        assert!((lost.lost_s - 0.6).abs() < 1e-9, "{lost:?}");
        assert!(lost.plus_minus_s.is_some_and(|pm| (pm - 0.03 * 2_f64.sqrt()).abs() < 1e-9));
        assert_eq!(time_lost(&spun, &[&void, &spun]), [None]);
    }

    #[test]
    fn a_converter_slides_nowhere() {
        let mut launch = spun();
        launch.spin[0] =
            Spin { kind: SpinKind::Converter, slip_distance_m: None, ..launch.spin[0].clone() };
        measure(&mut launch);
        assert_eq!(launch.spin[0].slip_distance_m, None);
    }
}
