//! What counts: when a time stands, when days are alike, at which speeds charge air is
//! read. Typed in the reader's units, kept in the day in SI.
//!
//! A blank field, or one that is no number above zero, goes back to its default.

use super::edit::typed_number;
use crate::compare::Tolerances;
use crate::day::{Day, DayLimits, DayTolerances};
use crate::launch::Limits;
use crate::unit::reader::{Units, number};

/// Everything of this kind that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitField {
    ShortTime,
    LongTime,
    FewestReadings,
    Slope,
    Ambient,
    Humidity,
    Pressure,
    Start,
    EndSpeed,
    Power,
    SpeedMarks,
    StartWanted,
}

/// Fields under one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    pub title: &'static str,
    pub fields: Vec<LimitView>,
}

/// One field as shown; `is_own` where the day says it.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitView {
    pub which: LimitField,
    pub label: &'static str,
    pub unit: String,
    pub value: String,
    pub is_own: bool,
}

pub fn groups(day: &Day, units: &Units) -> Vec<Group> {
    use LimitField::*;
    let group = |title, fields: &[LimitField]| Group {
        title,
        fields: fields.iter().map(|&which| view(day, units, which)).collect(),
    };
    vec![
        group("When a time stands", &[ShortTime, LongTime, FewestReadings, Slope]),
        group("When days are alike", &[Ambient, Humidity, Pressure, Start, EndSpeed, Power]),
        group("Charge air", &[SpeedMarks, StartWanted]),
    ]
}

fn view(day: &Day, units: &Units, which: LimitField) -> LimitView {
    let symbol = units.temperature.symbol();
    let (label, unit) = match which {
        LimitField::ShortTime => ("± of a time up to 60 mph, at most", "s"),
        LimitField::LongTime => ("± of a longer time, at most", "%"),
        LimitField::FewestReadings => ("Readings a second, at least", "Hz"),
        LimitField::Slope => ("Slope of the road, at most", "%"),
        LimitField::Ambient => ("Ambient air within", symbol),
        LimitField::Humidity => ("Relative humidity within", "%"),
        LimitField::Pressure => ("Pressure within", units.pressure.symbol()),
        LimitField::Start => ("Starts within", symbol),
        LimitField::EndSpeed => ("End speeds within", "%"),
        LimitField::Power => ("Power within", "%"),
        LimitField::SpeedMarks => ("Read at the speeds", units.speed.symbol()),
        LimitField::StartWanted => ("Wanted at a start", symbol),
    };
    let (value, is_own) = match which {
        LimitField::SpeedMarks => (marks_text(day, units), !day.speed_marks_mps.is_empty()),
        LimitField::StartWanted => {
            let wanted = day.start_wanted_c.map(|c| plain(units.temperature.written(c)));
            (wanted.clone().unwrap_or_default(), wanted.is_some())
        }
        one => {
            let own = slot(&mut day.clone(), one).and_then(|kept| *kept);
            let shown = own.unwrap_or_else(|| preset(one)) / inside(one, units);
            (plain(shown), own.is_some())
        }
    };
    LimitView { which, label, unit: unit.to_owned(), value, is_own }
}

/// Takes what was typed. What stands in the day for a default is nothing.
pub fn set(day: &mut Day, units: &Units, which: LimitField, typed: &str) {
    if which == LimitField::StartWanted {
        day.start_wanted_c = typed_number(typed).map(|value| units.temperature.inside(value));
        return;
    }
    if which == LimitField::SpeedMarks {
        let numbers = typed.split([';', ' ']).map(|part| part.trim_end_matches(','));
        let speeds = numbers.filter_map(typed_number).filter(|speed| *speed > 0.0);
        day.speed_marks_mps = speeds.map(|speed| units.speed.inside(speed)).collect();
        return;
    }
    let value = typed_number(typed).filter(|value| *value > 0.0);
    let value = value.map(|value| value * inside(which, units));
    let differs = |value: &f64| (value / preset(which) - 1.0).abs() > 1e-3;
    if let Some(kept) = slot(day, which) {
        *kept = value.filter(differs);
    }
    if day.limits == Some(DayLimits::default()) {
        day.limits = None;
    }
    if day.tolerances == Some(DayTolerances::default()) {
        day.tolerances = None;
    }
}

