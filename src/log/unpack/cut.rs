//! Archives that were cut short: what came before the cut.
//!
//! In: the bytes that are there. Out: the files in them, and what to say. A line that
//! the cut may have gone through is never given: its last number could lack digits.
//! What does not agree with its own check sum is not given either.

use flate2::{Crc, Decompress, FlushDecompress, Status};

use super::{damaged, is_hidden, too_big};
use crate::log::limits::{ENTRIES_LIMIT, LINE_LIMIT};
use crate::log::{LogError, Problem, mdf4};

/// Gives on what ends with a line, and keeps the rest until it is known to be whole.
#[derive(Default)]
pub struct WholeLines {
    kept: Vec<u8>,
    /// Not made of lines: it can be read up to wherever it ends.
    has_none: Option<bool>,
}

impl WholeLines {
    pub fn feed(&mut self, piece: &[u8], mut give: impl FnMut(&[u8])) {
        if *self.has_none.get_or_insert_with(|| has_no_lines(piece)) {
            return give(piece);
        }
        let end = piece.iter().rposition(|b| matches!(b, b'\n' | b'\r')).map(|last| last + 1);
        // One line longer than any is no table's.
        let end = end.or((self.kept.len() > LINE_LIMIT).then_some(piece.len()));
        if let Some(end) = end {
            give(&std::mem::take(&mut self.kept));
            give(&piece[..end]);
        }
        self.kept.extend_from_slice(&piece[end.unwrap_or(0)..]);
    }

    /// What stands behind the last line break, where nothing was cut.
    pub fn rest(self) -> Vec<u8> {
        self.kept
    }
}

/// Measurement files and tracks say themselves how far they are whole.
fn has_no_lines(start: &[u8]) -> bool {
    let text = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start).trim_ascii_start();
    mdf4::is_mdf(start) || text.starts_with(b"<")
}

/// Said of a gzip that ends before its end.
pub fn gzip(packed: usize, unpacked: u64) -> Problem {
    let text = format!(
        "The archive was cut short after {packed} bytes, as when it was not copied to its end. The {} \
         of the log that came out of them were read, up to the last whole line. Copy it again for the \
         rest.",
        in_bytes(unpacked)
    );
    Problem { code: "cut_short", text }
}

fn in_bytes(count: u64) -> String {
    match count {
        0..10_000 => format!("{count} bytes"),
        10_000..10_000_000 => format!("{} kB", count / 1000),
        _ => format!("{} MB", count / 1_000_000),
    }
}

/// What lies in a zip archive whose list of contents, at its end, is gone.
pub struct Salvaged {
    pub files: Vec<(String, Vec<u8>)>,
    pub problem: Problem,
}

/// Goes from file to file by the heads before them. Source: APPNOTE.TXT, 4.3.7 and 4.3.9.
///
/// # Errors
/// When nothing of a file is there, or more than `limit` bytes.
pub fn zip(file: &str, bytes: &[u8], limit: u64) -> Result<Salvaged, LogError> {
    let (mut files, mut at, mut left, mut part) = (Vec::new(), 0, limit, None);
    while let Some(head) = Head::at(bytes, at).filter(|_| files.len() < ENTRIES_LIMIT) {
        let Some(member) = head.unpack(&bytes[head.data_at..], left) else { break };
        left = left.checked_sub(member.bytes.len() as u64).ok_or_else(|| too_big(file, limit))?;
        at = head.data_at + member.packed;
        if !head.name.ends_with('/') && !is_hidden(&head.name) && !member.bytes.is_empty() {
            part = (!member.is_whole).then(|| head.name.clone());
            files.push((head.name, member.bytes));
        }
        if !member.is_whole {
            break;
        }
    }
    if files.is_empty() {
        return Err(damaged(file, "archive"));
    }
    let whole = files.len() - usize::from(part.is_some());
    let of_part =
        part.map_or(String::new(), |name| format!("; of {name}, what came before the cut"));
    let files_of = if whole == 1 { "file" } else { "files" };
    let text = format!(
        "{file} was cut short, as when it was not copied to its end: the list of what it holds is \
         gone. Read were {whole} whole {files_of} in it{of_part}. Copy it again for the rest."
    );
    Ok(Salvaged { files, problem: Problem { code: "cut_short", text } })
}

