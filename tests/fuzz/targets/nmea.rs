//! NMEA: every sentence gets its right sum, so that what it says is read.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut file = Vec::with_capacity(bytes.len() * 2);
    for line in bytes.split(|&b| b == b'\n') {
        let said = line.split(|&b| b == b'*').next().unwrap_or_default();
        let said: Vec<u8> = said.iter().copied().filter(|b| *b != b'$' && *b != b'\r').collect();
        let sum = said.iter().fold(0u8, |sum, byte| sum ^ byte);
        file.push(b'$');
        file.extend_from_slice(&said);
        file.extend_from_slice(format!("*{sum:02X}\r\n").as_bytes());
    }
    pullmark_fuzz::read("fuzzed.nmea", &file);
    pullmark_fuzz::read("fuzzed.nmea", bytes);
});
