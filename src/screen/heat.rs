//! Part 5, "How much heat is carried?": charge air over each pull, its recovery,
//! and the ladder of starts and ends.

use super::labels;
use super::{Cell, Column, Figure, Head, How, Row, Sentence, Table, Tone, capital};
use crate::chart::ChartId;
use crate::sheet::{HeatRow, LadderRow, PullRow, RecoveryRow, Sheet};
use crate::unit::reader::{DASH, SpeedUnit, Units, maybe, number};
use crate::unit::{MPS_PER_KMH, MPS_PER_MPH};

#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    pub head: Head,
    pub over_speed: Option<Figure>,
    pub pulls: Option<Table>,
    pub ladder_figure: Option<Figure>,
    pub ladders: Option<Table>,
    pub recovery_figure: Option<Figure>,
    pub recoveries: Option<Table>,
}

pub fn part(sheet: &Sheet, units: &Units) -> Heat {
    let pulls: Vec<(&PullRow, &HeatRow)> = sheet
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
            how: how(),
            cautions: if any { CAUTIONS.to_vec() } else { Vec::new() },
        },
        over_speed: any.then(|| over_speed(&pulls, units)),
        pulls: any.then(|| pulls_table(sheet, &pulls, units)),
        ladder_figure: ladders.then(|| ladder_figure(sheet, units)),
        ladders: ladders.then(|| ladder_table(sheet, units)),
        recovery_figure: recovers.then(|| recovery_figure(&pulls)),
        recoveries: any.then(|| recovery_table(sheet, &pulls, units)),
    }
}

const CAUTIONS: [&str; 1] =
    ["Charge pipes, coolers, exhaust and turbocharger stay hot long after \
     a run. Leave cool-down time between pulls, never open a hot cooling system, and stop at \
     knock, high oil or coolant temperature, or falling oil pressure."];

