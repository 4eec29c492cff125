//! The table behind a chart, for those who cannot see it: the same values, at round
//! places along x.

use super::axis::ticks;
use super::{Body, Chart, Interval, Line, Panel};
use crate::unit::reader::{DASH, Units};

/// How many places along x; enough to follow a curve by ear.
const PLACES: usize = 12;

/// Heads and rows, all finished text. One table a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Behind {
    pub caption: String,
    pub heads: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

pub fn tables(chart: &Chart, units: &Units) -> Vec<Behind> {
    match &chart.body {
        Body::Panels(panels) => panels.iter().map(|panel| of_panel(chart, panel, units)).collect(),
        Body::Rows(rows) => vec![of_rows(chart, rows, units)],
    }
}

fn of_panel(chart: &Chart, panel: &Panel, units: &Units) -> Behind {
    let mut heads = vec![chart.x.words(units)];
    heads.extend(panel.lines.iter().map(|line| line.label.clone()));
    let row = |(at, text): (f64, String)| {
        let values = panel.lines.iter().map(|line| match value_at(line, at) {
            Some(value) => format!("{} {}", chart.y.text(value, units), chart.y.symbol(units)),
            None => DASH.to_owned(),
        });
        std::iter::once(text).chain(values).collect()
    };
    let places = ticks(chart.x, chart.shown, PLACES, units).into_iter().map(|t| (t.at, t.text));
    Behind { caption: panel.title.clone(), heads, rows: places.map(row).collect() }
}

/// A line's value at a place: between its neighbours, `None` in a gap or outside.
/// A lone point counts at its own place.
pub fn value_at(line: &Line, x: f64) -> Option<f64> {
    let close = |p: &&(f64, f64)| (p.0 - x).abs() < 1e-9 && p.1.is_finite();
    if let Some(at) = line.points.iter().find(close) {
        return Some(at.1);
    }
    let pair = line.points.windows(2).find(|pair| {
        let (a, b) = (pair[0].0, pair[1].0);
        (a <= x && x <= b) || (b <= x && x <= a)
    })?;
    let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
    let value = if x1 == x0 { y0 } else { y0 + (y1 - y0) * (x - x0) / (x1 - x0) };
    value.is_finite().then_some(value)
}

fn of_rows(chart: &Chart, rows: &[Interval], units: &Units) -> Behind {
    let text = |value: Option<f64>| match value {
        Some(value) => format!("{} {}", chart.x.text(value, units), chart.x.symbol(units)),
        None => DASH.to_owned(),
    };
    let row = |row: &Interval| {
        vec![
            format!("{}: {}", row.pair, row.words(units)),
            text(Some(row.value)),
            text(row.low),
            text(row.high),
            row.verdict.clone(),
        ]
    };
    let heads = ["Compared", "Difference", "95 % low", "95 % high", "Verdict"];
    Behind {
        caption: String::new(),
        heads: heads.map(str::to_owned).to_vec(),
        rows: rows.iter().map(row).collect(),
    }
}

impl Interval {
    /// What was compared, with its speed in the reader's unit.
    pub fn words(&self, units: &Units) -> String {
        match self.speed_mps {
            Some(speed) => format!("{} {}", self.measure, units.speed_text(Some(speed))),
            None => self.measure.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Ink, Stroke};

    fn line(points: Vec<(f64, f64)>) -> Line {
        Line { label: String::new(), ink: Ink::Plain, stroke: Stroke::Line(1), points }
    }

    #[test]
    fn a_value_is_read_between_neighbours_and_never_in_a_gap() {
        let line = line(vec![(0.0, 0.0), (1.0, 10.0), (1.0, f64::NAN), (3.0, 30.0), (4.0, 40.0)]);
        assert_eq!(value_at(&line, 0.5), Some(5.0));
        assert_eq!(value_at(&line, 2.0), None);
        assert_eq!(value_at(&line, 3.5), Some(35.0));
        assert_eq!(value_at(&line, 5.0), None);
    }
}
