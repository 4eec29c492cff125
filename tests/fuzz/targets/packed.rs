//! Archives: damaged ones, and sound ones around damaged files.

#![no_main]

use std::io::{Cursor, Write};

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    pullmark_fuzz::open("fuzzed.zip", bytes);
    let (first, second) = bytes.split_at(bytes.len() / 2);
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, inside) in [("a/one.csv", first), ("two.csv", second)] {
        zip.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(inside).unwrap();
    }
    let mut zip = zip.finish().unwrap().into_inner();
    pullmark_fuzz::open("fuzzed.zip", &zip);
    // A bit of the directory at the end is turned, by what the bytes say.
    if let ([first, second, ..], true) = (bytes, zip.len() > 200) {
        let at = zip.len() - 1 - usize::from(*first) % 200;
        zip[at] ^= 1 << (second % 8);
        pullmark_fuzz::open("fuzzed.zip", &zip);
    }
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    gzip.write_all(bytes).unwrap();
    pullmark_fuzz::open("fuzzed.gz", &gzip.finish().unwrap());
});
