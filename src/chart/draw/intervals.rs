//! Dots with intervals against zero: what was compared, how far apart, how sure.

use plotters_backend::DrawingBackend;
use plotters_backend::text_anchor::{HPos, VPos};

use super::pen::{Drawn, Pen, fitted, width_of};
use super::{Frame, ROW_HEIGHT};
use crate::chart::axis::{ticks, widened};
use crate::chart::{Chart, Ink, Interval};

pub fn rows<B: DrawingBackend>(
    pen: &mut Pen<B>,
    chart: &Chart,
    rows: &[Interval],
    top: f64,
) -> Drawn<B> {
    let units = pen.look.units;
    let all = rows.iter().flat_map(|row| [Some(row.value), row.low, row.high]).flatten();
    let (least, most) = all.fold((0.0_f64, 0.0_f64), |(l, m), v| (l.min(v), m.max(v)));
    let frame = Frame {
        left: 24.0,
        right: pen.look.width - 26.0,
        top: top + 4.0,
        bottom: top + rows.len() as f64 * ROW_HEIGHT + 8.0,
        x: widened(chart.x, (least, most), 6, &units),
        y: (0.0, 1.0),
    };
    scale(pen, chart, &frame)?;
    for (at, row) in rows.iter().enumerate() {
        one(pen, chart, row, &frame, frame.top + at as f64 * ROW_HEIGHT)?;
    }
    Ok(())
}

fn scale<B: DrawingBackend>(pen: &mut Pen<B>, chart: &Chart, frame: &Frame) -> Drawn<B> {
    let units = pen.look.units;
    let (soft, hair, ink) = (pen.palette.soft, pen.palette.hair, pen.palette.ink);
    let fits = ((frame.right - frame.left) / 64.0).max(2.0) as usize;
    for tick in ticks(chart.x, frame.x, fits, &units) {
        let x = frame.px(tick.at);
        pen.line((x, frame.top), (x, frame.bottom), hair, 1.0)?;
        pen.text(&tick.text, (x, frame.bottom + 4.0), (HPos::Center, VPos::Top), soft)?;
    }
    let zero = frame.px(0.0);
    pen.line((zero, frame.top), (zero, frame.bottom), ink, 1.5)?;
    let at = (frame.right, frame.bottom + 20.0);
    pen.text(&chart.x.words(&units), at, (HPos::Right, VPos::Top), soft)
}

/// The words above, the interval below: a phone has no room beside.
fn one<B: DrawingBackend>(
    pen: &mut Pen<B>,
    chart: &Chart,
    row: &Interval,
    frame: &Frame,
    top: f64,
) -> Drawn<B> {
    let units = pen.look.units;
    let color = pen.palette.ink(Ink::Build(row.build));
    let (ink, soft) = (pen.palette.ink, pen.palette.soft);
    let y = top + 27.0;
    let value =
        format!("{} {}, {}", chart.x.text(row.value, &units), chart.x.symbol(&units), row.verdict);
    let words = format!("{}: {}", row.words(&units), row.pair);
    let words = fitted(&words, pen.look.width - width_of(&value) - 16.0);
    pen.text(&words, (2.0, top + 3.0), (HPos::Left, VPos::Top), ink)?;
    pen.text(&value, (pen.look.width - 2.0, top + 3.0), (HPos::Right, VPos::Top), soft)?;
    if let (Some(low), Some(high)) = (row.low, row.high) {
        let (low, high) = (frame.px(low), frame.px(high));
        pen.line((low, y), (high, y), color, 2.0)?;
        for end in [low, high] {
            pen.line((end, y - 4.0), (end, y + 4.0), color, 2.0)?;
        }
    }
    pen.dot((frame.px(row.value), y), 4.5, color)
}