fn answer(sheet: &Sheet, pulls: &[(&PullRow, &HeatRow)], units: &Units) -> Vec<Sentence> {
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
    let name = ladder_name(sheet, worst);
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

fn over_speed(pulls: &[(&PullRow, &HeatRow)], units: &Units) -> Figure {
    let most = pulls.iter().map(|(_, heat)| heat.end_c).fold(f64::NEG_INFINITY, f64::max);
    let title = if most.is_finite() {
        format!("Charge air against road speed: up to {}", units.temperature_text(Some(most)))
    } else {
        "Charge air against road speed".to_owned()
    };
    let note = "One line a pull, one panel a build, all on one scale; later pulls are heavier.";
    Figure { id: ChartId::HeatOverSpeed, title, note: note.to_owned() }
}

/// Up to five speeds in the reader's unit that most pulls have.
fn speeds(pulls: &[(&PullRow, &HeatRow)], units: &Units) -> Vec<f64> {
    let wanted: Vec<f64> = match units.speed {
        SpeedUnit::Mph => [40.0, 60.0, 80.0, 100.0].iter().map(|v| v * MPS_PER_MPH).collect(),
        SpeedUnit::Kmh => [60.0, 100.0, 130.0, 160.0].iter().map(|v| v * MPS_PER_KMH).collect(),
    };
    wanted
        .into_iter()
        .filter(|speed| pulls.iter().any(|(_, heat)| reading(heat, *speed).is_some()))
        .collect()
}

fn reading(heat: &HeatRow, speed_mps: f64) -> Option<f64> {
    heat.at.iter().find(|at| (at.speed_mps - speed_mps).abs() < 0.01).map(|at| at.charge_c)
}

fn pulls_table(sheet: &Sheet, pulls: &[(&PullRow, &HeatRow)], units: &Units) -> Table {
    let speeds = speeds(pulls, units);
    let mut columns = vec![Column::text("Pull"), Column::number("Start")];
    columns.extend(
        speeds.iter().map(|s| Column::number(format!("At {}", units.speed_text(Some(*s))))),
    );
    columns.extend(["End", "Rise", "Peak after lift", "Inlet air at start"].map(Column::number));
    let degrees = |c: Option<f64>| Cell::new(units.temperature_text(c));
    let row = |(pull, heat): &(&PullRow, &HeatRow)| {
        let mut cells = vec![Cell::new(labels::pull(sheet, pull)), degrees(Some(heat.start_c))];
        cells.extend(speeds.iter().map(|speed| degrees(reading(heat, *speed))));
        cells.push(degrees(Some(heat.end_c)));
        cells.push(Cell::new(units.kelvin_text(Some(heat.rise_c))));
        let peak = units.temperature_text(Some(heat.peak_c));
        cells.push(Cell::new(format!("{peak}, {} s on", number(heat.peak_after_s.max(0.0), 1))));
        cells.push(degrees(heat.inlet_start_c));
        Row::new(cells)
    };
    Table {
        caption: "Charge air, after the cooler, over each pull".to_owned(),
        columns,
        rows: pulls.iter().map(row).collect(),
    }
}

fn ladder_name(sheet: &Sheet, ladder: &LadderRow) -> String {
    let log = sheet.logs.get(ladder.log);
    let build = log.and_then(|log| log.build);
    let alone = sheet.logs.iter().filter(|log| log.build == build).count() == 1;
    match build {
        Some(build) if alone && sheet.builds.len() > 1 => labels::build(sheet, build),
        _ => log.map_or_else(|| "The log".to_owned(), |log| log.name.clone()),
    }
}

fn ladder_figure(sheet: &Sheet, units: &Units) -> Figure {
    let worst = sheet.ladders.iter().filter_map(|l| l.carry_over_c).fold(f64::MIN, f64::max);
    let title = if worst > 0.5 {
        format!("Starts climb by up to {} from pull to pull", plain_step(units, worst))
    } else {
        "Starts hold their level from pull to pull".to_owned()
    };
    let note = "Each bar runs from a pull's start, the dot, to its end. Dashed: forecast starts of the next \
                pulls at the same gaps.";
    Figure { id: ChartId::Ladder, title, note: note.to_owned() }
}

fn ladder_table(sheet: &Sheet, units: &Units) -> Table {
    let list = |values: &[f64]| {
        let texts: Vec<String> = values
            .iter()
            .map(|c| number(units.temperature.written(*c), units.temperature.decimals()))
            .collect();
        if texts.is_empty() { DASH.to_owned() } else { texts.join(", ") }
    };
    let row = |ladder: &LadderRow| {
        Row::new(vec![
            Cell::new(ladder_name(sheet, ladder)),
            Cell::new(list(&ladder.starts_c)),
            Cell::new(list(&ladder.ends_c)),
            Cell::new(units.kelvin_text(ladder.carry_over_c)),
            Cell::new(units.temperature_text(ladder.tends_to_c)),
            Cell::new(list(&ladder.forecast_c)),
            Cell::new(crate::unit::reader::with_unit(ladder.gap_s, 0, "s")),
        ])
    };
    let symbol = units.temperature.symbol();
    Table {
        caption: "From pull to pull: carry-over, and where it tends".to_owned(),
        columns: vec![
            Column::text("Build"),
            Column::number(format!("Starts, {symbol}")),
            Column::number(format!("Ends, {symbol}")),
            Column::number("Carry-over"),
            Column::number("Starts tend to"),
            Column::number(format!("Next starts, {symbol}")),
            Column::number("Gap"),
        ],
        rows: sheet.ladders.iter().map(row).collect(),
    }
}

fn recovery_figure(pulls: &[(&PullRow, &HeatRow)]) -> Figure {
    let taus: Vec<f64> =
        pulls.iter().filter_map(|(_, heat)| heat.recovery.as_ref()?.tau_s).collect();
    let least = taus.iter().copied().reduce(f64::min);
    let most = taus.iter().copied().reduce(f64::max);
    let title = match (least, most) {
        (Some(least), Some(most)) if number(least, 0) != number(most, 0) => format!(
            "After the lift the charge air comes back with time constants of {} to {} s",
            number(least, 0),
            number(most, 0)
        ),
        (Some(tau), _) => {
            format!(
                "After the lift the charge air comes back with a time constant of {} s",
                number(tau, 0)
            )
        }
        _ => "After the lift: the log stops too early for a time constant".to_owned(),
    };
    let note = "Charge air from the lift on. Dashed: the fitted cooling, where there is one.";
    Figure { id: ChartId::Recovery, title, note: note.to_owned() }
}

fn recovery_table(sheet: &Sheet, pulls: &[(&PullRow, &HeatRow)], units: &Units) -> Table {
    let row = |(pull, heat): &(&PullRow, &HeatRow)| {
        let name = Cell::new(labels::pull(sheet, pull));
        match &heat.recovery {
            Some(recovery) => {
                Row::new(std::iter::once(name).chain(recovered(recovery, units)).collect())
            }
            None => {
                let why = heat.no_recovery.clone().unwrap_or_else(|| "Not known.".to_owned());
                let blank = || Cell::new(DASH);
                Row::new(vec![name, blank(), blank(), blank(), Cell::new(why)])
            }
        }
    };
    Table {
        caption: "Recovery after the lift".to_owned(),
        columns: vec![
            Column::text("Pull"),
            Column::number("Time constant"),
            Column::number("Settles at"),
            Column::number("After 60 s"),
            Column::text("Back at the start's level"),
        ],
        rows: pulls.iter().map(row).collect(),
    }
}

fn recovered(recovery: &RecoveryRow, units: &Units) -> Vec<Cell> {
    let tau = match (recovery.tau_s, recovery.tau_low_s, recovery.tau_high_s) {
        (Some(tau), Some(low), Some(high)) => {
            format!("{} s ({} to {})", number(tau, 0), number(low, 0), number(high, 0))
        }
        (_, Some(low), None) => format!("at least {} s", number(low, 0)),
        (Some(tau), _, _) => format!("{} s ({DASH})", number(tau, 0)),
        _ => maybe(None, 0),
    };
    let back = match recovery.back_after_s {
        Some(s) => format!("after {} s", number(s, 0)),
        None => "not within the log".to_owned(),
    };
    vec![
        Cell::new(tau),
        Cell::new(units.temperature_text(recovery.settles_at_c)),
        Cell::new(units.temperature_text(recovery.after_60s_c)),
        Cell::new(capital(&back)),
    ]
}

fn how() -> Vec<How> {
    vec![
        How::new(
            "Start is the steady level just before the launch, end the reading at the lift, rise \
             the difference. Readings at a speed are taken where the believable ground speed first \
             passes it, so wheelspin does not move them; nothing is read beyond the end of a pull.",
            vec![
                "A sensor lags: its peak comes after the lift. The peak and its delay are shown for that reason."
                    .to_owned(),
            ],
            "Common practice, no source.",
        ),
        How::new(
            "Recovery is Newton's cooling, T = level + amplitude × exp(−t / time constant), fitted \
             by variable projection; its interval comes from the profile of the residuals. A log \
             that stops before one and a half time constants gives none.",
            Vec::new(),
            "Golub & Pereyra 1973 (variable projection); Bates & Watts 1988 (profile intervals).",
        ),
        How::new(
            "The ladder follows from both: with rise ΔT, gap d and q = exp(−d / time constant) the \
             next start is level + (start + ΔT − level) × q, and starts tend to level + ΔT × q / (1 − q).",
            Vec::new(),
            "Geometric series of the cooling law above.",
        ),
    ]
}
