//! Plain numbers, `-12.5` and the like, from the text to the nearest double.
//!
//! In: where a cell starts and ends. Out: its value, or `None` for all that is written
//! otherwise, which [`super::cells`] reads.
//!
//! Both the digits and the power of ten are exact in a double, so that their quotient
//! is the nearest double to what is written. Source: Clinger, How to read floating
//! point numbers accurately (1990), section 4.

/// The largest whole number up to which a double holds every one.
const LARGEST_WHOLE: u64 = 1 << 53;
/// Powers of ten that a double holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// The same in each of eight bytes.
const ONES: u64 = 0x0101_0101_0101_0101;
const ZEROS: u64 = ONES * b'0' as u64;
const HIGH: u64 = ONES * 0x80;

/// The most characters of a number that [`short`] reads.
pub const SHORT: usize = 8;

/// A cell of up to [`SHORT`] characters, the last bytes of a word, if it is a plain number:
/// its value, and whether it has a decimal sign. All of it at once: no step waits for the
/// cell before, and none is taken or left out for how this one is written, which no
/// processor could foretell.
///
/// Source: the steps from digits to value are those of simdjson's
/// `parse_eight_digits_unrolled` (Lemire, Number parsing at a gigabyte per second, 2021).
#[inline(always)]
pub fn short(word: u64, length: usize, point: u8) -> Option<(f64, bool)> {
    let dropped = (64 - 8 * length) & 63;
    let minus = (word >> dropped) as u8 == b'-';
    let mut kept = (u64::MAX << dropped) << (8 * u64::from(minus));
    let off = word ^ (ONES * u64::from(point));
    // The high bit of every byte that is the sign. A byte above one may pass for it, the
    // true one is then left among the digits, and refused.
    let points = off.wrapping_sub(ONES) & !off & HIGH & kept;
    let has_sign = u64::from(points != 0);
    // All bytes above the sign, or simply all; the sign is taken out from between the digits.
    let fraction = !(points << 1).wrapping_sub(has_sign);
    let joined = (word & fraction) | ((word << 8) & !fraction);
    kept <<= 8 * has_sign;
    let digits = (joined ^ ZEROS) & kept;
    // The high bit of a byte that is no digit; a carry goes only into bytes behind it.
    let others = (digits.wrapping_add(ONES * 0x76) | digits) & HIGH;
    if others | (points & points.wrapping_sub(1)) != 0 || kept == 0 {
        return None;
    }
    let pairs = digits.wrapping_mul(10).wrapping_add(digits >> 8);
    let low = (pairs & 0x0000_00ff_0000_00ff).wrapping_mul(0x000f_4240_0000_0064);
    let high = ((pairs >> 16) & 0x0000_00ff_0000_00ff).wrapping_mul(0x0000_2710_0000_0001);
    let behind = points.leading_zeros() as usize / 8 % SHORT;
    let tenth = TENTHS[behind + SHORT * usize::from(minus)];
    Some((tenth.of((low.wrapping_add(high) >> 32) as u32), points != 0))
}

/// `10^-n` in two parts, to multiply by: a division takes several times as long.
///
/// The first part has 26 bits, so that its product with digits below `2^27` is exact; what
/// is missing of the other product is below `2^-79` of the quotient. Digits over `10^7`
/// or less are never that near to the middle between two doubles and not on it (`2^-77`
/// at the least), nor ever on it, so that the sum is the nearest double to the quotient.
#[derive(Clone, Copy)]
struct Tenth {
    high: f64,
    low: f64,
}

impl Tenth {
    const fn of_power(power: f64) -> Tenth {
        let high = f64::from_bits((1.0 / power).to_bits() & (u64::MAX << 27));
        Tenth { high, low: (1.0 - power * high) / power }
    }

    const fn negative(self) -> Tenth {
        Tenth { high: -self.high, low: -self.low }
    }

    #[inline(always)]
    fn of(self, digits: u32) -> f64 {
        // As a signed number: a processor has one step for that.
        let digits = f64::from(digits as i32);
        digits * self.high + digits * self.low
    }
}

/// For so many digits behind the sign, and the same again for negative numbers.
const TENTHS: [Tenth; 2 * SHORT] = {
    let mut tenths = [Tenth::of_power(1.0); 2 * SHORT];
    let mut behind = 0;
    while behind < SHORT {
        tenths[behind] = Tenth::of_power(POWERS[behind]);
        tenths[SHORT + behind] = tenths[behind].negative();
        behind += 1;
    }
    tenths
};

/// The same of a cell of any length, where a double can be made of it in one step.
pub fn long(cell: &[u8], point: u8) -> Option<(f64, bool)> {
    let unsigned = cell.strip_prefix(b"-").unwrap_or(cell);
    let mut digits: u64 = 0;
    let mut behind = None;
    for &byte in unsigned {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            digits = digits.wrapping_mul(10).wrapping_add(u64::from(digit));
            behind = behind.map(|behind| behind + 1);
        } else if byte == point && behind.is_none() {
            behind = Some(0);
        } else {
            return None;
        }
    }
    // 18 digits fit in 64 bits with room to spare.
    let some = unsigned.iter().any(u8::is_ascii_digit);
    let fits = some && unsigned.len() <= 18 && digits <= LARGEST_WHOLE;
    let size = digits as f64 / POWERS.get(behind.unwrap_or(0))?;
    fits.then_some((if unsigned.len() < cell.len() { -size } else { size }, behind.is_some()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn products_by_tenths_are_the_nearest_doubles() {
        // All of few digits, and then every 7919th (a prime), up to eight digits.
        let digits = (0..100_000u32).chain((100_000..100_000_000).step_by(7919));
        for digits in digits {
            for (behind, power) in POWERS.iter().take(SHORT).enumerate() {
                let quotient = f64::from(digits) / power;
                assert_eq!(TENTHS[behind].of(digits), quotient, "{digits} / {power}");
                assert_eq!(TENTHS[SHORT + behind].of(digits), -quotient, "-{digits} / {power}");
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        /// A plain number is the double that the general reader gives for it, and what is
        /// written most is plain.
        #[test]
        fn a_plain_number_is_the_nearest_double(
            before in "[0-9,;]{8}",
            written in "-?([0-9]{0,17}(\\.[0-9]{0,24})?|[0-9]{0,7}(\\.[0-9]{0,6})?|[0-9.:/;-]{1,8})",
        ) {
            let text = format!("{before}{written}");
            let (_, word) = text.as_bytes().split_last_chunk().expect("eight and more");
            let general = fast_float2::parse::<f64, _>(&written);
            let wanted = general.as_ref().ok().map(|value| (value.to_bits(), written.contains('.')));
            let bits = |(value, has_sign): (f64, bool)| (value.to_bits(), has_sign);
            // All that the general reader takes, and nothing else.
            if (1..=SHORT).contains(&written.len()) {
                let short = short(u64::from_le_bytes(*word), written.len(), b'.');
                prop_assert_eq!(short.map(bits), wanted);
            }
            let long = long(written.as_bytes(), b'.').map(bits);
            let digits = written.bytes().filter(u8::is_ascii_digit).count();
            if long.is_some() || digits <= 15 {
                prop_assert_eq!(long, wanted);
            }
        }
    }
}
