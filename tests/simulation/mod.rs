//! The simulation: invented test days whose truth is known.
//!
//! An independent program: nothing here comes from the crate that reads the logs, so that
//! an error there cannot hide by being made here as well. In: parameters and seeds. Out:
//! the truth of a drive, and the log a car's logger would have written of it.
//!
//! In reading order: [`vehicle`], [`tyre`], [`driveline`] and [`charge`] are the car,
//! [`driver`] drives it, [`motion`] steps through time, [`truth`] says what happened,
//! [`sensors`] and [`recorder`] make a log of it, [`outing`] both at once. [`fleet`],
//! [`loggers`] and [`day`] are the sample day; [`varied`] draws launches by the hundred,
//! [`varied_heat`] test days, with [`way_back`] for their recoveries.
//!
//! Equal seeds give equal bytes on every machine: chance is [`random`]'s, and every
//! function beyond `+ - * /` and the square root is `libm`'s.

#![allow(dead_code, reason = "each program that includes this uses a part of it")]

pub mod charge;
pub mod day;
pub mod driveline;
pub mod driver;
pub mod fleet;
pub mod kit;
pub mod loggers;
pub mod motion;
pub mod outing;
pub mod random;
pub mod recorder;
pub mod sensors;
pub mod truth;
pub mod tyre;
pub mod varied;
pub mod varied_heat;
pub mod vehicle;
pub mod way_back;
