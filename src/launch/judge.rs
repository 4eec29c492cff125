//! Leads one pull through the room: from witnesses to verdict.
//!
//! In: a log with its pulls. Out: a [`Launch`] a pull. What the whole log teaches
//! (lags, locked gears, the accelerometer's rest) is learned once, in [`Bench::new`].

use super::estimate::{Branch, Estimate, best_branch, estimate};
use super::gears::{Gears, Pair, pairs};
use super::marks::{self, MarkTime, Timed};
use super::samples::{LONE_CREEP_SD, SCALE_SD, Samples, Source};
use super::verdict::{self, COVERAGE, Facts};
use super::wheel::{self, Excess};
use super::witness::Witnesses;
use super::{
    Car, Launch, Limits, Motion, Reason, Spin, SpinKind, Transmission, Verdict, Witness,
    WitnessTrace, driveline, grip, power, push, slip,
};
use crate::log::{Log, Role, Series};
use crate::pull::{Kind, Pull};
use crate::unit::STANDARD_GRAVITY;

/// Clocks of two channels agree to no better than this once aligned.
const CLOCK_SD_S: f64 = 0.010;
/// Of an interval of the quickest witness, this share stays unknown that no fit of the lags
/// takes out: little where rows keep a beat, all of it where they do not (1/√12).
const ON_BEAT: f64 = 0.1;
const OFF_BEAT: f64 = 0.288_675;
/// Receivers and controllers smooth a speed over a tenth of a second or two (common
/// practice, no source).
const FILTER_SD_S: f64 = 0.02;
/// Slip of a tyre near its limit that shows in nothing else (common practice, no source).
const HIDDEN_SLIP: f64 = 0.02;
/// A speed that repeats itself for longer hangs (common practice, no source).
const STUCK_S: f64 = 0.5;
/// Tyres that spun at this share of the push may slip again.
const NEAR_SPIN: f64 = 0.6;
/// Speeds are late or early by up to this.
const ABOUT_S: f64 = 0.1;
/// A slip that shows within this time of the start began with it.
const ONSET_S: f64 = 1.0;

/// What the whole log teaches.
pub struct Bench<'a> {
    car: &'a Car,
    limits: &'a Limits,
    witnesses: Witnesses,
    gears: Gears,
    altitude: Option<&'a Series>,
    coarse_clock: bool,
    /// As the reader said, else as the log's starts show.
    transmission: Option<Transmission>,
}

impl<'a> Bench<'a> {
    pub fn new(log: &'a Log, pulls: &[Pull], car: &'a Car, limits: &'a Limits) -> Self {
        let witnesses = Witnesses::gather(log, pulls, car);
        let gears = witnesses
            .engine
            .as_ref()
            .zip(witnesses.guide())
            .map(|(engine, road)| Gears::learn(engine, road))
            .unwrap_or_default();
        let altitude = log.series(Role::Altitude);
        let coarse_clock = log.says("clock_coarse");
        let transmission = None;
        let mut bench =
            Bench { car, limits, witnesses, gears, altitude, coarse_clock, transmission };
        let starts: Vec<Vec<Pair>> = pulls
            .iter()
            .filter(|pull| pull.kind == Kind::Standing && bench.engine_is_fresh(pull))
            .map(|pull| bench.pairs_inside(pull))
            .collect();
        bench.transmission =
            car.transmission.or_else(|| driveline::transmission(&starts, &bench.gears));
        bench
    }

    /// Engine speed paired with the speed that the gears were learned from, so that its
    /// scale cancels; where that speed spins with the wheels, the wheels tell.
    fn pairs_inside(&self, pull: &Pull) -> Vec<Pair> {
        let pair = self.witnesses.engine.as_ref().zip(self.witnesses.guide());
        let all = pair.map(|(engine, road)| pairs(engine, road, 2.5)).unwrap_or_default();
        all.into_iter().filter(|p| p.time_s >= pull.start_s && p.time_s <= pull.end_s).collect()
    }

