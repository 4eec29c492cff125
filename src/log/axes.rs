//! Axes of a sensor of motion that name no quantity: `gx` may be g along x, or a gyroscope.
//!
//! In: the drafts of a log. Out: the same, with no acceleration made of turning. Makers of
//! such sensors write `ax, ay, az, gx, gy, gz`: beside an accelerometer's axis a `g` is the
//! gyroscope's. Common practice, no source.

use super::assemble::Draft;

pub fn settle(drafts: &mut [Draft]) {
    let accelerometer = drafts.iter().find(|draft| draft.raw.words.has("=ax|=accx|=accelx"));
    let Some(beside) = accelerometer.map(|draft| draft.raw.name.clone()) else { return };
    let is_turning =
        |draft: &&mut Draft| draft.unit.is_none() && draft.raw.words.has("=gx|=gy|=gz");
    for draft in drafts.iter_mut().filter(is_turning) {
        draft.refuse(&format!("beside \"{beside}\" it is the gyroscope's axis"));
    }
}
