//! Tables in every dialect.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| pullmark_fuzz::read("fuzzed.csv", bytes));
