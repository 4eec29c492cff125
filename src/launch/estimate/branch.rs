//! What comes out of the estimate: the motion for each likely first motion, and how a
//! quantity is taken from their mixture.
//!
//! Never: a crossing beyond the last reading.

/// The motion for one assumed first motion.
#[derive(Debug, Clone)]
pub struct Branch {
    pub start_s: f64,
    pub weight: f64,
    pub points: Vec<Point>,
}

/// First motion is where the ground speed passes this. Below it no sensor tells a car
/// from its noise, and no wheel has turned by a finger's width.
const FIRST_MOTION_MPS: f64 = 0.05;

/// The smoothed state at one time of the log.
#[derive(Debug, Clone, Copy)]
pub struct Point {
    pub time_s: f64,
    pub distance_m: f64,
    pub speed_mps: f64,
    pub accel_mps2: f64,
    pub distance_sd_m: f64,
    pub speed_sd_mps: f64,
}

/// The motion of one pull as a mixture over its first motion.
#[derive(Debug, Clone)]
pub struct Estimate {
    /// Rising in `start_s`; weights add up to 1.
    pub branches: Vec<Branch>,
    /// By how much the logged speed reads above the ground, and the accelerometer above the
    /// motion, as shares.
    pub logged_off: f64,
    pub accelerometer_off: f64,
}

impl Estimate {
    /// The branch of greatest weight.
    pub fn best(&self) -> Option<&Branch> {
        self.branches.iter().max_by(|a, b| a.weight.total_cmp(&b.weight))
    }

    /// Mean and standard deviation of a quantity over the mixture; each branch gives
    /// its own mean and standard deviation. `None` if any branch has none.
    pub fn mixed(&self, of: impl Fn(&Branch) -> Option<(f64, f64)>) -> Option<(f64, f64)> {
        let parts: Vec<(f64, f64, f64)> = self
            .branches
            .iter()
            .map(|branch| of(branch).map(|(mean, sd)| (branch.weight, mean, sd)))
            .collect::<Option<_>>()?;
        let mean: f64 = parts.iter().map(|&(w, mean, _)| w * mean).sum();
        let var: f64 =
            parts.iter().map(|&(w, m, sd)| w * (sd * sd + (m - mean) * (m - mean))).sum();
        Some((mean, libm::sqrt(var)))
    }
}

impl Branch {
    /// First motion (standing) or throttle opening (rolling), seconds of the log.
    pub fn first_motion_s(&self) -> f64 {
        self.at_speed(FIRST_MOTION_MPS).map_or(self.start_s, |(time_s, _)| time_s)
    }

    /// Time of the log at which a speed was first reached, with its deviation.
    pub fn at_speed(&self, speed_mps: f64) -> Option<(f64, f64)> {
        self.crossing(|p| p.speed_mps, |p| p.speed_sd_mps, speed_mps)
    }

    /// Time of the log at which a distance was reached, with its deviation.
    pub fn at_distance(&self, distance_m: f64) -> Option<(f64, f64)> {
        self.crossing(|p| p.distance_m, |p| p.distance_sd_m, distance_m)
    }

    /// Ground speed at a time of the log; `None` outside the motion.
    pub fn speed_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, |p| p.speed_mps)
    }

    /// Acceleration at a time of the log; `None` outside the motion.
    pub fn accel_at(&self, time_s: f64) -> Option<f64> {
        self.between(time_s, |p| p.accel_mps2)
    }

    fn between(&self, time_s: f64, value: impl Fn(&Point) -> f64) -> Option<f64> {
        let after = self.points.partition_point(|p| p.time_s < time_s);
        let (a, b) = (self.points.get(after.checked_sub(1)?)?, self.points.get(after)?);
        let share = (time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9);
        Some(value(a) + share * (value(b) - value(a)))
    }

    /// First crossing of a level, and half the time between the crossings of the level
    /// less and plus its deviation: on a plateau (a shift) that is far wider than the
    /// slope at the crossing would have it.
    fn crossing(
        &self,
        value: impl Fn(&Point) -> f64,
        sd: impl Fn(&Point) -> f64,
        level: f64,
    ) -> Option<(f64, f64)> {
        let first = |level: f64| {
            let after = self.points.iter().position(|p| value(p) >= level)?;
            let (a, b) = (&self.points[after.checked_sub(1)?], &self.points[after]);
            let share = (level - value(a)) / (value(b) - value(a));
            Some((a.time_s + share * (b.time_s - a.time_s), after))
        };
        let (time_s, after) = first(level)?;
        let spread = sd(&self.points[after]);
        let early_s = first(level - spread).map_or(time_s - self.start_s, |(t, _)| time_s - t);
        let late_s = first(level + spread).map_or(early_s, |(t, _)| t - time_s);
        Some((time_s, early_s.max(late_s)))
    }
}
