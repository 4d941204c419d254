//! One fold for each piece on its shape, so that no two hinges meet and the
//! pieces drop in; or why there is no such choice.
//!
//! Only pins on vertices that several pieces may have a pin on can meet or make
//! a piece wait, and fewer of them never hurt: of each piece's folds those with
//! the least such pins are tried. What was tried in vain is remembered by what
//! later pieces can still see of it, so that the work stays small.

use std::collections::BTreeSet;

use lattice::{Pin, Vertex};
use rustc_hash::FxHashSet;

use crate::fault::Fault;

/// A pin: number of its vertex, level.
type At = (u16, u8);

/// One way of folding a piece: the fold's number, its pins on shared vertices.
type Way = (usize, Vec<At>);

/// Pieces with the folds that each may take.
#[derive(Debug, Default)]
pub(crate) struct Choice {
    pieces: Vec<usize>,
    folds: Vec<Vec<(usize, Vec<Pin>)>>,
}

impl Choice {
    /// One more piece, with the numbers and pins of its folds.
    pub fn add(&mut self, piece: usize, folds: Vec<(usize, Vec<Pin>)>) {
        self.pieces.push(piece);
        self.folds.push(folds);
    }

    /// A fold for each piece, in the order in which they were added.
    pub fn made(&self, drops_in: bool) -> Result<Vec<usize>, Vec<Fault>> {
        let (shared, options) = self.shared();
        let problem = Problem { options, shared: shared.len() };
        let everyone: Vec<usize> = (0..self.pieces.len()).collect();
        let everywhere = vec![true; shared.len()];
        let nowhere = vec![false; shared.len()];
        if drops_in {
            if let Some(folds) = problem.choose(&everyone, &everywhere, &everywhere) {
                return Ok(folds);
            }
            if problem.choose(&everyone, &everywhere, &nowhere).is_some() {
                let stuck = |some: &[usize], at: &[bool]| problem.choose(some, &everywhere, at).is_none();
                return Err(self.told(&shared, stuck, |pieces, at| Fault::Interlocked { pieces, at }));
            }
        } else if let Some(folds) = problem.choose(&everyone, &everywhere, &nowhere) {
            return Ok(folds);
        }
        let meet = |some: &[usize], at: &[bool]| problem.choose(some, at, &nowhere).is_none();
        Err(self.told(&shared, meet, |pieces, at| Fault::HingesMeet { pieces, at }))
    }

    /// The vertices on which several pieces may have a pin, and each piece's least ways.
    fn shared(&self) -> (Vec<Vertex>, Vec<Vec<Way>>) {
        let (mut once, mut twice) = (BTreeSet::new(), BTreeSet::new());
        for folds in &self.folds {
            let own: BTreeSet<Vertex> = folds.iter().flat_map(|f| &f.1).map(|pin| pin.at).collect();
            twice.extend(own.iter().filter(|v| once.contains(*v)));
            once.extend(own);
        }
        let shared: Vec<Vertex> = twice.into_iter().collect();
        let ways = |folds: &Vec<(usize, Vec<Pin>)>| {
            let pins = |all: &Vec<Pin>| -> Vec<At> {
                let at = |p: &Pin| shared.binary_search(&p.at).ok().map(|v| (v as u16, p.level.0));
                // Sorted, as the pins of a fold are.
                all.iter().filter_map(at).collect()
            };
            least(folds.iter().map(|(number, all)| (*number, pins(all))).collect())
        };
        let options = self.folds.iter().map(ways).collect();
        (shared, options)
    }

    /// The smallest groups of pieces that are stuck: all pairs, or else one group of
    /// which none can be left out; each with the least of the vertices it takes.
    fn told(
        &self,
        shared: &[Vertex],
        stuck: impl Fn(&[usize], &[bool]) -> bool,
        fault: impl Fn(Vec<usize>, Vec<Vertex>) -> Fault,
    ) -> Vec<Fault> {
        let everywhere = vec![true; shared.len()];
        let count = self.pieces.len();
        let pairs = (0..count).flat_map(|a| (a + 1..count).map(move |b| vec![a, b]));
        let mut groups: Vec<Vec<usize>> = pairs.filter(|pair| stuck(pair, &everywhere)).collect();
        if groups.is_empty() {
            let mut group: Vec<usize> = (0..count).collect();
            for piece in 0..count {
                let without: Vec<usize> = group.iter().copied().filter(|&p| p != piece).collect();
                if stuck(&without, &everywhere) {
                    group = without;
                }
            }
            groups.push(group);
        }
        let told = |group: Vec<usize>| {
            let mut at = everywhere.clone();
            for v in 0..at.len() {
                at[v] = false;
                at[v] = !stuck(&group, &at);
            }
            let vertices = shared.iter().zip(&at).filter(|(_, at)| **at).map(|(&v, _)| v).collect();
            fault(group.iter().map(|&i| self.pieces[i]).collect(), vertices)
        };
        groups.into_iter().map(told).collect()
    }
}

/// The ways with the least pins, the first of equals, in order.
fn least(all: Vec<Way>) -> Vec<Way> {
    let within = |a: &[At], b: &[At]| a.iter().all(|p| b.binary_search(p).is_ok());
    let beaten = |i: usize| {
        let under = |j: usize| within(&all[j].1, &all[i].1) && (j < i || all[j].1.len() < all[i].1.len());
        (0..all.len()).any(|j| j != i && under(j))
    };
    let kept: Vec<bool> = (0..all.len()).map(|i| !beaten(i)).collect();
    all.into_iter().zip(kept).filter(|(_, keep)| *keep).map(|(one, _)| one).collect()
}

