//! Text that comes in pieces, decoded as it comes.
//!
//! In: the bytes of a file, cut anywhere, also within a letter. Out: the text that
//! [`super::text::decode`] makes of the whole file, and what was odd. The encoding is
//! taken from the first bytes; a later byte that contradicts it is never read wrong:
//! the decoder then says that the file must be read anew.

use encoding_rs::{CoderResult, Encoding, UTF_8, WINDOWS_1252};

use super::Problem;
use super::text;

/// Bytes on their way to text.
pub struct Decoder {
    encoding: &'static Encoding,
    /// Set where a mark tells UTF-8: what is no letter then becomes the sign for that.
    lossy: Option<encoding_rs::Decoder>,
    /// The first bytes of a letter that was cut.
    cut: Vec<u8>,
    /// Zero bytes that may turn out to be the padding at the end.
    zeros: usize,
    /// Bytes of the file before these.
    before: usize,
    only_ascii: bool,
    failed: bool,
}

impl Decoder {
    /// For a file that begins with these bytes; `None` where it has to be there as a
    /// whole: UTF-16, and what looks like no text. `known` is what an earlier reading found.
    pub fn of(head: &[u8], known: Option<&'static Encoding>) -> Option<Decoder> {
        let (encoding, mark) = text::first_encoding(head)?;
        let encoding = if mark == 0 { known.unwrap_or(encoding) } else { encoding };
        if !text::is_text_in(encoding, &head[mark..]) {
            return None;
        }
        let lossy = (mark > 0).then(|| UTF_8.new_decoder_with_bom_removal());
        Some(Decoder {
            encoding,
            lossy,
            cut: Vec::new(),
            zeros: 0,
            before: 0,
            only_ascii: true,
            failed: false,
        })
    }

    /// Whether a piece is its own text, as almost all are. If not, it has to be fed.
    pub fn takes_as_it_is(&mut self, piece: &[u8]) -> bool {
        let between_letters = self.cut.is_empty() && self.zeros == 0 && self.lossy.is_none();
        let as_it_is = between_letters
            && !self.failed
            && piece.last().is_none_or(|&last| last != 0)
            && is_ascii(piece);
        if as_it_is {
            self.before += piece.len();
        }
        as_it_is
    }

    /// Decodes a piece and adds its text.
    pub fn feed(&mut self, piece: &[u8], text: &mut Vec<u8>) {
        let kept = piece.iter().rposition(|&b| b != 0).map_or(0, |last| last + 1);
        if kept > 0 {
            let zeros = std::mem::take(&mut self.zeros);
            self.give(&vec![0; zeros], text);
            self.give(&piece[..kept], text);
            self.before += zeros + kept;
        }
        self.zeros += piece.len() - kept;
    }

    /// Whether the text given so far is another than the file's: it is Windows-1252, as
    /// [`Decoder::encoding`] now says, and has to be read anew.
    pub fn has_failed(&self) -> bool {
        self.failed
    }

    /// Whether no later byte can change how those so far were read.
    pub fn is_certain(&self) -> bool {
        self.lossy.is_some() || self.encoding == WINDOWS_1252 || self.only_ascii
    }

