//! All outlines that are wanted, in a fixed order of positions.

use std::ops::Range;

use lattice::Cell;

use super::sample::Sample;
use super::symmetry::Symmetry;
use super::wanted::{Wanted, WantedError};

/// An outline met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Its cells in normal form ([`normal`](super::normal)), sorted.
    pub cells: Vec<Cell>,
    /// Its class.
    pub symmetry: Symmetry,
}

/// How many outlines a class has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// The class.
    pub symmetry: Symmetry,
    /// How many, exactly.
    pub outlines: u128,
}

/// All outlines that are wanted, by position. Some positions hold none: each
/// outline stands at one of the several that its turns would have.
pub struct Outlines {}

impl Outlines {
    /// Prepares to walk and to sample; nothing is listed yet.
    ///
    /// # Errors
    /// Everything that makes the want impossible, or too much for the memory.
    pub fn of(wanted: &Wanted) -> Result<Outlines, Vec<WantedError>> {
        wanted.check()?;
        Ok(Outlines {})
    }

    /// How many outlines there are by class, exactly, classes in their order.
    pub fn counts(&self) -> Vec<Count> {
        vec![]
    }

    /// How many positions there are.
    pub fn positions(&self) -> u128 {
        0
    }

    /// The positions of part `part` (from 0) of `of`: together they are all
    /// positions, none twice, and their numbers differ by one at most.
    pub fn part(&self, part: u32, of: u32) -> Range<u128> {
        let _ = (part, of);
        0..0
    }

    /// The outline at a position, if one stands there.
    pub fn at(&self, position: u128) -> Option<Found> {
        let _ = position;
        None
    }

    /// The outlines at a range of positions, in order.
    pub fn walk(&self, positions: Range<u128>) -> Walk<'_> {
        Walk { outlines: self, positions }
    }

    /// The outlines at positions drawn without replacement in an order that
    /// `seed` sets; `draws` are numbers of draws, from 0.
    pub fn sample(&self, seed: u64, draws: Range<u128>) -> Sample<'_> {
        Sample { outlines: self, seed, draws }
    }
}

/// Outlines at a range of positions. To stop and go on later, keep
/// [`Walk::position`] and walk from there.
pub struct Walk<'a> {
    outlines: &'a Outlines,
    positions: Range<u128>,
}

impl Walk<'_> {
    /// The first position not looked at yet.
    pub fn position(&self) -> u128 {
        self.positions.start
    }
}

impl Iterator for Walk<'_> {
    type Item = Found;

    fn next(&mut self) -> Option<Found> {
        self.positions.by_ref().find_map(|p| self.outlines.at(p))
    }
}
