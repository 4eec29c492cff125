//! The launches of a day side by side: best, median and spread of the times that stand,
//! and the quarter-mile rules of thumb as a cross-check.
//!
//! In: launches. Out: one [`MarkField`] a mark that at least one launch stands at. A
//! time that does not stand is counted and not used. For a quarter mile, what each
//! [`QuarterMileRule`] makes of it.

use super::{Launch, MARKS, MarkTime, Verdict};
use crate::unit::{KILOGRAM_PER_POUND, MPS_PER_MPH, WATT_PER_HORSEPOWER};

/// One mark over several launches.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkField {
    pub mark: &'static str,
    pub stand: u32,
    pub do_not_stand: u32,
    pub best_s: f64,
    pub median_s: f64,
    /// Slowest minus best; `None` for a single time.
    pub spread_s: Option<f64>,
    /// Half of the 95 % interval of each, from those of the times themselves.
    pub best_plus_minus_s: Option<f64>,
    pub median_plus_minus_s: Option<f64>,
    pub spread_plus_minus_s: Option<f64>,
}

/// A time that stands, with half of its 95 % interval.
type Stood = (f64, Option<f64>);

/// Every mark at which a time stands, in the order of [`MARKS`].
pub fn field<'a>(launches: impl IntoIterator<Item = &'a Launch> + Clone) -> Vec<MarkField> {
    MARKS.iter().filter_map(|&(mark, _)| of_mark(mark, launches.clone())).collect()
}

fn of_mark<'a>(
    mark: &'static str,
    launches: impl IntoIterator<Item = &'a Launch>,
) -> Option<MarkField> {
    let mut times = Vec::new();
    let mut do_not_stand = 0;
    for timed in launches.into_iter().flat_map(|l| l.marks.iter().filter(|m| m.mark == mark)) {
        match timed.time_s.filter(|_| timed.verdict == Verdict::Stands) {
            Some(time_s) => times.push((time_s, timed.plus_minus_s)),
            None => do_not_stand += 1,
        }
    }
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (&best, &last) = (times.first()?, times.last()?);
    let median = median(&times);
    let apart = Some(last.0 - best.0).filter(|_| times.len() > 1);
    Some(MarkField {
        mark,
        stand: times.len() as u32,
        do_not_stand,
        best_s: best.0,
        median_s: median.0,
        spread_s: apart,
        best_plus_minus_s: best.1,
        median_plus_minus_s: median.1,
        spread_plus_minus_s: apart.and_then(|_| Some(libm::hypot(best.1?, last.1?))),
    })
}

/// Of an even count the mean of the two in the middle. They may share their error, so the
/// wider ± is kept and not halved.
fn median(times: &[Stood]) -> Stood {
    let half = times.len() / 2;
    if times.len() % 2 == 1 {
        return times[half];
    }
    let (a, b) = (times[half - 1], times[half]);
    (0.5 * (a.0 + b.0), a.1.zip(b.1).map(|(a, b)| a.max(b)))
}

/// A rule of thumb for the quarter mile: time and trap speed from weight and power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuarterMileRule {
    pub name: &'static str,
    /// Seconds times (hp/lb)^(1/3).
    time: f64,
    /// mph times (lb/hp)^(1/3).
    speed: f64,
}

/// Source: a secondary history of the rules and a formula page; W in lb with driver, P in
/// hp. They hold to about 5 % and only hint at whether a time is plausible.
pub const QUARTER_MILE_RULES: [QuarterMileRule; 3] = [
    QuarterMileRule { name: "Hale", time: 5.825, speed: 234.0 },
    QuarterMileRule { name: "Huntington 1958", time: 6.290, speed: 224.0 },
    QuarterMileRule { name: "Fox 1973", time: 6.269, speed: 230.0 },
];

impl QuarterMileRule {
    /// Quarter-mile time for a mass with driver and a power.
    pub fn time_s(&self, mass_kg: f64, power_w: f64) -> f64 {
        self.time * libm::cbrt(pounds_a_horsepower(mass_kg, power_w))
    }

    /// Speed at the end of the quarter mile.
    pub fn trap_mps(&self, mass_kg: f64, power_w: f64) -> f64 {
        self.speed / libm::cbrt(pounds_a_horsepower(mass_kg, power_w)) * MPS_PER_MPH
    }

    /// Time that goes with a trap speed: weight and power cancel.
    pub fn time_at_trap_s(&self, trap_mps: f64) -> f64 {
        self.time * self.speed * MPS_PER_MPH / trap_mps
    }

    /// Power that a time asks of a mass with driver.
    pub fn power_of_time_w(&self, mass_kg: f64, time_s: f64) -> f64 {
        power_w(mass_kg, self.time / time_s)
    }

    /// Power that a trap speed asks of a mass with driver.
    pub fn power_of_trap_w(&self, mass_kg: f64, trap_mps: f64) -> f64 {
        power_w(mass_kg, trap_mps / MPS_PER_MPH / self.speed)
    }
}

