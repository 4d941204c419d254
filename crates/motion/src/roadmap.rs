//! The search for motions: a map of certified moves, grown by sampling.
//!
//! The map starts with every lattice pose and every clear swing between them.
//! First, hinges are opened together in straight lines between poses of
//! different classes. Then points are sampled in the openings and the map
//! grows towards them from the side of home and from the other side in turn,
//! each new point being an aim for the other side (after J. J. Kuffner and
//! S. M. LaValle (2000), RRT-Connect, Proc. IEEE ICRA, 995-1001: source from
//! memory). Half of the samples lie near a pose that is still to be joined,
//! where room is scarce.
//!
//! Equal seed, equal map. The search counts looks at the bodies, not time.

use std::f64::consts::FRAC_PI_2;

use reach::Joined;

use crate::glide::{Clearway, far_enough};

/// A point of the map.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) at: Vec<f64>,
    /// The lattice poses have one each; a sampled point takes that of its root.
    class: usize,
}

/// A certified move: the points it turns at between two nodes, in order.
#[derive(Clone, Debug)]
pub(crate) struct Move {
    pub(crate) ends: [usize; 2],
    pub(crate) turns: Vec<Vec<f64>>,
}

#[derive(Debug)]
pub(crate) struct Roadmap {
    pub(crate) nodes: Vec<Node>,
    pub(crate) moves: Vec<Move>,
    /// The class that each class has become part of.
    joined: Vec<usize>,
    /// How many times two classes have become one.
    pub(crate) joins: usize,
}

/// The least that a move must turn some hinge to be kept.
const LEAST_MOVE: f64 = 0.05;

impl Roadmap {
    pub(crate) fn new(poses: Vec<Vec<f64>>, classes: &[usize], swings: &[Joined]) -> Self {
        let count = classes.iter().max().map_or(0, |m| m + 1);
        Roadmap {
            nodes: poses.into_iter().zip(classes).map(|(at, &class)| Node { at, class }).collect(),
            moves: swings.iter().map(|s| Move { ends: s.poses, turns: vec![] }).collect(),
            joined: (0..count).collect(),
            joins: 0,
        }
    }

    /// What a class has become part of; home is part of class 0.
    pub(crate) fn class(&self, node: usize) -> usize {
        let mut class = self.nodes[node].class;
        while self.joined[class] != class {
            class = self.joined[class];
        }
        class
    }

    pub(crate) fn is_home(&self, node: usize) -> bool {
        self.class(node) == 0
    }

    fn join(&mut self, a: usize, b: usize, turns: Vec<Vec<f64>>) {
        self.moves.push(Move { ends: [a, b], turns });
        let (a, b) = (self.class(a), self.class(b));
        self.joined[a.max(b)] = a.min(b);
        self.joins += 1;
    }

    /// Straight moves of two and more hinges at once from the side of home to
    /// poses for which `wanted` says so, until `budget` looks are spent.
    pub(crate) fn together(
        &mut self,
        way: &mut Clearway,
        poses: usize,
        budget: u64,
        wanted: &dyn Fn(&Self, usize) -> bool,
    ) {
        for moving in 2..=4 {
            for (from, to) in self.pairs(poses, moving, budget.saturating_sub(way.looks), wanted) {
                if way.looks >= budget {
                    return;
                }
                if self.class(from) == self.class(to) || !(wanted(self, to) || wanted(self, from)) {
                    continue;
                }
                let (a, b) = (self.nodes[from].at.clone(), self.nodes[to].at.clone());
                let (mut turns, arrived) = way.approach(&a, &b);
                if arrived {
                    turns.pop();
                    self.join(from, to, turns);
                }
            }
        }
    }

    /// Up to `most` pairs of poses of different classes, the second wanted,
    /// that differ by a quarter in so many hinges and not in others.
    fn pairs(
        &self,
        poses: usize,
        moving: u32,
        most: u64,
        wanted: &dyn Fn(&Self, usize) -> bool,
    ) -> Vec<(usize, usize)> {
        let quarter = |a: f64, b: f64| ((a - b).abs() / FRAC_PI_2).round() as u32;
        let mut pairs = Vec::new();
        for to in (0..poses).filter(|&p| wanted(self, p)) {
            for from in 0..poses {
                if pairs.len() as u64 >= most {
                    return pairs;
                }
                if self.class(from) == self.class(to) {
                    continue;
                }
                let steps =
                    || self.nodes[from].at.iter().zip(&self.nodes[to].at).map(|(&a, &b)| quarter(a, b));
                if steps().all(|s| s <= 1) && steps().sum::<u32>() == moving {
                    pairs.push((from, to));
                }
            }
        }
        pairs
    }

