//! A memory of dead ends: empty cells, pins in the way and pieces left that no
//! layout ends.
//!
//! Whether the rest can be filled depends on nothing else, so what one branch
//! learned serves every other. The table is of fixed size and forgets by
//! overwriting; it never answers wrongly, because it keeps the whole key.

use crate::bits::Bits;
use crate::instance::Instance;

/// Slots, a power of two: about a megabyte for outlines of up to 64 cells.
const SLOTS: usize = 1 << 16;
/// Small searches end before the table would pay.
const WARM_UP: u64 = 256;

const FREE: u64 = u64::MAX;

pub(crate) struct DeadEnds<B> {
    /// Empty cells, pins in the way and pieces left, packed; `FREE` marks a slot not used yet.
    slots: Vec<(B, B, u64)>,
    /// What one piece of a class adds to the packed number of pieces left.
    unit: Vec<u64>,
    /// The pieces left, packed; none if they do not fit a word.
    left: Option<u64>,
    seen: u64,
}

impl<B: Bits> DeadEnds<B> {
    pub fn new(instance: &Instance<B>) -> Self {
        let mut unit = Vec::new();
        let mut next = Some(1u64);
        for kind in &instance.kinds {
            unit.push(next.unwrap_or(0));
            next = next.and_then(|n| n.checked_mul(kind.count as u64 + 1));
        }
        DeadEnds { slots: Vec::new(), unit, left: next.map(|_| 0), seen: 0 }
    }

    /// Sets the pieces left of each class.
    pub fn reset(&mut self, left: &[usize]) {
        if let Some(packed) = &mut self.left {
            *packed = left.iter().zip(&self.unit).map(|(&n, unit)| n as u64 * unit).sum();
        }
    }

    /// One piece of a class is used.
    #[inline]
    pub fn take(&mut self, class: usize) {
        if let Some(packed) = &mut self.left {
            *packed -= self.unit[class];
        }
    }

    /// One piece of a class is free again.
    #[inline]
    pub fn put_back(&mut self, class: usize) {
        if let Some(packed) = &mut self.left {
            *packed += self.unit[class];
        }
    }

    #[inline]
    fn slot(empty: &B, pins: &B, left: u64) -> usize {
        // Multiplicative hashing with the golden ratio (Knuth, TAOCP 3, sec. 6.4; from memory).
        const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;
        let mut hash = left.wrapping_mul(GOLDEN);
        for word in empty.words().iter().chain(pins.words()) {
            hash = (hash ^ word).wrapping_mul(GOLDEN).rotate_left(29);
        }
        hash as usize % SLOTS
    }

    /// Whether these empty cells and pins are known dead with the pieces left now.
    #[inline]
    pub fn knows(&mut self, empty: &B, pins: &B) -> bool {
        if self.slots.is_empty() {
            self.seen += 1;
            if self.seen == WARM_UP && self.left.is_some() {
                self.slots = vec![(empty.clone(), pins.clone(), FREE); SLOTS];
            }
            return false;
        }
        let left = self.left.expect("the table is made only where pieces left fit a word");
        let (e, p, l) = &self.slots[Self::slot(empty, pins, left)];
        *l == left && e == empty && p == pins
    }

    /// These empty cells and pins are dead with the pieces left now.
    #[inline]
    pub fn learn(&mut self, empty: &B, pins: &B) {
        if let (Some(left), false) = (self.left, self.slots.is_empty()) {
            let slot = Self::slot(empty, pins, left);
            self.slots[slot] = (empty.clone(), pins.clone(), left);
        }
    }
}