    /// One pull; `None` when no witness carries a motion.
    pub fn judge(&self, pull: &Pull) -> Option<Launch> {
        let apart = self.apart(pull);
        let wheels = self.wheels(pull, apart.as_ref());
        let spans = distrusted(&wheels, apart.as_ref(), pull);
        let mut samples = Samples::gather(&self.witnesses, pull, &spans, true)?;
        let estimate = estimate(&mut samples)?;
        let [lone, creep] = self.lone_error(pull, &samples, &estimate);
        let (step_s, too_sure) = (samples.quickest_step_s(), self.too_sure(&wheels));
        let timed = marks::timed(&estimate, pull, |own_sd_s, slope, speed| {
            let share = libm::hypot(lone, creep * slope / STANDARD_GRAVITY);
            let extra_sd_s = libm::hypot(self.extra_sd_s(slope, step_s), share * speed / slope);
            libm::hypot(too_sure * own_sd_s, extra_sd_s)
        });
        let spins = self.spins(pull, &wheels);
        let facts = self.facts(pull, &samples, &estimate, &wheels, &spins);
        let verdicts: Vec<(&'static str, Verdict)> = timed
            .iter()
            .map(|timed| (timed.mark, verdict::of_mark(timed, &facts, self.limits)))
            .collect();
        let (verdict, slope) = (self.of_pull(pull, &verdicts), facts.slope);
        let is_witnessed = facts.has_ground || facts.has_accelerometer;
        let motion = motion(&estimate, pull, verdict::told_to_s(&facts));
        let mut launch = Launch {
            verdict,
            reasons: verdict::reasons(&facts, &timed, self.limits),
            marks: self.mark_times(pull, &timed, &verdicts, &facts),
            spin: spins,
            motion,
            push: push::Push::default(),
            wheel_power: Vec::new(),
            witnesses: Vec::new(),
        };
        let sensor = self.witnesses.accelerometer.as_ref();
        let push = launch.motion.as_ref().map(|motion| push::push(motion, sensor, pull));
        launch.push = push.unwrap_or_default();
        let engine = self.witnesses.engine.as_ref();
        launch.wheel_power = launch.motion.as_ref().map_or_else(Vec::new, |motion| {
            power::over_speed(motion, engine, &launch.spin, self.car, slope, pull.end_s)
        });
        launch.witnesses = self.traces(pull, launch.motion.as_ref());
        if is_witnessed {
            slip::measure(&mut launch);
        }
        launch.reasons.extend(moved(&launch));
        Some(launch)
    }

    fn of_pull(&self, pull: &Pull, verdicts: &[(&'static str, Verdict)]) -> Verdict {
        if pull.kind == Kind::Rolling || pull.cut.at_start {
            return Verdict::Void;
        }
        verdict::decisive(verdicts).unwrap_or(Verdict::Void)
    }

    /// The motion without the logged speed, where the other witnesses carry one.
    fn apart(&self, pull: &Pull) -> Option<Branch> {
        self.witnesses.logged.as_ref()?;
        let mut samples = Samples::gather(&self.witnesses, pull, &[], false)?;
        self.carries_alone(&samples, pull).then(|| best_branch(&mut samples)).flatten()
    }

    /// Where the logged speed is not the car's.
    fn wheels(&self, pull: &Pull, apart: Option<&Branch>) -> Vec<Excess> {
        let Some(logged) = &self.witnesses.logged else { return Vec::new() };
        let step = self.witnesses.logged_step_mps;
        match apart {
            Some(ground) => wheel::against_ground(logged, ground, pull, step, self.sureness()),
            None => wheel::against_physics(logged, pull, grip::limit_mps2(self.car), step),
        }
    }

    /// How many deviations a wheel must run ahead: an accelerometer that nothing checks
    /// drifts in ways that its deviation tells only roughly.
    fn sureness(&self) -> f64 {
        if self.witnesses.ground.is_some() { 2.5 } else { 3.5 }
    }

    /// The witnesses beside the logged speed are enough for a motion of their own: a
    /// ground speed, or an accelerometer from rest.
    fn carries_alone(&self, samples: &Samples, pull: &Pull) -> bool {
        samples.rate_hz(Source::Ground, pull) >= self.limits.fewest_hz
            || (samples.standing && samples.rate_hz(Source::Accelerometer, pull) >= 5.0)
    }

    fn spins(&self, pull: &Pull, wheels: &[Excess]) -> Vec<Spin> {
        let mut spins = Vec::new();
        if self.engine_is_fresh(pull) {
            let inside = self.pairs_inside(pull);
            spins = driveline::spins(&inside, &self.gears, wheels, self.transmission);
        }
        // What the wheels tell, they tell better than the engine: its tyre slip inside
        // theirs is the same slip once more.
        let told = |s: &Spin| wheels.iter().any(|w| s.from_s < w.to_s && s.to_s > w.from_s);
        spins.retain(|spin| spin.kind != SpinKind::Tyre || !told(spin));
        spins.extend(wheels.iter().map(wheel_spin));
        spins.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
        spins
    }

    /// Engine and road readings often enough to be paired.
    fn engine_is_fresh(&self, pull: &Pull) -> bool {
        let rate = |series: Option<&Series>| {
            series.map_or(0.0, |series| {
                let (t, _) = series.between(pull.start_s, pull.end_s);
                t.len() as f64 / (pull.end_s - pull.start_s).max(1e-3)
            })
        };
        rate(self.witnesses.engine.as_ref()) >= super::gears::FEWEST_HZ
            && rate(self.witnesses.guide()) >= super::gears::FEWEST_HZ
    }

    fn facts<'b>(
        &self,
        pull: &'b Pull,
        samples: &Samples,
        estimate: &Estimate,
        wheels: &'b [Excess],
        spins: &'b [Spin],
    ) -> Facts<'b> {
        let carried = Source::ALL.map(|source| samples.rate_hz(source, pull));
        let has = |source: Source| samples.list.iter().any(|s| s.source == source);
        // A receiver that speaks once a second witnesses no launch.
        let has_ground = samples.rate_hz(Source::Ground, pull) >= self.limits.fewest_hz;
        Facts {
            pull,
            carried_hz: carried.iter().sum(),
            longest_hole_s: self.longest_hole_s(pull),
            has_ground,
            has_accelerometer: has(Source::Accelerometer),
            has_logged: has(Source::Logged),
            wheels,
            spins,
            shortest_60_s: grip::shortest_s(self.car, 60.0 * crate::unit::MPS_PER_MPH),
            slope: self.slope(pull, estimate),
            logged_off: estimate.logged_off,
            accelerometer_off: estimate.accelerometer_off,
            stuck: self.stuck(pull),
            coarse_clock: self.coarse_clock,
        }
    }

    /// The longest time inside the pull without a reading of any witness.
    fn longest_hole_s(&self, pull: &Pull) -> f64 {
        let w = &self.witnesses;
        let all = [
            w.logged.as_ref(),
            w.ground.as_ref().map(|ground| &ground.series),
            w.accelerometer.as_ref().map(|sensor| &sensor.series),
        ];
        let inside = |series: &Series| series.between(pull.start_s, pull.end_s).0.to_vec();
        let mut time_s: Vec<f64> = all.into_iter().flatten().flat_map(inside).collect();
        time_s.sort_by(f64::total_cmp);
        time_s.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max)
    }

