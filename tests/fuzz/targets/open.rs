//! The whole way: bytes of any form to the sheet, twice the same.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| pullmark_fuzz::open("fuzzed", bytes));
