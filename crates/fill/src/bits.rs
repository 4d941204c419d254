//! Bit sets sized to the outline: a few machine words where they suffice, a
//! heap of words where they do not. Nothing limits the number of cells.

use std::fmt::Debug;
use std::hash::Hash;

/// A set of small numbers of a fixed width. All operands of one computation
/// are made with the same width.
pub trait Bits: Clone + Eq + Ord + Hash + Debug + Send + Sync + 'static {
    /// The empty set with room for 0..width.
    fn none(width: usize) -> Self;
    /// The words, lowest first.
    fn words(&self) -> &[u64];
    /// The words, lowest first.
    fn words_mut(&mut self) -> &mut [u64];

    /// Adds a number.
    #[inline]
    fn insert(&mut self, i: usize) {
        self.words_mut()[i / 64] |= 1 << (i % 64);
    }
    /// Whether a number is in.
    #[inline]
    fn has(&self, i: usize) -> bool {
        self.words()[i / 64] >> (i % 64) & 1 == 1
    }
    /// Whether nothing is in.
    #[inline]
    fn is_none(&self) -> bool {
        let mut any = 0;
        for word in self.words() {
            any |= word;
        }
        any == 0
    }
    /// Whether some number is in both.
    #[inline]
    fn meets(&self, other: &Self) -> bool {
        // Plain loops here and below: a fold may stay a call of its own.
        let mut both = 0;
        for (a, b) in self.words().iter().zip(other.words()) {
            both |= a & b;
        }
        both != 0
    }
    /// Whether every number is in `other` too.
    #[inline]
    fn within(&self, other: &Self) -> bool {
        let mut over = 0;
        for (a, b) in self.words().iter().zip(other.words()) {
            over |= a & !b;
        }
        over == 0
    }
    /// How many are in.
    #[inline]
    fn count(&self) -> usize {
        let mut count = 0;
        for word in self.words() {
            count += word.count_ones() as usize;
        }
        count
    }
    /// The least number in.
    #[inline]
    fn first(&self) -> Option<usize> {
        for (i, word) in self.words().iter().enumerate() {
            if *word != 0 {
                return Some(i * 64 + word.trailing_zeros() as usize);
            }
        }
        None
    }
    /// Adds all of `other`.
    #[inline]
    fn add(&mut self, other: &Self) {
        for (a, b) in self.words_mut().iter_mut().zip(other.words()) {
            *a |= b;
        }
    }
    /// Takes away all of `other`.
    #[inline]
    fn remove(&mut self, other: &Self) {
        for (a, b) in self.words_mut().iter_mut().zip(other.words()) {
            *a &= !b;
        }
    }
    /// Keeps what is in `other` too.
    #[inline]
    fn keep(&mut self, other: &Self) {
        for (a, b) in self.words_mut().iter_mut().zip(other.words()) {
            *a &= b;
        }
    }
    /// Both together.
    #[inline]
    #[must_use]
    fn or(mut self, other: &Self) -> Self {
        self.add(other);
        self
    }
    /// What both share.
    #[inline]
    #[must_use]
    fn and(mut self, other: &Self) -> Self {
        self.keep(other);
        self
    }
    /// What `other` lacks.
    #[inline]
    #[must_use]
    fn less(mut self, other: &Self) -> Self {
        self.remove(other);
        self
    }
    /// The set of the given numbers.
    fn of(width: usize, numbers: impl IntoIterator<Item = usize>) -> Self {
        let mut set = Self::none(width);
        for i in numbers {
            set.insert(i);
        }
        set
    }
    /// The numbers in, ascending.
    fn iter(&self) -> Numbers<'_> {
        Numbers { words: self.words(), word: 0, at: 0 }
    }
}

/// The numbers of a set, ascending.
pub struct Numbers<'a> {
    words: &'a [u64],
    word: u64,
    at: usize,
}

impl Iterator for Numbers<'_> {
    type Item = usize;
    #[inline]
    fn next(&mut self) -> Option<usize> {
        while self.word == 0 {
            self.word = *self.words.get(self.at)?;
            self.at += 1;
        }
        let bit = self.word.trailing_zeros() as usize;
        self.word &= self.word - 1;
        Some((self.at - 1) * 64 + bit)
    }
}

/// A set of up to 64 × `W` numbers, held in place.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Words<const W: usize>([u64; W]);

impl<const W: usize> Bits for Words<W> {
    #[inline]
    fn none(width: usize) -> Self {
        debug_assert!(width <= 64 * W, "a set is made with the width it was chosen for");
        Words([0; W])
    }
    #[inline]
    fn words(&self) -> &[u64] {
        &self.0
    }
    #[inline]
    fn words_mut(&mut self) -> &mut [u64] {
        &mut self.0
    }
}

/// A set of any width, held on the heap.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Wide(Box<[u64]>);

impl Bits for Wide {
    fn none(width: usize) -> Self {
        Wide(vec![0; width.div_ceil(64).max(1)].into())
    }
    fn words(&self) -> &[u64] {
        &self.0
    }
    fn words_mut(&mut self) -> &mut [u64] {
        &mut self.0
    }
}

/// Runs the body with the type `$bits` standing for the narrowest set that has
/// room for `$width` numbers.
macro_rules! with_bits {
    ($width:expr, $bits:ident => $body:expr) => {
        match $width {
            0..=64 => {
                type $bits = $crate::bits::Words<1>;
                $body
            }
            65..=128 => {
                type $bits = $crate::bits::Words<2>;
                $body
            }
            129..=256 => {
                type $bits = $crate::bits::Words<4>;
                $body
            }
            _ => {
                type $bits = $crate::bits::Wide;
                $body
            }
        }
    };
}
pub(crate) use with_bits;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn check<B: Bits>(width: usize, a: &BTreeSet<usize>, b: &BTreeSet<usize>) {
        let (x, y) = (B::of(width, a.iter().copied()), B::of(width, b.iter().copied()));
        let list = |s: &B| s.iter().collect::<BTreeSet<_>>();
        assert_eq!(list(&x.clone().or(&y)), a | b);
        assert_eq!(list(&x.clone().and(&y)), a & b);
        assert_eq!(list(&x.clone().less(&y)), a - b);
        assert_eq!(x.meets(&y), !a.is_disjoint(b));
        assert_eq!(x.within(&y), a.is_subset(b));
        assert_eq!((x.count(), x.first(), x.is_none()), (a.len(), a.first().copied(), a.is_empty()));
        assert!((0..width).all(|i| x.has(i) == a.contains(&i)));
    }

    proptest! {
        #[test]
        fn every_width_is_a_set(width in 1usize..700, a in prop::collection::btree_set(0usize..700, 0..40),
                                b in prop::collection::btree_set(0usize..700, 0..40)) {
            let a: BTreeSet<_> = a.into_iter().filter(|&i| i < width).collect();
            let b: BTreeSet<_> = b.into_iter().filter(|&i| i < width).collect();
            with_bits!(width, B => check::<B>(width, &a, &b));
            check::<Wide>(width, &a, &b);
        }
    }
}
