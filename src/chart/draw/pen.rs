//! The pen: strokes and texts in the reader's pixels, on any backend.

use plotters::style::{Color, IntoTextStyle, RGBColor, ShapeStyle};
use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{BackendCoord, DrawingBackend, DrawingErrorKind};

use super::Look;
use crate::chart::palette::Palette;

/// System fonts, as on the page.
const FONT: &str = "system-ui, -apple-system, Segoe UI, Roboto, Liberation Sans, sans-serif";
pub const SMALL: f64 = 12.0;

pub struct Pen<'a, B: DrawingBackend> {
    backend: &'a mut B,
    pub look: &'a Look,
    pub palette: &'static Palette,
}

pub type Drawn<B> = Result<(), DrawingErrorKind<<B as DrawingBackend>::ErrorType>>;

/// Which point of a text stands at its place.
pub type Anchor = (HPos, VPos);

impl<'a, B: DrawingBackend> Pen<'a, B> {
    pub fn new(backend: &'a mut B, look: &'a Look) -> Self {
        Pen { backend, look, palette: look.palette() }
    }

    fn at(&self, (x, y): (f64, f64)) -> BackendCoord {
        // Far outside is as good as outside, and keeps the numbers small.
        let whole = |v: f64| (v.clamp(-1e5, 1e5) * self.look.scale).round() as i32;
        (whole(x), whole(y))
    }

    fn style(&self, color: RGBColor, alpha: f64, weight: f64) -> ShapeStyle {
        let stroke_width = (weight * self.look.scale).round().max(1.0) as u32;
        ShapeStyle { color: color.mix(alpha), filled: true, stroke_width }
    }

    /// The paper, so that a saved picture is not see-through.
    pub fn wash(&mut self) -> Drawn<B> {
        self.rect((0.0, 0.0), (self.look.width, self.look.height), self.palette.paper, 1.0)
    }

    /// The title where the look has one; says how much room it took.
    pub fn title(&mut self) -> Result<f64, DrawingErrorKind<B::ErrorType>> {
        let Some(title) = self.look.title.clone() else { return Ok(0.0) };
        let ink = self.palette.ink;
        self.sized(&title, (8.0, 8.0), (HPos::Left, VPos::Top), ink, 16.0)?;
        Ok(34.0)
    }

    pub fn line(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        color: RGBColor,
        weight: f64,
    ) -> Drawn<B> {
        let style = self.style(color, 1.0, weight);
        let (from, to) = (self.at(from), self.at(to));
        self.backend.draw_line(from, to, &style)
    }

    pub fn path(
        &mut self,
        points: &[(f64, f64)],
        color: RGBColor,
        alpha: f64,
        weight: f64,
    ) -> Drawn<B> {
        if points.len() < 2 {
            return Ok(());
        }
        let style = self.style(color, alpha, weight);
        let points: Vec<BackendCoord> = points.iter().map(|p| self.at(*p)).collect();
        self.backend.draw_path(points, &style)
    }

    pub fn rect(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        color: RGBColor,
        alpha: f64,
    ) -> Drawn<B> {
        let style = self.style(color, alpha, 1.0);
        let (from, to) = (self.at(from), self.at(to));
        self.backend.draw_rect(from, to, &style, true)
    }

    pub fn area(&mut self, corners: &[(f64, f64)], color: RGBColor, alpha: f64) -> Drawn<B> {
        let style = self.style(color, alpha, 1.0);
        let corners: Vec<BackendCoord> = corners.iter().map(|p| self.at(*p)).collect();
        self.backend.fill_polygon(corners, &style)
    }

    /// A dot with a rim of paper, so that it stands off its line.
    pub fn dot(&mut self, at: (f64, f64), radius: f64, color: RGBColor) -> Drawn<B> {
        let at = self.at(at);
        let size = |r: f64| (r * self.look.scale).round().max(1.0) as u32;
        let rim = self.style(self.palette.paper, 1.0, 1.0);
        self.backend.draw_circle(at, size(radius + 1.5), &rim, true)?;
        let style = self.style(color, 1.0, 1.0);
        self.backend.draw_circle(at, size(radius), &style, true)
    }

    pub fn text(
        &mut self,
        text: &str,
        at: (f64, f64),
        anchor: Anchor,
        color: RGBColor,
    ) -> Drawn<B> {
        self.sized(text, at, anchor, color, SMALL)
    }

    pub fn sized(
        &mut self,
        text: &str,
        at: (f64, f64),
        (h, v): Anchor,
        color: RGBColor,
        size: f64,
    ) -> Drawn<B> {
        let pixels = size * self.look.scale;
        let (w, h_px) = (
            (self.look.width * self.look.scale) as u32,
            (self.look.height * self.look.scale) as u32,
        );
        let style = (FONT, pixels).into_text_style(&(w, h_px)).color(&color).pos(Pos::new(h, v));
        let at = self.at(at);
        self.backend.draw_text(text, &style, at)
    }
}

/// A text's width, told without a font: letters are about half as wide as high.
pub fn width_of(text: &str) -> f64 {
    text.chars()
        .map(|c| if c.is_ascii_uppercase() || c == 'm' || c == 'w' { 8.6 } else { 6.4 })
        .sum()
}

/// The text cut to a width, with an ellipsis where something is missing.
pub fn fitted(text: &str, width: f64) -> String {
    if width_of(text) <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        if width_of(&kept) + 16.0 > width {
            break;
        }
        kept.push(c);
    }
    format!("{}…", kept.trim_end())
}
