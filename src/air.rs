//! Moist air, the standard atmosphere, and the named correction factors.

/// The air of one outing. Every part may be unknown; nothing unknown is a zero.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Air {
    pub ambient_c: Option<f64>,
    pub relative_humidity_percent: Option<f64>,
    /// At the place itself, not reduced to sea level.
    pub pressure_pa: Option<f64>,
}