    /// The longest stretch in which the logged speed repeats itself while the engine climbs
    /// by a tenth: a channel that hangs, or is refreshed more slowly than it seems.
    fn stuck(&self, pull: &Pull) -> Option<(f64, f64)> {
        let (speed, engine) = (self.witnesses.logged.as_ref()?, self.witnesses.engine.as_ref()?);
        let (time_s, value) = speed.between(pull.start_s, pull.end_s);
        let mut longest: Option<(f64, f64)> = None;
        let mut first = 0;
        for i in 1..time_s.len() {
            if value[i] != value[first] {
                first = i;
                continue;
            }
            let (from_s, to_s) = (time_s[first], time_s[i]);
            let climbs = engine.at(to_s).zip(engine.at(from_s)).is_some_and(|(b, a)| b > 1.1 * a);
            let longer = longest.is_none_or(|(a, b)| b - a < to_s - from_s);
            if value[first] > 1.0 && to_s - from_s > STUCK_S && climbs && longer {
                longest = Some((from_s, to_s));
            }
        }
        longest
    }

    /// Rise over run from satellite altitude, where the pull is long enough to tell.
    fn slope(&self, pull: &Pull, estimate: &Estimate) -> Option<f64> {
        let altitude = self.altitude?;
        let run = estimate.best()?.points.iter().rfind(|p| p.time_s <= pull.end_s)?.distance_m;
        let rise = altitude.at(pull.end_s)? - altitude.at(pull.start_s)?;
        // A receiver's height wanders by a metre or two: below 100 m it tells nothing.
        (run > 100.0 && rise.abs() > 2.0).then(|| rise / run)
    }

