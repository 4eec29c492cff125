//! What the page shows and saves is what the command prints.

use serde_json::{Value, json};

use crate::files;
use crate::native;
use crate::visit::Visit;

const PARTS: [&str; 7] = ["read", "air", "pulls", "clock", "heat", "builds", "handover"];

#[test]
fn one_click_opens_the_sample_day_as_the_command_reads_it() {
    let visit = Visit::begin();

    visit.open_sample();

    let native = native::sheet(&files::sample_day());
    assert_seven_answers(&visit);
    assert_marks(&visit, &native);
    assert_eq!(visit.saved_sheet().trim_end(), native::sheet_text(&files::sample_day()).trim_end());
    visit.end();
}

#[test]
fn a_dropped_recording_shows_the_command_s_numbers() {
    let file = files::recording("obd_city_drive_20min.csv");
    let visit = Visit::begin();

    visit.drop(&file);
    visit.shown();

    let native = native::sheet(&file);
    assert_seven_answers(&visit);
    assert_marks(&visit, &native);
    assert_channels(&visit, &native);
    visit.end();
}

/// Bit for bit: the browser and the command run the same code on the same numbers.
#[test]
fn every_log_gives_the_same_bytes_in_the_browser_and_by_the_command() {
    let visit = Visit::begin();
    let all: Vec<_> = files::samples().into_iter().chain(files::recordings()).collect();
    assert!(all.len() > 8, "only {} logs", all.len());

    for file in all {
        visit.choose(&file);
        let here = visit.saved_sheet();
        let there = native::sheet_text(&file);
        let at = here.lines().zip(there.lines()).find(|(here, there)| here != there);
        assert_eq!(here.trim_end(), there.trim_end(), "{}: first at {at:?}", file.display());
        visit.browser.click("#close");
        visit.browser.wait("document.querySelector('#open-sample')");
    }
    visit.end();
}

/// Seven parts in their order, each with a question and an answer in words.
fn assert_seven_answers(visit: &Visit) {
    let parts = visit.browser.run(
        "return [...document.querySelectorAll('[data-part]')].map((part) => [part.dataset.part,
           part.querySelector('h2').innerText, part.querySelector('.answer').innerText])",
        Value::Null,
    );
    let parts = parts.as_array().expect("a list");
    assert_eq!(parts.iter().map(|part| &part[0]).collect::<Vec<_>>(), PARTS);
    for part in parts {
        let (question, answer) = (part[1].as_str().unwrap(), part[2].as_str().unwrap());
        assert!(question.len() > 3, "{part}");
        assert!(answer.split_whitespace().count() > 2, "{part}");
    }
}

/// Every mark of every pull: the page's cell holds the command's number, and shows it
/// rounded, never otherwise.
fn assert_marks(visit: &Visit, native: &Value) {
    let cells = visit.browser.run(
        "return [...document.querySelectorAll('[data-part=clock] [data-mark]')].map((cell) => {
           const pull = cell.closest('[data-pull]');
           return [Number(pull.dataset.log), Number(pull.dataset.pull), cell.dataset.mark,
             cell.dataset.value, cell.textContent] })",
        Value::Null,
    );
    let cells = cells.as_array().expect("a list");
    let mut wanted = 0;
    for pull in native["pulls"].as_array().expect("pulls") {
        for mark in pull["marks"].as_array().expect("marks") {
            wanted += 1;
            let key = [&pull["log"], &pull["number"], &mark["mark"]];
            let cell = cells.iter().find(|cell| [&cell[0], &cell[1], &cell[2]] == key);
            assert_shows(cell.unwrap_or_else(|| panic!("no cell for {key:?}")), mark);
        }
    }
    assert_eq!(cells.len(), wanted, "the page shows as many marks as the command found");
}

fn assert_shows(cell: &Value, mark: &Value) {
    let (value, text) =
        (cell[3].as_str().unwrap_or_default(), cell[4].as_str().unwrap_or_default());
    let Some(time_s) = mark["time_s"].as_f64() else {
        assert!(!text.contains(|c: char| c.is_ascii_digit()), "unknown, yet shown: {cell}");
        return;
    };
    assert_eq!(value.parse(), Ok(time_s), "{cell}");
    let number = text.split_whitespace().next().unwrap_or_default();
    let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let shown: f64 = number.parse().unwrap_or_else(|_| panic!("no number in {cell}"));
    let half_a_digit = 0.5 * 10f64.powi(-(decimals as i32));
    assert!((shown - time_s).abs() <= half_a_digit * 1.000_001, "{cell} is not {time_s} rounded");
    let plus_minus = mark["plus_minus_s"].is_number();
    assert_eq!(text.contains('±'), plus_minus, "a time has its ±: {cell}, {mark}");
}

/// Every channel is listed with the role that the command found.
fn assert_channels(visit: &Visit, native: &Value) {
    let rows = visit.browser.run(
        "return [...document.querySelectorAll('[data-part=read] [data-channel]')].map((row) =>
           [row.dataset.channel, row.querySelector('select').value])",
        Value::Null,
    );
    let channels = native["logs"][0]["channels"].as_array().expect("channels");
    let role = |channel: &Value| channel["role"].as_str().unwrap_or_default().to_owned();
    let wanted: Vec<Value> = channels.iter().map(|c| json!([c["name"], role(c)])).collect();
    assert_eq!(rows, json!(wanted));
}
