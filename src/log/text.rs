//! Encodings: the bytes of a text file become one string with `\n` or `\r\n` lines.
//!
//! In: bytes. Out: [`Text`], borrowed from the bytes where they already are UTF-8.
//! Never fails: what cannot be decoded as UTF-8 or UTF-16 is read in the older encoding
//! whose words its letters make (chardetng, as in a browser), or as Windows-1252, in which
//! every byte is a letter, and that is said. [`decode`] takes a whole file; a [`Decoder`] gives the same text of a file
//! that comes in pieces.

use std::borrow::Cow;

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{
    Encoding, GB18030, GBK, IBM866, ISO_2022_JP, ISO_8859_2, KOI8_U, MACINTOSH, SHIFT_JIS, UTF_8,
    UTF_16BE, UTF_16LE, WINDOWS_1250, WINDOWS_1251, WINDOWS_1252, WINDOWS_1253, WINDOWS_1254,
    WINDOWS_1255,
};

use super::{Problem, eastern};

/// Decoded text, how it was encoded, and what was odd.
pub struct Text<'a> {
    pub text: Cow<'a, str>,
    pub encoding: &'static str,
    pub problems: Vec<Problem>,
}

/// How much of a file is looked at to tell its nature.
const HEAD: usize = 4096;

pub fn decode(bytes: &[u8]) -> Text<'_> {
    let mut problems = Vec::new();
    let bytes = without_padding(bytes, &mut problems);
    let (encoding, body) = encoding_of(bytes);
    let (body, appended) = body.split_at(body.len() - narrow_end(encoding, body));
    let body = without_half_line(encoding, body, &mut problems);
    let text = match encoding.decode_without_bom_handling_and_without_replacement(body) {
        Some(text) => text,
        None => encoding.decode_without_bom_handling(body).0,
    };
    if !body.is_ascii() || encoding == ISO_2022_JP {
        problems.extend(not_unicode(encoding));
    }
    let text = match str::from_utf8(appended) {
        Ok(appended) if !appended.is_empty() => {
            problems.push(appended_narrow(&text));
            Cow::Owned(format!("{text}{appended}"))
        }
        _ => text,
    };
    Text { text: with_line_feeds(text), encoding: encoding.name(), problems }
}

/// Said of text in an older encoding, whose letters are worth a look.
pub fn not_unicode(encoding: &'static Encoding) -> Option<Problem> {
    let text = match encoding {
        e if e == UTF_8 || e == UTF_16LE || e == UTF_16BE => return None,
        e if e == WINDOWS_1252 => {
            "The text is not Unicode; it was read as Windows-1252 (Latin-1). Check letters \
             with accents and the degree sign in names and units."
                .to_owned()
        }
        e if e == SHIFT_JIS => {
            "The text is not Unicode; it was read as Shift-JIS. Check the names.".to_owned()
        }
        e => {
            let name = if e == MACINTOSH { "Mac OS Roman" } else { e.name() };
            format!("The text is not Unicode; it was read as {name}. Check the names.")
        }
    };
    Some(Problem { code: "encoding", text })
}

/// Whether the bytes are text at all, in any encoding known here.
pub fn is_text(bytes: &[u8]) -> bool {
    let (encoding, body) = encoding_of(bytes);
    is_text_in(encoding, body)
}

pub fn is_text_in(encoding: &'static Encoding, body: &[u8]) -> bool {
    let head = &body[..body.len().min(HEAD)];
    let (text, _) = encoding.decode_without_bom_handling(head);
    let odd = text.chars().filter(|&c| c.is_control() && !matches!(c, '\t' | '\n' | '\r' | '\0'));
    let nul = text.chars().filter(|&c| c == '\0').count();
    let all = text.chars().count();
    // A few stray control characters happen on a bad card; more is no text.
    odd.count() * 50 <= all && nul * 4 <= all
}

/// One zero may belong to the last letter of UTF-16.
pub const LEAST_PADDING: usize = 4;

pub fn padded(padding: usize) -> Problem {
    let text = format!(
        "The file ends in {padding} zero bytes, as when a logger loses power; they were left out."
    );
    Problem { code: "padding", text }
}

/// A logger that lost power leaves a tail of zero bytes in the last block.
fn without_padding<'a>(bytes: &'a [u8], problems: &mut Vec<Problem>) -> &'a [u8] {
    let kept = bytes.iter().rposition(|&b| b != 0).map_or(0, |last| last + 1);
    let padding = bytes.len() - kept;
    if padding < LEAST_PADDING {
        return bytes;
    }
    problems.push(padded(padding));
    // Keep the half letter of UTF-16 whole.
    &bytes[..(kept + kept % 2).min(bytes.len())]
}

