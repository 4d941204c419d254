//! Sets of small numbers in machine words, copied by value: the walkers look at
//! thousands of them a millisecond.

/// A set of numbers below 64 × `W`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct Mask<const W: usize>([u64; W]);

impl<const W: usize> Mask<W> {
    pub const NONE: Self = Mask([0; W]);

    /// The set of some numbers, each below 64 × `W`.
    pub fn of(numbers: impl IntoIterator<Item = usize>) -> Self {
        let mut set = Self::NONE;
        for i in numbers {
            set.0[i / 64] |= 1 << (i % 64);
        }
        set
    }

    #[inline]
    pub fn one(i: usize) -> Self {
        let mut set = Self::NONE;
        set.0[i / 64] = 1 << (i % 64);
        set
    }

    #[inline]
    pub fn is_none(&self) -> bool {
        self.0.iter().fold(0, |any, word| any | word) == 0
    }

    #[inline]
    pub fn meets(&self, other: &Self) -> bool {
        !self.and(other).is_none()
    }

    #[inline]
    pub fn within(&self, other: &Self) -> bool {
        self.less(other).is_none()
    }

    #[inline]
    pub fn count(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    #[inline]
    pub fn first(&self) -> Option<usize> {
        self.0.iter().position(|&word| word != 0).map(|i| i * 64 + self.0[i].trailing_zeros() as usize)
    }

    #[inline]
    pub fn and(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a &= b;
        }
        self
    }

    #[inline]
    pub fn or(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a |= b;
        }
        self
    }

    /// What `other` lacks.
    #[inline]
    pub fn less(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a &= !b;
        }
        self
    }

    /// The numbers in, ascending.
    #[inline]
    pub fn iter(self) -> impl Iterator<Item = usize> {
        let mut left = self;
        std::iter::from_fn(move || {
            let first = left.first()?;
            left.0[first / 64] &= left.0[first / 64] - 1;
            Some(first)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn check<const W: usize>(a: &BTreeSet<usize>, b: &BTreeSet<usize>) {
        let (x, y) = (Mask::<W>::of(a.iter().copied()), Mask::<W>::of(b.iter().copied()));
        let list = |m: Mask<W>| m.iter().collect::<BTreeSet<_>>();
        assert_eq!(list(x.or(&y)), a | b);
        assert_eq!(list(x.and(&y)), a & b);
        assert_eq!(list(x.less(&y)), a - b);
        assert_eq!((x.meets(&y), x.within(&y)), (!a.is_disjoint(b), a.is_subset(b)));
        assert_eq!((x.count(), x.first(), x.is_none()), (a.len(), a.first().copied(), a.is_empty()));
        assert!(a.iter().all(|&i| list(Mask::<W>::one(i)) == BTreeSet::from([i])));
    }

    proptest! {
        #[test]
        fn a_mask_is_a_set(a in prop::collection::btree_set(0usize..256, 0..30),
                           b in prop::collection::btree_set(0usize..256, 0..30)) {
            check::<4>(&a, &b);
            let low = |s: &BTreeSet<usize>| s.iter().copied().filter(|&i| i < 64).collect();
            check::<1>(&low(&a), &low(&b));
        }
    }
}
