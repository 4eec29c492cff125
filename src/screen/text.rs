//! The document as plain text, for a terminal or a message.
//!
//! In: a [`Report`]. Out: the seven parts in their order: question, answer,
//! evidence as tables. What the page folds (how it was worked out) and draws is
//! left to the page. Lines are not wrapped, so that each can be searched for.

use super::pulls::LogPulls;
use super::read::LogView;
use super::{Cell, Column, Head, Note, Report, Row, Table};

/// The whole document. Ends with a line break.
pub fn text(report: &Report) -> String {
    let mut out = Text::default();
    out.line(&report.title);
    out.line(&"=".repeat(report.title.chars().count()));
    out.part(1, &report.read.head);
    report.read.logs.iter().for_each(|log| out.log(log));
    out.part(2, &report.air.head);
    out.table(Some(&report.air.table));
    out.table(report.air.factors.as_ref());
    out.part(3, &report.pulls.head);
    report.pulls.logs.iter().for_each(|log| out.pulls(log));
    out.part(4, &report.clock.head);
    out.table(Some(&report.clock.overview));
    let compared = &report.clock.compared;
    out.table(compared.table.as_ref());
    compared.said.iter().for_each(|said| out.indented(&said.text));
    out.table(compared.traps.as_ref());
    out.table(compared.rules.as_ref());
    out.table(compared.power.as_ref());
    for pull in &report.clock.pulls {
        out.named(&pull.name, &pull.verdict.text);
        out.table(Some(&pull.marks));
        pull.push.iter().for_each(|push| out.indented(push));
        pull.spin.iter().for_each(|spin| out.indented(spin));
        out.notes(&pull.reasons);
    }
    out.part(5, &report.heat.head);
    out.table(report.heat.pulls.as_ref());
    out.table(report.heat.ladders.as_ref());
    out.table(report.heat.recoveries.as_ref());
    out.notes(&report.heat.untold);
    for beside in &report.heat.besides {
        out.named(beside.title, "");
        out.table(Some(&beside.table));
    }
    out.part(6, &report.builds.head);
    for pair in &report.builds.pairs {
        out.named(&pair.title, "");
        pair.sentences.iter().for_each(|said| out.indented(&said.text));
        out.table(Some(&pair.table));
        out.notes(&pair.reasons);
    }
    report.builds.readings.iter().for_each(|table| out.table(Some(table)));
    out.part(7, &report.handover.head);
    out.text
}

#[derive(Default)]
struct Text {
    text: String,
}

impl Text {
    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn indented(&mut self, line: &str) {
        self.line(&format!("   {line}"));
    }

    fn named(&mut self, name: &str, said: &str) {
        self.line("");
        self.indented(&if said.is_empty() { name.to_owned() } else { format!("{name}: {said}") });
    }

    fn part(&mut self, number: u32, head: &Head) {
        self.line("");
        self.line(&format!("{number}. {}", head.question));
        head.answer.iter().for_each(|said| self.indented(&said.text));
        head.cautions.iter().for_each(|caution| self.indented(caution));
    }

    fn notes(&mut self, notes: &[Note]) {
        notes.iter().for_each(|note| self.indented(&format!("- {}", note.text)));
    }

    fn log(&mut self, log: &LogView) {
        self.named(&log.name, "");
        for (what, found) in &log.facts {
            self.indented(&format!("{what}: {found}"));
        }
        self.table(Some(&channels(log)));
        log.drive.iter().filter(|drive| !drive.said.is_empty()).for_each(|drive| {
            self.line("");
            self.indented(&drive.said);
        });
        self.notes(&log.problems);
    }

    fn pulls(&mut self, log: &LogPulls) {
        self.table(Some(&log.table));
        for pull in &log.pulls {
            if let Some(why) = &pull.set_aside {
                self.indented(&format!("Pull {} is set aside: {why}", pull.number));
            }
        }
    }

    /// Columns as wide as their widest cell; numbers to the right.
    fn table(&mut self, table: Option<&Table>) {
        let Some(table) = table.filter(|table| !table.rows.is_empty()) else { return };
        let heads: Vec<&str> = table.columns.iter().map(|column| column.head.as_str()).collect();
        let body = table
            .rows
            .iter()
            .map(|row| row.cells.iter().map(|cell| cell.text.as_str()).collect::<Vec<_>>());
        let lines: Vec<Vec<&str>> = std::iter::once(heads).chain(body).collect();
        let widths: Vec<usize> = (0..table.columns.len())
            .map(|at| lines.iter().filter_map(|line| Some(width(line.get(at)?))).max().unwrap_or(0))
            .collect();
        self.line("");
        if !table.caption.is_empty() {
            self.indented(&table.caption);
        }
        for line in &lines {
            let cells = line.iter().zip(&widths).zip(&table.columns);
            let cells = cells.map(|((cell, &width), column)| padded(cell, width, column.numeric));
            self.indented(&cells.collect::<Vec<_>>().join("  "));
        }
    }
}

/// The channels of a log that take part in the findings.
fn channels(log: &LogView) -> Table {
    let heads = ["Channel", "Taken for", "Unit", "Rate", "Range", "How it was told"];
    let cell = |text: &Option<String>| Cell::new(text.as_deref().unwrap_or("–"));
    let rows = log.channels.iter().filter(|channel| channel.role.is_some()).map(|channel| {
        Row::new(vec![
            Cell::new(&channel.name),
            cell(&channel.role),
            cell(&channel.unit),
            Cell::new(&channel.rate),
            Cell::new(&channel.range),
            Cell::new(&channel.how),
        ])
    });
    let columns = heads.into_iter().map(Column::text).collect();
    Table { caption: log.in_use.clone(), columns, rows: rows.collect() }
}

fn width(text: &str) -> usize {
    text.chars().count()
}

fn padded(text: &str, wide: usize, right: bool) -> String {
    let blank = " ".repeat(wide.saturating_sub(width(text)));
    if right { format!("{blank}{text}") } else { format!("{text}{blank}") }
}

#[cfg(test)]
mod tests {
    use crate::screen::{report, tests};
    use crate::unit::reader::Units;

    /// People paste this text elsewhere: read every changed character of the diff
    /// before you accept it.
    #[test]
    fn the_document_reads_from_top_to_bottom_as_text() {
        let report = report(&tests::sheet(), &tests::day(), &Units::US);
        insta::assert_snapshot!(super::text(&report));
    }
}
