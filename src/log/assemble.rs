//! Channels from raw columns: role, unit, rate, resolution, and how each was decided.
//!
//! In: [`Raw`] channels. Out: the [`Log`] with values in the program's units, and
//! the problems met. A role needs a fitting name *and* believable values; a unit
//! that had to be guessed is always reported.
//!
//! The steps of [`log`], in order: names, receivers, units, gauge pressures,
//! accelerations, limits, the best of each role first, health.

use std::sync::Arc;

use super::infer::{self, Guess, Habits, Spread};
use super::names::Words;
use super::raw::Raw;
use super::roles::Named;
use super::{
    Channel, Form, Log, Problem, Role, Series, axes, codes, cross, gauge, gearing, health, labels,
    leaps, minutes, positions, refuted, rivals, roles, strays, units,
};
use crate::unit::{Quantity, Unit};

/// What a reader hands over of a file.
pub struct Parts<'a> {
    pub file: &'a str,
    pub form: Form,
    pub raws: Vec<Raw>,
    pub span_s: f64,
    pub rows: u64,
    pub began_unix_s: Option<f64>,
    pub clock_began_s: Option<f64>,
    pub header_key: String,
    pub form_found: String,
    pub problems: Vec<Problem>,
}

/// A channel on its way from a raw column to a role.
#[derive(Debug)]
pub struct Draft {
    pub raw: Raw,
    pub named: Option<Named>,
    pub unit: Option<Unit>,
    /// Whether the unit is this program's guess.
    pub guessed: bool,
    /// How role and unit were decided, part by part.
    pub how: Vec<String>,
    pub problems: Vec<Problem>,
}

/// The log of what a reader found, with roles, units and health.
pub fn log(parts: Parts) -> Log {
    let mut problems = parts.problems;
    let mut raws = parts.raws;
    problems.extend(minutes::settle(&mut raws));
    problems.extend(positions::leave_out_no_fix(&mut raws));
    match positions::speed(&raws) {
        Some(Ok(speed)) => raws.push(speed),
        Some(Err(why_not)) => problems.push(why_not),
        None => {}
    }
    let mut drafts: Vec<Draft> = raws.into_iter().map(Draft::of).collect();
    drafts.iter_mut().for_each(leave_out_codes);
    drafts.iter_mut().for_each(refuse_unknown_unit);
    axes::settle(&mut drafts);
    name_receiver_speed(&mut drafts, parts.file);
    infer_units(&mut drafts);
    labels::settle(&mut drafts);
    gauge::settle(&mut drafts);
    drafts.iter_mut().for_each(leaps::settle);
    cross::settle(&mut drafts);
    drafts.iter_mut().for_each(strays::settle);
    let refuted = refuted::labels(&drafts);
    let rivals = rivals::best_first(&mut drafts);
    let mut channels = Vec::with_capacity(drafts.len());
    let mut rates = Rates::default();
    for mut draft in drafts {
        problems.append(&mut draft.problems);
        channels.push(draft.channel(&mut rates));
    }
    problems.extend(rivals);
    problems.extend(refuted);
    let mut log = Log {
        name: parts.file.to_owned(),
        form: parts.form,
        span_s: parts.span_s,
        rows: parts.rows,
        began_unix_s: parts.began_unix_s,
        clock_began_s: parts.clock_began_s,
        channels,
        problems,
        header_key: parts.header_key,
        form_found: parts.form_found,
    };
    health::look(&mut log);
    log
}

impl Draft {
    fn of(raw: Raw) -> Self {
        let (named, unit) = said(&raw);
        let how = match named {
            Some(named) if named.loose => {
                vec!["role from a name that leaves some doubt".to_owned()]
            }
            Some(_) => vec!["role from the name".to_owned()],
            None => Vec::new(),
        };
        Draft { raw, named, unit, guessed: false, how, problems: Vec::new() }
    }

    pub fn role(&self) -> Option<Role> {
        self.named.map(|named| named.role)
    }

    /// The values in the program's units, as far as the unit is known.
    pub fn inside(&self) -> impl Iterator<Item = f64> + '_ {
        self.raw
            .series
            .value
            .iter()
            .map(|&value| self.unit.map_or(value, |unit| unit.inside(value)))
    }

    pub fn problem(&mut self, code: &'static str, text: String) {
        self.problems.push(Problem { code, text });
    }

    /// Takes the role away and says why.
    pub fn refuse(&mut self, why: &str) {
        let Some(role) = self.role() else { return };
        let text = format!(
            "\"{}\" is named like {}, but {why}; it was given no role.",
            self.raw.name,
            words(role)
        );
        self.problem("role_refused", text);
        if self.guessed {
            // A unit that was guessed for the role falls with it.
            self.unit = None;
            self.problems.retain(|problem| problem.code != "unit_guessed");
        }
        self.named = None;
        self.how = vec![format!("no role: {why}")];
    }

    fn channel(self, rates: &mut Rates) -> Channel {
        let mut how = self.how;
        if self.named.is_none() && how.is_empty() {
            how.push("no role".to_owned());
        }
        match self.unit {
            Some(unit) if !self.guessed => how.push(format!("{} as written", unit.symbol)),
            _ => {}
        }
        how.extend((!self.raw.fresh.is_empty()).then_some(self.raw.fresh));
        let mut series = self.raw.series;
        let resolution = self
            .raw
            .step
            .or_else(|| resolution(&series.value))
            .map(|step| step * self.unit.map_or(1.0, |unit| unit.factor.abs()));
        if let Some(unit) = self.unit {
            series.value.iter_mut().for_each(|value| *value = unit.inside(*value));
        }
        Channel {
            name: self.raw.name,
            role: self.named.map(|named| named.role),
            unit: self.unit,
            how: how.join("; "),
            derived: self.raw.derived,
            rate_hz: rates.of(&series.time_s),
            resolution,
            series,
        }
    }
}