    /// By how much the estimate is too sure of itself: what no model of it carries (tyres that
    /// slip by another law, bodies that swing), as drawn launches show it.
    fn too_sure(&self, wheels: &[Excess]) -> f64 {
        match (self.witnesses.ground.is_some(), self.witnesses.accelerometer.is_some()) {
            (true, true) => 1.35,
            (true, false) => 1.4,
            (false, true) if wheels.is_empty() => 1.65,
            (false, true) => 1.9,
            (false, false) => 1.2,
        }
    }

    /// What the estimate does not carry: rounding that keeps its sign, clocks, and a speed's
    /// own filter, which rounds a start off that nothing but an accelerometer shows sharp.
    fn extra_sd_s(&self, slope_mps2: f64, step_s: f64) -> f64 {
        let rounding = self.witnesses.logged_step_mps / (4.0 * slope_mps2);
        let share = if self.witnesses.off_beat { OFF_BEAT } else { ON_BEAT };
        let clock = CLOCK_SD_S.max(share * step_s);
        let filter = if self.witnesses.accelerometer.is_some() { 0.0 } else { FILTER_SD_S };
        libm::sqrt(rounding * rounding + clock * clock + filter * filter)
    }

    /// Share of the speed that a lone logged speed may be wrong by, at an acceleration: its
    /// scale, creep, and slip that shows in nothing else, none in a gentle start and more
    /// the nearer the start comes to what tyres can give.
    fn lone_error(&self, pull: &Pull, samples: &Samples, estimate: &Estimate) -> [f64; 2] {
        let alone = samples.list.iter().all(|s| s.source == Source::Logged);
        let peak = motion(estimate, pull, None).as_ref().and_then(push::peak);
        let Some(peak) = peak.filter(|_| alone) else { return [0.0; 2] };
        let hidden = HIDDEN_SLIP * (2.0 * peak / STANDARD_GRAVITY - 0.6).clamp(0.0, 1.5);
        [libm::hypot(SCALE_SD, hidden), LONE_CREEP_SD]
    }

