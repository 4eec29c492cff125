//! The car as a mass on wheels: loads on its axles, and what holds it back.
//!
//! In: speed, acceleration, slope, air density. Out: forces in N. Straight ahead only;
//! suspension travel is instant, and its pitch shows only in the accelerometer.

pub const GRAVITY_MPS2: f64 = 9.806_65;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drive {
    Front,
    Rear,
    All,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vehicle {
    pub mass_kg: f64,
    pub drag_area_m2: f64,
    pub rolling: f64,
    /// Share of the weight on the front axle at rest.
    pub front_share: f64,
    /// Height of the centre of gravity over the wheelbase.
    pub height_share: f64,
    pub drive: Drive,
    pub radius_m: f64,
    /// Driven wheels, shafts and gears, as mass at the tyre's tread.
    pub driven_inertia_kg: f64,
    /// Wheels that only roll, likewise.
    pub free_inertia_kg: f64,
}

impl Vehicle {
    /// Load on the driven wheels while the car gains `accel_mps2`.
    pub fn driven_load_n(&self, accel_mps2: f64) -> f64 {
        let moved = accel_mps2 * self.height_share;
        let share = match self.drive {
            Drive::Front => GRAVITY_MPS2 * self.front_share - moved,
            Drive::Rear => GRAVITY_MPS2 * (1.0 - self.front_share) + moved,
            Drive::All => GRAVITY_MPS2,
        };
        self.mass_kg * share.max(0.0)
    }

    /// Air, rolling and slope; the rolling part fades out towards rest.
    pub fn resistance_n(&self, speed_mps: f64, density_kgpm3: f64, slope: f64) -> f64 {
        let air = 0.5 * density_kgpm3 * self.drag_area_m2 * speed_mps * speed_mps;
        let rolling = self.rolling * self.mass_kg * GRAVITY_MPS2 * (speed_mps / 0.05).min(1.0);
        air + rolling + self.mass_kg * GRAVITY_MPS2 * slope
    }

    /// The most that tyres of this peak can give, without resistance or rolling mass:
    /// load and acceleration hang together, so it is solved by repetition.
    pub fn traction_limit_mps2(&self, peak: f64) -> f64 {
        (0..200).fold(0.0, |accel, _| peak * self.driven_load_n(accel) / self.mass_kg)
    }
}

/// The air of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    pub ambient_c: f64,
    pub humidity_percent: f64,
    pub pressure_kpa: f64,
}

impl Air {
    /// Ideal mixture of dry air and vapour, saturation by the WMO's form of Magnus.
    pub fn density_kgpm3(&self) -> f64 {
        let t = self.ambient_c;
        let saturated_pa = 611.2 * libm::exp(17.62 * t / (243.12 + t));
        let vapour_pa = self.humidity_percent / 100.0 * saturated_pa;
        let kelvin = t + 273.15;
        (self.pressure_kpa * 1000.0 - vapour_pa) / (287.05 * kelvin) + vapour_pa / (461.5 * kelvin)
    }
}
