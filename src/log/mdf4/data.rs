//! The bytes of records, put together from data blocks, lists, and compressed parts.
//!
//! In: a data link. Out: the bytes in order, borrowed where they lie in one piece, as
//! far as the file reaches. A compressed block must hold what it states, and all
//! groups together no more than a fixed limit. A damaged block of a list is left out
//! whole where the list tells how long it was, so that the records behind it still lie
//! where they should; else the data ends before it. A file that ends within a compressed
//! block gives what can be inflated of it, where that is a beginning of the records.

use std::borrow::Cow;
use std::io::{self, Read};
use std::ops::Range;

use super::block::{Block, Checked, Fault, block, chain, name};
use crate::log::limits::DATA_LIMIT;

/// The bytes of a group's records.
#[derive(Debug, Default)]
pub struct Gathered<'a> {
    pub bytes: Cow<'a, [u8]>,
    /// Stretches of zeros in place of a damaged block.
    pub lost: Vec<Range<usize>>,
    /// Why there is no more, or not all: the first block that could not be read.
    pub damage: Option<Fault>,
    /// Where the next block belongs is not known: there is no more.
    ended: bool,
}

/// Gathers the records of one file, group after group.
pub struct Gatherer<'a> {
    file: &'a [u8],
    /// Bytes that may still be taken.
    left: usize,
    /// Where the file was found to end inside the records.
    pub cut: Option<u64>,
    /// Its recorder stopped before it wrote how long its last block became.
    unfinished: bool,
}

impl<'a> Gatherer<'a> {
    pub fn new(file: &'a [u8]) -> Self {
        let (left, unfinished) = (DATA_LIMIT.max(file.len()), file.starts_with(b"UnFin"));
        Gatherer { file, left, cut: None, unfinished }
    }

    /// The records that a link leads to. What is damaged is lost, and no other group with it.
    pub fn gather(&mut self, at: u64) -> Checked<Gathered<'a>> {
        match self.all(at) {
            Err(fault) if !fault.too_much => {
                Ok(Gathered { damage: Some(fault), ended: true, ..Gathered::default() })
            }
            all => all,
        }
    }

    fn all(&mut self, at: u64) -> Checked<Gathered<'a>> {
        let Some(first) = block(self.file, at)? else { return Ok(Gathered::default()) };
        let first = match &first.id {
            // A header list only says how its lists are packed.
            b"##HL" => match block(self.file, first.link(0))? {
                Some(list) => list,
                None => return Ok(Gathered::default()),
            },
            _ => first,
        };
        match &first.id {
            b"##DL" | b"##LD" => {
                let mut all = Gathered::default();
                let lists = chain(self.file, first.at, &first.id)?;
                for (at, list) in lists.iter().enumerate() {
                    self.append_list(list, lists.get(at + 1), &mut all)?;
                    if all.ended {
                        break;
                    }
                }
                Ok(all)
            }
            _ => Ok(Gathered { bytes: self.part(&first)?, ..Gathered::default() }),
        }
    }

    fn append_list(
        &mut self,
        list: &Block<'a>,
        next: Option<&Block>,
        all: &mut Gathered<'a>,
    ) -> Checked<()> {
        // An LD list may end in as many links to invalidation bytes: flag bit 31.
        let doubled = &list.id == b"##LD" && list.u32(0) & 1 << 31 != 0;
        let links = list.links().saturating_sub(1);
        let count = if doubled { links / 2 } else { links };
        for index in 1..=count {
            let link = list.link(index);
            // The list was written, and the file cut before this block of it.
            if link >= self.file.len() as u64 && self.cut.is_none() && !all.bytes.is_empty() {
                self.cut = Some(self.file.len() as u64);
                return Ok(());
            }
            let part = match block(self.file, link) {
                Ok(None) => continue,
                Ok(Some(found)) => self.part(&found),
                Err(fault) => Err(fault),
            };
            match part {
                Ok(part) => all.bytes.to_mut().extend_from_slice(&part),
                Err(fault) if fault.too_much => return Err(fault),
                Err(fault) => {
                    all.damage.get_or_insert(fault);
                    let until = ends_at(list, index, next, all.bytes.len());
                    if !until.is_some_and(|until| self.leave_out(until, all)) {
                        all.ended = true;
                        return Ok(());
                    }
                }
            }
        }
        Ok(())
    }

    /// Zeros in place of a block, up to where the next one begins.
    fn leave_out(&mut self, until: usize, all: &mut Gathered) -> bool {
        let from = all.bytes.len();
        if until <= from || until - from > self.left {
            return false;
        }
        self.left -= until - from;
        all.bytes.to_mut().resize(until, 0);
        all.lost.push(from..until);
        true
    }

    fn part(&mut self, block: &Block<'a>) -> Checked<Cow<'a, [u8]>> {
        let bytes = match &block.id {
            b"##DT" | b"##DV" if block.data.is_empty() && self.unfinished => {
                Cow::Borrowed(unsaid(self.file, block.at))
            }
            b"##DT" | b"##DV" | b"##SD" | b"##RD" => Cow::Borrowed(block.data),
            b"##DZ" => Cow::Owned(inflate(block, self.left)?),
            id => {
                let what = format!("records are said to be in a {} block", name(id));
                return Err(Fault::new(block.at, what));
            }
        };
        if block.cut {
            self.cut.get_or_insert(self.file.len() as u64);
        }
        self.left = self.left.checked_sub(bytes.len()).ok_or_else(|| too_much(block))?;
        Ok(bytes)
    }
}

