//! One panel: scales, bands, lines, and labels written at the lines.

use plotters_backend::DrawingBackend;
use plotters_backend::text_anchor::{HPos, VPos};

use super::pen::{Drawn, Pen, fitted, width_of};
use super::{Frame, Look};
use crate::chart::axis::ticks;
use crate::chart::{Chart, Line, Panel, Stroke};
use crate::unit::STANDARD_GRAVITY;

/// Room to the right for the labels at the lines' ends.
pub fn gutter(panels: &[Panel], look: &Look) -> f64 {
    let labels = panels.iter().flat_map(|panel| &panel.lines).map(|line| width_of(&line.label));
    let widest = labels.fold(0.0, f64::max);
    (widest + 16.0).clamp(14.0, if look.width < 500.0 { 96.0 } else { 190.0 })
}

pub fn panel<B: DrawingBackend>(
    pen: &mut Pen<B>,
    chart: &Chart,
    panel: &Panel,
    frame: &Frame,
    labelled: bool,
    gutter: f64,
) -> Drawn<B> {
    grid(pen, chart, frame, labelled)?;
    if let Some(slope) = panel.ceiling {
        ceiling(pen, frame, slope)?;
    }
    bands(pen, panel, frame)?;
    levels(pen, chart, panel, frame, labelled)?;
    for line in &panel.lines {
        stroke(pen, line, frame)?;
    }
    labels(pen, panel, frame, frame.right + gutter)?;
    spots(pen, panel, frame)?;
    if !panel.title.is_empty() {
        let ink = pen.palette.ink;
        let at = (frame.left, frame.top - 24.0);
        let title = fitted(&panel.title, frame.right - frame.left + 8.0);
        pen.sized(&title, at, (HPos::Left, VPos::Bottom), ink, 13.0)?;
    }
    Ok(())
}

/// The words of y stand above the labels of bands, where there are any.
fn above(chart: &Chart) -> f64 {
    if has_bands(chart.panels()) { 22.0 } else { 9.0 }
}

pub fn has_bands(panels: &[Panel]) -> bool {
    panels.iter().any(|panel| !panel.bands.is_empty())
}

/// Hairlines at round values; words once, where the eye begins.
fn grid<B: DrawingBackend>(
    pen: &mut Pen<B>,
    chart: &Chart,
    frame: &Frame,
    labelled: bool,
) -> Drawn<B> {
    let units = pen.look.units;
    let (soft, hair, ink) = (pen.palette.soft, pen.palette.hair, pen.palette.ink);
    let fits = ((frame.bottom - frame.top) / 34.0).max(2.0) as usize;
    for tick in ticks(chart.y, frame.y, fits, &units) {
        let y = frame.py(tick.at);
        pen.line((frame.left, y), (frame.right, y), hair, 1.0)?;
        if labelled {
            pen.text(&tick.text, (frame.left - 7.0, y), (HPos::Right, VPos::Center), soft)?;
        }
    }
    if labelled {
        let at = (frame.left - 40.0, frame.top - above(chart));
        pen.text(&chart.y.words(&units), at, (HPos::Left, VPos::Bottom), soft)?;
    }
    pen.line((frame.left, frame.bottom), (frame.right, frame.bottom), ink, 1.0)?;
    let fits = ((frame.right - frame.left) / 40.0).max(2.0) as usize;
    for tick in ticks(chart.x, frame.x, fits, &units) {
        let x = frame.px(tick.at);
        pen.line((x, frame.bottom), (x, frame.bottom + 4.0), ink, 1.0)?;
        pen.text(&tick.text, (x, frame.bottom + 6.0), (HPos::Center, VPos::Top), soft)?;
    }
    if !labelled {
        return Ok(());
    }
    let at = (frame.right, frame.bottom + 22.0);
    pen.text(&chart.x.words(&units), at, (HPos::Right, VPos::Top), soft)
}

/// The corner that no tyre reaches: above the steepest rise from the origin.
fn ceiling<B: DrawingBackend>(pen: &mut Pen<B>, frame: &Frame, slope: f64) -> Drawn<B> {
    let color = pen.palette.soft;
    let top_x = (frame.y.1 / slope).min(frame.x.1);
    let start = (0.0_f64).max(frame.x.0);
    if top_x <= start {
        return Ok(());
    }
    let edge = [(start, slope * start), (top_x, slope * top_x)];
    let edge_px = edge.map(|(x, y)| (frame.px(x), frame.py(y)));
    let corners =
        [edge_px[0], edge_px[1], (frame.px(top_x), frame.top), (frame.px(start), frame.top)];
    pen.area(&corners, color, 0.08)?;
    hatch(pen, frame, slope, (start, top_x))?;
    pen.path(&edge_px, color, 1.0, 1.0)?;
    let at = (frame.px(start) + 5.0, frame.top + 5.0);
    pen.text("beyond tyres", at, (HPos::Left, VPos::Top), color)?;
    let text = format!("over {:.2} g", slope / STANDARD_GRAVITY);
    pen.text(&text, (at.0, at.1 + 15.0), (HPos::Left, VPos::Top), color)
}

