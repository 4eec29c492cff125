//! Where the cells of a text end, all at once and before any is read.
//!
//! In: text. Out: the place of every delimiter, line break and quotation mark in it. A
//! cell's place then hangs on no other cell, and the processor reads several at a time.
//!
//! Method: the marks of 64 bytes as the bits of one word, taken out one by one.
//! Source: Langdale and Lemire, Parsing gigabytes of JSON per second (2019), section 3.1.

/// Bytes that are looked at as one word of bits.
const BLOCK: usize = 64;

/// The places of the marks in one stretch of text.
pub struct Ends {
    marks: Marks,
    at: Vec<u32>,
    count: usize,
    /// Up to here they were given and are done with.
    passed: usize,
}

impl Ends {
    pub fn new(delimiter: u8) -> Ends {
        Ends { marks: Marks([delimiter, b'\n', b'\r', b'"']), at: Vec::new(), count: 0, passed: 0 }
    }

    /// Finds those of a text, which is shorter than 4 GiB.
    #[inline(never)]
    pub fn find(&mut self, text: &[u8]) {
        if self.at.len() < text.len() + BLOCK {
            self.at.resize(text.len() + BLOCK, 0);
        }
        (self.count, self.passed) = (0, 0);
        let (blocks, rest) = text.as_chunks::<BLOCK>();
        for (index, block) in blocks.iter().enumerate() {
            self.take(index * BLOCK, self.marks.within(block));
        }
        if !rest.is_empty() {
            let mut block = [0; BLOCK];
            block[..rest.len()].copy_from_slice(rest);
            self.take(blocks.len() * BLOCK, self.marks.within(&block) & !(!0 << rest.len()));
        }
    }

    /// Those from a place on, which is not before that of the last call.
    pub fn from(&mut self, place: usize) -> &[u32] {
        let found = &self.at[..self.count];
        self.passed += found[self.passed..].iter().take_while(|&&at| (at as usize) < place).count();
        &found[self.passed..]
    }

    #[inline(always)]
    fn take(&mut self, from: usize, mut found: u64) {
        let Some(free) = self.at[self.count..].first_chunk_mut::<BLOCK>() else { return };
        let mut taken = 0;
        while found != 0 {
            free[taken & (BLOCK - 1)] = from as u32 + found.trailing_zeros();
            taken += 1;
            found &= found - 1;
        }
        self.count += taken;
    }
}

/// Bytes that end a cell.
struct Marks([u8; 4]);

impl Marks {
    /// Which of the bytes are marks, the first as the lowest bit.
    #[inline(always)]
    fn within(&self, block: &[u8; BLOCK]) -> u64 {
        let [a, b, c, d] = self.0;
        // The compiler makes this a few steps over sixteen bytes each.
        let found = block.map(|byte| {
            u8::from(byte == a) | u8::from(byte == b) | u8::from(byte == c) | u8::from(byte == d)
        });
        let (words, _) = found.as_chunks::<8>();
        words.iter().rev().fold(0, |bits, word| bits << 8 | gathered(u64::from_le_bytes(*word)))
    }
}

/// The lowest bit of every byte as one bit of eight.
/// Source: Warren, Hacker's Delight (2nd edition), section 7-4, the same product.
#[inline(always)]
fn gathered(word: u64) -> u64 {
    word.wrapping_mul(0x0102_0408_1020_4080) >> 56
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_mark_is_found_and_nothing_else(
            text in prop::collection::vec(prop::sample::select(b"0123;,\n\r\"\t\x00\x01\x3a\x7f\x80\xbb\xff".to_vec()), 0..300),
        ) {
            let mut ends = Ends::new(b';');
            for _ in 0..2 {
                let is_mark = |at: &u32| matches!(text[*at as usize], b';' | b'\n' | b'\r' | b'"');
                let wanted: Vec<u32> = (0..text.len() as u32).filter(is_mark).collect();
                ends.find(&text);
                prop_assert_eq!(ends.from(0), &wanted);
                let later: Vec<u32> = wanted.into_iter().filter(|at| *at >= 20).collect();
                prop_assert_eq!(ends.from(20), later);
            }
        }
    }
}
