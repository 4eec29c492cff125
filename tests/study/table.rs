//! What the launch study found, as a table for people.
//!
//! In: tried launches. Out: Markdown.

use std::fmt::Write;

use crate::launches::{Class, Mark, Tried};

const CLASSES: [(Class, &str); 6] = [
    (Class::GroundAndAccelerometer, "ground speed and accelerometer"),
    (Class::Ground, "ground speed"),
    (Class::Accelerometer, "accelerometer"),
    (Class::LoggedFree, "none; the logged speed is a free wheel's"),
    (Class::LoggedDriven, "none; the logged speed is a driven wheel's"),
    (Class::TooSlow, "any, every signal read in turn"),
];

/// Sums over a set of marks.
#[derive(Debug, Clone, Default)]
pub struct Sum {
    pub launches: usize,
    pub timed: usize,
    pub covered: usize,
    pub off_s: Vec<f64>,
    pub stand: usize,
    pub void: usize,
    pub wrong: usize,
}

impl Sum {
    pub fn of<'a>(marks: impl Iterator<Item = &'a Mark>) -> Self {
        let mut sum = Self::default();
        for mark in marks {
            sum.launches += 1;
            let Some(found) = &mark.found else { continue };
            sum.timed += 1;
            sum.covered += usize::from(mark.covered() == Some(true));
            sum.off_s.extend(mark.off_s().map(f64::abs));
            sum.stand += usize::from(found.stands);
            sum.void += usize::from(found.void);
            sum.wrong += usize::from(mark.stands_wrong());
        }
        sum.off_s.sort_by(f64::total_cmp);
        sum
    }

    pub fn coverage(&self) -> f64 {
        self.covered as f64 / self.timed.max(1) as f64
    }

    pub fn median_off_s(&self) -> f64 {
        self.off_s.get(self.off_s.len() / 2).copied().unwrap_or(f64::NAN)
    }
}

/// Median error of the marks that stand, for rates between two.
pub fn standing_off_s(tried: &[Tried], from_hz: f64, to_hz: f64) -> (usize, f64) {
    let own = tried.iter().filter(|t| t.best_hz >= from_hz && t.best_hz < to_hz);
    let mut off_s: Vec<f64> = own
        .flat_map(|t| &t.marks)
        .filter(|m| m.found.as_ref().is_some_and(|f| f.stands))
        .filter_map(|m| m.off_s().map(f64::abs))
        .collect();
    off_s.sort_by(f64::total_cmp);
    (off_s.len(), off_s.get(off_s.len() / 2).copied().unwrap_or(f64::NAN))
}

/// Launches whose decisive time is right within the limit, witnessed by more than the
/// logged speed and on a level road; and how many of them are called void all the same.
pub fn good_and_void(tried: &[Tried]) -> (usize, usize) {
    let good: Vec<&Mark> = tried
        .iter()
        .filter(|t| t.class <= Class::Accelerometer && t.best_hz >= 9.0)
        .filter_map(|t| t.mark("0-60mph"))
        .filter(|m| m.off_s().is_some_and(|off_s| off_s.abs() <= m.limit_s()))
        .collect();
    let void = good.iter().filter(|m| m.found.as_ref().is_some_and(|f| f.void)).count();
    (good.len(), void)
}

pub fn table(tried: &[Tried]) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "| witnesses beside the logged speed | launches | timed | 95 % interval covers 0-60 mph | \
         covers all marks | median error | stand | void | stand and wrong |\n\
         | --- | --- | --- | --- | --- | --- | --- | --- | --- |"
    );
    for (class, name) in CLASSES {
        let own: Vec<&Tried> = tried.iter().filter(|t| t.class == class).collect();
        line(&mut text, name, &own);
    }
    let all: Vec<&Tried> = tried.iter().collect();
    line(&mut text, "all", &all);
    let _ = writeln!(text);
    for (what, from_hz, to_hz) in
        [("5 Hz", 4.0, 9.0), ("10 Hz", 9.0, 18.0), ("20 Hz and better", 18.0, 1e9)]
    {
        let (count, off_s) = standing_off_s(tried, from_hz, to_hz);
        let _ = writeln!(
            text,
            "- Quickest witness at {what}: {count} marks stand, their median error is {off_s:.3} s."
        );
    }
    let (good, void) = good_and_void(tried);
    let _ = writeln!(
        text,
        "- Times right within the limit, with a witness beside the logged speed at 10 Hz or more: \
         {good}; of them {void} are called void, their interval being wider than twice the limit."
    );
    for (what, driven) in [("driven", true), ("free", false)] {
        let own: Vec<&Tried> = tried.iter().filter(|t| t.driven == driven).collect();
        let sum = |of: fn(&Tried) -> usize| own.iter().map(|t| of(t)).sum::<usize>();
        let _ = writeln!(
            text,
            "- Tyre spin of 20 % or more for 0.4 s or longer, the logged speed a {what} wheel's: {} of \
             {} stretches found; {} stretches called spin where no tyre slipped by 8 %, in {} \
             launches.",
            sum(|t| t.spins_found),
            sum(|t| t.spins),
            sum(|t| t.spins_false),
            own.len()
        );
    }
    let missed = tried.iter().filter(|t| t.verdict.is_none()).count();
    let _ = writeln!(text, "- Pulls not found: {missed} of {}.", tried.len());
    text
}

/// One launch in a line: what it was, how far off the start and the 0-60 mph, and why.
pub fn launch(tried: &Tried) -> String {
    let mark = tried.mark("0-60mph");
    let found = mark.and_then(|mark| mark.found.as_ref());
    let off_s = |off_s: Option<f64>| off_s.map_or("-".to_owned(), |s| format!("{s:+.3}"));
    format!(
        "{}.{} {:?} {:.1} Hz slope {:+.3} true {:.3} start {} off {} half {} logged {} {} spins {}/{} false {} {} marks {}",
        tried.seed,
        tried.number,
        tried.class,
        tried.best_hz,
        tried.slope,
        mark.map_or(f64::NAN, |mark| mark.true_s),
        off_s(tried.start_off_s),
        off_s(mark.and_then(Mark::off_s)),
        off_s(found.map(|found| found.half_s)),
        off_s(found.and_then(|found| found.logged_s)),
        tried.verdict.as_deref().unwrap_or("missed"),
        tried.spins_found,
        tried.spins,
        tried.spins_false,
        tried.reasons.join(","),
        tried
            .marks
            .iter()
            .map(|mark| format!("{} {}", mark.name, off_s(mark.off_s())))
            .collect::<Vec<_>>()
            .join(", ")
    )
}

fn line(text: &mut String, name: &str, own: &[&Tried]) {
    let sixty = Sum::of(own.iter().filter_map(|t| t.mark("0-60mph")));
    let every = Sum::of(own.iter().flat_map(|t| &t.marks));
    let _ = writeln!(
        text,
        "| {name} | {} | {} | {:.0} % | {:.0} % | {:.3} s | {} | {} | {} |",
        sixty.launches,
        sixty.timed,
        100.0 * sixty.coverage(),
        100.0 * every.coverage(),
        sixty.median_off_s(),
        sixty.stand,
        sixty.void,
        every.wrong
    );
}