/// How much of the end of UTF-16 is written with one byte a letter: lines that a script
/// added to a file of another.
fn narrow_end(encoding: &'static Encoding, body: &[u8]) -> usize {
    const LEAST: usize = 64;
    let Some(line_feed) = wide_line_feed(encoding) else { return 0 };
    let last = body.chunks_exact(2).rposition(|letter| letter == line_feed);
    let end = &body[last.map_or(0, |last| 2 * last + 2)..];
    let narrow = |b: &u8| b.is_ascii_graphic() || matches!(b, b' ' | b'\t' | b'\r' | b'\n');
    let is_it = end.len() >= LEAST && end.contains(&b'\n') && end.iter().all(narrow);
    if is_it { end.len() } else { 0 }
}

fn appended_narrow(before: &str) -> Problem {
    let line = before.lines().count() + 1;
    let text = format!(
        "From line {line} on the file is written with one byte a letter, and before that with two, as when \
         one program adds to another's file; both were read."
    );
    Problem { code: "encoding_mixed", text }
}

fn wide_line_feed(encoding: &'static Encoding) -> Option<[u8; 2]> {
    match encoding {
        e if e == UTF_16LE => Some([b'\n', 0]),
        e if e == UTF_16BE => Some([0, b'\n']),
        _ => None,
    }
}

/// UTF-16 that ends in half a letter was cut there, and its last cell may lack digits.
fn without_half_line<'a>(
    encoding: &'static Encoding,
    body: &'a [u8],
    problems: &mut Vec<Problem>,
) -> &'a [u8] {
    let Some(line_feed) = wide_line_feed(encoding) else { return body };
    if body.len().is_multiple_of(2) {
        return body;
    }
    let text = "The file ends in half a letter, as when it was not copied to its end; its last line \
                was left out.";
    problems.push(Problem { code: "cut_short", text: text.to_owned() });
    let last = body.chunks_exact(2).rposition(|letter| letter == line_feed);
    &body[..last.map_or(0, |last| 2 * last + 2)]
}

fn encoding_of(bytes: &[u8]) -> (&'static Encoding, &[u8]) {
    if let Some((encoding, bom)) = Encoding::for_bom(bytes) {
        return (encoding, &bytes[bom..]);
    }
    if let Some(encoding) = wide(bytes).or_else(|| shifted(bytes)) {
        return (encoding, bytes);
    }
    if std::str::from_utf8(bytes).is_ok() { (UTF_8, bytes) } else { (not_utf8(bytes), bytes) }
}

/// The older encoding of a text. Only its head is looked at, and no padding, so that a file
/// that comes in pieces is told alike; a head that cannot be read in it at all, or that is
/// UTF-8 itself, speaks for none.
fn not_utf8(bytes: &[u8]) -> &'static Encoding {
    let head = &bytes[..bytes.len().min(HEAD)];
    let head = &head[..head.iter().rposition(|&b| b != 0).map_or(0, |last| last + 1)];
    if std::str::from_utf8(head).map_or_else(|error| error.error_len().is_none(), |_| true) {
        return WINDOWS_1252;
    }
    let other = lines_with_letters(head);
    if is_macintosh(&other) {
        return MACINTOSH;
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(&other, false);
    let told = match detector.guess(None, Utf8Detection::Deny) {
        e if e.is_single_byte() => e,
        e => eastern::told(if e == GBK { GB18030 } else { e }, &other),
    };
    let (text, unread) = told.decode_without_bom_handling(&other);
    // The head may end in half a letter.
    let fits = !unread || text.chars().filter(|&c| c == char::REPLACEMENT_CHARACTER).count() <= 1;
    let is_it = match told.is_single_byte() {
        // Most letters are the same in several: the commonest will do.
        true => {
            ALPHABETS.contains(&told) && text != WINDOWS_1252.decode_without_bom_handling(&other).0
        }
        false => eastern::stands_in_words(&text),
    };
    if fits && is_it { told } else { WINDOWS_1252 }
}

/// Encodings with a byte a letter that logs are met in.
const ALPHABETS: [&Encoding; 8] = [
    WINDOWS_1250,
    WINDOWS_1251,
    WINDOWS_1253,
    WINDOWS_1254,
    WINDOWS_1255,
    ISO_8859_2,
    KOI8_U,
    IBM866,
];

/// Letters with accents of Mac OS Roman are capitals, signs and nothing in Windows-1252,
/// and stand behind a small letter there, as in no word; its degree sign is a Spanish mark
/// before the letter of a unit.
fn is_macintosh(lines: &[u8]) -> bool {
    let decisive = |part: &[u8]| match part[1] {
        // à é è ç ä ê ë ü
        0x88 | 0x8a | 0x8d | 0x8e | 0x8f | 0x90 | 0x9f => part[0].is_ascii_lowercase(),
        0xa1 => matches!(part[2], b'C' | b'F') && !part[3].is_ascii_alphabetic(),
        _ => false,
    };
    // Letters of neither are those of another encoding.
    let is_other = |byte: &u8| *byte >= 0xb0 && !matches!(byte, 0xd0..=0xd5);
    lines.windows(4).any(decisive) && !lines.iter().any(is_other)
}

