//! A layout as a short code: its number among all ways of dealing the cells out
//! to the pieces.
//!
//! Piece after piece takes its cells out of those left; which ones is a number
//! in the combinatorial number system (D. H. Lehmer, "The machine tools of
//! combinatorics", 1964, from memory): cells at positions p₁ < p₂ < … of those
//! left are C(p₁, 1) + C(p₂, 2) + …. These numbers are the digits of one number,
//! in a mixed radix.

use lattice::Outline;
use num_bigint::BigUint;

use crate::layout::Layout;
use crate::misread::Misread;
use crate::rules::Rules;
use crate::sheet::Sheet;
use crate::symbols;

/// On larger outlines a code would be no shorter than the rows.
const MOST_CELLS: usize = 256;

/// What codes of one outline look like.
#[derive(Clone, Debug)]
pub(crate) struct Short {
    /// In how many ways each piece can take its cells.
    radices: Vec<BigUint>,
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
            radices.push(binomial(left, piece.blocks().len()));
            left -= piece.blocks().len();
        }
        let most = radices.iter().product::<BigUint>() - 1u32;
        let mut symbols = most.bits().div_ceil(5).max(1) as usize;
        // With one row of cells, length alone tells a code from it.
        while rows == 1 && (symbols + 1 == cells || symbols + 1 + symbols / 4 == cells) {
            symbols += 1;
        }
        Some(Short { radices, symbols })
    }
}

fn binomial(n: usize, k: usize) -> BigUint {
    if k > n {
        return BigUint::ZERO;
    }
    (1..=k.min(n - k)).fold(BigUint::from(1u32), |c, i| c * (n + 1 - i) / i)
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
    let mut number = BigUint::ZERO;
    for (piece, radix) in short.radices.iter().enumerate() {
        let own = left.iter().enumerate().filter(|(_, o)| **o == Some(piece)).map(|(at, _)| at);
        let mut digit = BigUint::ZERO;
        let mut taken = 0;
        for at in own {
            taken += 1;
            digit += binomial(at, taken);
        }
        if taken != sheet.rules.set.pieces[piece].blocks().len() {
            return None;
        }
        number = number * radix + digit;
        left.retain(|&o| o != Some(piece));
    }
    let digits = if number == BigUint::ZERO { Vec::new() } else { number.to_radix_be(32) };
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
    let mut number = BigUint::from_radix_be(&values, 32).unwrap_or_default();
    let mut digits = Vec::with_capacity(short.radices.len());
    for radix in short.radices.iter().rev() {
        digits.push(&number % radix);
        number /= radix;
    }
    if number != BigUint::ZERO {
        return Err(vec![Misread::NoSuchCode]);
    }
    let mut owners = vec![None; sheet.reading.len()];
    let mut left: Vec<usize> = (0..owners.len()).collect();
    for (piece, digit) in digits.into_iter().rev().enumerate() {
        let mut digit = digit;
        let mut at = left.len();
        for k in (1..=sheet.rules.set.pieces[piece].blocks().len()).rev() {
            // The highest position whose combinations do not exceed what is left.
            let ways = loop {
                at -= 1;
                let ways = binomial(at, k);
                if ways <= digit {
                    break ways;
                }
            };
            digit -= ways;
            owners[left.remove(at)] = Some(piece);
        }
    }
    Ok(Layout { owners })
}
