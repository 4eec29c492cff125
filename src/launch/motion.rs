//! The motion of one pull over the ground, with its uncertainty.

/// Ground motion on one rising time base, in seconds of the log.
///
/// All columns have the same length. `start_s` is the estimated first motion
/// (standing) or throttle opening (rolling); distance counts from there.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    pub start_s: f64,
    /// Standard deviation of `start_s`.
    pub start_sd_s: f64,
    /// It ends before the pull does: from there on the only witness ran ahead of the road.
    pub ends_untold: bool,
    pub time_s: Vec<f64>,
    pub speed_mps: Vec<f64>,
    pub speed_sd_mps: Vec<f64>,
    pub distance_m: Vec<f64>,
    pub accel_mps2: Vec<f64>,
}

impl Motion {
    /// Time of the first upward crossing of a ground speed, seconds of the log.
    /// `None` if it was not reached; never extrapolated.
    pub fn time_at_speed(&self, speed_mps: f64) -> Option<f64> {
        crossing(&self.time_s, &self.speed_mps, speed_mps)
    }

    /// Time at which a distance from the start was reached, seconds of the log.
    pub fn time_at_distance(&self, distance_m: f64) -> Option<f64> {
        crossing(&self.time_s, &self.distance_m, distance_m)
    }

    /// The highest ground speed of the pull; `None` where the motion does not tell all of it.
    pub fn top_speed_mps(&self) -> Option<f64> {
        if self.ends_untold {
            return None;
        }
        self.speed_mps.iter().copied().max_by(f64::total_cmp)
    }

    /// Ground speed at a time of the log; `None` outside the motion.
    pub fn speed_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, &self.speed_mps)
    }

    /// Standard deviation of the ground speed; `None` outside the motion.
    pub fn speed_sd_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, &self.speed_sd_mps)
    }

    fn between(&self, time_s: f64, column: &[f64]) -> Option<f64> {
        let after = self.time_s.partition_point(|&t| t < time_s);
        let (&t1, &v1) = (self.time_s.get(after)?, column.get(after)?);
        if t1 == time_s {
            return Some(v1);
        }
        let before = after.checked_sub(1)?;
        let (t0, v0) = (self.time_s[before], column[before]);
        Some(v0 + (v1 - v0) * (time_s - t0) / (t1 - t0))
    }
}

/// First upward crossing of `level`, linear between neighbours.
fn crossing(x: &[f64], y: &[f64], level: f64) -> Option<f64> {
    let after = y.iter().position(|&y| y >= level)?;
    let Some(before) = after.checked_sub(1) else { return (y[0] == level).then_some(x[0]) };
    let share = (level - y[before]) / (y[after] - y[before]);
    Some(x[before] + share * (x[after] - x[before]))
}
