//! Which pocket sets leave one essentially different layout: the test, and the
//! search for the smallest and largest, over a whole table of footprints.

use std::cell::Cell;
use std::collections::BTreeSet;

use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::footprints::{Footed, Table, carried_sets};
use crate::hinging::least;
use crate::hitting::Hitting;
use crate::problem::Problem;
use crate::search::Stop;

/// A pocket set that leaves one essentially different layout.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Alone<B> {
    pub pockets: B,
    /// The essentially different layout that is left.
    pub essential: u32,
}

/// The best pocket sets of one end.
pub(crate) struct Best<B> {
    pub size: usize,
    /// How many sets of this size were found.
    pub sets: u64,
    /// The first of them.
    pub alone: Alone<B>,
    /// Whether no better size exists.
    pub proven: bool,
}

/// What counts as a good pocket set.
pub(crate) struct Wish {
    /// This essentially different layout and no other.
    pub essential: Option<u32>,
    /// It need not drop in.
    pub interlocked: bool,
}

/// Up to this many vertices every pocket set is looked at.
const ALL_SUBSETS: usize = 20;
/// Nodes that the search for the largest set may take in all.
const NODES: u64 = 3_000_000;
const MANY: u32 = u32::MAX;

/// Questions about pocket sets over one table.
pub(crate) struct Admission<'a, B> {
    problem: &'a Problem<'a, B>,
    table: &'a Table<B>,
    wish: &'a Wish,
    /// Vertices that some footprint has; the others make no difference.
    active: Vec<usize>,
    rotations: Vec<usize>,
    stop: Stop<'a>,
    /// Whether `stop` has said so: what was looked at since is not everything.
    stopped: Cell<bool>,
}

impl<'a, B: Bits> Admission<'a, B> {
    pub fn new(problem: &'a Problem<'a, B>, table: &'a Table<B>, wish: &'a Wish, stop: Stop<'a>) -> Self {
        let mut all = B::none(problem.instance.width);
        for footprint in table.layouts.iter().flat_map(|l| &l.all) {
            all.add(footprint);
        }
        let rotations = (0..problem.symmetries.len()).filter(|&s| problem.symmetries[s].rotation).collect();
        let (active, stopped) = (all.iter().collect(), Cell::new(false));
        Admission { problem, table, wish, active, rotations, stop, stopped }
    }

    /// Whether to end early; once so, always so.
    pub fn is_over(&self) -> bool {
        if !self.stopped.get() && (self.stop)() {
            self.stopped.set(true);
        }
        self.stopped.get()
    }

    fn width(&self) -> usize {
        self.problem.instance.width
    }

