//! The fixed words of the sheet: codes for verdicts, kinds and measures.

use crate::compare::Worth;
use crate::heat::WhileCar;
use crate::launch::{SpinKind, Verdict, Witness};
use crate::log::align::By;
use crate::pull::{Effort, Kind};

pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Stands => "stands",
        Verdict::InDoubt => "in_doubt",
        Verdict::Void => "void",
    }
}

pub fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Standing => "standing",
        Kind::Rolling => "rolling",
    }
}

pub fn effort(effort: Effort) -> &'static str {
    match effort {
        Effort::Full => "full",
        Effort::Part { .. } => "part",
        Effort::Unknown => "unknown",
    }
}

pub fn spin(kind: SpinKind) -> &'static str {
    match kind {
        SpinKind::Tyre => "tyre",
        SpinKind::Converter => "converter",
        SpinKind::Clutch => "clutch",
        SpinKind::Unknown => "unknown",
    }
}

pub fn by(by: By) -> &'static str {
    match by {
        By::Speeds => "speeds",
        By::ClocksAndSpeeds => "clocks_and_speeds",
        By::Clocks => "clocks",
        By::Follows => "follows",
        By::Hand => "hand",
    }
}

pub fn while_car(while_car: WhileCar) -> &'static str {
    match while_car {
        WhileCar::Stood => "stood",
        WhileCar::Drove => "drove",
        WhileCar::Mixed => "mixed",
        WhileCar::Unknown => "unknown",
    }
}

pub fn witness(witness: Witness) -> &'static str {
    match witness {
        Witness::LoggedSpeed => "logged_speed",
        Witness::EngineThroughGear => "engine_through_gear",
        Witness::Accelerometer => "accelerometer",
        Witness::SatelliteSpeed => "satellite_speed",
        Witness::UndrivenWheel => "undriven_wheel",
    }
}

pub fn worth(worth: Worth) -> &'static str {
    match worth {
        Worth::Real => "real",
        Worth::NotShown => "not_shown",
        Worth::CannotCompare => "cannot_compare",
    }
}