/// What each piece may take, by pins on shared vertices.
struct Problem {
    options: Vec<Vec<Way>>,
    /// How many shared vertices there are.
    shared: usize,
}

/// A search among the ways of some pieces.
struct Search<'a> {
    options: Vec<&'a [Way]>,
    /// By vertex: whether pins there run into each other, and bind the order.
    meets: &'a [bool],
    orders: &'a [bool],
    /// By vertex, the last depth at which a piece may have a pin there, and one.
    until: Vec<usize>,
    vain: FxHashSet<(usize, Vec<u64>)>,
}

/// Pins taken, with the depth of their piece, and for each piece those after it.
#[derive(Clone, Default)]
struct Taken {
    pins: Vec<(At, usize)>,
    after: Vec<u64>,
}

impl Problem {
    /// A fold for each of some pieces so that no two pins meet, and all drop in, as
    /// far as only these vertices count.
    fn choose(&self, some: &[usize], meets: &[bool], orders: &[bool]) -> Option<Vec<usize>> {
        let order = self.neighbours_first(some);
        let options: Vec<&[Way]> = order.iter().map(|&i| self.options[i].as_slice()).collect();
        let mut until = vec![0; meets.len()];
        for (depth, options) in options.iter().enumerate() {
            for &(v, _) in options.iter().flat_map(|o| &o.1) {
                until[usize::from(v)] = depth + 1;
            }
        }
        let mut search = Search { options, meets, orders, until, vain: FxHashSet::default() };
        let mut picked = Vec::new();
        search.pick(&mut picked, &Taken { pins: Vec::new(), after: vec![0; some.len()] }).then(|| {
            let fold = |i: &usize| {
                let depth = order.iter().position(|o| o == i).expect("the order has them all");
                self.options[*i][picked[depth]].0
            };
            some.iter().map(fold).collect()
        })
    }

    /// Pieces that share a vertex near each other, so that little stays open.
    fn neighbours_first(&self, some: &[usize]) -> Vec<usize> {
        let has = |i: usize| self.options[i].iter().flat_map(|o| o.1.iter().map(|p| usize::from(p.0)));
        let mut seen = vec![false; self.shared];
        let mut left = some.to_vec();
        let mut order = Vec::with_capacity(some.len());
        while !left.is_empty() {
            let near = |&i: &usize| has(left[i]).filter(|&v| seen[v]).count();
            let best = (0..left.len()).rev().max_by_key(near).expect("some are left");
            let next = left.remove(best);
            has(next).for_each(|v| seen[v] = true);
            order.push(next);
        }
        order
    }
}

impl Search<'_> {
    fn pick(&mut self, picked: &mut Vec<usize>, taken: &Taken) -> bool {
        let depth = picked.len();
        let Some(&options) = self.options.get(depth) else { return true };
        let key = (depth, self.seen_later(depth, taken));
        if self.vain.contains(&key) {
            return false;
        }
        for (number, (_, pins)) in options.iter().enumerate() {
            if let Some(more) = self.with(taken, depth, pins) {
                picked.push(number);
                if self.pick(picked, &more) {
                    return true;
                }
                picked.pop();
            }
        }
        self.vain.insert(key);
        false
    }

    /// What pieces from `depth` on can see: pins on their vertices, whose they are, and
    /// in what order those go in.
    fn seen_later(&self, depth: usize, taken: &Taken) -> Vec<u64> {
        let open = |pin: &&(At, usize)| self.until[usize::from(pin.0.0)] > depth;
        let mut key = Vec::new();
        let mut owners = 0u64;
        for &((v, level), owner) in taken.pins.iter().filter(open) {
            key.push(u64::from(v) << 32 | u64::from(level) << 16 | owner as u64);
            owners |= 1 << owner;
        }
        key.extend(
            taken.after.iter().enumerate().filter(|(o, _)| owners >> o & 1 == 1).map(|(_, a)| a & owners),
        );
        key
    }

    /// With one more piece; none if a pin meets another or nobody could go first.
    fn with(&self, taken: &Taken, depth: usize, pins: &[At]) -> Option<Taken> {
        let mut more = taken.clone();
        for &(v, level) in pins {
            for &((w, other), owner) in taken.pins.iter().filter(|((w, _), _)| *w == v) {
                if level == other {
                    if self.meets[usize::from(w)] {
                        return None;
                    }
                } else if self.orders[usize::from(w)] {
                    let (first, then) = if other < level { (owner, depth) } else { (depth, owner) };
                    if !put_before(&mut more.after, first, then) {
                        return None;
                    }
                }
            }
        }
        more.pins.extend(pins.iter().map(|&pin| (pin, depth)));
        Some(more)
    }
}

/// Notes that one piece goes in before another; false if that closes a ring.
fn put_before(after: &mut [u64], first: usize, then: usize) -> bool {
    if first == then || after[then] >> first & 1 == 1 {
        return false;
    }
    let gained = after[then] | 1 << then;
    for (piece, set) in after.iter_mut().enumerate() {
        if piece == first || *set >> first & 1 == 1 {
            *set |= gained;
        }
    }
    true
}
