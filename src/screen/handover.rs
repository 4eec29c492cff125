//! Part 7, "What can be handed over?": what the sheet vouches for, and how to keep it.

use super::{Head, How, Sentence, limits};
use crate::day::Day;
use crate::sheet::Sheet;
use crate::unit::reader::Units;

#[derive(Debug, Clone, PartialEq)]
pub struct Handover {
    pub head: Head,
    /// The stem of every saved file's name.
    pub file_stem: String,
    pub car: CarView,
    pub limits: Vec<limits::Group>,
    /// A few lines to paste into a message beside the sheet.
    pub share_note: String,
}

/// Facts of the car as typed; texts in the day file's own words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CarView {
    pub mass_kg: String,
    pub drive: String,
    pub tyres: String,
    pub transmission: String,
}

pub fn part(sheet: &Sheet, day: &Day, units: &Units) -> Handover {
    Handover {
        head: Head {
            question: "What can be handed over?",
            answer: vec![Sentence::plain(
                "This sheet, printed or saved, and the day file to open again next month. The \
                 logs stay on this machine.",
            )],
            how: how(sheet),
            cautions: vec![
                "The numbers are estimates from the car's own sensors. They are no proof of a \
                 record or of roadworthiness, and no advice to change fuel or ignition settings.",
            ],
        },
        file_stem: stem(day.title.as_deref().or(sheet.logs.first().map(|log| log.name.as_str()))),
        car: car(day),
        limits: limits::groups(day, units),
        share_note: share_note(sheet),
    }
}

/// Safe as a file name on every system.
fn stem(name: Option<&str>) -> String {
    let name = name.unwrap_or("test-day");
    let name = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let kept: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
        .collect();
    let parts: Vec<&str> = kept.split('-').filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { "test-day".to_owned() } else { parts.join("-") }
}

fn car(day: &Day) -> CarView {
    let Some(car) = &day.vehicle else { return CarView::default() };
    CarView {
        mass_kg: car.mass_kg.map_or_else(String::new, |kg| format!("{kg:.0}")),
        drive: car.drive.clone().unwrap_or_default(),
        tyres: car.tyres.clone().unwrap_or_default(),
        transmission: car.transmission.clone().unwrap_or_default(),
    }
}

fn share_note(sheet: &Sheet) -> String {
    let logs: Vec<String> = sheet.logs.iter().map(|log| log.name.clone()).collect();
    format!(
        "Test sheet made with Pullmark (method {}) from {}. To check it, open the page, drop the \
         day file and the logs on it: everything is worked out again on your own machine, and \
         nothing is sent.",
        sheet.method,
        super::listed(&logs),
    )
}

fn how(sheet: &Sheet) -> Vec<How> {
    vec![How::new(
        "The saved sheet is JSON in SI units with every number of this page, unrounded; the table is \
         the same as CSV. The day file names the logs and keeps every correction; it opens in \
         every later version.",
        vec![format!(
            "Sheet version {}, method {}. The method number rises whenever numbers move.",
            sheet.version, sheet.method
        )],
        "ECMA-404 (JSON), RFC 4180 (CSV).",
    )]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_stem_is_safe_on_every_system() {
        assert_eq!(stem(Some("Invented sample day")), "invented-sample-day");
        assert_eq!(stem(Some("../a:b*c.csv")), "a-b-c");
        assert_eq!(stem(Some("???")), "test-day");
        assert_eq!(stem(None), "test-day");
    }
}