/// Upright strokes, so that the corner is seen without its tint too.
fn hatch<B: DrawingBackend>(
    pen: &mut Pen<B>,
    frame: &Frame,
    slope: f64,
    (from, to): (f64, f64),
) -> Drawn<B> {
    let color = pen.palette.hair;
    let step = (frame.x.1 - frame.x.0) / ((frame.right - frame.left) / 9.0);
    let mut x = from + step;
    while x < to && step > 0.0 {
        pen.line((frame.px(x), frame.top), (frame.px(x), frame.py(slope * x)), color, 1.0)?;
        x += step;
    }
    Ok(())
}

fn bands<B: DrawingBackend>(pen: &mut Pen<B>, panel: &Panel, frame: &Frame) -> Drawn<B> {
    let mut free_from = f64::NEG_INFINITY;
    for band in &panel.bands {
        let (from, to) = (band.from.max(frame.x.0), band.to.min(frame.x.1));
        if from >= to {
            continue;
        }
        let color = if band.warns { pen.palette.suspect } else { pen.palette.accent };
        let (left, right) = (frame.px(from), frame.px(to));
        pen.rect(
            (left, frame.top),
            (right, frame.bottom),
            color,
            if band.warns { 0.16 } else { 0.13 },
        )?;
        pen.line((left, frame.top), (left, frame.bottom), color, 1.0)?;
        pen.line((right, frame.top), (right, frame.bottom), color, 1.0)?;
        let wide = width_of(&band.label);
        let middle = ((left + right) / 2.0).clamp(
            frame.left + wide / 2.0,
            (frame.right - wide / 2.0).max(frame.left + wide / 2.0),
        );
        // A label that would run into the one before is left out; the table has it.
        if middle - wide / 2.0 > free_from {
            let (at, anchor) = ((middle, frame.top - 4.0), (HPos::Center, VPos::Bottom));
            let ink = pen.palette.ink;
            pen.text(&band.label, at, anchor, ink)?;
            free_from = middle + wide / 2.0 + 6.0;
        }
    }
    Ok(())
}

fn levels<B: DrawingBackend>(
    pen: &mut Pen<B>,
    chart: &Chart,
    panel: &Panel,
    frame: &Frame,
    labelled: bool,
) -> Drawn<B> {
    let color = pen.palette.soft;
    for &level in &panel.levels {
        let y = frame.py(level);
        dashes(pen, &[(frame.left, y), (frame.right, y)], color, 1.0)?;
        if !labelled {
            continue;
        }
        // Written on the scale itself, where no line can run through it.
        let units = pen.look.units;
        let text = format!("{:.0}", chart.y.shown(level, &units));
        let ink = pen.palette.ink;
        pen.text(&text, (frame.left - 7.0, y), (HPos::Right, VPos::Center), ink)?;
    }
    Ok(())
}

fn stroke<B: DrawingBackend>(pen: &mut Pen<B>, line: &Line, frame: &Frame) -> Drawn<B> {
    let color = pen.palette.ink(line.ink);
    for run in runs(&line.points) {
        let inside = clipped(run, frame);
        for piece in inside {
            match line.stroke {
                Stroke::Line(weight) => {
                    pen.path(&piece, color, 1.0, 0.6 + 0.6 * f64::from(weight))?
                }
                Stroke::Faint => pen.path(&piece, color, 0.45, 1.3)?,
                Stroke::Dashed => dashes(pen, &piece, color, 1.6)?,
                Stroke::Bar => pen.path(&piece, color, 0.85, 7.0)?,
                Stroke::Dots => {}
            }
        }
        if line.stroke == Stroke::Dots {
            let seen = run.iter().filter(|p| p.0 >= frame.x.0 && p.0 <= frame.x.1);
            for &(x, y) in seen {
                pen.dot((frame.px(x), frame.py(y)), 3.5, color)?;
            }
        }
    }
    Ok(())
}

/// Stretches between gaps.
fn runs(points: &[(f64, f64)]) -> impl Iterator<Item = &[(f64, f64)]> {
    points.split(|p| !p.1.is_finite()).filter(|run| !run.is_empty())
}

