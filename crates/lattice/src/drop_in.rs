//! The order in which the pieces of a folding can be lowered into the plate.
//!
//! Where two pieces have hinges on one vertex, the one on the lower level goes
//! in first. A cycle in that relation means that the folding is interlocked.

use crate::fold::Pin;

/// Whether and how a folding drops in. Pieces are positions in the folding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DropIn {
    /// An order that works, the earliest position first wherever there is a choice.
    Order(Vec<usize>),
    /// Pieces that wait for each other in a ring: each must go in before the
    /// next, and the last before the first.
    Interlocked(Vec<usize>),
}

/// The drop-in order of pieces whose pins are given, one list a piece.
pub fn drop_in(pins: &[Vec<Pin>]) -> DropIn {
    let mut all: Vec<(Pin, usize)> =
        pins.iter().enumerate().flat_map(|(piece, pins)| pins.iter().map(move |&pin| (pin, piece))).collect();
    all.sort_unstable();
    let mut before: Vec<(usize, usize)> = all
        .chunk_by(|a, b| a.0.at == b.0.at)
        .flat_map(|stack| stack.windows(2).map(|w| (w[0].1, w[1].1)))
        .filter(|(low, high)| low != high)
        .collect();
    before.sort_unstable();
    before.dedup();
    order(pins.len(), &before)
}

/// A topological order of `count` pieces under "a before b", smallest first;
/// or a ring.
pub fn order(count: usize, before: &[(usize, usize)]) -> DropIn {
    let mut waiting = vec![0usize; count];
    for &(_, b) in before {
        waiting[b] += 1;
    }
    let mut done = vec![false; count];
    let mut order = Vec::with_capacity(count);
    while let Some(next) = (0..count).find(|&p| !done[p] && waiting[p] == 0) {
        done[next] = true;
        order.push(next);
        for &(a, b) in before {
            if a == next {
                waiting[b] -= 1;
            }
        }
    }
    if order.len() == count {
        return DropIn::Order(order);
    }
    // Every piece left waits for another one left: walking back must close a ring.
    let mut walk = vec![(0..count).find(|&p| !done[p]).expect("some piece is left")];
    loop {
        let last = *walk.last().expect("the walk has a start");
        let (first, _) = before
            .iter()
            .find(|&&(a, b)| b == last && !done[a])
            .copied()
            .expect("a piece left waits for one left");
        if let Some(start) = walk.iter().position(|&p| p == first) {
            let mut ring = walk.split_off(start);
            ring.reverse();
            let least = ring.iter().enumerate().min_by_key(|&(_, p)| *p).map_or(0, |(i, _)| i);
            ring.rotate_left(least);
            return DropIn::Interlocked(ring);
        }
        walk.push(first);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Level, Vertex};

    fn pin(x: i32, level: u8) -> Pin {
        Pin { at: Vertex::new(x, 0), level: Level(level) }
    }

    #[test]
    fn the_lower_hinge_goes_in_first() {
        let pins = vec![vec![pin(0, 1)], vec![pin(0, 0), pin(1, 1)], vec![pin(1, 0)]];
        assert_eq!(drop_in(&pins), DropIn::Order(vec![2, 1, 0]));
        assert_eq!(drop_in(&[vec![pin(0, 0)], vec![pin(1, 1)]]), DropIn::Order(vec![0, 1]));
    }

    #[test]
    fn a_ring_is_interlocked() {
        let pins =
            vec![vec![], vec![pin(0, 0), pin(2, 1)], vec![pin(0, 1), pin(1, 0)], vec![pin(1, 1), pin(2, 0)]];
        assert_eq!(drop_in(&pins), DropIn::Interlocked(vec![1, 2, 3]));
    }

    #[test]
    fn a_pin_between_two_of_one_piece_is_interlocked() {
        assert_eq!(drop_in(&[vec![pin(0, 0), pin(0, 2)], vec![pin(0, 1)]]), DropIn::Interlocked(vec![0, 1]));
        assert_eq!(drop_in(&[vec![pin(0, 0), pin(0, 1)], vec![pin(1, 1)]]), DropIn::Order(vec![0, 1]));
    }
}