/// The data behind an empty block of an unfinished file: up to the next block, or to the
/// end. Blocks begin at every eighth byte, with their id and a length that has room.
fn unsaid(file: &[u8], at: u64) -> &[u8] {
    const HEADER: usize = 24;
    let from = usize::try_from(at).map_or(file.len(), |at| (at + HEADER).min(file.len()));
    let begins = |at: &usize| {
        let named = file[*at..].starts_with(b"##")
            && file[*at + 2..].iter().take(2).all(u8::is_ascii_uppercase);
        named && block(file, *at as u64).is_ok()
    };
    let end = (from.next_multiple_of(8)..file.len()).step_by(8).find(begins);
    &file[from..end.unwrap_or(file.len())]
}

/// Where the data of a list's block ends among all data, from what the list says of the
/// block and of the next one. `None` where it says nothing, or something else of its start.
fn ends_at(list: &Block, index: usize, next: Option<&Block>, from: usize) -> Option<usize> {
    const EQUAL_LENGTH: u8 = 1;
    let says = |list: &Block, index: usize| {
        let inside = (1..list.links()).contains(&index) && &list.id == b"##DL";
        inside.then(|| usize::try_from(list.u64(8 + 8 * (index - 1))).ok()).flatten()
    };
    let last = index + 1 == list.links();
    if list.u8(0) & EQUAL_LENGTH != 0 {
        // All are of one length but the last of all, which may be shorter.
        let length = says(list, 1).filter(|length| *length > 0)?;
        return (from.is_multiple_of(length) && !(last && next.is_none()))
            .then(|| from.checked_add(length))?;
    }
    says(list, index).filter(|own| *own == from)?;
    if last { says(next?, 1) } else { says(list, index + 1) }
}

fn too_much(block: &Block) -> Fault {
    let what = format!("there are more than {} MB of records", DATA_LIMIT >> 20);
    Fault::too_much(block.at, what)
}

fn inflate(block: &Block, left: usize) -> Checked<Vec<u8>> {
    let fault = |what: &str| Fault::new(block.at, what);
    let zip = block.u8(2);
    let (turned, size) =
        (block.u32(4) as usize, usize::try_from(block.u64(8)).unwrap_or(usize::MAX));
    if zip > 1 {
        return Err(fault("records are packed by a method other than deflate"));
    }
    if size > left {
        return Err(too_much(block));
    }
    let packed = block.data.get(24..).unwrap_or_default();
    let mut bytes = Vec::new();
    let mut reader = flate2::read::ZlibDecoder::new(packed).take(size as u64 + 1);
    // In columns, the beginning holds no record.
    let is_beginning = block.cut && zip == 0;
    match reader.read_to_end(&mut bytes) {
        Err(error) if is_beginning && error.kind() == io::ErrorKind::UnexpectedEof => {
            return Ok(bytes);
        }
        read => read.map_err(|_| fault("a compressed block is damaged"))?,
    };
    if bytes.len() != size {
        return Err(fault("a compressed block does not hold as many bytes as it says"));
    }
    Ok(if zip == 1 { turn_back(&bytes, turned) } else { bytes })
}

/// Undoes the transposition: columns of `width` bytes a record back to records.
/// What does not fill a record stays at the end as it is.
pub fn turn_back(columns: &[u8], width: usize) -> Vec<u8> {
    if width < 2 {
        return columns.to_vec();
    }
    let records = columns.len() / width;
    let mut bytes = Vec::with_capacity(columns.len());
    for record in 0..records {
        bytes.extend((0..width).map(|column| columns[column * records + record]));
    }
    bytes.extend_from_slice(&columns[records * width..]);
    bytes
}

#[cfg(test)]
mod tests {
    use super::super::block::block;

    /// A list of three blocks that begin at 0, 40, 80, or are all 40 long.
    #[test]
    fn a_list_tells_where_a_block_ends() {
        let list = |flags: u8, numbers: &[u64]| {
            let mut bytes = b"........##DL\0\0\0\0".to_vec();
            let length = 24 + 4 * 8 + 8 + 8 * numbers.len() as u64;
            bytes.extend(length.to_le_bytes().iter().chain(&4u64.to_le_bytes()));
            bytes.extend([0; 32].iter().chain(&[flags, 0, 0, 0, 3, 0, 0, 0]));
            bytes.extend(numbers.iter().flat_map(|number| number.to_le_bytes()));
            bytes
        };
        let (offsets, equal) = (list(0, &[0, 40, 80]), list(1, &[40]));
        let ends = |bytes: &[u8], index, from| {
            super::ends_at(&block(bytes, 8).unwrap().unwrap(), index, None, from)
        };
        assert_eq!([ends(&offsets, 1, 0), ends(&offsets, 2, 40)], [Some(40), Some(80)]);
        assert_eq!([ends(&equal, 1, 0), ends(&equal, 2, 40)], [Some(40), Some(80)]);
        // The last of all, and a block that does not begin where the list says.
        assert_eq!([ends(&offsets, 3, 80), ends(&offsets, 2, 44)], [None, None]);
        assert_eq!([ends(&equal, 3, 80), ends(&equal, 2, 44)], [None, None]);
    }

    /// Row H2-16: four records of three bytes, transposed and back.
    #[test]
    fn transposed_records_are_turned_back() {
        let stored = [0, 3, 6, 9, 1, 4, 7, 10, 2, 5, 8, 11];
        let records: Vec<u8> = (0..12).collect();
        assert_eq!(super::turn_back(&stored, 3), records);
        assert_eq!(super::turn_back(&[0, 2, 1, 3, 99], 2), [0, 1, 2, 3, 99]);
    }
}
