//! What a reader can change, and what the change does to the day.
//!
//! In: a [`Day`], the [`Sheet`] it is shown as, and one [`Edit`]. Out: the changed
//! day. Everything is kept in the day itself, so that saving it saves every
//! correction; nothing here touches a log.

use super::limits::{self, LimitField};
use crate::day::{
    Build, ChannelCorrection, Day, DriveCorrection, Outing, PullChange, PullCorrection, Vehicle,
};
use crate::sheet::Sheet;
use crate::unit::reader::Units;

/// One change. Closed: a new kind of correction is a new line here.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    Title(String),
    /// `None` takes the role away.
    Role {
        log: usize,
        channel: String,
        role: Option<String>,
    },
    Unit {
        log: usize,
        channel: String,
        unit: String,
    },
    SetAside {
        pull: usize,
        why: String,
    },
    TakeBack {
        pull: usize,
    },
    Edges {
        pull: usize,
        from_s: f64,
        to_s: f64,
    },
    AddPull {
        log: usize,
        from_s: f64,
        to_s: f64,
    },
    PutLog {
        log: usize,
        build: usize,
        outing: usize,
    },
    AddBuild {
        name: String,
    },
    RenameBuild {
        build: usize,
        name: String,
    },
    AddOuting {
        build: usize,
    },
    Air {
        build: usize,
        outing: usize,
        which: AirField,
        typed: String,
    },
    Car {
        which: CarField,
        typed: String,
    },
    Limit {
        which: LimitField,
        typed: String,
    },
    /// `None` makes the log a drive of its own.
    DriveOf {
        log: usize,
        of: Option<usize>,
    },
    /// A blank goes back to what the speeds show.
    DriveShift {
        log: usize,
        typed: String,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirField {
    Date,
    Temperature,
    Humidity,
    Pressure,
    Altitude,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CarField {
    Mass,
    Drive,
    Tyres,
    Transmission,
}

/// Applies a change. What the day does not have is left as it is.
pub fn apply(day: &mut Day, sheet: &Sheet, units: &Units, edit: &Edit) {
    match edit {
        Edit::Title(title) => day.title = written(title),
        Edit::Role { log, channel, role } => {
            let code = role.clone().unwrap_or_else(|| "none".to_owned());
            correct(day, sheet, *log, channel, |correction| correction.role = Some(code));
        }
        Edit::Unit { log, channel, unit } => {
            let unit = written(unit);
            correct(day, sheet, *log, channel, |correction| correction.unit = unit);
        }
        Edit::SetAside { pull, why } => {
            let why = written(why).unwrap_or_else(|| "no reason given".to_owned());
            replace_pull(day, sheet, *pull, is_aside, Some(PullChange::SetAside { why }));
        }
        Edit::TakeBack { pull } => replace_pull(day, sheet, *pull, is_aside, None),
        Edit::Edges { pull, from_s, to_s } if from_s < to_s => {
            let change = PullChange::Edges { from_s: *from_s, to_s: *to_s };
            replace_pull(
                day,
                sheet,
                *pull,
                |c| matches!(c, PullChange::Edges { .. }),
                Some(change),
            );
        }
        Edit::AddPull { log, from_s, to_s } if from_s < to_s => {
            add_pull(day, sheet, *log, *from_s, *to_s)
        }
        Edit::Edges { .. } | Edit::AddPull { .. } => {}
        Edit::Car { which, typed } => set_car(day, *which, typed),
        Edit::Limit { which, typed } => limits::set(day, units, *which, typed),
        Edit::DriveOf { log, of } => {
            let of = of.and_then(|of| log_path(sheet, of));
            correct_drive(day, sheet, *log, |said| (said.of, said.shift_s) = (of, None));
        }
        Edit::DriveShift { log, typed } => {
            let shift_s = typed_number(typed);
            correct_drive(day, sheet, *log, |said| said.shift_s = shift_s);
        }
        build => edit_builds(day, sheet, units, build),
    }
}

fn edit_builds(day: &mut Day, sheet: &Sheet, units: &Units, edit: &Edit) {
    match edit {
        Edit::PutLog { log, build, outing } => put_log(day, sheet, *log, *build, *outing),
        Edit::AddBuild { name } => {
            let name = written(name).unwrap_or_else(|| format!("Build {}", day.builds.len() + 1));
            let outings = vec![Outing::default()];
            day.builds.push(Build { name, outings, ..Build::default() });
        }
        Edit::RenameBuild { build, name } => {
            if let (Some(build), Some(name)) = (day.builds.get_mut(*build), written(name)) {
                build.name = name;
            }
        }
        Edit::AddOuting { build } => {
            if let Some(build) = day.builds.get_mut(*build) {
                build.outings.push(Outing::default());
            }
        }
        Edit::Air { build, outing, which, typed } => {
            let builds = day.builds.get_mut(*build);
            if let Some(outing) = builds.and_then(|build| build.outings.get_mut(*outing)) {
                set_air(outing, units, *which, typed);
            }
        }
        _ => {}
    }
}

/// A text that says something.
fn written(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// A typed number; a comma is taken as the decimal sign.
pub fn typed_number(typed: &str) -> Option<f64> {
    let text = typed.trim().replace(',', ".").replace('−', "-");
    text.parse::<f64>().ok().filter(|value| value.is_finite())
}

fn correct(
    day: &mut Day,
    sheet: &Sheet,
    log: usize,
    channel: &str,
    change: impl FnOnce(&mut ChannelCorrection),
) {
    let Some(log) = sheet.logs.get(log) else { return };
    let same = |c: &ChannelCorrection| c.header_key == log.header_key && c.channel == channel;
    match day.channel_corrections.iter_mut().find(|c| same(c)) {
        Some(correction) => change(correction),
        None => {
            let mut correction = ChannelCorrection {
                header_key: log.header_key.clone(),
                channel: channel.to_owned(),
                role: None,
                unit: None,
            };
            change(&mut correction);
            day.channel_corrections.push(correction);
        }
    }
}

/// Adds the corrections this device remembers for the opened headers, where the
/// day has none of its own. Says whether any was added.
pub fn recall(day: &mut Day, sheet: &Sheet, remembered: &[ChannelCorrection]) -> bool {
    let before = day.channel_corrections.len();
    for known in remembered {
        let opened = sheet.logs.iter().any(|log| log.header_key == known.header_key);
        let own = day
            .channel_corrections
            .iter()
            .any(|c| c.header_key == known.header_key && c.channel == known.channel);
        if opened && !own {
            day.channel_corrections.push(known.clone());
        }
    }
    day.channel_corrections.len() > before
}

/// The remembered list with this day's corrections put in.
pub fn remember(remembered: &[ChannelCorrection], day: &Day) -> Vec<ChannelCorrection> {
    let newer = |old: &ChannelCorrection| {
        day.channel_corrections
            .iter()
            .any(|c| c.header_key == old.header_key && c.channel == old.channel)
    };
    let mut all: Vec<ChannelCorrection> =
        remembered.iter().filter(|old| !newer(old)).cloned().collect();
    all.extend(day.channel_corrections.iter().cloned());
    all
}

fn is_aside(change: &PullChange) -> bool {
    matches!(change, PullChange::SetAside { .. })
}

/// Puts a change in place of those of its kind about the same pull.
fn replace_pull(
    day: &mut Day,
    sheet: &Sheet,
    pull: usize,
    kind: fn(&PullChange) -> bool,
    change: Option<PullChange>,
) {
    let Some(row) = sheet.pulls.get(pull) else { return };
    let Some(log) = log_path(sheet, row.log) else { return };
    let start_s = row.found_start_s;
    let same = |c: &PullCorrection| c.log == log && c.start_s == start_s && kind(&c.change);
    day.pull_corrections.retain(|c| !same(c));
    if let Some(change) = change {
        day.pull_corrections.push(PullCorrection { log, start_s, change });
    }
}

fn add_pull(day: &mut Day, sheet: &Sheet, log: usize, from_s: f64, to_s: f64) {
    let Some(log) = log_path(sheet, log) else { return };
    let change = PullChange::Added { from_s, to_s };
    day.pull_corrections.push(PullCorrection { log, start_s: from_s, change });
}

/// The name by which the day knows a log.
fn log_path(sheet: &Sheet, log: usize) -> Option<String> {
    sheet.logs.get(log).map(|row| row.path.clone())
}

/// Changes what the day says of a log's drive, which is at first what was found.
fn correct_drive(
    day: &mut Day,
    sheet: &Sheet,
    log: usize,
    change: impl FnOnce(&mut DriveCorrection),
) {
    let Some(row) = sheet.logs.get(log) else { return };
    let found = row.drive.as_ref().and_then(|drive| log_path(sheet, drive.of));
    let known = day.drive_corrections.iter().position(|said| said.log == row.path);
    let at = known.unwrap_or_else(|| {
        let said = DriveCorrection { log: row.path.clone(), of: found, shift_s: None };
        day.drive_corrections.push(said);
        day.drive_corrections.len() - 1
    });
    change(&mut day.drive_corrections[at]);
}

fn put_log(day: &mut Day, sheet: &Sheet, log: usize, build: usize, outing: usize) {
    let Some(path) = log_path(sheet, log) else { return };
    if day.builds.get(build).and_then(|build| build.outings.get(outing)).is_none() {
        return;
    }
    for place in day.builds.iter_mut().flat_map(|build| &mut build.outings) {
        place.logs.retain(|known| *known != path);
    }
    day.builds[build].outings[outing].logs.push(path);
}

fn set_air(outing: &mut Outing, units: &Units, which: AirField, typed: &str) {
    let value = typed_number(typed);
    match which {
        AirField::Date => outing.date = written(typed),
        AirField::Temperature => {
            outing.ambient_c = value.map(|v| units.temperature.inside(v));
        }
        AirField::Humidity => {
            outing.relative_humidity_percent = value.filter(|v| (0.0..=100.0).contains(v));
        }
        AirField::Pressure => {
            outing.pressure_kpa = value.map(|v| units.pressure.inside(v) / 1000.0);
        }
        AirField::Altitude => outing.altitude_m = value.map(|v| units.length.inside(v)),
    }
}

fn set_car(day: &mut Day, which: CarField, typed: &str) {
    let car = day.vehicle.get_or_insert_with(Vehicle::default);
    match which {
        CarField::Mass => car.mass_kg = typed_number(typed).filter(|kg| *kg > 0.0),
        CarField::Drive => car.drive = written(typed),
        CarField::Tyres => car.tyres = written(typed),
        CarField::Transmission => car.transmission = written(typed),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edited(edit: Edit) -> Day {
        let mut day = super::super::tests::day();
        apply(&mut day, &super::super::tests::sheet(), &Units::US, &edit);
        day
    }

    #[test]
    fn air_is_typed_in_the_readers_units_and_kept_in_si() {
        let which = AirField::Temperature;
        let day = edited(Edit::Air { build: 1, outing: 0, which, typed: "77".into() });
        assert_eq!(day.builds[1].outings[0].ambient_c, Some(25.0));
    }

    #[test]
    fn a_blank_field_is_unknown_and_not_zero() {
        let which = AirField::Humidity;
        let day = edited(Edit::Air { build: 0, outing: 0, which, typed: " ".into() });
        assert_eq!(day.builds[0].outings[0].relative_humidity_percent, None);
    }

    #[test]
    fn a_log_is_put_to_one_build_only() {
        let day = edited(Edit::PutLog { log: 0, build: 1, outing: 0 });
        assert!(day.builds[0].outings[0].logs.is_empty());
        assert_eq!(day.builds[1].outings[0].logs, ["cooler.csv", "stock.csv"]);
    }

    #[test]
    fn a_second_reason_replaces_the_first_and_taking_back_removes_it() {
        let sheet = super::super::tests::sheet();
        let mut day = super::super::tests::day();
        for why in ["missed a gear", "traffic"] {
            let edit = Edit::SetAside { pull: 0, why: why.into() };
            apply(&mut day, &sheet, &Units::US, &edit);
        }
        assert_eq!(day.pull_corrections.len(), 1);
        apply(&mut day, &sheet, &Units::US, &Edit::TakeBack { pull: 0 });
        assert!(day.pull_corrections.is_empty());
    }

    /// Typed with a comma; a blank leaves the drive and takes the shift back.
    #[test]
    fn a_log_is_laid_beside_another_by_hand() {
        let sheet = super::super::tests::sheet();
        let mut day = super::super::tests::day();
        let mut edit = |edit: Edit| {
            apply(&mut day, &sheet, &Units::US, &edit);
            day.drive_corrections.clone()
        };
        edit(Edit::DriveOf { log: 1, of: Some(0) });
        let said = edit(Edit::DriveShift { log: 1, typed: "−2,5".into() });
        let of = Some("stock.csv".to_owned());
        let expected =
            |of, shift_s| [DriveCorrection { log: "cooler.csv".to_owned(), of, shift_s }];
        assert_eq!(said, expected(of.clone(), Some(-2.5)));
        let said = edit(Edit::DriveShift { log: 1, typed: " ".into() });
        assert_eq!(said, expected(of, None));
        assert_eq!(edit(Edit::DriveOf { log: 1, of: None }), expected(None, None));
    }

    #[test]
    fn edges_that_do_not_run_forward_are_not_taken() {
        let day = edited(Edit::Edges { pull: 0, from_s: 9.0, to_s: 3.0 });
        assert!(day.pull_corrections.is_empty());
    }

    #[test]
    fn a_correction_is_remembered_for_logs_with_the_same_header() {
        let sheet = super::super::tests::sheet();
        let role = Some("charge_air".to_owned());
        let edit = Edit::Role { log: 0, channel: "T2".into(), role };
        let day = edited(edit);
        let remembered = remember(&[], &day);
        let mut other = super::super::tests::day();
        assert!(recall(&mut other, &sheet, &remembered));
        assert_eq!(other.channel_corrections, day.channel_corrections);
        assert!(!recall(&mut other, &sheet, &remembered), "nothing new the second time");
    }

    #[test]
    fn numbers_are_typed_with_comma_or_point() {
        assert_eq!(typed_number(" 21,5 "), Some(21.5));
        assert_eq!(typed_number("−3"), Some(-3.0));
        assert_eq!(typed_number("warm"), None);
        assert_eq!(typed_number("NaN"), None);
    }
}