    pub fn encoding(&self) -> &'static Encoding {
        self.encoding
    }

    /// The rest of the text, and what was odd about it.
    pub fn finish(&mut self, text: &mut Vec<u8>) -> Vec<Problem> {
        let mut problems = Vec::new();
        let padded = self.zeros >= text::LEAST_PADDING;
        // As many as keep a letter of two bytes whole.
        let zeros = if padded { self.before % 2 } else { self.zeros };
        if padded {
            problems.push(text::padded(self.zeros));
        }
        self.give(&vec![0; zeros], text);
        if !self.cut.is_empty() {
            // The file ends within a letter: no UTF-8.
            self.turn(text);
        }
        if let Some(decoder) = &mut self.lossy {
            decode(decoder, &[], text, true);
        }
        if !self.only_ascii {
            problems.extend(text::not_unicode(self.encoding));
        }
        problems
    }

    fn give(&mut self, piece: &[u8], text: &mut Vec<u8>) {
        if piece.is_empty() || self.failed {
            return;
        }
        if let Some(decoder) = &mut self.lossy {
            return decode(decoder, piece, text, false);
        }
        if self.encoding == WINDOWS_1252 {
            self.only_ascii &= piece.is_ascii();
            return decode(&mut WINDOWS_1252.new_decoder_without_bom_handling(), piece, text, true);
        }
        let begun = std::mem::take(&mut self.cut);
        if begun.is_empty() {
            self.unicode(piece, text);
        } else {
            self.unicode(&[begun.as_slice(), piece].concat(), text);
        }
    }

    fn unicode(&mut self, piece: &[u8], text: &mut Vec<u8>) {
        if is_ascii(piece) {
            return text.extend_from_slice(piece);
        }
        match std::str::from_utf8(piece) {
            Ok(_) => {
                self.only_ascii = false;
                text.extend_from_slice(piece);
            }
            Err(error) => {
                let (valid, rest) = piece.split_at(error.valid_up_to());
                self.only_ascii = self.only_ascii && valid.is_ascii();
                text.extend_from_slice(valid);
                self.cut = rest.to_vec();
                if error.error_len().is_some() {
                    self.turn(text);
                }
            }
        }
    }

    /// From UTF-8 to Windows-1252: up to here the same, if all letters were ASCII.
    fn turn(&mut self, text: &mut Vec<u8>) {
        self.encoding = WINDOWS_1252;
        self.failed = !self.only_ascii;
        let rest = std::mem::take(&mut self.cut);
        self.give(&rest, text);
    }
}

/// In steps that a processor takes at once.
fn is_ascii(piece: &[u8]) -> bool {
    let (steps, rest) = piece.as_chunks::<64>();
    let or = |bytes: &[u8; 64]| bytes.iter().fold(0, |all, byte| all | byte) < 128;
    steps.iter().all(or) && rest.is_ascii()
}

fn decode(decoder: &mut encoding_rs::Decoder, mut piece: &[u8], text: &mut Vec<u8>, last: bool) {
    loop {
        let from = text.len();
        let room = decoder.max_utf8_buffer_length(piece.len()).unwrap_or(3 * piece.len() + 16);
        text.resize(from + room, 0);
        let (result, read, written, _) = decoder.decode_to_utf8(piece, &mut text[from..], last);
        text.truncate(from + written);
        piece = &piece[read..];
        if result == CoderResult::InputEmpty {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The text in pieces of one size; twice where the first reading said so.
    fn in_pieces(bytes: &[u8], size: usize) -> Option<(String, &'static str, Vec<Problem>)> {
        let mut known = None;
        loop {
            let mut decoder = Decoder::of(bytes, known)?;
            let mut text = Vec::new();
            for piece in bytes.chunks(size) {
                match decoder.takes_as_it_is(piece) {
                    true => text.extend_from_slice(piece),
                    false => decoder.feed(piece, &mut text),
                }
            }
            let problems = decoder.finish(&mut text);
            if !decoder.has_failed() {
                let text = String::from_utf8(text).expect("decoded text is Unicode");
                return Some((text, decoder.encoding().name(), problems));
            }
            assert_eq!(known, None, "a second reading knows");
            known = Some(decoder.encoding());
        }
    }

    proptest! {
        /// Wherever a file is cut, its text is that of the whole file.
        #[test]
        fn pieces_give_the_text_of_the_whole(
            mark in prop::sample::select(vec![&b""[..], b"\xef\xbb\xbf"]),
            parts in prop::collection::vec(prop::sample::select(vec![
                &b"12.5,"[..], b"\n", "\u{b0}C".as_bytes(), "\u{1f3c1}".as_bytes(), b"\xb0", b"\xf0\x9f",
                b"\0", b"\0\0\0\0\0", b"time", b"\xe2\x82",
            ]), 0..12),
            size in 1..9usize,
        ) {
            let bytes = [mark, b"a,b\n", &parts.concat()].concat();
            let Some((text, encoding, problems)) = in_pieces(&bytes, size) else { return Ok(()) };
            let whole = text::decode(&bytes);
            prop_assert_eq!(text, whole.text.as_ref());
            prop_assert_eq!(encoding, whole.encoding);
            prop_assert_eq!(problems, whole.problems);
        }
    }
}