    fn wanted<'l>(&self, layout: &'l Footed<B>) -> &'l [B] {
        match self.wish.essential {
            Some(wanted) if wanted != layout.essential => &[],
            _ if self.wish.interlocked => &layout.all,
            _ => &layout.dropping,
        }
    }

    /// The essentially different layout that a pocket set leaves alone, if it does:
    /// all it admits are turns of each other by turns of the outline with these pockets.
    pub fn alone(&self, pockets: &B) -> Option<Alone<B>> {
        let mut admitted = self.table.admitted(pockets);
        let first = &self.table.layouts[admitted.next()?];
        let mut others = Vec::new();
        for other in admitted {
            if self.table.layouts[other].essential != first.essential {
                return None;
            }
            others.push(&self.table.layouts[other].places);
        }
        if !others.is_empty() {
            let keeps =
                |&&s: &&usize| carried_sets(self.problem, s, std::slice::from_ref(pockets))[0] == *pockets;
            let turned: BTreeSet<Vec<u32>> = self
                .rotations
                .iter()
                .filter(keeps)
                .map(|&s| self.problem.carried(s, &first.places))
                .collect();
            if !others.iter().all(|places| turned.contains(*places)) {
                return None;
            }
        }
        let good = self.wanted(first).iter().any(|f| f.within(pockets));
        good.then(|| Alone { pockets: pockets.clone(), essential: first.essential })
    }

    /// The smallest and the largest good pocket sets; where it was stopped, those found
    /// by then, not proven, or none.
    pub fn ends(&self) -> Option<(Best<B>, Best<B>)> {
        if self.active.len() <= ALL_SUBSETS {
            return self.try_all();
        }
        self.grow()
    }

    /// The ends from the least good sets, where there are too many subsets to try.
    fn grow(&self) -> Option<(Best<B>, Best<B>)> {
        let seeds = self.seeds();
        Some((self.smallest(&seeds)?, self.largest(&seeds)?))
    }

    /// Vertices that no footprint has: they can all have pockets.
    fn idle(&self) -> B {
        let active = B::of(self.width(), self.active.iter().copied());
        B::of(self.width(), 0..self.problem.instance.edge.len()).less(&active)
    }

    /// Every subset of the active vertices: layouts by footprint are spread to all supersets.
    fn try_all(&self) -> Option<(Best<B>, Best<B>)> {
        let bits = self.active.len();
        let number: FxHashMap<usize, usize> = self.active.iter().enumerate().map(|(i, &v)| (v, i)).collect();
        let mut owner = vec![0u32; 1 << bits];
        let join = |a: u32, b: u32| match (a, b) {
            (0, x) | (x, 0) => x,
            (x, y) if x == y => x,
            _ => MANY,
        };
        for layout in &self.table.layouts {
            for footprint in &layout.all {
                let subset: usize = footprint.iter().map(|v| 1 << number[&v]).sum();
                owner[subset] = join(owner[subset], layout.essential + 1);
            }
        }
        for bit in 0..bits {
            if self.is_over() {
                return None;
            }
            for subset in (0..1usize << bits).filter(|s| s >> bit & 1 == 1) {
                owner[subset] = join(owner[subset], owner[subset ^ 1 << bit]);
            }
        }
        let pockets = |subset: usize| {
            B::of(self.width(), (0..bits).filter(|b| subset >> b & 1 == 1).map(|b| self.active[b]))
        };
        let mut by_size: Vec<Vec<usize>> = vec![Vec::new(); bits + 1];
        for subset in (0..1usize << bits).filter(|&s| owner[s] != 0 && owner[s] != MANY) {
            by_size[subset.count_ones() as usize].push(subset);
        }
        let best = |sizes: Vec<usize>, more: &B| {
            sizes.into_iter().find_map(|size| {
                let sets = by_size[size].iter().take_while(|_| !self.is_over());
                let good: Vec<Alone<B>> = sets.filter_map(|&s| self.alone(&pockets(s))).collect();
                let first = good.iter().min()?.clone();
                let alone = Alone { pockets: first.pockets.or(more), ..first };
                // Smaller sizes were looked at whole unless it was over in one of them.
                let proven = !self.stopped.get();
                Some(Best { size: alone.pockets.count(), sets: good.len() as u64, alone, proven })
            })
        };
        let smallest = best((0..=bits).collect(), &B::none(self.width()))?;
        let largest = best((0..=bits).rev().collect(), &self.idle())?;
        Some((smallest, largest))
    }

    /// Groups of rotations: the still one alone, the half turn, all of them.
    fn groups(&self) -> Vec<Vec<usize>> {
        let mut groups = vec![vec![self.rotations[0]]];
        if self.rotations.len() == 4 {
            groups.push(vec![self.rotations[0], self.rotations[2]]);
        }
        if self.rotations.len() > 1 {
            groups.push(self.rotations.clone());
        }
        groups
    }

    fn closed_under(&self, group: &[usize], set: &B) -> B {
        let carried = |&s: &usize| carried_sets(self.problem, s, std::slice::from_ref(set)).remove(0);
        group.iter().map(carried).fold(B::none(self.width()), |all, one| all.or(&one))
    }

    /// Every good pocket set holds a wanted footprint, and with it the footprint's images
    /// under its own turns: the least such sets that are good, each with its group, by size.
    fn seeds(&self) -> Vec<(Alone<B>, Vec<usize>)> {
        let mut owner: FxHashMap<&B, u32> = FxHashMap::default();
        for layout in &self.table.layouts {
            for footprint in &layout.all {
                let slot = owner.entry(footprint).or_insert(layout.essential);
                if *slot != layout.essential {
                    *slot = MANY;
                }
            }
        }
        let mut seeds = Vec::new();
        for group in self.groups() {
            let mut tried = BTreeSet::new();
            for layout in &self.table.layouts {
                if self.is_over() {
                    break;
                }
                for footprint in self.wanted(layout) {
                    let pockets = self.closed_under(&group, footprint);
                    if !tried.insert(pockets.clone()) || owner.get(&pockets) == Some(&MANY) {
                        continue;
                    }
                    if let Some(alone) = self.alone(&pockets) {
                        seeds.push((alone, group.clone()));
                    }
                }
            }
        }
        seeds.sort_by_cached_key(|(alone, group)| (alone.pockets.count(), group.len(), alone.clone()));
        seeds
    }

    fn smallest(&self, seeds: &[(Alone<B>, Vec<usize>)]) -> Option<Best<B>> {
        let size = seeds.first()?.0.pockets.count();
        let same: BTreeSet<&Alone<B>> =
            seeds.iter().map(|s| &s.0).take_while(|a| a.pockets.count() == size).collect();
        let alone = (*same.first()?).clone();
        Some(Best { size, sets: same.len() as u64, alone, proven: !self.stopped.get() })
    }

    /// Take away as few vertices as hit every footprint of every other layout.
    fn largest(&self, seeds: &[(Alone<B>, Vec<usize>)]) -> Option<Best<B>> {
        let mut best: Option<Best<B>> = None;
        let mut nodes = NODES;
        let mut proven = !self.stopped.get();
        let everything = B::of(self.width(), 0..self.problem.instance.edge.len());
        for (seed, group) in seeds {
            if self.is_over() {
                // A good set is there already: at least this large.
                let most = Best { size: seed.pockets.count(), sets: 1, alone: seed.clone(), proven: false };
                best.get_or_insert(most);
                proven = false;
                break;
            }
            // What may stay: one layout and its images under the group that the set will keep.
            let Some(left) = self.table.admitted(&seed.pockets).next() else { continue };
            let left = &self.table.layouts[left].places;
            let own: BTreeSet<Vec<u32>> = group.iter().map(|&s| self.problem.carried(s, left)).collect();
            let units = self.units(group, &seed.pockets);
            let others = self.table.layouts.iter().filter(|l| !own.contains(&l.places)).flat_map(|l| &l.all);
            let in_units = |set: &B| B::of(self.width(), (0..units.len()).filter(|&u| units[u].meets(set)));
            let mut sets: Vec<B> = others.map(in_units).collect();
            sets.sort_unstable();
            sets.dedup();
            let sets = least_by_size(sets);
            if sets.first().is_some_and(B::is_none) {
                continue;
            }
            let weights = units.iter().map(B::count).collect();
            let below = best.as_ref().map_or(usize::MAX, |b| everything.count() - b.size);
            let (hit, sure) =
                Hitting { weights, sets }.lightest(self.width(), below, &mut nodes, &|| self.is_over());
            proven &= sure;
            if let Some(hit) = hit {
                let mut pockets = everything.clone();
                for u in hit.iter() {
                    pockets.remove(&units[u]);
                }
                let alone = Alone { pockets, essential: seed.essential };
                best = Some(Best { size: alone.pockets.count(), sets: 1, alone, proven: true });
            }
        }
        best.map(|b| Best { proven, ..b })
    }

    /// Active vertices outside the seed, those that a group carries to each other together.
    fn units(&self, group: &[usize], seed: &B) -> Vec<B> {
        let mut units: Vec<B> = Vec::new();
        for &v in self.active.iter().filter(|&&v| !seed.has(v)) {
            if !units.iter().any(|u| u.has(v)) {
                units.push(self.closed_under(group, &B::of(self.width(), [v])));
            }
        }
        units
    }
}

