//! The tyre: how much of its load it gives as thrust at a given slip.
//!
//! In: wheel and ground speed in m/s. Out: thrust per load. No load dependence, no
//! temperature, no relaxation length: a launch spends its time far from their effects.
//!
//! Form: the magic formula D sin(C atan(B s - E (B s - atan(B s)))), with the dry and wet
//! coefficients that a simulation library's documentation prints.

/// Below this ground speed slip is counted against it: the ratio has no sense at rest.
pub const SLIP_FLOOR_MPS: f64 = 2.0;

/// A tyre on a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    pub stiffness: f64,
    pub shape: f64,
    pub peak: f64,
    pub curvature: f64,
}

impl Tyre {
    pub const DRY: Self = Self { stiffness: 10.0, shape: 1.9, peak: 1.0, curvature: 0.97 };
    /// Falls off hard beyond its peak, as dust and water make it.
    pub const WET: Self = Self { stiffness: 12.0, shape: 2.3, peak: 0.82, curvature: 1.0 };

    /// A stiff sports tyre: the dry curve with its peak at half the slip.
    pub const SPORT: Self = Self { stiffness: 20.0, ..Self::DRY };

    /// The same curve with another peak.
    pub fn with_peak(self, peak: f64) -> Self {
        Self { peak, ..self }
    }

    /// Thrust per load at a slip ratio; odd in the slip.
    pub fn thrust_share(&self, slip: f64) -> f64 {
        let x = self.stiffness * slip;
        let bent = x - self.curvature * (x - libm::atan(x));
        self.peak * libm::sin(self.shape * libm::atan(bent))
    }
}

/// Slip ratio of a driven wheel, (wheel - ground) / ground.
pub fn slip_ratio(wheel_mps: f64, ground_mps: f64) -> f64 {
    (wheel_mps - ground_mps) / ground_mps.max(SLIP_FLOOR_MPS)
}
