//! Drawing: a chart on any plotters backend.
//!
//! In: a [`Chart`] and a [`Look`] (size, theme, the reader's units). Out: marks on
//! the backend, and a [`Frame`] a panel that says which pixel is which value.

mod intervals;
mod panel;
mod pen;

use plotters::prelude::SVGBackend;
use plotters_backend::{DrawingBackend, DrawingErrorKind};

use super::axis::widened;
use super::palette::{DARK, LIGHT, Palette};
use super::{Body, Chart, Panel};
use crate::unit::reader::Units;
use pen::Pen;

/// How a chart is to look. Sizes are in the reader's pixels; `scale` is how many of
/// the backend's there are to one.
#[derive(Debug, Clone, PartialEq)]
pub struct Look {
    pub width: f64,
    pub height: f64,
    pub scale: f64,
    pub dark: bool,
    pub units: Units,
    /// Drawn only where no page stands around the chart.
    pub title: Option<String>,
}

/// Where a panel stands and what it shows: pixels of the reader, values in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Frame {
    pub fn px(&self, x: f64) -> f64 {
        self.left + (x - self.x.0) / (self.x.1 - self.x.0) * (self.right - self.left)
    }

    pub fn py(&self, y: f64) -> f64 {
        self.bottom - (y - self.y.0) / (self.y.1 - self.y.0) * (self.bottom - self.top)
    }

    /// The x value under a pixel, kept inside the panel.
    pub fn x_at(&self, px: f64) -> f64 {
        let share = ((px - self.left) / (self.right - self.left)).clamp(0.0, 1.0);
        self.x.0 + share * (self.x.1 - self.x.0)
    }
}

impl Look {
    pub fn palette(&self) -> &'static Palette {
        if self.dark { &DARK } else { &LIGHT }
    }
}

/// Panels side by side need this much to be read.
const PANEL_WIDTH: f64 = 230.0;
const PANEL_HEIGHT: f64 = 215.0;
const ROW_HEIGHT: f64 = 40.0;

/// The height that suits a chart at a width.
pub fn height(chart: &Chart, width: f64) -> f64 {
    match &chart.body {
        Body::Rows(rows) => rows.len() as f64 * ROW_HEIGHT + 48.0,
        Body::Panels(panels) if panels.len() > 1 => {
            let rows = panels.len().div_ceil(across(panels.len(), width));
            rows as f64 * PANEL_HEIGHT + 12.0
        }
        Body::Panels(_) => match chart.id {
            super::ChartId::Strip { .. } => (width * 0.22).clamp(150.0, 220.0),
            _ => (width * 0.46).clamp(240.0, 400.0),
        },
    }
}

/// How many panels stand side by side.
fn across(panels: usize, width: f64) -> usize {
    ((width / PANEL_WIDTH).floor() as usize).clamp(1, 4).min(panels)
}

/// Draws a chart; the answer has a frame a panel, none for rows.
///
/// # Errors
/// Whatever the backend says.
pub fn draw<B: DrawingBackend>(
    backend: &mut B,
    chart: &Chart,
    look: &Look,
) -> Result<Vec<Frame>, DrawingErrorKind<B::ErrorType>> {
    let mut pen = Pen::new(backend, look);
    pen.wash()?;
    let top = pen.title()?;
    match &chart.body {
        Body::Rows(rows) => {
            intervals::rows(&mut pen, chart, rows, top)?;
            Ok(Vec::new())
        }
        Body::Panels(panels) => {
            let frames = frames(chart, panels, look, top);
            for (at, (panel, frame)) in panels.iter().zip(&frames).enumerate() {
                let labelled = at % across(panels.len(), look.width) == 0;
                let gutter = panel::gutter(panels, look);
                panel::panel(&mut pen, chart, panel, frame, labelled, gutter)?;
            }
            Ok(frames)
        }
    }
}

/// The chart as SVG text, for saving and for tests.
pub fn svg(chart: &Chart, look: &Look) -> String {
    let mut text = String::new();
    let size = ((look.width * look.scale) as u32, (look.height * look.scale) as u32);
    {
        let mut backend = SVGBackend::with_string(&mut text, size);
        // Writing to a text does not fail.
        let _ = draw(&mut backend, chart, look).and_then(|_| backend.present());
    }
    text
}

/// One frame a panel, all on one scale.
fn frames(chart: &Chart, panels: &[Panel], look: &Look, top: f64) -> Vec<Frame> {
    let columns = across(panels.len(), look.width);
    let rows = panels.len().div_ceil(columns).max(1);
    let (left, gutter) = (46.0, panel::gutter(panels, look));
    let width = (look.width - left) / columns as f64;
    let height = (look.height - top) / rows as f64;
    let banded = if panel::has_bands(panels) { 14.0 } else { 0.0 };
    let above = banded + if panels.len() > 1 { 40.0 } else { 24.0 };
    let fits = ((height - above - 40.0) / 34.0).max(2.0) as usize;
    let y = widened(chart.y, extent(chart, panels), fits, &look.units);
    (0..panels.len())
        .map(|at| {
            let (column, row) = ((at % columns) as f64, (at / columns) as f64);
            let from = left + column * width;
            Frame {
                left: from,
                right: from + width - gutter,
                top: top + row * height + above,
                bottom: top + (row + 1.0) * height - 40.0,
                x: chart.shown,
                y,
            }
        })
        .collect()
}

/// Least and most of what is shown along y.
fn extent(chart: &Chart, panels: &[Panel]) -> (f64, f64) {
    let (from, to) = chart.shown;
    let lines = panels.iter().flat_map(|panel| &panel.lines).flat_map(|line| &line.points);
    let spots = panels.iter().flat_map(|panel| &panel.spots).map(|spot| (spot.x, spot.y));
    let levels = panels.iter().flat_map(|panel| &panel.levels).copied();
    let seen = lines.copied().chain(spots).filter(|p| p.1.is_finite() && p.0 >= from && p.0 <= to);
    let values = seen.map(|p| p.1).chain(levels);
    let zero = chart.y.from_zero().then_some(0.0);
    let (least, most) = values
        .chain(zero)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), y| (l.min(y), m.max(y)));
    match (least < most, least.is_finite()) {
        (true, _) => (least, most),
        (false, true) => (least - 1.0, least + 1.0),
        (false, false) => (0.0, 1.0),
    }
}