/// The least sets of a family, smallest first.
fn least_by_size<B: Bits>(sets: Vec<B>) -> Vec<B> {
    let mut sets = if sets.len() < 2_000 { least(sets, B::within) } else { thinned(sets) };
    sets.sort_by_key(B::count);
    sets
}

/// As [`least`], for long families: each set is held against the smaller ones kept.
fn thinned<B: Bits>(mut sets: Vec<B>) -> Vec<B> {
    sets.sort_by_key(B::count);
    let mut kept: Vec<B> = Vec::new();
    for set in sets {
        if !kept.iter().any(|k| k.within(&set)) {
            kept.push(set);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bits::Words;
    use crate::footprints::Effort;
    use crate::instance::Numbering;
    use crate::sample::small_instance;

    #[test]
    fn growing_from_seeds_finds_what_trying_all_finds() {
        let (mut some, mut turned) = (0, 0);
        for seed in 0..6_000 {
            let (set, outline) = small_instance(seed);
            let open = outline.open();
            let classes = set.classes();
            let problem = Problem::<Words<2>>::new(&set, &classes, &open, Numbering::of(&open));
            let effort = Effort { layouts: u64::MAX, threads: 1, stop: &|| false, progress: &|_, _| {} };
            let table = Table::of(&problem, &effort);
            for interlocked in [false, true] {
                let wish = Wish { essential: None, interlocked };
                let admission = Admission::new(&problem, &table, &wish, &|| false);
                if admission.active.len() > 12 {
                    continue;
                }
                let sizes = |ends: &(Best<_>, Best<_>)| (ends.0.size, ends.0.sets, ends.1.size);
                let (all, grown) = (admission.try_all(), admission.grow());
                assert_eq!(all.as_ref().map(sizes), grown.as_ref().map(sizes), "seed {seed}");
                some += usize::from(all.is_some());
                turned += usize::from(all.is_some() && admission.rotations.len() > 1);
                for best in all.iter().chain(&grown).flat_map(|ends| [&ends.0, &ends.1]) {
                    assert_eq!(admission.alone(&best.alone.pockets).as_ref(), Some(&best.alone));
                    assert!(best.proven);
                }
            }
        }
        assert!(some > 1_000 && turned > 100, "{some} with an answer, {turned} of them with turns");
    }
}
