//! The built site in a real browser, driven as a person would.
//!
//! In: `dist/` as `cargo site build` left it, Chromium and its driver. What the page
//! shows and saves is held against what the native command prints for the same
//! files; neither is held against numbers written down here.

mod driver;
mod files;
mod keys;
mod look;
mod native;
mod private;
mod refuse;
mod served;
mod sheet;
mod visit;
