//! Sentences of older versions, in the form of today's.
//!
//! In: a sentence. Out: the same with the fields that came later left empty, and its
//! checksum made anew. Source: NMEA 0183 version 2.0 and before, in which RMC may end with
//! the date and GLL with its state (from memory).

/// Kinds, with the fewest fields behind the head that they are met with, and with all up to
/// the version before 2.3.
const KINDS: [(&str, usize, usize); 2] = [("RMC", 9, 11), ("GLL", 6, 7)];

/// The sentence in full; `None` where it is, or where its own checksum is wrong.
pub fn in_full(sentence: &str) -> Option<String> {
    let (said, sum) = sentence.strip_prefix('$')?.split_once('*')?;
    let fields = said.bytes().filter(|&b| b == b',').count();
    let kind = KINDS.iter().find(|kind| said.get(2..5) == Some(kind.0));
    let &(_, fewest, full) = kind.filter(|kind| (kind.1..kind.2).contains(&fields))?;
    let own = u8::from_str_radix(sum.get(..2)?, 16).ok()?;
    if own != summed(said) {
        return None;
    }
    let full = format!("{said}{}", ",".repeat(full.saturating_sub(fields.max(fewest))));
    Some(format!("${full}*{:02X}", summed(&full)))
}

fn summed(said: &str) -> u8 {
    said.bytes().fold(0, |sum, byte| sum ^ byte)
}
