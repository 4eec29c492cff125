//! Slices in, numbers out. No word of the trade, no unit, no log.
//!
//! Kernels demand finite slices and say so; where a result means nothing they
//! return `None`. Transcendental functions come from `libm`, so that browser and
//! command give the same bits.

pub mod decay;
pub mod ends;
pub mod fit;
pub mod kalman;
pub mod robust;
pub mod samples;
pub mod settle;
pub mod smooth;
pub mod student;
