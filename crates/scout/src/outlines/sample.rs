//! Drawing outlines without replacement.
//!
//! The order of draws is a permutation of all positions that a seed sets: a
//! balanced network of four rounds over the next power of four, walked on until
//! it is within bounds (Luby and Rackoff 1988; Black and Rogaway 2002, both from
//! memory). So a draw is known from its number alone, nothing has to be kept of
//! those before, and shards of draws never meet.

use std::ops::Range;

use super::list::{Found, Outlines};

/// Outlines at positions drawn without replacement. To stop and go on later,
/// keep [`Sample::draw`] and sample from there.
pub struct Sample<'a> {
    outlines: &'a Outlines,
    order: Order,
    draws: Range<u128>,
}

impl<'a> Sample<'a> {
    pub(super) fn new(outlines: &'a Outlines, seed: u64, draws: Range<u128>) -> Self {
        let draws = draws.start..draws.end.min(outlines.positions());
        Sample { outlines, order: Order::new(outlines.positions(), seed), draws }
    }

    /// The number of the first draw not made yet, from 0. Draws made, divided by
    /// [`Outlines::positions`], is the share of the catalogue that is covered:
    /// any outline had just that chance to be met.
    pub fn draw(&self) -> u128 {
        self.draws.start
    }
}

impl Iterator for Sample<'_> {
    type Item = Found;

    fn next(&mut self) -> Option<Found> {
        self.draws.by_ref().find_map(|draw| self.outlines.at(self.order.at(draw)))
    }
}

/// A permutation of the numbers below a bound.
struct Order {
    bound: u128,
    /// Bits of half a number.
    half: u32,
    keys: [u64; 4],
}

impl Order {
    fn new(bound: u128, seed: u64) -> Order {
        let bits = u128::BITS - bound.saturating_sub(1).leading_zeros();
        let mut keys = [0; 4];
        let mut key = seed;
        for k in &mut keys {
            key = key.wrapping_add(0x9e37_79b9_7f4a_7c15);
            *k = mixed(key);
        }
        Order { bound, half: bits.div_ceil(2).max(1), keys }
    }

    /// Where a number below the bound goes.
    fn at(&self, number: u128) -> u128 {
        let mut at = self.once(number);
        while at >= self.bound {
            at = self.once(at);
        }
        at
    }

    fn once(&self, number: u128) -> u128 {
        let mask = u64::MAX >> (64 - self.half);
        let (mut high, mut low) = ((number >> self.half) as u64 & mask, number as u64 & mask);
        for key in self.keys {
            (high, low) = (low, (high ^ mixed(low ^ key)) & mask);
        }
        u128::from(high) << self.half | u128::from(low)
    }
}

/// A number mixed so that every bit depends on all (the finisher of splitmix64,
/// from memory; any good mixing would do).
pub(super) fn mixed(mut x: u64) -> u64 {
    x = (x ^ x >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ x >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ x >> 31
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_meets_every_number_once_whatever_the_bound() {
        for bound in [1, 2, 3, 4, 5, 16, 17, 1000, 4096, 5000] {
            let order = Order::new(bound, 7);
            let mut met: Vec<u128> = (0..bound).map(|n| order.at(n)).collect();
            met.sort_unstable();
            assert_eq!(met, (0..bound).collect::<Vec<_>>());
        }
    }

    #[test]
    fn seeds_give_orders_of_their_own_and_large_bounds_are_kept() {
        let bound = 3_502_327_105_520_000_000_000;
        let drawn = |seed| (0..50).map(|n| Order::new(bound, seed).at(n)).collect::<Vec<_>>();
        assert_eq!(drawn(1), drawn(1));
        assert!(drawn(1).iter().all(|d| !drawn(2).contains(d)));
        assert!(drawn(1).iter().all(|&d| d < bound));
    }
}