/// What one rule makes of a quarter mile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleCheck {
    pub rule: &'static str,
    /// The time that goes with the trap speed.
    pub time_s: f64,
    /// `None` where the car's mass is not known.
    pub power_of_time_w: Option<f64>,
    pub power_of_trap_w: Option<f64>,
}

/// A timed quarter mile by every rule; none where the time is void.
pub fn quarter_mile(marks: &[MarkTime], mass_kg: Option<f64>) -> Vec<RuleCheck> {
    let mark = marks.iter().find(|m| m.mark == "1/4mi" && m.verdict != Verdict::Void);
    let found = mark.and_then(|mark| Some((mark.time_s?, mark.speed_mps?)));
    let Some((time_s, trap_mps)) = found.filter(|&(t, v)| t > 0.0 && v > 0.0) else {
        return Vec::new();
    };
    let check = |rule: &QuarterMileRule| RuleCheck {
        rule: rule.name,
        time_s: rule.time_at_trap_s(trap_mps),
        power_of_time_w: mass_kg.map(|mass| rule.power_of_time_w(mass, time_s)),
        power_of_trap_w: mass_kg.map(|mass| rule.power_of_trap_w(mass, trap_mps)),
    };
    QUARTER_MILE_RULES.iter().map(check).collect()
}

fn power_w(mass_kg: f64, share: f64) -> f64 {
    mass_kg / KILOGRAM_PER_POUND * share * share * share * WATT_PER_HORSEPOWER
}

fn pounds_a_horsepower(mass_kg: f64, power_w: f64) -> f64 {
    (mass_kg / KILOGRAM_PER_POUND) / (power_w / WATT_PER_HORSEPOWER)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::launch::MarkTime;

    fn launch(time_s: f64, verdict: Verdict) -> Launch {
        let mark = MarkTime {
            mark: "0-60mph",
            time_s: Some(time_s),
            plus_minus_s: Some(0.05),
            rollout_time_s: None,
            logged_time_s: None,
            speed_mps: None,
            verdict,
        };
        Launch { marks: vec![mark], ..Launch::unknown() }
    }

    /// Common practice, no source: a 2.2 s among 3.3, 3.7 and 4.1 s is not believable, and
    /// must not become the best of the day.
    #[test]
    fn a_void_time_is_never_the_best_of_the_day() {
        let day = [
            launch(2.2, Verdict::Void),
            launch(3.3, Verdict::Stands),
            launch(4.1, Verdict::Stands),
            launch(3.7, Verdict::Stands),
        ];
        let field = field(&day);
        assert_eq!(field.len(), 1);
        assert_eq!((field[0].best_s, field[0].median_s), (3.3, 3.7));
        assert_eq!((field[0].stand, field[0].do_not_stand), (3, 1));
        assert!(field[0].spread_s.is_some_and(|spread| (spread - 0.8).abs() < 1e-12));
        assert_eq!(field[0].median_plus_minus_s, Some(0.05));
        // Exact: two independent halves of 0.05 s.
        let spread = field[0].spread_plus_minus_s;
        assert!(spread.is_some_and(|pm| (pm - 0.05 * 2_f64.sqrt()).abs() < 1e-12));
    }

    /// Source: the rules' coefficients worked for 3500 lb and 400 hp, and others; the
    /// printed digits vouch for 1e-3.
    #[test]
    fn quarter_mile_rules_agree_with_their_worked_cases() {
        let rows = [
            (0, 3500.0, 400.0, 12.0032, 113.557),
            (0, 3200.0, 250.0, 13.6259, 100.034),
            (0, 4000.0, 700.0, 10.4140, 130.887),
            (1, 3500.0, 400.0, 12.9614, 108.704),
            (2, 3500.0, 400.0, 12.9182, 111.616),
        ];
        for (rule, lb, hp, time_s, mph) in rows {
            let rule = QUARTER_MILE_RULES[rule];
            let (kg, w) = (lb * KILOGRAM_PER_POUND, hp * WATT_PER_HORSEPOWER);
            assert!((rule.time_s(kg, w) - time_s).abs() < 1e-3, "{}", rule.name);
            assert!((rule.trap_mps(kg, w) / MPS_PER_MPH - mph).abs() < 1e-3, "{}", rule.name);
            // The same the other way round: 1e-3 s of 10 s is 3e-4 of a power.
            let (by_time, by_trap) =
                (rule.power_of_time_w(kg, time_s), rule.power_of_trap_w(kg, mph * MPS_PER_MPH));
            assert!((by_time / w - 1.0).abs() < 3e-4 && (by_trap / w - 1.0).abs() < 3e-4);
            assert!((rule.time_at_trap_s(mph * MPS_PER_MPH) - time_s).abs() < 1e-3);
        }
    }
}
