//! Sentences among the bytes of another protocol, as a receiver sends both on one wire.
//!
//! In: bytes that are no text. Out: a text with the sentences where they stood and blanks
//! for the rest, where enough sentences carry their right checksum.

use crate::log::Problem;

/// Fewest sentences with a right checksum: eight bits are hit by chance once in 256.
const FEWEST: usize = 5;
/// NMEA 0183 allows 82; receivers send somewhat more.
const LONGEST: usize = 120;

/// The sentences of such a file, and what is said of it.
pub fn text(bytes: &[u8]) -> Option<(String, Problem)> {
    let mut kept = vec![b' '; bytes.len()];
    let mut sentences = 0;
    for start in bytes.iter().enumerate().filter(|(_, byte)| **byte == b'$').map(|(at, _)| at) {
        if let Some(length) = summed(&bytes[start..]) {
            kept[start..start + length].copy_from_slice(&bytes[start..start + length]);
            sentences += 1;
        }
    }
    if sentences < FEWEST {
        return None;
    }
    // A line that holds none would be told as strange, and the whole of it is.
    for (kept, byte) in kept.iter_mut().zip(bytes) {
        if *byte == b'\n' {
            *kept = b'\n';
        }
    }
    let text = format!(
        "Bytes of another protocol stand between the sentences; they were left out, and {sentences} \
         sentences with a right checksum were used."
    );
    Some((String::from_utf8(kept).ok()?, Problem { code: "nmea_noise", text }))
}

/// The length of the sentence that begins here, if its checksum is right.
fn summed(bytes: &[u8]) -> Option<usize> {
    let head = &bytes[..bytes.len().min(LONGEST)];
    let star = head.iter().position(|&byte| byte == b'*')?;
    let body = head.get(1..star).filter(|body| body.iter().all(|b| matches!(b, b' '..=b'~')))?;
    let digits = std::str::from_utf8(head.get(star + 1..star + 3)?).ok()?;
    let said = u8::from_str_radix(digits, 16).ok()?;
    (body.iter().fold(0, |sum, byte| sum ^ byte) == said).then_some(star + 3)
}
