//! One pull as the comparison sees it.

use crate::air::Air;
use crate::heat::{Heat, Reading, SpeedReading};
use crate::launch::power::WheelPower;
use crate::launch::{Launch, SpinKind, Verdict};

/// One pull that counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Run {
    pub build: usize,
    pub outing: usize,
    /// Place in its outing, from 1, over all its logs.
    pub number: u32,
    pub air: Air,
    pub start: Option<Reading>,
    pub end: Option<Reading>,
    pub rise: Option<Reading>,
    /// Top ground speed of the pull.
    pub end_speed_mps: Option<f64>,
    pub at: Vec<SpeedReading>,
    /// Time constant and its standard error, s.
    pub tau_s: Option<(f64, f64)>,
    pub times: Vec<RunTime>,
    pub power: Vec<WheelPower>,
    pub spun: bool,
}

/// The time of one mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunTime {
    pub mark: &'static str,
    pub time_s: f64,
    pub sd_s: f64,
    pub verdict: Verdict,
}

impl Run {
    /// A pull as found. `place` is its build, its outing, and its number there.
    pub fn of(place: (usize, usize, u32), air: Air, launch: &Launch, heat: Option<&Heat>) -> Self {
        let reading = |c: f64, sd_c: f64| Some(Reading { c, sd_c });
        let time = |mark: &crate::launch::MarkTime| {
            Some(RunTime {
                mark: mark.mark,
                time_s: mark.time_s?,
                sd_s: mark.plus_minus_s.unwrap_or(0.0) / 1.96,
                verdict: mark.verdict,
            })
        };
        Run {
            build: place.0,
            outing: place.1,
            number: place.2,
            air,
            // Pulls are compared with pulls: what the sensor's delay does to all of them alike
            // has no say, and what it does to each shows in their scatter.
            start: heat.and_then(|heat| reading(heat.start_c, heat.start_own_sd_c)),
            end: heat.and_then(|heat| reading(heat.end_c, heat.end_own_sd_c)),
            rise: heat.and_then(|heat| {
                reading(heat.rise_c, libm::hypot(heat.start_own_sd_c, heat.end_own_sd_c))
            }),
            end_speed_mps: launch.motion.as_ref().and_then(|motion| motion.top_speed_mps()),
            at: heat.map(at_speeds).unwrap_or_default(),
            tau_s: heat.and_then(tau),
            times: launch.marks.iter().filter_map(time).collect(),
            power: launch.wheel_power.clone(),
            spun: launch.spin.iter().any(|spin| spin.kind == SpinKind::Tyre),
        }
    }

    pub fn power_at(&self, speed_mps: f64) -> Option<&WheelPower> {
        self.power.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01)
    }

    /// Charge air where the ground passed a speed.
    pub fn at_speed(&self, speed_mps: f64) -> Option<&SpeedReading> {
        self.at.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01)
    }
}

fn at_speeds(heat: &Heat) -> Vec<SpeedReading> {
    let own = |at: &SpeedReading| SpeedReading { sd_c: at.own_sd_c, ..*at };
    heat.at.iter().map(own).collect()
}

fn tau(heat: &Heat) -> Option<(f64, f64)> {
    let recovery = heat.recovery.as_ref()?;
    Some((recovery.tau_s?, recovery.fit.as_ref()?.tau_se))
}
