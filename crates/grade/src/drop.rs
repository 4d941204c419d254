//! Whether pieces laid drop in, by their inner pins: as `lattice::drop_in`, on masks.

use lattice::DropIn;
use lattice::drop_in::order;

use crate::mask::Mask;

/// Whether pieces with these inner pins drop in.
pub(crate) fn drops_in<const W: usize>(pins: &[Mask<W>], levels: usize) -> bool {
    let mut all: Vec<(usize, usize)> =
        pins.iter().enumerate().flat_map(|(i, pins)| pins.iter().map(move |pin| (pin, i))).collect();
    all.sort_unstable();
    let before: Vec<(usize, usize)> = all
        .chunk_by(|a, b| a.0 / levels == b.0 / levels)
        .flat_map(|stack| stack.windows(2).map(|w| (w[0].1, w[1].1)))
        .filter(|(low, high)| low != high)
        .collect();
    before.is_empty() || matches!(order(pins.len(), &before), DropIn::Order(_))
}
