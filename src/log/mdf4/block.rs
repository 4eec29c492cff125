//! Blocks of an MDF 4 file, read with every length and link checked.
//!
//! In: the file's bytes and a link. Out: a [`Block`] that lies wholly inside the
//! file, or a [`Fault`] with its place. Nothing is trusted: a link may point
//! anywhere, a length may say anything.
//!
//! Layout: 24-byte header (id `##XX`, 4 reserved, u64 length, u64 link count),
//! links as u64, then data. Source: block tables of the general-purpose library
//! asammdf 8.8; rows H2-15 of the check values.

/// What is wrong, and at which byte.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    pub at: u64,
    pub what: String,
    /// Nothing is damaged, but it is beyond the limits.
    pub too_much: bool,
}

impl Fault {
    pub fn new(at: u64, what: impl Into<String>) -> Self {
        Fault { at, what: what.into(), too_much: false }
    }

    pub fn too_much(at: u64, what: impl Into<String>) -> Self {
        Fault { at, what: what.into(), too_much: true }
    }
}

/// One block of the file.
#[derive(Debug, Clone, Copy)]
pub struct Block<'a> {
    pub at: u64,
    pub id: [u8; 4],
    links: &'a [u8],
    pub data: &'a [u8],
    /// The file ends inside it.
    pub cut: bool,
}

use crate::log::limits::BLOCKS_LIMIT;

pub type Checked<T> = Result<T, Fault>;

const HEADER: usize = 24;

/// The block a link points to; `None` for the link that points nowhere.
pub fn block(file: &[u8], at: u64) -> Checked<Option<Block<'_>>> {
    if at == 0 {
        return Ok(None);
    }
    let fault = |what: &str| Fault::new(at, what);
    let start =
        usize::try_from(at).map_err(|_| fault("a link points beyond the end of the file"))?;
    let rest = file.get(start..).unwrap_or_default();
    let head =
        rest.get(..HEADER).ok_or_else(|| fault("a link points beyond the end of the file"))?;
    if !head.starts_with(b"##") {
        return Err(fault("a link points to something that is no block"));
    }
    let length = usize::try_from(u64_at(head, 8)).unwrap_or(usize::MAX);
    let links = usize::try_from(u64_at(head, 16)).unwrap_or(usize::MAX);
    if length < HEADER {
        return Err(fault("a block claims to be shorter than its own header"));
    }
    let body = match rest.get(HEADER..length) {
        Some(body) => body,
        None if holds_records(head) => &rest[HEADER..],
        None => return Err(fault("a block claims to be longer than the file")),
    };
    let split = links.checked_mul(8).filter(|&bytes| bytes <= body.len());
    let split = split.ok_or_else(|| fault("a block claims more links than it has room for"))?;
    let (links, data) = body.split_at(split);
    let cut = length > rest.len();
    Ok(Some(Block { at, id: [head[0], head[1], head[2], head[3]], links, data, cut }))
}

/// Records are worth reading up to where the file was cut.
fn holds_records(head: &[u8]) -> bool {
    [b"##DT", b"##DV", b"##SD", b"##RD", b"##DZ"].iter().any(|id| head.starts_with(*id))
}

/// The block a link points to, which must be of one kind.
pub fn expect<'a>(file: &'a [u8], at: u64, id: &[u8; 4]) -> Checked<Option<Block<'a>>> {
    let Some(block) = block(file, at)? else { return Ok(None) };
    if &block.id != id {
        let what = format!("a link leads to {} where {} was expected", name(&block.id), name(id));
        return Err(Fault::new(at, what));
    }
    Ok(Some(block))
}

pub fn name(id: &[u8]) -> String {
    String::from_utf8_lossy(id.get(2..4).unwrap_or_default()).into_owned()
}

impl<'a> Block<'a> {
    /// A link by its place; a link that is not there points nowhere.
    pub fn link(&self, index: usize) -> u64 {
        self.links.get(index * 8..index * 8 + 8).map_or(0, |bytes| u64_at(bytes, 0))
    }

    pub fn links(&self) -> usize {
        self.links.len() / 8
    }

    pub fn u8(&self, at: usize) -> u8 {
        self.data.get(at).copied().unwrap_or(0)
    }

    pub fn u16(&self, at: usize) -> u16 {
        u16::from(self.u8(at)) | u16::from(self.u8(at + 1)) << 8
    }

    pub fn u32(&self, at: usize) -> u32 {
        u32::from(self.u16(at)) | u32::from(self.u16(at + 2)) << 16
    }

    pub fn u64(&self, at: usize) -> u64 {
        u64::from(self.u32(at)) | u64::from(self.u32(at + 4)) << 32
    }

    pub fn f64(&self, at: usize) -> f64 {
        f64::from_bits(self.u64(at))
    }
}

fn u64_at(bytes: &[u8], at: usize) -> u64 {
    let mut eight = [0; 8];
    if let Some(found) = bytes.get(at..at + 8) {
        eight.copy_from_slice(found);
    }
    u64::from_le_bytes(eight)
}

/// The text of a TX block, or the TX element of an MD block. Empty where there is none.
pub fn text(file: &[u8], at: u64) -> String {
    let Ok(Some(block)) = block(file, at) else { return String::new() };
    let end = block.data.iter().position(|&b| b == 0).unwrap_or(block.data.len());
    // Longer is a comment, not a name.
    let all = String::from_utf8_lossy(&block.data[..end.min(1 << 16)]);
    let text = match &block.id {
        b"##MD" => all
            .split_once("<TX>")
            .and_then(|(_, rest)| rest.split_once("</TX>"))
            .map_or("", |(tx, _)| tx),
        b"##TX" => &all,
        _ => "",
    };
    text.trim().to_owned()
}

/// Follows `next` links from a first block, each of one kind; a link back is a fault.
pub fn chain<'a>(file: &'a [u8], first: u64, id: &[u8; 4]) -> Checked<Vec<Block<'a>>> {
    let mut seen = std::collections::BTreeSet::new();
    let mut blocks = Vec::new();
    let mut at = first;
    while let Some(block) = expect(file, at, id)? {
        if !seen.insert(at) {
            return Err(Fault::new(
                at,
                format!("the links of {} blocks run in a circle", name(id)),
            ));
        }
        if blocks.len() >= BLOCKS_LIMIT {
            return Err(Fault::too_much(
                at,
                format!("there are more than {BLOCKS_LIMIT} {} blocks", name(id)),
            ));
        }
        blocks.push(block);
        at = block.link(0);
    }
    Ok(blocks)
}