/// Where the day keeps a limit; `None` for what is none.
fn slot(day: &mut Day, which: LimitField) -> Option<&mut Option<f64>> {
    use LimitField::*;
    match which {
        ShortTime | LongTime | FewestReadings | Slope => {
            let limits = day.limits.get_or_insert_with(DayLimits::default);
            Some(match which {
                ShortTime => &mut limits.short_s,
                LongTime => &mut limits.long_share,
                FewestReadings => &mut limits.fewest_hz,
                _ => &mut limits.slope,
            })
        }
        SpeedMarks | StartWanted => None,
        _ => {
            let tolerances = day.tolerances.get_or_insert_with(DayTolerances::default);
            Some(match which {
                Ambient => &mut tolerances.ambient_k,
                Humidity => &mut tolerances.humidity_percent,
                Pressure => &mut tolerances.pressure_kpa,
                Start => &mut tolerances.start_k,
                EndSpeed => &mut tolerances.end_speed_share,
                _ => &mut tolerances.power_share,
            })
        }
    }
}

/// The default, in the day's units.
fn preset(which: LimitField) -> f64 {
    let (limits, alike) = (Limits::default(), Tolerances::default());
    match which {
        LimitField::ShortTime => limits.short_s,
        LimitField::LongTime => limits.long_share,
        LimitField::FewestReadings => limits.fewest_hz,
        LimitField::Slope => limits.slope,
        LimitField::Ambient => alike.ambient_k,
        LimitField::Humidity => alike.humidity_percent,
        LimitField::Pressure => alike.pressure_pa / 1000.0,
        LimitField::Start => alike.start_k,
        LimitField::EndSpeed => alike.end_speed,
        LimitField::Power => alike.power,
        LimitField::SpeedMarks | LimitField::StartWanted => f64::NAN,
    }
}

/// The day's value of one of the reader's unit.
fn inside(which: LimitField, units: &Units) -> f64 {
    match which {
        LimitField::LongTime | LimitField::Slope | LimitField::EndSpeed | LimitField::Power => 0.01,
        LimitField::Ambient | LimitField::Start => 1.0 / units.temperature.step(1.0),
        LimitField::Pressure => units.pressure.inside(1.0) / 1000.0,
        _ => 1.0,
    }
}

fn marks_text(day: &Day, units: &Units) -> String {
    let written = |mps: &f64| plain(units.speed.written(*mps));
    day.speed_marks_mps.iter().map(written).collect::<Vec<_>>().join(" ")
}

/// Up to three decimals, and none that say nothing.
fn plain(value: f64) -> String {
    let text = number(value, 3);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(day: &Day, units: &Units, which: LimitField) -> (String, bool) {
        let view = view(day, units, which);
        (view.value, view.is_own)
    }

    /// 2 °F and 3 hPa are the defaults; 3 hPa are 0.0435 psi.
    #[test]
    fn defaults_are_shown_in_the_readers_units_and_not_kept() {
        let mut day = Day::empty();
        let ambient = |day: &Day| shown(day, &Units::US, LimitField::Ambient);
        assert_eq!(shown(&day, &Units::US, LimitField::ShortTime), ("0.075".to_owned(), false));
        assert_eq!(shown(&day, &Units::US, LimitField::Pressure).0, "0.044");
        assert_eq!(shown(&day, &Units::METRIC, LimitField::Slope).0, "1");
        set(&mut day, &Units::US, LimitField::Ambient, "5,4");
        assert_eq!(ambient(&day), ("5.4".to_owned(), true));
        let kept = day.tolerances.as_ref().and_then(|kept| kept.ambient_k);
        assert!(kept.is_some_and(|k| (k - 3.0).abs() < 1e-9), "{kept:?}");
        for typed in ["", "warm", "-3"] {
            set(&mut day, &Units::US, LimitField::Ambient, typed);
            assert_eq!((ambient(&day).1, &day.tolerances), (false, &None), "{typed}");
        }
    }

    #[test]
    fn speeds_are_typed_as_a_list() {
        let mut day = Day::empty();
        set(&mut day, &Units::METRIC, LimitField::SpeedMarks, "90, 110 130,5; fast -3");
        let kmh: Vec<f64> = day.speed_marks_mps.iter().map(|mps| mps * 3.6).collect();
        assert_eq!(kmh.iter().map(|v| v.round()).collect::<Vec<_>>(), [90.0, 110.0, 131.0]);
        assert_eq!(shown(&day, &Units::METRIC, LimitField::SpeedMarks).0, "90 110 130.5");
        set(&mut day, &Units::METRIC, LimitField::SpeedMarks, "");
        assert!(day.speed_marks_mps.is_empty());
        set(&mut day, &Units::US, LimitField::StartWanted, "86");
        assert_eq!(day.start_wanted_c, Some(30.0));
        assert_eq!(shown(&day, &Units::US, LimitField::StartWanted), ("86".to_owned(), true));
    }
}