    fn mark_times(
        &self,
        pull: &Pull,
        timed: &[Timed],
        verdicts: &[(&str, Verdict)],
        facts: &Facts,
    ) -> Vec<MarkTime> {
        let guide = self.witnesses.guide();
        marks::MARKS
            .iter()
            .filter_map(|&(mark, kind)| {
                let timed = timed.iter().find(|t| t.mark == mark);
                let logged = guide.and_then(|guide| marks::logged_time(guide, pull, kind));
                let from_rest =
                    pull.kind == Kind::Standing || matches!(kind, marks::MarkKind::Between { .. });
                if !from_rest || (timed.is_none() && logged.is_none()) {
                    return None;
                }
                let verdict = verdicts.iter().find(|(name, _)| *name == mark).map(|v| v.1);
                let timed = timed.filter(|timed| !verdict::is_untold(timed, facts));
                Some(MarkTime {
                    mark,
                    time_s: timed.map(|t| t.time_s),
                    plus_minus_s: timed.map(|t| COVERAGE * t.sd_s),
                    rollout_time_s: timed.and_then(|t| t.rollout_time_s),
                    logged_time_s: logged,
                    speed_mps: timed.and_then(|t| t.speed_mps),
                    verdict: verdict.unwrap_or(Verdict::Void),
                })
            })
            .collect()
    }

    /// What each witness says the speed was over the pull.
    fn traces(&self, pull: &Pull, motion: Option<&Motion>) -> Vec<WitnessTrace> {
        let (from_s, to_s) = (pull.start_s - 1.0, pull.end_s + 2.0);
        let cut = |witness, series: &Series, scale: &dyn Fn(f64) -> f64| {
            let (time_s, value) = series.between(from_s, to_s);
            WitnessTrace {
                witness,
                time_s: time_s.to_vec(),
                speed_mps: value.iter().map(|&v| scale(v)).collect(),
            }
        };
        let mut traces = Vec::new();
        if let Some(logged) = &self.witnesses.logged {
            traces.push(cut(Witness::LoggedSpeed, logged, &|v| v));
        }
        if let Some(ground) = &self.witnesses.ground {
            traces.push(cut(ground.kind.witness(), &ground.series, &|v| v));
        }
        if let Some((sensor, motion)) = self.witnesses.accelerometer.as_ref().zip(motion) {
            traces.extend(integrated(&sensor.series, motion, pull));
        }
        if let Some(gears) = self.engine_speed(pull, motion) {
            traces.push(gears);
        }
        traces
    }

    /// Engine speed through the locked gear nearest to the motion.
    fn engine_speed(&self, pull: &Pull, motion: Option<&Motion>) -> Option<WitnessTrace> {
        let (engine, motion) = (self.witnesses.engine.as_ref()?, motion?);
        if self.gears.locked.is_empty() || !self.engine_is_fresh(pull) {
            return None;
        }
        let mut trace =
            WitnessTrace { witness: Witness::EngineThroughGear, time_s: vec![], speed_mps: vec![] };
        let (time_s, value) = engine.between(pull.start_s, pull.end_s);
        // Read backwards: towards the lift the gear is locked, and a slipping start
        // belongs to the gear it locks into.
        let mut gear = None;
        for (&t, &rpm) in time_s.iter().zip(value).rev() {
            let Some(v) = motion.speed_at(t).filter(|&v| v > 1.0) else { continue };
            let ratio = libm::log(rpm.max(1.0) / v);
            if let Some((nearest, _)) = self.gears.nearest(ratio).filter(|g| g.1.abs() < 0.06) {
                gear = Some(nearest);
            }
            let Some(gear) = gear else { continue };
            trace.time_s.push(t);
            trace.speed_mps.push(rpm / libm::exp(self.gears.locked[gear]));
        }
        trace.time_s.reverse();
        trace.speed_mps.reverse();
        (!trace.time_s.is_empty()).then_some(trace)
    }
}

