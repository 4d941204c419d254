//! Least hitting sets: the fewest vertices to take away so that every set of
//! a family loses one.
//!
//! Branch and bound: the smallest set left must lose one of its members, and
//! once one has been tried the others may keep it. A greedy packing of disjoint
//! sets bounds from below. Vertices that must go together are one unit with a
//! weight.

use crate::bits::Bits;

/// A family over units 0..weights.len().
pub(crate) struct Hitting<B> {
    /// What taking a unit away costs.
    pub weights: Vec<usize>,
    /// Sets of units, none empty.
    pub sets: Vec<B>,
}

struct Bound<'a, B> {
    problem: &'a Hitting<B>,
    best: Option<B>,
    below: usize,
    nodes_left: &'a mut u64,
    stop: &'a dyn Fn() -> bool,
}

/// Nodes between two looks at whether to stop.
const PATIENCE: u64 = 64;

impl<B: Bits> Hitting<B> {
    /// The lightest hitting set lighter than `below`, if there is one; and whether
    /// `nodes_left` lasted to be sure of that; none are left once it is told to stop.
    pub fn lightest(
        &self,
        width: usize,
        below: usize,
        nodes_left: &mut u64,
        stop: &dyn Fn() -> bool,
    ) -> (Option<B>, bool) {
        let mut bound = Bound { problem: self, best: None, below, nodes_left, stop };
        let all: Vec<usize> = (0..self.sets.len()).collect();
        bound.go(&all, &B::none(width), &B::none(width), 0);
        (bound.best.take(), *bound.nodes_left > 0)
    }
}

impl<B: Bits> Bound<'_, B> {
    fn go(&mut self, unhit: &[usize], taken: &B, kept: &B, weight: usize) {
        if *self.nodes_left == 0 {
            return;
        }
        *self.nodes_left -= 1;
        if self.nodes_left.is_multiple_of(PATIENCE) && (self.stop)() {
            *self.nodes_left = 0;
            return;
        }
        if unhit.is_empty() {
            self.below = weight;
            self.best = Some(taken.clone());
            return;
        }
        let free = |i: &usize| self.problem.sets[*i].clone().less(kept);
        let mut by_size: Vec<(usize, usize)> = unhit.iter().map(|i| (free(i).count(), *i)).collect();
        by_size.sort_unstable();
        let mut packed = B::none(0);
        let mut least = weight;
        for (n, &(_, i)) in by_size.iter().enumerate() {
            let set = free(&i);
            if n == 0 {
                packed = set.clone();
            } else if packed.meets(&set) {
                continue;
            } else {
                packed.add(&set);
            }
            match set.iter().map(|u| self.problem.weights[u]).min() {
                Some(cheapest) => least += cheapest,
                None => return,
            }
        }
        if least >= self.below {
            return;
        }
        let mut units: Vec<usize> = free(&by_size[0].1).iter().collect();
        let hits = |u: &usize| unhit.iter().filter(|&&i| self.problem.sets[i].has(*u)).count();
        units.sort_by_key(|u| (std::cmp::Reverse(hits(u)), *u));
        let mut kept = kept.clone();
        for u in units {
            let weight = weight + self.problem.weights[u];
            if weight < self.below {
                let rest: Vec<usize> =
                    unhit.iter().copied().filter(|&i| !self.problem.sets[i].has(u)).collect();
                let mut taken = taken.clone();
                taken.insert(u);
                self.go(&rest, &taken, &kept, weight);
            }
            kept.insert(u);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bits::Words;
    use crate::sample::Dice;

    #[test]
    fn the_lightest_hitting_set_is_what_trying_all_gives() {
        for seed in 0..300 {
            let mut dice = Dice::new(seed);
            let units = 1 + dice.below(9);
            let weights: Vec<usize> = (0..units).map(|_| 1 + dice.below(3)).collect();
            let sets: Vec<Words<1>> = (0..dice.below(12))
                .map(|_| {
                    let mut set = Words::of(64, (0..units).filter(|_| dice.one_in(3)));
                    set.insert(dice.below(units));
                    set
                })
                .collect();
            let hits = |mask: u64| sets.iter().all(|s| s.words()[0] & mask != 0);
            let weigh =
                |mask: u64| (0..units).filter(|u| mask >> u & 1 == 1).map(|u| weights[u]).sum::<usize>();
            let expected = (0..1u64 << units).filter(|m| hits(*m)).map(weigh).min().unwrap();
            let mut nodes = u64::MAX;
            let (hit, proven) = Hitting { weights: weights.clone(), sets: sets.clone() }.lightest(
                64,
                usize::MAX,
                &mut nodes,
                &|| false,
            );
            let hit = hit.unwrap();
            assert_eq!((weigh(hit.words()[0]), proven), (expected, true), "seed {seed}");
            assert!(hits(hit.words()[0]));
        }
    }
}