/// The head before a file in a zip archive.
struct Head {
    name: String,
    data_at: usize,
    is_deflated: bool,
    /// As the head says; `None` where they stand behind the file.
    sizes: Option<(usize, usize)>,
    sum: Option<u32>,
}

struct Member {
    bytes: Vec<u8>,
    /// Bytes it takes in the archive.
    packed: usize,
    is_whole: bool,
}

impl Head {
    /// The next head from a place on: what stands behind a file may lie between.
    fn at(bytes: &[u8], from: usize) -> Option<Head> {
        /// Sizes behind a file: a mark, a sum, and two numbers of up to eight bytes.
        const BEHIND: usize = 24;
        let window = bytes.get(from..bytes.len().min(from + BEHIND + 4))?;
        let at = from + window.windows(4).position(|mark| mark == b"PK\x03\x04")?;
        let head = bytes.get(at..at + 30)?;
        let two = |at: usize| u16::from_le_bytes([head[at], head[at + 1]]);
        let four = |at: usize| u32::from(two(at)) | u32::from(two(at + 2)) << 16;
        let (flags, method) = (two(6), two(8));
        let is_locked = flags & 1 != 0;
        let name_at = at + 30;
        let data_at = name_at + usize::from(two(26)) + usize::from(two(28));
        let name = bytes.get(name_at..name_at + usize::from(two(26)))?;
        let told = flags & 8 == 0;
        (!is_locked && matches!(method, 0 | 8) && data_at <= bytes.len()).then(|| Head {
            name: String::from_utf8_lossy(name).into_owned(),
            data_at,
            is_deflated: method == 8,
            sizes: told.then(|| (four(18) as usize, four(22) as usize)),
            sum: told.then(|| four(14)),
        })
    }

    /// `None` where it cannot be told where it ends, or what it holds is damaged.
    fn unpack(&self, data: &[u8], limit: u64) -> Option<Member> {
        let mut member = if self.is_deflated {
            inflate(data, limit)?
        } else {
            let (size, _) = self.sizes?;
            let bytes = data[..data.len().min(size)].to_vec();
            Member { packed: bytes.len(), is_whole: bytes.len() == size, bytes }
        };
        if !member.is_whole {
            whole_lines(&mut member.bytes);
            return Some(member);
        }
        let mut sum = Crc::new();
        sum.update(&member.bytes);
        self.sum.is_none_or(|said| said == sum.sum()).then_some(member)
    }
}

/// Up to one byte more than the limit.
fn inflate(data: &[u8], limit: u64) -> Option<Member> {
    let mut inflater = Decompress::new(false);
    let mut bytes = Vec::new();
    loop {
        bytes.reserve(1 << 16);
        let (taken, given) = (inflater.total_in(), inflater.total_out());
        let rest = data.get(usize::try_from(taken).ok()?..)?;
        let status = inflater.decompress_vec(rest, &mut bytes, FlushDecompress::None).ok()?;
        let stands = (inflater.total_in(), inflater.total_out()) == (taken, given);
        let is_whole = status == Status::StreamEnd;
        if is_whole || stands || bytes.len() as u64 > limit {
            return Some(Member { bytes, packed: inflater.total_in() as usize, is_whole });
        }
    }
}

/// Takes the line off that the cut went through.
fn whole_lines(bytes: &mut Vec<u8>) {
    if !has_no_lines(bytes) {
        let last = bytes.iter().rposition(|b| matches!(b, b'\n' | b'\r'));
        bytes.truncate(last.map_or(0, |last| last + 1));
    }
}