/// Where a wheel is not to be believed: while it spins, and, where another motion tells it,
/// wherever the car was pushed nearly as hard as when it spun. A slip that shows soon after
/// the start began there.
fn distrusted(wheels: &[Excess], apart: Option<&Branch>, pull: &Pull) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = wheels.iter().map(|w| (w.from_s, w.to_s)).collect();
    let Some(best) = apart else { return spans };
    let spun = |t: f64| wheels.iter().any(|w| t >= w.from_s && t <= w.to_s);
    let inside = || best.points.iter().filter(|p| p.time_s <= pull.end_s);
    let hardest = inside().filter(|p| spun(p.time_s)).map(|p| p.accel_mps2).fold(0.0, f64::max);
    if hardest > 0.0 {
        let hard = inside().filter(|p| p.accel_mps2 > NEAR_SPIN * hardest);
        spans.extend(hard.map(|p| (p.time_s - ABOUT_S, p.time_s + ABOUT_S)));
    }
    if wheels.iter().any(|w| w.from_s < pull.start_s + ONSET_S) {
        spans.push((f64::NEG_INFINITY, pull.start_s + ONSET_S));
    }
    spans
}

fn wheel_spin(excess: &Excess) -> Spin {
    Spin {
        from_s: excess.from_s,
        to_s: excess.to_s,
        peak_slip: excess.peak_slip,
        kind: SpinKind::Tyre,
        mean_slip: None,
        slip_distance_m: None,
        time_lost: None,
        evidence: vec![excess.evidence.clone()],
    }
}

/// The accelerometer alone, from first motion on.
fn integrated(sensor: &Series, motion: &Motion, pull: &Pull) -> Option<WitnessTrace> {
    let (time_s, value) = sensor.between(motion.start_s, pull.end_s + 1.0);
    let mut speed = motion.speed_at(*time_s.first()?).unwrap_or(0.0);
    let mut trace =
        WitnessTrace { witness: Witness::Accelerometer, time_s: vec![], speed_mps: vec![] };
    for i in 0..time_s.len() {
        if i > 0 {
            speed += 0.5 * (time_s[i] - time_s[i - 1]) * (value[i] + value[i - 1]);
        }
        trace.time_s.push(time_s[i]);
        trace.speed_mps.push(speed);
    }
    Some(trace)
}

/// The likeliest branch up to the lift, or to where nothing tells it any more, as the other
/// rooms read it.
fn motion(estimate: &Estimate, pull: &Pull, told_to_s: Option<f64>) -> Option<Motion> {
    let best = estimate.best()?;
    let to_s = told_to_s.map_or(pull.end_s + 0.5, |told_s| told_s.min(pull.end_s));
    let points: Vec<_> = best.points.iter().filter(|p| p.time_s <= to_s).collect();
    if points.is_empty() {
        return None;
    }
    let (start_s, start_sd_s) = estimate.mixed(|b| Some((b.first_motion_s(), 0.0)))?;
    Some(Motion {
        start_s,
        start_sd_s,
        ends_untold: told_to_s.is_some_and(|told_s| told_s < pull.end_s),
        time_s: points.iter().map(|p| p.time_s).collect(),
        speed_mps: points.iter().map(|p| p.speed_mps).collect(),
        speed_sd_mps: points.iter().map(|p| p.speed_sd_mps).collect(),
        distance_m: points.iter().map(|p| p.distance_m).collect(),
        accel_mps2: points.iter().map(|p| p.accel_mps2).collect(),
    })
}

/// How far wheelspin moved the time that the log shows.
fn moved(launch: &Launch) -> Option<Reason> {
    let mark = launch.marks.iter().find(|m| m.mark == "0-60mph")?;
    let (time_s, logged_s, half) = (mark.time_s?, mark.logged_time_s?, mark.plus_minus_s?);
    let spun = launch.spin.iter().any(|spin| spin.kind == SpinKind::Tyre);
    let apart = time_s - logged_s;
    (spun && apart.abs() > half.max(0.1)).then(|| Reason {
        code: "logged_time_wrong",
        text: format!(
            "The logged speed alone would say 0-60 mph in {logged_s:.2} s; over the ground it was \
             {time_s:.2} s ± {half:.2} s. Wheelspin moved the time by {:.2} s.",
            apart.abs()
        ),
    })
}
