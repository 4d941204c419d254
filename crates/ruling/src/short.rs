//! A layout as a short code: its number among all ways of dealing the cells out
//! to the pieces.
//!
//! Piece after piece takes its cells out of those left; which ones is a number
//! in the combinatorial number system (D. H. Lehmer, "The machine tools of
//! combinatorics", 1964, from memory): cells at positions p₁ < p₂ < … of those
//! left are C(p₁, 1) + C(p₂, 2) + …. These numbers are the digits of one number,
//! in a mixed radix.

use lattice::Outline;

use crate::layout::Layout;
use crate::misread::Misread;
use crate::rules::Rules;
use crate::sheet::Sheet;
use crate::symbols;

/// On larger outlines a code would be no shorter than the rows.
const MOST_CELLS: usize = 256;
/// One more than the highest value of a symbol.
const BASE: u64 = 32;

/// What codes of one outline look like.
#[derive(Clone, Debug)]
pub(crate) struct Short {
    /// In how many ways each piece can take its cells.
    radices: Vec<u64>,
    /// Symbols, the check symbol not counted.
    symbols: usize,
}

impl Short {
    pub fn new(rules: &Rules, outline: &Outline, rows: usize) -> Option<Self> {
        let cells = outline.cells().len();
        if cells > MOST_CELLS || rules.set.blocks() + outline.spare() != cells {
            return None;
        }
        let mut left = cells;
        let mut radices = Vec::with_capacity(rules.set.pieces.len());
        for piece in &rules.set.pieces {
            radices.push(binomial(left, piece.blocks().len())?);
            left -= piece.blocks().len();
        }
        let mut most = Number::default();
        radices.iter().for_each(|&radix| most.push(radix, radix - 1));
        let mut symbols = most.symbols().len().max(1);
        // With one row of cells, length alone tells a code from it.
        while rows == 1 && (symbols + 1 == cells || symbols + 1 + symbols / 4 == cells) {
            symbols += 1;
        }
        Some(Short { radices, symbols })
    }
}

/// C(n, k), if it fits.
fn binomial(n: usize, k: usize) -> Option<u64> {
    if k > n {
        return Some(0);
    }
    // Each step is a binomial itself, so that division leaves nothing over.
    (1..=k.min(n - k))
        .try_fold(1u64, |c, i| u64::try_from(u128::from(c) * (n + 1 - i) as u128 / i as u128).ok())
}

/// A number of any size, by limbs of 32 bits, the lowest first, none of them
/// a leading zero. No library: pages carry this code, and these are two loops.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Number(Vec<u32>);

impl Number {
    /// Times `radix`, and `digit` added.
    fn push(&mut self, radix: u64, digit: u64) {
        let mut carry = u128::from(digit);
        for limb in &mut self.0 {
            let sum = u128::from(*limb) * u128::from(radix) + carry;
            *limb = sum as u32;
            carry = sum >> 32;
        }
        while carry > 0 {
            self.0.push(carry as u32);
            carry >>= 32;
        }
    }

    /// Divided by `radix`; what is left over.
    fn pop(&mut self, radix: u64) -> u64 {
        let mut rest = 0u128;
        for limb in self.0.iter_mut().rev() {
            let part = rest << 32 | u128::from(*limb);
            *limb = (part / u128::from(radix)) as u32;
            rest = part % u128::from(radix);
        }
        while self.0.last() == Some(&0) {
            self.0.pop();
        }
        rest as u64
    }

    /// Its digits in base 32, the highest first.
    fn symbols(mut self) -> Vec<u8> {
        let mut digits = Vec::new();
        while !self.0.is_empty() {
            digits.push(self.pop(BASE) as u8);
        }
        digits.reverse();
        digits
    }
}

/// The owners with interchangeable pieces in the order in which they are met.
fn in_order(sheet: &Sheet, owners: &[Option<usize>]) -> Vec<Option<usize>> {
    let rules = sheet.rules;
    let mut stands_for = vec![None; rules.set.pieces.len()];
    let mut next = vec![0; rules.classes.len()];
    owners
        .iter()
        .map(|owner| {
            owner.map(|p| {
                let class = rules.class[p];
                *stands_for[p].get_or_insert_with(|| {
                    next[class] += 1;
                    rules.classes[class].pieces[next[class] - 1]
                })
            })
        })
        .collect()
}

pub(crate) fn write(sheet: &Sheet, layout: &Layout) -> Option<String> {
    let short = sheet.short.as_ref()?;
    let owners = in_order(sheet, &layout.owners);
    let mut left: Vec<Option<usize>> = owners;
    let mut number = Number::default();
    for (piece, &radix) in short.radices.iter().enumerate() {
        let own = left.iter().enumerate().filter(|(_, o)| **o == Some(piece)).map(|(at, _)| at);
        let (mut digit, mut taken) = (0, 0);
        for at in own {
            taken += 1;
            digit += binomial(at, taken)?;
        }
        if taken != sheet.rules.set.pieces[piece].blocks().len() {
            return None;
        }
        number.push(radix, digit);
        left.retain(|&o| o != Some(piece));
    }
    let digits = number.symbols();
    let mut values = vec![0; short.symbols - digits.len()];
    values.extend(digits);
    Some(symbols::write(&values))
}

pub(crate) fn read(sheet: &Sheet, text: &str) -> Result<Layout, Vec<Misread>> {
    let Some(short) = &sheet.short else {
        return Err(vec![Misread::NoCodes]);
    };
    let values = symbols::read(text, short.symbols)
        .map_err(|all| all.into_iter().map(Misread::Code).collect::<Vec<_>>())?;
    let mut number = Number::default();
    values.iter().for_each(|&value| number.push(BASE, u64::from(value)));
    let mut digits: Vec<u64> = short.radices.iter().rev().map(|&radix| number.pop(radix)).collect();
    digits.reverse();
    if number != Number::default() {
        return Err(vec![Misread::NoSuchCode]);
    }
    let mut owners = vec![None; sheet.reading.len()];
    let mut left: Vec<usize> = (0..owners.len()).collect();
    for (piece, mut digit) in digits.into_iter().enumerate() {
        let mut at = left.len();
        for k in (1..=sheet.rules.set.pieces[piece].blocks().len()).rev() {
            // The highest position whose combinations do not exceed what is left.
            let ways = loop {
                at -= 1;
                if let Some(ways) = binomial(at, k).filter(|&ways| ways <= digit) {
                    break ways;
                }
            };
            digit -= ways;
            owners[left.remove(at)] = Some(piece);
        }
    }
    Ok(Layout { owners })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn binomials_are_exact_or_none() {
        assert_eq!(binomial(22, 4), Some(7_315));
        assert_eq!(binomial(64, 32), Some(1_832_624_140_942_590_534));
        assert_eq!(binomial(100, 50), None);
        assert_eq!(binomial(3, 4), Some(0));
    }

    proptest! {
        #[test]
        fn digits_of_mixed_radices_come_back(pairs in prop::collection::vec((2u64.., any::<u64>()), 0..9)) {
            let mut number = Number::default();
            for &(radix, digit) in &pairs {
                number.push(radix, digit % radix);
            }
            let mut again = Number::default();
            number.clone().symbols().iter().for_each(|&s| again.push(BASE, u64::from(s)));
            prop_assert_eq!(&again, &number);
            for &(radix, digit) in pairs.iter().rev() {
                prop_assert_eq!(number.pop(radix), digit % radix);
            }
            prop_assert_eq!(number, Number::default());
        }
    }
}
