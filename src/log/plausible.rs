//! What a channel in a role can read, in the program's own units.
//!
//! One table. The limits are wide: they tell a misnamed channel or a wrong unit
//! from a strange car, and nothing finer. Common practice, no source, but where
//! a line says otherwise.

use super::Role;

/// Lowest and highest value that is still believed.
pub fn limits(role: Role) -> (f64, f64) {
    use Role::*;
    match role {
        // 500 km/h; a speed a little below zero is a receiver's or a sensor's noise.
        VehicleSpeed | SatelliteSpeed | UndrivenWheelSpeed | WheelSpeedFrontLeft
        | WheelSpeedFrontRight | WheelSpeedRearLeft | WheelSpeedRearRight => (-10.0, 140.0),
        EngineSpeed => (-50.0, 17_000.0),
        // Sensors are scaled by their makers: a few percent beyond either end.
        Throttle | Pedal => (-15.0, 130.0),
        Brake => (-1e6, 3e7),
        Gear => (-2.0, 12.0),
        LongitudinalAcceleration => (-60.0, 60.0),
        InletAir => (-50.0, 120.0),
        ChargeAir => (-50.0, 220.0),
        CompressorOutletAir => (-50.0, 320.0),
        AmbientAir => (-50.0, 65.0),
        Coolant => (-50.0, 150.0),
        ChargeCoolant => (-50.0, 130.0),
        // A vacuum no engine pulls, and 6 bar.
        ManifoldPressure => (5e3, 7e5),
        // The highest road passes and the lowest shores.
        BarometricPressure => (4.5e4, 1.1e5),
        RelativeHumidity => (0.0, 105.0),
        Latitude => (-90.0, 90.0),
        Longitude => (-180.0, 360.0),
        Altitude => (-500.0, 9_000.0),
    }
}

/// Where most readings lie on an ordinary day: decides between units.
pub fn usual(role: Role) -> (f64, f64) {
    use Role::*;
    match role {
        AmbientAir => (-15.0, 42.0),
        InletAir => (-15.0, 65.0),
        ChargeAir => (-10.0, 85.0),
        CompressorOutletAir => (0.0, 200.0),
        Coolant => (15.0, 115.0),
        ChargeCoolant => (-5.0, 70.0),
        ManifoldPressure => (2e4, 3.5e5),
        BarometricPressure => (7.5e4, 1.06e5),
        _ => limits(role),
    }
}
