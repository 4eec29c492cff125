//! Wheels one by one: `wheel_speed_FL`, `Raddrehzahl VL`, `Vitesse roue AVG`, `WSRR`.
//!
//! In: a name's words. Out: the role of the wheel's corner, or `None`. An abbreviation
//! of a corner only counts beside the wheel of its own language: `di` is Italian for
//! "of" before it is the Spanish front left. Of Spanish wheels the rear ones stand first,
//! as `del` may be no more than "of the".

use super::{Named, Role, SPEED};
use crate::log::names::Words;

const WHEEL: &str = "wheel|=rad|raddrehzahl|radgeschw|=whl|=ws|=wspd|whlspd|=wss|車輪|輪速|roue|rueda|ruota|=wiel|wielsnelheid|wieltoerental";

/// Corner by corner, what a name must have: alternatives by `|`, all parts needed.
const CORNERS: [(Role, &str); 24] = [
    (
        Role::WheelSpeedFrontLeft,
        "fl|lf|vl|frontleft|leftfront|vornelinks|vornlinks|linksvorn|左前|前左",
    ),
    (
        Role::WheelSpeedFrontRight,
        "fr|rf|vr|frontright|rightfront|vornerechts|vornrechts|rechtsvorn|右前|前右",
    ),
    (Role::WheelSpeedRearLeft, "rl|lr|hl|rearleft|leftrear|hintenlinks|linkshinten|左後|後左"),
    (Role::WheelSpeedRearRight, "rr|hr|rearright|rightrear|hintenrechts|rechtshinten|右後|後右"),
    (Role::WheelSpeedFrontLeft, "roue avg|=avgche|avantgauche|gaucheavant"),
    (Role::WheelSpeedFrontRight, "roue avd|avantdroit|droiteavant"),
    (Role::WheelSpeedRearLeft, "roue arg|arrieregauche|gauchearriere"),
    (Role::WheelSpeedRearRight, "roue ard|arrieredroit|droitearriere"),
    (Role::WheelSpeedFrontLeft, "roue =av|avant =g|gauche"),
    (Role::WheelSpeedFrontRight, "roue =av|avant =d|droit|droite"),
    (Role::WheelSpeedRearLeft, "roue =ar|arriere =g|gauche"),
    (Role::WheelSpeedRearRight, "roue =ar|arriere =d|droit|droite"),
    (Role::WheelSpeedRearLeft, "rueda ti|=tras|traser =ti|=i|=izq|izquierd"),
    (Role::WheelSpeedRearRight, "rueda td|=tras|traser =td|=d|=der|=dcha|derech"),
    (Role::WheelSpeedFrontLeft, "rueda di|=del|delanter =di|=i|=izq|izquierd"),
    (Role::WheelSpeedFrontRight, "rueda dd|=del|delanter =dd|=d|=der|=dcha|derech"),
    (Role::WheelSpeedFrontLeft, "ruota =ant|anterior|=as =sx|=sin|sinistr|=as"),
    (Role::WheelSpeedFrontRight, "ruota =ant|anterior|=ad =dx|=des|destr|=ad"),
    (Role::WheelSpeedRearLeft, "ruota =post|posterior|=ps =sx|=sin|sinistr|=ps"),
    (Role::WheelSpeedRearRight, "ruota =post|posterior|=pd =dx|=des|destr|=pd"),
    (Role::WheelSpeedFrontLeft, "=wiel|wielsnelheid|wieltoerental lv|linksvoor|voorlinks"),
    (Role::WheelSpeedFrontRight, "=wiel|wielsnelheid|wieltoerental rv|rechtsvoor|voorrechts"),
    (Role::WheelSpeedRearLeft, "=wiel|wielsnelheid|wieltoerental la|linksachter|achterlinks"),
    (Role::WheelSpeedRearRight, "=wiel|wielsnelheid|wieltoerental ra|rechtsachter|achterrechts"),
];

/// Corners that are run into the word before them: `wheelspeedfl`, `wsrr`.
const GLUED: [(Role, &str); 4] = [
    (Role::WheelSpeedFrontLeft, "fl"),
    (Role::WheelSpeedFrontRight, "fr"),
    (Role::WheelSpeedRearLeft, "rl"),
    (Role::WheelSpeedRearRight, "rr"),
];

/// The wheel that a name speaks of.
pub fn named(name: &Words) -> Option<Named> {
    let glued = ["wsfl", "wsfr", "wsrl", "wsrr"].iter().any(|glued| name.joined.contains(glued));
    if !glued && !name.has(WHEEL) {
        return None;
    }
    let role = corner(name)?;
    let speed = name.has(SPEED) || name.has("drehzahl|=ws|=wss|=wspd|whlspd|輪速") || glued;
    let other = name.has("slip|temp|press|torque|accel|travel|angle|druck");
    (speed && !other).then_some(Named { role, loose: false })
}

fn corner(name: &Words) -> Option<Role> {
    let ends = |corner: &str| {
        ["wheelspeed", "wheelspd", "whlspd", "wspd", "ws", "wheel"]
            .iter()
            .any(|stem| name.joined.contains(&format!("{stem}{corner}")))
    };
    let said = CORNERS.iter().find(|(_, needs)| name.has_all(needs));
    said.or_else(|| GLUED.iter().find(|(_, corner)| ends(corner))).map(|(role, _)| *role)
}