/// Different numbers for nothing in one channel: no fix, no sensor, not yet.
const MOST_CODES: usize = 4;

/// Leaves out numbers that stand for no reading (see `codes`).
fn leave_out_codes(draft: &mut Draft) {
    for _ in 0..MOST_CODES {
        let role = draft.role();
        let series = &mut draft.raw.series;
        let Some(code) = codes::nothing(&series.value, role) else { return };
        let left_out = series.keep(|value| value != code);
        let text = format!(
            "\"{}\" reads {} {left_out} times and nothing else near it; that was taken for no reading.",
            draft.raw.name,
            infer::rounded(code, 10),
        );
        draft.problem("code_for_nothing", text);
    }
}

/// The role that a channel's name and unit ask for, and the unit as that role has it.
fn said(raw: &Raw) -> (Option<Named>, Option<Unit>) {
    let named = |unit: Option<Unit>| {
        let quantity = unit.map(|unit| unit.quantity);
        roles::named(&raw.words, quantity).or_else(|| {
            // The unit behind a name may hold a word against it: the "min" of "1/min".
            let bare = units::without(&raw.words.words, raw.unit?)?;
            roles::named(&Words::of(&bare.join(" ")), quantity)
        })
    };
    let named = |unit: Option<Unit>| {
        let within =
            || roles::named(&Words::of(roles::of_a_part(&raw.name)?), unit.map(|u| u.quantity));
        named(unit).or_else(within)
    };
    let turns = || raw.unit.and_then(crate::unit::of_turns);
    match named(raw.unit) {
        Some(found) => (Some(found), raw.unit),
        None => match turns().and_then(|turns| Some((named(Some(turns))?, turns))) {
            Some((found, turns)) => (Some(found), Some(turns)),
            None => (None, raw.unit),
        },
    }
}

/// What is written in a unit that is not known is in no other that values might speak for.
fn refuse_unknown_unit(draft: &mut Draft) {
    let needs = draft.role().is_some_and(|role| roles::quantity_of(role) != Quantity::Number);
    if let Some(unit) = draft.raw.unknown_unit.take().filter(|_| needs) {
        draft.refuse(&format!("its unit ({unit}) is not known"));
    }
}

/// A receiver's log names its speed plainly: with no channel of an engine beside it
/// and positions or the word in the file's name, it is satellite speed.
fn name_receiver_speed(drafts: &mut [Draft], file: &str) {
    let has = |wanted: &[Role]| {
        drafts.iter().any(|draft| draft.role().is_some_and(|role| wanted.contains(&role)))
    };
    let engine = [
        Role::EngineSpeed,
        Role::Throttle,
        Role::Pedal,
        Role::Gear,
        Role::Coolant,
        Role::ChargeAir,
        Role::InletAir,
        Role::ManifoldPressure,
        Role::WheelSpeedFrontLeft,
        Role::WheelSpeedRearLeft,
    ];
    let says = "gps|gnss|nmea|satellite|sats|satellites|hdop|gpx";
    let receiver = Words::of(file).has(says)
        || drafts.iter().any(|draft| draft.raw.words.has(says))
        || has(&[Role::Latitude]) && has(&[Role::Longitude]);
    let plain = |draft: &Draft| draft.role() == Some(Role::VehicleSpeed);
    if !receiver
        || has(&engine)
        || has(&[Role::SatelliteSpeed])
        || drafts.iter().filter(|d| plain(d)).count() != 1
    {
        return;
    }
    for draft in drafts.iter_mut().filter(|draft| plain(draft)) {
        draft.named = Some(Named { role: Role::SatelliteSpeed, loose: true });
        draft.how = vec![
            "satellite speed because this is a receiver's log with no channel of the engine"
                .to_owned(),
        ];
    }
}

