//! Numbers to count with: a machine word while it lasts, then wider.

use num_bigint::BigUint;

/// A count that says when it has outgrown its type.
pub(crate) trait Number: Clone + From<u64> + Into<BigUint> {
    /// Adds `other` × `times`; false if that was too much, and the number is worthless.
    fn add_times(&mut self, other: &Self, times: u64) -> bool;
}

impl Number for u64 {
    #[inline]
    fn add_times(&mut self, other: &Self, times: u64) -> bool {
        let (product, over) = other.overflowing_mul(times);
        let (sum, carry) = self.overflowing_add(product);
        *self = sum;
        !(over | carry)
    }
}

impl Number for u128 {
    #[inline]
    fn add_times(&mut self, other: &Self, times: u64) -> bool {
        let (product, over) = other.overflowing_mul(u128::from(times));
        let (sum, carry) = self.overflowing_add(product);
        *self = sum;
        !(over | carry)
    }
}

impl Number for BigUint {
    fn add_times(&mut self, other: &Self, times: u64) -> bool {
        *self += other * times;
        true
    }
}
