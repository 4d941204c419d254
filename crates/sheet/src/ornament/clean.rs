//! An upper bound for holes without islands, from labels that are chosen locally.
//!
//! Say of every inner vertex whether it is to lie in a hole. A panel may not join
//! the ground of one that does to the rim's or to one that does not. A hole
//! without an island is a tree of ground, so vertices less joints count it as one,
//! and a hole with islands as less. So the greatest value over labels is the most
//! holes that have no island in them, and no ornament without islands has more.
//! Only the labels along the frontier need be remembered, not what hangs together.
//!
//! A wide sheet is cut: each part is bounded on its own, with the seams on the cut
//! left free, and a vertex on the cut counted in the first part alone.

use rustc_hash::FxHashMap;

use super::plan::{Places, Step, places};
use super::solve::{Entry, Ward, best_of_each, key, parts, spanning};
use super::track::{NEVER, Track};
use crate::geometry::{End, Sheet};

/// A part of a sheet whose seams may be cut.
pub(crate) struct Part<'a> {
    pub steps: &'a [Step],
    /// Vertices on a cut that another part counts.
    pub counted_elsewhere: Vec<usize>,
    /// What the figure turned may do in each step.
    pub wards: Vec<Ward>,
    /// The figure turned is one part in the end.
    pub spans: bool,
}

/// The greatest number of holes without islands; `None` if stopped or if more
/// than `width` states would be needed.
pub(crate) fn most(sheet: &Sheet, part: &Part, width: usize, stop: &dyn Fn() -> bool) -> Option<i32> {
    let mut turned = Track::new(part.steps, places(sheet, End::Turned), false);
    let mut labels = Labels::new(part, places(sheet, End::Closed));
    let mut layer: Vec<Entry> = vec![(key(0, 0), 0)];
    for (number, step) in part.steps.iter().enumerate() {
        let mut next = Vec::with_capacity(layer.len() * 4);
        for &(state, value) in &layer {
            let (b, a) = parts(state);
            let cb = turned.changes(number, b);
            for (at, &cb) in cb.iter().enumerate() {
                let Some(paid) = part.wards[number].paid(cb) else { continue };
                for &(to, won) in labels.changes(number, a, at, step) {
                    next.push((key(cb.next, to), value + won + paid));
                }
            }
        }
        let step = number + 1;
        layer = best_of_each(next);
        if part.spans {
            layer = spanning(layer, step, &turned, 0);
        }
        if layer.len() > width || stop() {
            return None;
        }
    }
    layer.iter().map(|e| e.1).max()
}

/// What a choice makes of a state of labels: every way to label new vertices.
type Ways = Box<[(u32, i32)]>;

/// Labels by number, and their numbers.
type Known = (Vec<Box<[bool]>>, FxHashMap<Box<[bool]>, u32>);

/// States of labels, numbered as they are met.
struct Labels<'a> {
    part: &'a Part<'a>,
    places: Places,
    frontiers: Vec<Vec<usize>>,
    states: Vec<Known>,
    changes: Vec<FxHashMap<(u32, usize), Ways>>,
}

impl<'a> Labels<'a> {
    fn new(part: &'a Part<'a>, places: Places) -> Self {
        let mut left = FxHashMap::<usize, usize>::default();
        let touched = |step: &Step| -> Vec<usize> {
            step.copies.iter().flat_map(|&(b, _)| places.vertices[b].into_iter().flatten()).collect()
        };
        for v in part.steps.iter().flat_map(touched) {
            *left.entry(v).or_default() += 1;
        }
        let all = left.clone();
        let mut frontiers = vec![Vec::new()];
        for step in part.steps {
            for v in touched(step) {
                *left.get_mut(&v).expect("counted above") -= 1;
            }
            let mut open: Vec<usize> =
                left.iter().filter(|(v, n)| **n > 0 && **n < all[*v]).map(|(v, _)| *v).collect();
            open.sort_unstable();
            frontiers.push(open);
        }
        let mut states: Vec<_> = frontiers.iter().map(|_| (Vec::new(), FxHashMap::default())).collect();
        number(&mut states[0], Box::new([]));
        let changes = part.steps.iter().map(|_| FxHashMap::default()).collect();
        Labels { part, places, frontiers, states, changes }
    }

    fn changes(&mut self, step: usize, state: u32, choice: usize, of: &Step) -> &[(u32, i32)] {
        if !self.changes[step].contains_key(&(state, choice)) {
            let ways = self.ways(step, state, choice, of);
            self.changes[step].insert((state, choice), ways);
        }
        &self.changes[step][&(state, choice)]
    }

    fn ways(&mut self, step: usize, state: u32, choice: usize, of: &Step) -> Ways {
        let before = &self.frontiers[step];
        let had = self.states[step].0[state as usize].clone();
        let mut new: Vec<usize> =
            of.copies.iter().flat_map(|&(b, _)| self.places.vertices[b].into_iter().flatten()).collect();
        new.sort_unstable();
        new.dedup();
        new.retain(|v| !before.contains(v));
        let mut ways = Vec::new();
        'label: for mask in 0..1u32 << new.len() {
            let label = |v: Option<usize>| {
                v.is_some_and(|v| match before.iter().position(|&w| w == v) {
                    Some(k) => had[k],
                    None => mask >> new.iter().position(|&w| w == v).expect("met now") & 1 == 1,
                })
            };
            let counted = |v: &&usize| label(Some(**v)) && !self.part.counted_elsewhere.contains(*v);
            let mut won = new.iter().filter(counted).count() as i32;
            for &(block, to) in &of.copies {
                for group in of.choices[choice].moved(to).ground() {
                    let of_group = (0..4).filter(|k| group >> k & 1 == 1);
                    let labels: Vec<bool> = of_group.map(|k| label(self.places.vertices[block][k])).collect();
                    if labels.iter().any(|l| *l != labels[0]) {
                        continue 'label;
                    }
                    won -= if labels[0] { labels.len() as i32 - 1 } else { 0 };
                }
            }
            let after: Box<[bool]> = self.frontiers[step + 1].iter().map(|&v| label(Some(v))).collect();
            ways.push((after, won));
        }
        ways.into_iter().map(|(after, won)| (number(&mut self.states[step + 1], after), won)).collect()
    }
}

fn number(states: &mut Known, labels: Box<[bool]>) -> u32 {
    if let Some(&n) = states.1.get(&labels) {
        return n;
    }
    let n = states.0.len() as u32;
    assert!(n < NEVER);
    states.0.push(labels.clone());
    states.1.insert(labels, n);
    n
}
