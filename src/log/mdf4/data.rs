//! The bytes of records, put together from data blocks, lists, and compressed parts.
//!
//! In: a data link. Out: the bytes in order, borrowed where they lie in one piece.
//! Inflating stops at the size a block states, and all together at a fixed limit.

use std::borrow::Cow;
use std::io::Read;

use super::block::{Block, Checked, Fault, block, chain, name};

/// Most bytes of records taken out of one group.
pub const DATA_LIMIT: usize = 1 << 30;

pub fn gather(file: &[u8], at: u64) -> Checked<Cow<'_, [u8]>> {
    let Some(first) = block(file, at)? else { return Ok(Cow::Borrowed(&[])) };
    let first = match &first.id {
        // A header list only says how its lists are packed.
        b"##HL" => match block(file, first.link(0))? {
            Some(list) => list,
            None => return Ok(Cow::Borrowed(&[])),
        },
        _ => first,
    };
    match &first.id {
        b"##DL" | b"##LD" => {
            let mut bytes = Vec::new();
            for list in chain(file, first.at, &first.id)? {
                append_list(file, &list, &mut bytes)?;
            }
            Ok(Cow::Owned(bytes))
        }
        _ => part(&first),
    }
}

fn append_list(file: &[u8], list: &Block, bytes: &mut Vec<u8>) -> Checked<()> {
    // An LD list may end in as many links to invalidation bytes: flag bit 31.
    let doubled = &list.id == b"##LD" && list.u32(0) & 1 << 31 != 0;
    let all = list.links().saturating_sub(1);
    let count = if doubled { all / 2 } else { all };
    for index in 1..=count {
        let Some(found) = block(file, list.link(index))? else { continue };
        bytes.extend_from_slice(&part(&found)?);
        if bytes.len() > DATA_LIMIT {
            let what = format!("a group holds more than {} MB of records", DATA_LIMIT >> 20);
            return Err(Fault { at: found.at, what });
        }
    }
    Ok(())
}

fn part<'a>(block: &Block<'a>) -> Checked<Cow<'a, [u8]>> {
    match &block.id {
        b"##DT" | b"##DV" | b"##SD" | b"##RD" => Ok(Cow::Borrowed(block.data)),
        b"##DZ" => inflate(block).map(Cow::Owned),
        id => Err(Fault {
            at: block.at,
            what: format!("records are said to be in a {} block", name(id)),
        }),
    }
}

fn inflate(block: &Block) -> Checked<Vec<u8>> {
    let fault = |what: &str| Fault { at: block.at, what: what.to_owned() };
    let zip = block.u8(2);
    let (turned, size) =
        (block.u32(4) as usize, usize::try_from(block.u64(8)).unwrap_or(usize::MAX));
    if zip > 1 {
        return Err(fault("records are packed by a method other than deflate"));
    }
    if size > DATA_LIMIT {
        return Err(fault("a compressed block claims an absurd size"));
    }
    let packed = block.data.get(24..).unwrap_or_default();
    let mut bytes = Vec::new();
    let mut reader = flate2::read::ZlibDecoder::new(packed).take(size as u64);
    reader.read_to_end(&mut bytes).map_err(|_| fault("a compressed block is damaged"))?;
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
