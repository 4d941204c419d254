//! Entry marks: what an entrant shows in the photo of a finished outline.
//!
//! Only their shape is known here, so that a page can tell a slip of the pen:
//! 55 bits in eleven symbols and the check symbol, in three groups of four.
//! Who got which mark in which race is for others to know.

use crate::symbols::{self, Miscopied};

/// Symbols of a mark, the check symbol not counted.
const SYMBOLS: usize = 11;
/// Bits that a mark carries.
pub const BITS: u32 = 5 * SYMBOLS as u32;

/// The mark of the lowest [`BITS`] bits of a number.
pub fn write(number: u64) -> String {
    let values: Vec<u8> = (0..SYMBOLS).rev().map(|i| (number >> (5 * i) & 31) as u8).collect();
    symbols::write(&values)
}

/// The number that a mark stands for, below 2 to the [`BITS`].
///
/// # Errors
/// Every mistake in copying it.
pub fn read(text: &str) -> Result<u64, Vec<Miscopied>> {
    let values = symbols::read(text, SYMBOLS)?;
    Ok(values.iter().fold(0, |number, &v| number << 5 | u64::from(v)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_twelve_symbols_in_three_groups() {
        for number in [0, 1, 0x1234_5678_9abc, (1 << BITS) - 1] {
            let mark = write(number);
            assert_eq!(mark.split('-').map(str::len).collect::<Vec<_>>(), [4, 4, 4]);
            assert_eq!(read(&mark.to_lowercase()), Ok(number));
        }
        assert_eq!(write(u64::MAX), write((1 << BITS) - 1));
        assert_eq!(read("0000-0000-0001"), Err(vec![Miscopied::Check]));
    }
}