/// Lines of numbers say nothing, and are most of a table.
fn lines_with_letters(head: &[u8]) -> Vec<u8> {
    let lines = head.split_inclusive(|&b| b == b'\n').filter(|line| !line.is_ascii());
    lines.take(200).flatten().copied().collect()
}

/// The encoding that the first bytes of a file speak for, and how long its mark is;
/// `None` for UTF-16 and all older encodings but one, which are read whole.
pub fn first_encoding(head: &[u8]) -> Option<(&'static Encoding, usize)> {
    match Encoding::for_bom(head) {
        Some((encoding, mark)) => (encoding == UTF_8).then_some((encoding, mark)),
        None if wide(head).or_else(|| shifted(head)).is_some() => None,
        None => match std::str::from_utf8(head) {
            Err(error) if error.error_len().is_some() => {
                (not_utf8(head) == WINDOWS_1252).then_some((WINDOWS_1252, 0))
            }
            _ => Some((UTF_8, 0)),
        },
    }
}

/// Letters of the East between marks that shift to them and back (ISO 2022), in ASCII.
fn shifted(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = &bytes[..bytes.len().min(HEAD)];
    let has = |mark: &[u8]| head.windows(mark.len()).any(|part| part == mark);
    let comes_back = || has(b"\x1b(B") || has(b"\x1b(J");
    (has(b"\x1b$") && comes_back()).then_some(ISO_2022_JP)
}

/// UTF-16 without its mark: in a log nearly every second byte is zero.
fn wide(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = &bytes[..bytes.len().min(HEAD) & !1];
    if head.len() < 4 {
        return None;
    }
    let zeros = |odd: usize| head.iter().skip(odd).step_by(2).filter(|&&b| b == 0).count();
    let (even, odd, pairs) = (zeros(0), zeros(1), head.len() / 2);
    match (even * 20 < pairs, odd * 2 > pairs, even * 2 > pairs, odd * 20 < pairs) {
        (true, true, _, _) => Some(UTF_16LE),
        (_, _, true, true) => Some(UTF_16BE),
        _ => None,
    }
}

/// Text with a sign for all that is no letter of it: the same as `String::from_utf8_lossy`,
/// and several times as quick where nothing is amiss.
pub fn lossy(bytes: &[u8]) -> Cow<'_, str> {
    std::str::from_utf8(bytes).map_or_else(|_| String::from_utf8_lossy(bytes), Cow::Borrowed)
}

/// Lone carriage returns among lines of the other kinds break a line as well.
pub fn break_lone_returns(text: &mut [u8]) {
    for at in 1..text.len() {
        if text[at - 1] == b'\r' && !matches!(text[at], b'\r' | b'\n') {
            text[at - 1] = b'\n';
        }
    }
}

/// Files with lone carriage returns get line feeds, so that lines can be counted.
fn with_line_feeds(text: Cow<'_, str>) -> Cow<'_, str> {
    if text.contains('\r') && !text.contains('\n') {
        return Cow::Owned(text.replace('\r', "\n"));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_encoding_gives_the_same_text() {
        let plain = "Zeit;Öl °C\n1;2\n";
        let le: Vec<u8> = plain.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let be: Vec<u8> = plain.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let latin: Vec<u8> = plain.chars().map(|c| c as u32 as u8).collect();
        let bom = |mark: &[u8], body: &[u8]| [mark, body].concat();
        let rows = [
            ("utf-8", plain.as_bytes().to_vec()),
            ("utf-8 with mark", bom(b"\xef\xbb\xbf", plain.as_bytes())),
            ("utf-16 le", bom(b"\xff\xfe", &le)),
            ("utf-16 be", bom(b"\xfe\xff", &be)),
            ("utf-16 le, no mark", le),
            ("utf-16 be, no mark", be),
            ("latin-1", latin),
        ];
        for (name, bytes) in rows {
            assert_eq!(decode(&bytes).text, plain, "{name}");
            assert!(is_text(&bytes), "{name}");
        }
    }

    #[test]
    fn a_tail_of_zero_bytes_is_left_out_and_said() {
        let text = decode(b"a,b\n1,2\n\0\0\0\0\0\0\0\0");
        assert_eq!(
            (text.text.trim_end_matches('\0'), text.problems[0].code),
            ("a,b\n1,2\n", "padding")
        );
    }
}
