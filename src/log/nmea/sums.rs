//! Checksums: which sentences carry one, and what to make of one that does not.
//!
//! In: sentences. Out: the sentence with its checksum, where it was written without. The
//! standard leaves it to the sender for most sentences; but of a sender whose sentences of
//! a kind carry it, one without lost it on its way, and may have lost more.

use std::collections::BTreeMap;

/// The senders and kinds (`GPRMC`) whose sentences carry a checksum, most of them at least.
pub struct Habit<'a>(BTreeMap<&'a str, (u32, u32)>);

impl<'a> Habit<'a> {
    pub fn of(sentences: impl Iterator<Item = &'a str>) -> Self {
        let mut kinds: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
        for sentence in sentences {
            let Some(kind) = sentence.get(1..6) else { continue };
            let (with, without) = kinds.entry(kind).or_default();
            *(if sentence.contains('*') { with } else { without }) += 1;
        }
        Habit(kinds)
    }

    /// Whether a sentence without a checksum should have one.
    pub fn wants(&self, sentence: &str) -> bool {
        let counts = sentence.get(1..6).and_then(|kind| self.0.get(kind));
        counts.is_some_and(|(with, without)| with > without)
    }
}

/// The sentence with its checksum, where it was written without. One that was cut is told
/// by its missing fields.
pub fn with_sum(sentence: &str) -> Option<String> {
    let said = sentence.strip_prefix('$').filter(|said| !said.contains('*'))?;
    let commas = said.bytes().filter(|&b| b == b',').count();
    let least = match said.get(2..5)? {
        "RMC" => 11,
        "GGA" => 14,
        "GNS" => 12,
        "VTG" => 8,
        "ZDA" => 6,
        _ => return None,
    };
    let sum = said.bytes().fold(0, |sum, byte| sum ^ byte);
    (commas >= least).then(|| format!("${said}*{sum:02X}"))
}
