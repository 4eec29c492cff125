//! Colours: paper and ink for both themes, and a published set for builds.
//!
//! Source of the eight: Okabe & Ito, Color Universal Design (2002, revised 2008),
//! chosen to be told apart with any colour vision. Their order here is by contrast
//! against the paper; the weakest comes last.

use plotters::style::RGBColor;

use super::Ink;

const ORANGE: RGBColor = RGBColor(230, 159, 0);
const SKY_BLUE: RGBColor = RGBColor(86, 180, 233);
const BLUISH_GREEN: RGBColor = RGBColor(0, 158, 115);
const YELLOW: RGBColor = RGBColor(240, 228, 66);
const BLUE: RGBColor = RGBColor(0, 114, 178);
const VERMILLION: RGBColor = RGBColor(213, 94, 0);
const REDDISH_PURPLE: RGBColor = RGBColor(204, 121, 167);

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Palette {
    pub paper: RGBColor,
    pub ink: RGBColor,
    pub soft: RGBColor,
    pub hair: RGBColor,
    pub suspect: RGBColor,
    pub accent: RGBColor,
    builds: [RGBColor; 7],
}

pub const LIGHT: Palette = Palette {
    paper: RGBColor(251, 250, 246),
    ink: RGBColor(29, 33, 38),
    soft: RGBColor(89, 97, 106),
    hair: RGBColor(226, 221, 210),
    suspect: VERMILLION,
    accent: RGBColor(11, 106, 108),
    builds: [BLUE, VERMILLION, BLUISH_GREEN, REDDISH_PURPLE, ORANGE, SKY_BLUE, YELLOW],
};

pub const DARK: Palette = Palette {
    paper: RGBColor(21, 24, 27),
    ink: RGBColor(231, 228, 220),
    soft: RGBColor(161, 167, 173),
    hair: RGBColor(48, 54, 60),
    suspect: ORANGE,
    accent: RGBColor(98, 197, 192),
    builds: [SKY_BLUE, ORANGE, BLUISH_GREEN, REDDISH_PURPLE, YELLOW, VERMILLION, BLUE],
};

impl Palette {
    pub fn ink(&self, ink: Ink) -> RGBColor {
        match ink {
            Ink::Plain => self.ink,
            Ink::Suspect => self.suspect,
            Ink::Quiet => self.soft,
            Ink::Build(build) => self.builds[build % self.builds.len()],
        }
    }
}
