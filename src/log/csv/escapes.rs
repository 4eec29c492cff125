//! Quotation marks behind a backslash, as databases and scripts write them in a cell.
//!
//! In: text in pieces. Out: the same with each such pair as two marks, which is how RFC
//! 4180 writes a mark in a cell (section 2, rule 7). No byte is added or lost, so that
//! places in the text stay what they are.

/// The text on its way; what ends a piece with a backslash waits for the next.
#[derive(Default)]
pub struct Escapes {
    text: Vec<u8>,
    is_open: bool,
}

/// Whether a head has a mark behind a backslash that cannot close its cell.
pub fn has_any(head: &[u8]) -> bool {
    let ends_cell = |b: &u8| matches!(b, b',' | b';' | b'\t' | b'|' | b'\r' | b'\n');
    let behind = |(at, _)| head.get(at + 1..at + 3).unwrap_or_default();
    let backslashes = head.iter().enumerate().filter(|(_, b)| **b == b'\\');
    backslashes.map(behind).any(|two: &[u8]| matches!(two, [b'"', next] if !ends_cell(next)))
}

impl Escapes {
    /// The next piece, as far as it is certain.
    pub fn plain(&mut self, piece: &[u8]) -> &[u8] {
        self.text.clear();
        for &b in piece {
            match (self.is_open, b) {
                (true, b'"') => self.text.extend(b"\"\""),
                (true, b) => self.text.extend([b'\\', b]),
                (false, b'\\') => {}
                (false, b) => self.text.push(b),
            }
            self.is_open = !self.is_open && b == b'\\';
        }
        &self.text
    }

    /// A backslash at the very end.
    pub fn rest(&self) -> &[u8] {
        if self.is_open { b"\\" } else { b"" }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_behind_a_backslash_become_two_wherever_a_piece_ends() {
        let text = br#""a \"b\" c","C:\\","d\e"\"#;
        let wanted = br#""a ""b"" c","C:\\","d\e"\"#;
        for size in 1..text.len() {
            let mut escapes = Escapes::default();
            let mut plain = Vec::new();
            text.chunks(size).for_each(|piece| plain.extend_from_slice(escapes.plain(piece)));
            plain.extend_from_slice(escapes.rest());
            assert_eq!(plain, wanted, "{size}");
        }
        assert!(has_any(br#""he said \"go\"",1"#));
        assert!(!has_any(br#""C:\logs\",1"#));
    }
}
