//! The sheet as CSV: one value a row, SI units named in the row.
//!
//! In: a [`Sheet`]. Out: text after RFC 4180. A value that could not be found is a
//! blank cell. No cell can start a formula in a spreadsheet: texts from logs that
//! begin like one get an apostrophe before them.

use super::{ComparisonRow, PullRow, Sheet};

const HEAD: [&str; 10] =
    ["log", "build", "pull", "quantity", "at", "value", "low", "high", "unit", "verdict"];

impl Sheet {
    /// The table that the page saves.
    pub fn to_csv(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let mut rows = vec![HEAD.map(str::to_owned)];
        rows.extend(self.pulls.iter().flat_map(|pull| self.pull_rows(pull)));
        let compared = self.comparisons.iter().chain(&self.power_comparisons);
        rows.extend(compared.map(|row| self.comparison_row(row)));
        for row in rows {
            // Writing to memory fails only when memory does.
            let _ = writer.write_record(row.map(|cell| guarded(&cell)));
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }

    fn pull_rows(&self, pull: &PullRow) -> Vec<[String; 10]> {
        let log = self.logs.get(pull.log).map_or(String::new(), |log| log.name.clone());
        let build = pull.build.and_then(|b| self.builds.get(b)).map(|b| b.name.clone());
        let row = |quantity: &str,
                   at: &str,
                   value,
                   interval: [Option<f64>; 2],
                   unit: &str,
                   verdict: &str| {
            let head = [log.clone(), build.clone().unwrap_or_default(), pull.number.to_string()];
            let tail = [
                quantity.to_owned(),
                at.to_owned(),
                cell(value),
                cell(interval[0]),
                cell(interval[1]),
            ];
            joined(head, tail, unit, verdict)
        };
        let mut rows = vec![
            row("start", "", Some(pull.start_s), [None; 2], "s", &pull.verdict),
            row("end", "", Some(pull.end_s), [None; 2], "s", ""),
        ];
        for mark in &pull.marks {
            let half = mark.time_s.zip(mark.plus_minus_s);
            let interval = [half.map(|(t, pm)| t - pm), half.map(|(t, pm)| t + pm)];
            rows.push(row("time", &mark.mark, mark.time_s, interval, "s", &mark.verdict));
            rows.push(row(
                "time with rollout",
                &mark.mark,
                mark.rollout_time_s,
                [None; 2],
                "s",
                "",
            ));
            rows.push(row("logged time", &mark.mark, mark.logged_time_s, [None; 2], "s", ""));
        }
        let within =
            |value: f64, plus_minus: f64| [Some(value - plus_minus), Some(value + plus_minus)];
        for power in &pull.wheel_power {
            let (speed, value) = (format!("{:.4} m/s", power.speed_mps), power.power_w);
            let interval = within(value, power.plus_minus_w);
            rows.push(row("power at the wheels", &speed, Some(value), interval, "W", ""));
        }
        if let Some(heat) = &pull.heat {
            let charge = |at: &str, value: f64, interval| {
                row("charge air", at, Some(value), interval, "°C", "")
            };
            rows.push(charge("start", heat.start_c, within(heat.start_c, heat.start_plus_minus_c)));
            rows.push(charge("end", heat.end_c, within(heat.end_c, heat.end_plus_minus_c)));
            rows.push(charge("peak", heat.peak_c, [None; 2]));
            let rise = within(heat.rise_c, heat.rise_plus_minus_c);
            rows.push(row("charge air rise", "", Some(heat.rise_c), rise, "K", ""));
            for at in &heat.at {
                let speed = format!("{:.4} m/s", at.speed_mps);
                rows.push(charge(&speed, at.charge_c, within(at.charge_c, at.plus_minus_c)));
            }
            if let Some(fit) = &heat.recovery {
                let interval = [fit.tau_low_s, fit.tau_high_s];
                rows.push(row("recovery time constant", "", fit.tau_s, interval, "s", ""));
            }
        }
        rows
    }

    fn comparison_row(&self, row: &ComparisonRow) -> [String; 10] {
        let name = |b: usize| self.builds.get(b).map_or(String::new(), |build| build.name.clone());
        let at = match (&row.mark, row.mark_speed_mps) {
            (Some(mark), _) => mark.clone(),
            (None, Some(speed)) => format!("{speed:.4} m/s"),
            (None, None) => String::new(),
        };
        let head =
            [String::new(), format!("{} minus {}", name(row.to), name(row.from)), String::new()];
        let tail = [
            row.quantity.replace('_', " "),
            at,
            cell(row.difference),
            cell(row.low),
            cell(row.high),
        ];
        joined(head, tail, &row.unit, &row.verdict)
    }
}

fn joined(head: [String; 3], tail: [String; 5], unit: &str, verdict: &str) -> [String; 10] {
    let [log, build, pull] = head;
    let [quantity, at, value, low, high] = tail;
    [log, build, pull, quantity, at, value, low, high, unit.to_owned(), verdict.to_owned()]
}

fn cell(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// Spreadsheets run cells that begin with these; numbers of ours may keep a minus.
///
/// A spreadsheet of another country parts the same line at semicolons or tabs, and
/// blanks and quotation marks before a formula do not stop it: an apostrophe goes
/// before every place where one could begin.
fn guarded(text: &str) -> String {
    let number = |text: &str| text.parse().is_ok_and(f64::is_finite);
    if number(text) {
        return text.to_owned();
    }
    let mut guarded = String::with_capacity(text.len() + 1);
    let mut starts = true;
    for letter in text.chars() {
        if starts
            && matches!(letter, '=' | '+' | '-' | '@' | '\t' | '\r' | '＝' | '＋' | '－' | '＠')
        {
            guarded.push('\'');
        }
        starts = match letter {
            ';' | ',' | '|' | '\t' | '\r' | '\n' => true,
            ' ' | '"' | '\u{a0}' => starts,
            _ => false,
        };
        guarded.push(letter);
    }
    guarded
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_cannot_start_a_formula_and_numbers_stay_numbers() {
        for text in ["=1+1", "+cmd", "-2+3", "@x", "=1;b"] {
            assert_eq!(guarded(text), format!("'{text}"));
        }
        for (text, safe) in
            [("a;=1", "a;'=1"), (" =1", " '=1"), ("a\r=1", "a\r'=1"), ("-inf", "'-inf")]
        {
            assert_eq!(guarded(text), safe);
        }
        assert_eq!(guarded("-2.5"), "-2.5");
        assert_eq!(guarded("a - b; c"), "a - b; c");
        assert_eq!(guarded("0-60mph"), "0-60mph");
    }

    #[test]
    fn unknown_is_a_blank_and_rows_are_of_one_width() {
        let text = crate::sheet::example::sheet().to_csv();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<_> = reader.records().map(|row| row.expect("one width")).collect();
        let rollout =
            rows.iter().find(|row| &row[3] == "time with rollout").expect("a rollout row");
        assert_eq!(&rollout[5], "");
        assert!(rows.iter().any(|row| &row[3] == "time" && &row[5] == "3.914"));
    }
}
