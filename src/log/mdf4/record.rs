//! Values out of records: bit fields in either byte order, floats, invalid samples.
//!
//! In: the bytes of a group's records and where a channel lies in them. Out: one
//! number a record, NaN where the sample is invalid. Source of the bit rules: block
//! tables of asammdf 8.8; row H2-17 of the check values.

use std::ops::Range;

use crate::log::Problem;
use crate::unit::{Quantity, Unit};

/// A group's records: `stride` bytes each, `data_bytes` of them values.
pub struct Records<'a> {
    pub bytes: &'a [u8],
    pub stride: usize,
    pub data_bytes: usize,
    pub count: usize,
    /// Numbers of records that were lost with their block.
    pub lost: &'a [Range<usize>],
}

/// Where a channel lies in a record and how it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    pub kind: Kind,
    pub big_endian: bool,
    pub byte: usize,
    pub bit: u32,
    pub bits: u32,
    /// The bit behind the values that says a sample is invalid.
    pub invalid_bit: Option<usize>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Unsigned,
    Signed,
    Float,
    /// The number of the record itself.
    Index,
}

impl Field {
    /// Whether every byte of it lies inside the record's values, in a width that exists.
    pub fn fits(&self, data_bytes: usize) -> bool {
        let widths = match self.kind {
            Kind::Index => return true,
            Kind::Float => matches!(self.bits, 16 | 32 | 64) && self.bit == 0,
            _ => (1..=64).contains(&self.bits) && self.bit < 8,
        };
        widths && self.byte.checked_add(self.bytes()).is_some_and(|end| end <= data_bytes)
    }

    fn bytes(&self) -> usize {
        (self.bit + self.bits).div_ceil(8) as usize
    }
}

/// A channel's raw numbers, one a record. Empty when the field does not fit.
pub fn raw(records: &Records, field: &Field) -> Vec<f64> {
    let mut values = written(records, field);
    for lost in records.lost {
        let end = lost.end.min(values.len());
        values[lost.start.min(end)..end].fill(f64::NAN);
    }
    values
}

/// The times of records in seconds. Records of zeros alone, their time included, in the
/// midst of others are a block that was never written: they have no time, and are said.
pub fn clock(
    records: &Records,
    mut time: Vec<f64>,
    unit: Option<Unit>,
) -> (Vec<f64>, Option<Problem>) {
    let stride = records.stride.max(1);
    let holds_nothing = |at: usize| {
        let from = at.checked_mul(stride).and_then(|from| records.bytes.get(from..));
        let record = from.and_then(|from| from.get(..records.data_bytes));
        record.is_some_and(|record| record.iter().all(|&b| b == 0))
    };
    let begun = time.iter().position(|t| *t > 0.0).unwrap_or(time.len());
    let zeros: Vec<usize> =
        (begun..time.len()).filter(|&at| time[at] == 0.0 && holds_nothing(at)).collect();
    zeros.iter().for_each(|&at| time[at] = f64::NAN);
    if let Some(unit) = unit.filter(|unit| unit.quantity == Quantity::Time) {
        time.iter_mut().for_each(|t| *t = unit.inside(*t));
    }
    let said = zeros.first().map(|first| {
        let text = format!(
            "{} records of a group, the first being record {}, are zeros alone, their time included: \
             the recorder wrote nothing there, and they were left out.",
            zeros.len(),
            first + 1
        );
        Problem { code: "zero_hole", text }
    });
    (time, said)
}

fn written(records: &Records, field: &Field) -> Vec<f64> {
    if field.kind == Kind::Index {
        return (0..records.count).map(|at| at as f64).collect();
    }
    if !field.fits(records.data_bytes) {
        return Vec::new();
    }
    let whole = records.bytes.chunks_exact(records.stride.max(1)).take(records.count);
    whole
        .map(|record| {
            if is_invalid(record, records.data_bytes, field) {
                f64::NAN
            } else {
                value(record, field)
            }
        })
        .collect()
}

fn is_invalid(record: &[u8], data_bytes: usize, field: &Field) -> bool {
    field.invalid_bit.is_some_and(|bit| {
        record.get(data_bytes + (bit >> 3)).is_some_and(|byte| byte & 1 << (bit & 7) != 0)
    })
}

fn value(record: &[u8], field: &Field) -> f64 {
    let bytes = &record[field.byte..field.byte + field.bytes()];
    // Nine bytes where 64 bits do not start on a byte.
    let mut all: u128 = 0;
    for (place, &byte) in bytes.iter().enumerate() {
        let place = if field.big_endian { bytes.len() - 1 - place } else { place };
        all |= u128::from(byte) << (8 * place);
    }
    let bits = (all >> field.bit) as u64 & (u64::MAX >> (64 - field.bits));
    match field.kind {
        Kind::Unsigned | Kind::Index => bits as f64,
        Kind::Signed => ((bits << (64 - field.bits)) as i64 >> (64 - field.bits)) as f64,
        Kind::Float => match field.bits {
            64 => f64::from_bits(bits),
            32 => f64::from(f32::from_bits(bits as u32)),
            _ => half(bits as u16),
        },
    }
}

/// IEEE 754 half precision.
fn half(bits: u16) -> f64 {
    let sign = if bits & 0x8000 == 0 { 1.0 } else { -1.0 };
    let (exponent, fraction) = (i32::from(bits >> 10 & 0x1f), f64::from(bits & 0x3ff));
    sign * match exponent {
        0 => fraction * 2f64.powi(-24),
        31 if fraction == 0.0 => f64::INFINITY,
        31 => f64::NAN,
        _ => (1.0 + fraction / 1024.0) * 2f64.powi(exponent - 15),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(record: &[u8], data_bytes: usize, field: Field) -> f64 {
        let records =
            Records { bytes: record, stride: record.len(), data_bytes, count: 1, lost: &[] };
        raw(&records, &field)[0]
    }

    #[test]
    fn bit_fields_floats_and_signs_are_read_in_both_orders() {
        let field = Field {
            kind: Kind::Unsigned,
            big_endian: false,
            byte: 0,
            bit: 0,
            bits: 16,
            invalid_bit: None,
        };
        assert_eq!(one(&[0x34, 0x12], 2, field), f64::from(0x1234));
        assert_eq!(one(&[0x12, 0x34], 2, Field { big_endian: true, ..field }), f64::from(0x1234));
        assert_eq!(
            one(&[0b1010_1000, 0b0000_0011], 2, Field { bit: 3, bits: 7, ..field }),
            f64::from(0b111_0101)
        );
        assert_eq!(one(&[0xff], 1, Field { kind: Kind::Signed, bits: 8, ..field }), -1.0);
        assert_eq!(one(&[0x0f], 1, Field { kind: Kind::Signed, bits: 4, ..field }), -1.0);
        assert_eq!(
            one(
                &1.5f32.to_be_bytes(),
                4,
                Field { kind: Kind::Float, big_endian: true, bits: 32, ..field }
            ),
            1.5
        );
        assert_eq!(one(&[0x00, 0x3e], 2, Field { kind: Kind::Float, ..field }), 1.5);
    }

    /// Row H2-17: bit 10 of bytes 00 04 is set, so the sample is invalid.
    #[test]
    fn an_invalid_sample_is_no_number() {
        let field = Field {
            kind: Kind::Unsigned,
            big_endian: false,
            byte: 0,
            bit: 0,
            bits: 8,
            invalid_bit: Some(10),
        };
        assert!(one(&[7, 0x00, 0x04], 1, field).is_nan());
        assert_eq!(one(&[7, 0x00, 0x00], 1, field), 7.0);
    }
}
