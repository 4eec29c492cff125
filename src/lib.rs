//! Pullmark reads the logs of a car's test day and says what they prove.
//!
//! The way of a log through the program, in reading order; every room may name
//! the ones above it and none below:
//!
//! 1. [`unit`]: quantities. SI inside; nothing else knows a mile.
//! 2. [`math`]: slices in, numbers out. No word of the trade.
//! 3. [`log`]: bytes become a [`log::Log`]: form, clock, channels, roles, health.
//! 4. [`air`]: moist air, the standard atmosphere, correction factors.
//! 5. [`pull`]: where in a log the car was pulled, from rest or rolling.
//! 6. [`launch`]: the motion over the ground, wheelspin, marks, verdicts.
//! 7. [`heat`]: charge air over a pull, recovery between pulls, the ladder.
//! 8. [`compare`]: build against build.
//! 9. [`day`]: the test day: builds, outings, the car, the reader's corrections.
//! 10. [`work`]: the one seam. Named bytes in, findings and the sheet out.
//! 11. [`sheet`]: results and their wording; the only types that serialise.
//! 12. [`chart`]: what a chart shows, drawn on any plotters backend.
//! 13. [`screen`]: what the page shows, as a value: finished text in the
//!     reader's units.
//!
//! The browser's half (`worker`, `page`) is compiled for wasm only. The native
//! command and the worker both go through [`work`] and nothing else, so that
//! they cannot disagree.

pub mod air;
pub mod chart;
pub mod compare;
pub mod day;
pub mod heat;
pub mod launch;
pub mod log;
pub mod math;
pub mod pull;
pub mod screen;
pub mod sheet;
pub mod unit;
pub mod work;

#[cfg(target_arch = "wasm32")]
mod page;
#[cfg(target_arch = "wasm32")]
mod worker;