    /// Grows both sides until no class is wanted or `budget` looks are spent.
    pub(crate) fn grow(
        &mut self,
        way: &mut Clearway,
        poses: usize,
        budget: u64,
        seed: u64,
        wanted: &dyn Fn(&Self, usize) -> bool,
    ) {
        let mut dice = fastrand::Rng::with_seed(seed);
        let mut from_home = true;
        loop {
            let targets: Vec<usize> = (0..poses).filter(|&p| wanted(self, p)).collect();
            if targets.is_empty() || way.looks >= budget {
                return;
            }
            // The wanted poses and their classes stay the same until something is joined.
            let mut classes: Vec<usize> = targets.iter().map(|&t| self.class(t)).collect();
            classes.sort_unstable();
            classes.dedup();
            let before = way.looks;
            let mut joined = false;
            while !joined && way.looks < budget {
                let sample = self.sample(&targets, &mut dice);
                joined = self.stretch(way, &sample, from_home, &classes);
                from_home = !from_home;
                // A map that is boxed in everywhere spends nothing and ends nowhere.
                if way.looks == before {
                    way.looks += 1;
                }
            }
        }
    }

    fn sample(&self, targets: &[usize], dice: &mut fastrand::Rng) -> Vec<f64> {
        let near = dice.bool().then(|| &self.nodes[targets[dice.usize(..targets.len())]].at);
        let spread = FRAC_PI_2 * dice.f64();
        (0..self.nodes[0].at.len())
            .map(|i| match near {
                Some(at) => (at[i] + spread * (2.0 * dice.f64() - 1.0)).clamp(FRAC_PI_2, 3.0 * FRAC_PI_2),
                None => FRAC_PI_2 * (1.0 + 2.0 * dice.f64()),
            })
            .collect()
    }

    /// One step of growth, from home's side or from one of the classes wanted;
    /// whether it joined two classes.
    fn stretch(&mut self, way: &mut Clearway, sample: &[f64], from_home: bool, wanted: &[usize]) -> bool {
        let side = |map: &Self, node: usize, home: bool| {
            let class = map.class(node);
            if home { class == 0 } else { wanted.binary_search(&class).is_ok() }
        };
        let Some(root) = self.nearest(sample, |map, n| side(map, n, from_home)) else { return false };
        let Some(grown) = self.extend(way, root, sample) else { return false };
        let aim = self.nodes[grown].at.clone();
        let Some(other) = self.nearest(&aim, |map, n| side(map, n, !from_home)) else { return false };
        let from = self.nodes[other].at.clone();
        let (mut turns, arrived) = way.approach(&from, &aim);
        if arrived {
            turns.pop();
            self.join(other, grown, turns);
            return true;
        }
        self.keep(other, turns);
        false
    }

    fn extend(&mut self, way: &mut Clearway, root: usize, aim: &[f64]) -> Option<usize> {
        let from = self.nodes[root].at.clone();
        let (turns, _) = way.approach(&from, aim);
        self.keep(root, turns)
    }

    /// Adds the end of a move to the map if the move is worth it.
    fn keep(&mut self, root: usize, mut turns: Vec<Vec<f64>>) -> Option<usize> {
        let at = turns.pop()?;
        if !far_enough(&self.nodes[root].at, &at, LEAST_MOVE) {
            return None;
        }
        self.nodes.push(Node { at, class: self.nodes[root].class });
        let new = self.nodes.len() - 1;
        self.moves.push(Move { ends: [root, new], turns });
        Some(new)
    }

    fn nearest(&self, aim: &[f64], side: impl Fn(&Self, usize) -> bool) -> Option<usize> {
        let far = |n: usize| self.nodes[n].at.iter().zip(aim).map(|(a, b)| (a - b) * (a - b)).sum::<f64>();
        (0..self.nodes.len()).filter(|&n| side(self, n)).min_by(|&a, &b| far(a).total_cmp(&far(b)))
    }

    /// The fewest moves from node 0 to each node: the move that leads there, if any.
    pub(crate) fn ways(&self) -> Vec<Option<(usize, usize)>> {
        let mut near: Vec<Vec<(usize, usize)>> = vec![vec![]; self.nodes.len()];
        for (m, step) in self.moves.iter().enumerate() {
            let [a, b] = step.ends;
            near[a].push((b, m));
            near[b].push((a, m));
        }
        let mut from = vec![None; self.nodes.len()];
        let mut queue = std::collections::VecDeque::from([0]);
        while let Some(a) = queue.pop_front() {
            for &(b, m) in &near[a] {
                if b != 0 && from[b].is_none() {
                    from[b] = Some((a, m));
                    queue.push_back(b);
                }
            }
        }
        from
    }
}
