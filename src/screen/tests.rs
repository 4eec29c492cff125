//! A handmade sheet of two builds, and what the page makes of it. The figures are
//! invented; they stand for shapes of results, not for results.

use super::*;
pub use crate::sheet::example::*;
use crate::sheet::*;

/// A part's head as plain text, a line each, the tone in brackets.
fn said(head: &Head) -> String {
    let lines = head.answer.iter().map(|s| format!("[{:?}] {}", s.tone, s.text));
    std::iter::once(head.question.to_owned()).chain(lines).collect::<Vec<_>>().join("\n")
}

fn as_text(table: &Table) -> String {
    let row = |texts: Vec<&str>| texts.join(" | ");
    let head = row(table.columns.iter().map(|c| c.head.as_str()).collect());
    let rows = table.rows.iter().map(|r| row(r.cells.iter().map(|c| c.text.as_str()).collect()));
    std::iter::once(head).chain(rows).collect::<Vec<_>>().join("\n")
}

fn made(units: &Units) -> Report {
    report(&sheet(), &day(), units)
}

/// People act on these sentences: read every changed character of the diff.
#[test]
fn every_part_answers_its_question_first() {
    let report = made(&Units::US);
    let heads = [
        &report.read.head,
        &report.air.head,
        &report.pulls.head,
        &report.clock.head,
        &report.heat.head,
        &report.builds.head,
        &report.handover.head,
    ];
    insta::assert_snapshot!(heads.map(said).join("\n\n"));
}

#[test]
fn a_void_time_is_not_shown_as_a_time() {
    let report = made(&Units::US);
    insta::assert_snapshot!(as_text(&report.clock.overview));
    insta::assert_snapshot!(as_text(&report.clock.pulls[1].marks));
}

#[test]
fn heat_is_told_in_the_readers_degrees() {
    let report = made(&Units::METRIC);
    let pulls = report.heat.pulls.as_ref().map(as_text).unwrap_or_default();
    let ladders = report.heat.ladders.as_ref().map(as_text).unwrap_or_default();
    let recoveries = report.heat.recoveries.as_ref().map(as_text).unwrap_or_default();
    insta::assert_snapshot!([pulls, ladders, recoveries].join("\n\n"));
}

/// A logged compressor outlet tells one efficiency; none of the pulls has coolant, so there is
/// no column of dashes for it.
#[test]
fn what_stands_beside_the_rise_has_only_columns_that_a_pull_fills() {
    let mut sheet = sheet();
    let heat = sheet.pulls.iter_mut().find_map(|pull| pull.heat.as_mut()).expect("it has heat");
    heat.rise_k_per_s = Some(0.75);
    heat.end_plus_minus_c = 0.5;
    heat.hardware = HardwareRow {
        pressure_ratio: Some(1.85),
        outlet_low_c: Some(118.0),
        outlet_high_c: Some(118.0),
        efficiency: Some(0.64),
        effectiveness_low: Some(0.55),
        effectiveness_high: Some(0.7),
        air_lost: Some(0.018),
        ..HardwareRow::default()
    };
    heat.lag = Some(LagRow {
        tau_s: 2.0,
        low_s: 1.2,
        high_s: None,
        end_undone_c: Some(69.0),
        end_undone_plus_minus_c: Some(1.3),
    });
    let tables = report(&sheet, &day(), &Units::METRIC).heat.besides;
    let texts = tables.iter().map(|beside| format!("{}\n{}", beside.title, as_text(&beside.table)));
    insta::assert_snapshot!(texts.collect::<Vec<_>>().join("\n\n"));
}

#[test]
fn what_cannot_be_compared_says_why() {
    let report = made(&Units::US);
    let pair = &report.builds.pairs[0];
    let said: Vec<&str> = pair.sentences.iter().map(|s| s.text.as_str()).collect();
    insta::assert_snapshot!(format!("{}\n\n{}", said.join("\n"), as_text(&pair.table)));
}

#[test]
fn the_readings_stand_pull_by_pull_and_build_by_build() {
    let report = made(&Units::US);
    insta::assert_snapshot!(
        report
            .builds
            .readings
            .iter()
            .map(|table| format!("{}\n{}", table.caption, as_text(table)))
            .collect::<Vec<_>>()
            .join("\n\n")
    );
}

#[test]
fn a_mark_carries_the_value_of_the_json() {
    let report = made(&Units::US);
    let cell = &report.clock.pulls[0].marks.rows[0].cells[1];
    assert_eq!(cell.mark, Some(("0-60mph".to_owned(), "3.914".to_owned())));
}

/// An empty log is a log: every part still answers.
#[test]
fn a_sheet_without_pulls_answers_every_question() {
    let empty =
        Sheet { pulls: Vec::new(), ladders: Vec::new(), comparisons: Vec::new(), ..sheet() };
    let report = report(&empty, &day(), &Units::METRIC);
    for head in [&report.pulls.head, &report.clock.head, &report.heat.head, &report.builds.head] {
        assert!(!head.answer.is_empty(), "{} has no answer", head.question);
    }
    assert_eq!(report.clock.pulls.len(), 0);
    assert!(report.heat.pulls.is_none());
}
