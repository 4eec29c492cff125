//! GPX: whatever stands inside the root.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    pullmark_fuzz::read("fuzzed.gpx", bytes);
    let inside = [&b"<gpx version=\"1.1\">"[..], bytes, b"</gpx>"].concat();
    pullmark_fuzz::read("fuzzed.gpx", &inside);
});
