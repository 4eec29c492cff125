//! Records told apart: which bytes belong to which group.
//!
//! In: the bytes of a data group and its channel groups. Out: the bytes of each group's
//! records, and the numbers of those that were lost with a damaged block. A record that
//! does not end inside the bytes is none.

use std::collections::BTreeMap;
use std::ops::Range;

use super::block::{Block, Checked, Fault};

/// The bytes of a group's records, each with `skip` bytes in front.
pub struct Held<'b> {
    pub bytes: &'b [u8],
    pub stride: usize,
    pub skip: usize,
    /// Numbers of records lost with their block.
    pub lost: &'b [Range<usize>],
}

/// A channel group while its records are being found.
pub struct Source<'a> {
    pub block: Block<'a>,
    pub record_id: u64,
    /// Bytes of a record without its id; `None` for records that tell their own length.
    pub stride: Option<usize>,
    pub data_bytes: usize,
}

impl<'a> Source<'a> {
    pub fn of(block: Block<'a>) -> Self {
        let (data_bytes, invalid_bytes) = (block.u32(24) as usize, block.u32(28) as usize);
        let tells_length = block.u16(16) & 1 != 0;
        let stride = (!tells_length).then(|| data_bytes.saturating_add(invalid_bytes));
        Source { block, record_id: block.u64(0), stride, data_bytes }
    }
}

/// Numbers of the records that a lost stretch of bytes has a part of.
pub fn lost_records(lost: &[Range<usize>], stride: usize) -> Vec<Range<usize>> {
    let stride = stride.max(1);
    lost.iter().map(|lost| lost.start / stride..lost.end.div_ceil(stride)).collect()
}

/// Sorts mixed records by their numbers, the ids taken off.
pub fn sort(
    data: &[u8],
    sources: &[Source],
    id_bytes: usize,
    at: u64,
) -> Checked<BTreeMap<u64, Vec<u8>>> {
    let strides: BTreeMap<u64, Option<usize>> =
        sources.iter().map(|source| (source.record_id, source.stride)).collect();
    let mut sorted: BTreeMap<u64, Vec<u8>> = BTreeMap::new();
    let mut rest = data;
    while id_bytes > 0 && rest.len() > id_bytes {
        let (id, behind) = rest.split_at(id_bytes);
        let id = id.iter().rev().fold(0u64, |id, &byte| id << 8 | u64::from(byte));
        let stride = match strides.get(&id) {
            Some(Some(stride)) => *stride,
            Some(None) => {
                let length =
                    behind.first_chunk().map_or(0, |four| u32::from_le_bytes(*four) as usize);
                length.saturating_add(4)
            }
            None => {
                return Err(Fault::new(
                    at,
                    format!("a record is numbered {id}, which no group has"),
                ));
            }
        };
        let Some(record) = behind.get(..stride) else { break };
        if strides.get(&id).is_some_and(Option::is_some) {
            sorted.entry(id).or_default().extend_from_slice(record);
        }
        rest = &behind[stride..];
    }
    Ok(sorted)
}