/// Whose units the log is written in, from the columns that say so.
fn habits(drafts: &[Draft]) -> Habits {
    let has = |symbols: &[&str]| {
        drafts
            .iter()
            .filter_map(|d| d.unit)
            .any(|unit| symbols.iter().any(|s| unit.symbol.starts_with(s)))
    };
    Habits {
        customary: has(&["°F", "mph", "psi", "ft", "inHg", "lb", "mi"]),
        metric: has(&["°C", "km", "kPa", "bar", "hPa", "mbar", "kg"]),
        fahrenheit: None,
    }
}

/// Units that the file does not tell.
fn infer_units(drafts: &mut [Draft]) {
    let unknown = |draft: &&Draft| draft.unit.is_none() && draft.named.is_some();
    let mut habits = habits(drafts);
    let temperatures = drafts.iter().filter(unknown).filter_map(|draft| {
        let role =
            draft.role().filter(|role| roles::quantity_of(*role) == Quantity::Temperature)?;
        Some((role, Spread::of(&draft.raw.series.value)?))
    });
    habits.fahrenheit = infer::fahrenheit(temperatures);
    habits.customary |= habits.fahrenheit == Some(true);
    let references = cross::references(drafts);
    let engine = engine_speed(drafts);
    for draft in drafts.iter_mut() {
        let (Some(role), None) = (draft.role(), draft.unit) else { continue };
        let by_reference = references.speed_unit(draft, role);
        let by_engine = |guess: Guess| {
            let is_speed = roles::quantity_of(role) == Quantity::Speed;
            let rpm = engine.as_ref().filter(|_| is_speed);
            rpm.and_then(|rpm| gearing::speed_unit(&draft.raw.series, rpm, guess.unit))
                .unwrap_or(guess)
        };
        let Some(guess) = by_reference
            .or_else(|| infer::unit(role, &draft.raw.series.value, habits).map(by_engine))
        else {
            continue;
        };
        draft.unit = Some(guess.unit);
        draft.guessed = true;
        draft.how.push(format!("{} because {}", guess.unit.symbol, guess.because));
        if !self_evident(guess.unit) {
            let text = format!(
                "\"{}\" names no unit; it was taken as {} because {}.",
                draft.raw.name, guess.unit.symbol, guess.because
            );
            draft.problem("unit_guessed", text);
        }
    }
}

/// The engine's speed in rpm, if there is one.
fn engine_speed(drafts: &[Draft]) -> Option<Series> {
    let draft = drafts.iter().find(|draft| draft.role() == Some(Role::EngineSpeed))?;
    let unit = draft.unit.or_else(|| {
        infer::unit(Role::EngineSpeed, &draft.raw.series.value, Habits::default()).map(|g| g.unit)
    })?;
    let value = draft.raw.series.value.iter().map(|&value| unit.inside(value)).collect();
    Some(Series { time_s: draft.raw.series.time_s.clone(), value })
}

/// Units that cannot be mistaken: degrees of a position, revolutions of an engine.
fn self_evident(unit: Unit) -> bool {
    matches!(unit.symbol, "rpm" | "°")
}

/// A role's name for a sentence.
pub fn words(role: Role) -> String {
    role.code().replace('_', " ")
}

/// Rates already known, by the times that channels share.
#[derive(Default)]
struct Rates(Vec<(Arc<[f64]>, Option<f64>)>);

impl Rates {
    fn of(&mut self, time_s: &Arc<[f64]>) -> Option<f64> {
        if let Some((_, known)) = self.0.iter().find(|(known, _)| Arc::ptr_eq(known, time_s)) {
            return *known;
        }
        let rate = rate(time_s);
        // A channel with times of its own is asked once; the newest are enough.
        self.0.truncate(64);
        self.0.insert(0, (Arc::clone(time_s), rate));
        rate
    }
}

/// Fresh readings a second, holes of more than five usual intervals left out.
pub fn rate(time_s: &[f64]) -> Option<f64> {
    let mut steps: Vec<f64> = time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let middle = steps.len() / 2;
    if steps.is_empty() {
        return None;
    }
    let longest = 5.0 * *steps.select_nth_unstable_by(middle, f64::total_cmp).1;
    let (mut count, mut sum) = (0u32, 0.0);
    for step in time_s.windows(2).map(|pair| pair[1] - pair[0]).filter(|step| *step <= longest) {
        count += 1;
        sum += step;
    }
    (sum > 0.0).then(|| f64::from(count) / sum)
}

/// The smallest step written values move in, when nearly all steps are whole multiples of it.
#[inline(never)]
pub fn resolution(written: &[f64]) -> Option<f64> {
    let steps =
        || written.windows(2).map(|pair| (pair[1] - pair[0]).abs()).filter(|step| *step > 1e-9);
    let smallest = steps().fold(f64::MAX, |best, step| if step < best { step } else { best });
    let count = steps().take(2000).count();
    if count < 8 {
        return None;
    }
    let whole = steps().take(2000).filter(|step| {
        let ratio = step / smallest;
        (ratio - ratio.round()).abs() < 0.02 + 1e-6 * ratio
    });
    // Random values are whole multiples of their smallest step one time in 25.
    (whole.count() * 10 >= count * 9).then_some(smallest)
}
