//! Part 5, "How much heat is carried?": charge air over each pull, its recovery,
//! and the ladder of starts and ends.

mod hardware;
mod how;
mod ladder;
mod pulls;
mod recovery;

use super::labels;
use super::{Figure, Head, Note, Sentence, Table, Tone};
use crate::day::Day;
use crate::sheet::{HeatRow, PullRow, Sheet};
use crate::unit::reader::{Units, number};

/// A pull with its heat.
type Pulled<'a> = (&'a PullRow, &'a HeatRow);

#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    pub head: Head,
    pub over_speed: Option<Figure>,
    pub pulls: Option<Table>,
    pub ladder_figure: Option<Figure>,
    pub ladders: Option<Table>,
    pub recovery_figure: Option<Figure>,
    pub recoveries: Option<Table>,
    /// Why pulls have no time constant.
    pub untold: Vec<Note>,
    /// What fewer readers ask for, folded.
    pub besides: Vec<Beside>,
}

/// A table under a title of its own, and what to know to read it.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    pub title: &'static str,
    pub note: String,
    pub table: Table,
}

pub fn part(sheet: &Sheet, day: &Day, units: &Units) -> Heat {
    let pulls: Vec<Pulled> = sheet
        .pulls
        .iter()
        .filter(|pull| pull.set_aside.is_none())
        .filter_map(|pull| Some((pull, pull.heat.as_ref()?)))
        .collect();
    let any = !pulls.is_empty();
    let recovers = pulls.iter().any(|(_, heat)| heat.recovery.is_some());
    let ladders = !sheet.ladders.is_empty();
    Heat {
        head: Head {
            question: "How much heat is carried?",
            answer: answer(sheet, &pulls, units),
            how: how::how(),
            cautions: if any { CAUTIONS.to_vec() } else { Vec::new() },
        },
        over_speed: any.then(|| pulls::over_speed(&pulls, units)),
        pulls: any.then(|| pulls::table(sheet, &pulls, day, units)),
        ladder_figure: ladders.then(|| ladder::figure(sheet, units)),
        ladders: ladders.then(|| ladder::table(sheet, day.start_wanted_c, units)),
        recovery_figure: recovers.then(|| recovery::figure(&pulls)),
        recoveries: any.then(|| recovery::table(sheet, &pulls, units)),
        untold: recovery::untold(sheet, &pulls),
        besides: hardware::besides(sheet, &pulls, units),
    }
}

const CAUTIONS: [&str; 1] =
    ["Charge pipes, coolers, exhaust and turbocharger stay hot long after \
     a run. Leave cool-down time between pulls, never open a hot cooling system, and stop at \
     knock, high oil or coolant temperature, or falling oil pressure."];

fn answer(sheet: &Sheet, pulls: &[Pulled], units: &Units) -> Vec<Sentence> {
    let hottest = pulls.iter().max_by(|a, b| a.1.rise_c.total_cmp(&b.1.rise_c));
    let Some((pull, heat)) = hottest else {
        return vec![Sentence::new(
            Tone::Doubt,
            "No log has charge air, so nothing can be said of heat. Log the temperature after \
             the charge cooler next time; the intake temperature at the air filter is another thing.",
        )];
    };
    let least = pulls.iter().map(|(_, heat)| heat.rise_c).fold(f64::INFINITY, f64::min);
    let mut said = vec![Sentence::plain(if pulls.len() == 1 {
        format!(
            "Charge air rose by {}, from {} to {}.",
            plain_step(units, heat.rise_c),
            units.temperature_text(Some(heat.start_c)),
            units.temperature_text(Some(heat.end_c)),
        )
    } else {
        format!(
            "Charge air rose by {} in a pull; most in {}, from {} to {}.",
            rises(units, least, heat.rise_c),
            labels::pull(sheet, pull),
            units.temperature_text(Some(heat.start_c)),
            units.temperature_text(Some(heat.end_c)),
        )
    })];
    said.extend(carried(sheet, units));
    said
}

/// "11 to 18 °F", or one figure where both ends round to it.
fn rises(units: &Units, least: f64, most: f64) -> String {
    let decimals = units.temperature.decimals();
    let [low, high] = [least, most].map(|k| number(units.temperature.step(k), decimals));
    let symbol = units.temperature.symbol();
    if low == high { format!("{high} {symbol}") } else { format!("{low} to {high} {symbol}") }
}

/// A difference without its sign: "rose by 18 °F".
fn plain_step(units: &Units, k: f64) -> String {
    units.kelvin_text(Some(k)).trim_start_matches('+').to_owned()
}

/// The worst carry-over, and whether the ladder still climbs.
fn carried(sheet: &Sheet, units: &Units) -> Option<Sentence> {
    let worst = sheet.ladders.iter().filter(|ladder| ladder.carry_over_c.is_some());
    let worst = worst.max_by(|a, b| {
        a.carry_over_c.unwrap_or(f64::MIN).total_cmp(&b.carry_over_c.unwrap_or(f64::MIN))
    })?;
    let carry = worst.carry_over_c?;
    let name = ladder::name(sheet, worst);
    if carry < 0.5 {
        return Some(Sentence::new(
            Tone::Good,
            "No build starts its pulls hotter and hotter: the charge air comes back in between.",
        ));
    }
    let tends = worst.tends_to_c.map_or(String::new(), |c| {
        format!(" At these gaps the starts tend to {}.", units.temperature_text(Some(c)))
    });
    Some(Sentence::new(
        Tone::Doubt,
        format!(
            "{name} carries the most over: each pull starts {} hotter than the one before.{tends}",
            plain_step(units, carry)
        ),
    ))
}