/// The parts of a run inside the frame, as pixels, cut at its edges.
fn clipped(run: &[(f64, f64)], frame: &Frame) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
    for pair in run.windows(2) {
        let px = |p: (f64, f64)| (frame.px(p.0), frame.py(p.1));
        let Some((a, b)) = segment_in(px(pair[0]), px(pair[1]), frame) else { continue };
        match pieces.last_mut() {
            Some(piece) if piece.last() == Some(&a) => piece.push(b),
            _ => pieces.push(vec![a, b]),
        }
    }
    pieces
}

/// A segment cut to the frame. Source: Liang & Barsky 1984.
fn segment_in(a: (f64, f64), b: (f64, f64), frame: &Frame) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let edges = [
        (-dx, a.0 - frame.left),
        (dx, frame.right - a.0),
        (-dy, a.1 - frame.top),
        (dy, frame.bottom - a.1),
    ];
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (toward, room) in edges {
        if toward == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if toward < 0.0 {
            enter = enter.max(room / toward);
        } else {
            leave = leave.min(room / toward);
        }
    }
    let cut = |share: f64| (a.0 + share * dx, a.1 + share * dy);
    (enter <= leave).then(|| {
        (if enter == 0.0 { a } else { cut(enter) }, if leave == 1.0 { b } else { cut(leave) })
    })
}

/// Dashes of even length along a path of pixels.
fn dashes<B: DrawingBackend>(
    pen: &mut Pen<B>,
    path: &[(f64, f64)],
    color: plotters::style::RGBColor,
    weight: f64,
) -> Drawn<B> {
    const DASH: f64 = 5.0;
    let mut walked = 0.0;
    for pair in path.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        let length = libm::hypot(x1 - x0, y1 - y0);
        let mut at = 0.0;
        while at < length {
            let phase = (walked + at) % (2.0 * DASH);
            let step = (DASH - phase % DASH).min(length - at).max(0.01);
            if phase < DASH {
                let point =
                    |along: f64| (x0 + (x1 - x0) * along / length, y0 + (y1 - y0) * along / length);
                pen.line(point(at), point(at + step), color, weight)?;
            }
            at += step;
        }
        walked += length;
    }
    Ok(())
}

/// Labels at the lines' ends, pushed apart until each can be read.
fn labels<B: DrawingBackend>(
    pen: &mut Pen<B>,
    panel: &Panel,
    frame: &Frame,
    room: f64,
) -> Drawn<B> {
    const APART: f64 = 14.0;
    let mut ends: Vec<(f64, f64, &Line)> = panel
        .lines
        .iter()
        .filter(|line| !line.label.is_empty())
        .filter_map(|line| {
            let seen = line.points.iter().rev();
            let mut inside =
                seen.filter(|p| p.1.is_finite() && p.0 >= frame.x.0 && p.0 <= frame.x.1);
            let &(x, y) = inside.next()?;
            Some((frame.px(x), frame.py(y).clamp(frame.top, frame.bottom), line))
        })
        .collect();
    ends.sort_by(|a, b| a.1.total_cmp(&b.1));
    for at in 1..ends.len() {
        ends[at].1 = ends[at].1.max(ends[at - 1].1 + APART);
    }
    // Several labels read as a list: under each other, not each at its own line's end.
    let column = (ends.len() > 2).then_some(frame.right);
    let over = ends.last().map_or(0.0, |end| (end.1 - frame.bottom).max(0.0));
    for (x, y, line) in ends {
        let color = pen.palette.ink(line.ink);
        let from = column.unwrap_or(x) + 7.0;
        let label = fitted(&line.label, room - from);
        pen.text(&label, (from, y - over), (HPos::Left, VPos::Center), color)?;
    }
    Ok(())
}

/// The first spot's label stands before it and above, any later one's behind it and
/// below: so two near ones keep out of each other's way.
fn spots<B: DrawingBackend>(pen: &mut Pen<B>, panel: &Panel, frame: &Frame) -> Drawn<B> {
    for (at, spot) in panel.spots.iter().enumerate() {
        if spot.x < frame.x.0 || spot.x > frame.x.1 {
            continue;
        }
        let (x, y) = (frame.px(spot.x), frame.py(spot.y));
        let (color, ink) = (pen.palette.ink(spot.ink), pen.palette.ink);
        pen.line((x, y), (x, frame.bottom), color, 1.0)?;
        pen.dot((x, y), 4.5, color)?;
        let fits = x - width_of(&spot.label) > 0.0;
        match at == 0 && fits {
            true => pen.text(&spot.label, (x - 8.0, y - 7.0), (HPos::Right, VPos::Bottom), ink)?,
            false => pen.text(&spot.label, (x + 8.0, y + 8.0), (HPos::Left, VPos::Top), ink)?,
        }
    }
    Ok(())
}
