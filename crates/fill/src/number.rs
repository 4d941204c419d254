//! Numbers to count with: a machine word while it lasts, then wider.

use num_bigint::BigUint;

/// A count that says when it has outgrown its type.
pub(crate) trait Number: Clone + From<u64> + Into<BigUint> {
    /// Adds `other` × `times`; none on overflow.
    fn add_times(&mut self, other: &Self, times: u64) -> Option<()>;
}

impl Number for u64 {
    #[inline]
    fn add_times(&mut self, other: &Self, times: u64) -> Option<()> {
        *self = self.checked_add(other.checked_mul(times)?)?;
        Some(())
    }
}

impl Number for u128 {
    #[inline]
    fn add_times(&mut self, other: &Self, times: u64) -> Option<()> {
        *self = self.checked_add(other.checked_mul(u128::from(times))?)?;
        Some(())
    }
}

impl Number for BigUint {
    fn add_times(&mut self, other: &Self, times: u64) -> Option<()> {
        *self += other * times;
        Some(())
    }
}
