//! MDF 4: the first block is put right, so that the damage lies behind it.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut file = bytes.to_vec();
    if file.len() >= 64 {
        file[..8].copy_from_slice(b"MDF     ");
        file[28..30].copy_from_slice(&410u16.to_le_bytes());
    }
    pullmark_fuzz::read("fuzzed.mf4", &file);
});
