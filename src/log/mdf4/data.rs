//! The bytes of records, put together from data blocks, lists, and compressed parts.
//!
//! In: a data link. Out: the bytes in order, borrowed where they lie in one piece, as
//! far as the file reaches. A compressed block must hold what it states, and all
//! groups together no more than a fixed limit.

use std::borrow::Cow;
use std::io::Read;

use super::block::{Block, Checked, Fault, block, chain, name};
use crate::log::limits::DATA_LIMIT;

/// Gathers the records of one file, group after group.
pub struct Gatherer<'a> {
    file: &'a [u8],
    /// Bytes that may still be taken.
    left: usize,
    /// Where the file was found to end inside the records.
    pub cut: Option<u64>,
}

impl<'a> Gatherer<'a> {
    pub fn new(file: &'a [u8]) -> Self {
        Gatherer { file, left: DATA_LIMIT.max(file.len()), cut: None }
    }

    pub fn gather(&mut self, at: u64) -> Checked<Cow<'a, [u8]>> {
        let Some(first) = block(self.file, at)? else { return Ok(Cow::Borrowed(&[])) };
        let first = match &first.id {
            // A header list only says how its lists are packed.
            b"##HL" => match block(self.file, first.link(0))? {
                Some(list) => list,
                None => return Ok(Cow::Borrowed(&[])),
            },
            _ => first,
        };
        match &first.id {
            b"##DL" | b"##LD" => {
                let mut bytes = Vec::new();
                for list in chain(self.file, first.at, &first.id)? {
                    self.append_list(&list, &mut bytes)?;
                }
                Ok(Cow::Owned(bytes))
            }
            _ => self.part(&first),
        }
    }

    fn append_list(&mut self, list: &Block, bytes: &mut Vec<u8>) -> Checked<()> {
        // An LD list may end in as many links to invalidation bytes: flag bit 31.
        let doubled = &list.id == b"##LD" && list.u32(0) & 1 << 31 != 0;
        let all = list.links().saturating_sub(1);
        let count = if doubled { all / 2 } else { all };
        for index in 1..=count {
            let link = list.link(index);
            // The list was written, and the file cut before this block of it.
            if link >= self.file.len() as u64 && self.cut.is_none() && !bytes.is_empty() {
                self.cut = Some(self.file.len() as u64);
                return Ok(());
            }
            let Some(found) = block(self.file, link)? else { continue };
            bytes.extend_from_slice(&self.part(&found)?);
        }
        Ok(())
    }

    fn part<'b>(&mut self, block: &Block<'b>) -> Checked<Cow<'b, [u8]>> {
        let bytes = match &block.id {
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
    reader.read_to_end(&mut bytes).map_err(|_| fault("a compressed block is damaged"))?;
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
    /// Row H2-16: four records of three bytes, transposed and back.
    #[test]
    fn transposed_records_are_turned_back() {
        let stored = [0, 3, 6, 9, 1, 4, 7, 10, 2, 5, 8, 11];
        let records: Vec<u8> = (0..12).collect();
        assert_eq!(super::turn_back(&stored, 3), records);
        assert_eq!(super::turn_back(&[0, 2, 1, 3, 99], 2), [0, 1, 2, 3, 99]);
    }
}
