//! The launches of a day side by side: best, median and spread of the times that stand,
//! and the quarter-mile rules of thumb as a cross-check.
//!
//! In: launches. Out: one [`MarkField`] a mark that at least one launch stands at. A
//! time that does not stand is counted and not used.

use super::{Launch, MARKS, Verdict};
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
}

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
            Some(time_s) => times.push(time_s),
            None => do_not_stand += 1,
        }
    }
    times.sort_by(f64::total_cmp);
    let (&best_s, &last_s) = (times.first()?, times.last()?);
    let half = times.len() / 2;
    let median_s =
        if times.len() % 2 == 1 { times[half] } else { 0.5 * (times[half - 1] + times[half]) };
    Some(MarkField {
        mark,
        stand: times.len() as u32,
        do_not_stand,
        best_s,
        median_s,
        spread_s: (times.len() > 1).then_some(last_s - best_s),
    })
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
        }
    }
}
