//! Checks against the world: published tables, worked examples, and general
//! reference libraries. Every expected value has its source beside it; none comes
//! from Pullmark's own output.

mod air;
mod decay;
mod heat;
mod libraries;
mod smoothing;
mod statistics;
mod support;
mod trade;
mod units;
