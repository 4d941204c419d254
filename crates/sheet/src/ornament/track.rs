//! How what is chosen hangs together along the frontier, at one end.
//!
//! A state is the frontier's seams in classes: two seams are in one class if
//! the panels chosen so far join their bands. Where islands are not allowed it
//! also holds the frontier's vertices in classes of ground, each with a mark if
//! a closed part of the figure lies in it; class 0 reaches the rim. States are
//! numbered as they are met, step by step, and what a joining makes of each is
//! worked out once.

use rustc_hash::FxHashMap;

use super::joining::Joining;
use super::plan::{Places, Step};

/// A state's number within its step; `NEVER` if the joining is not allowed.
pub(crate) const NEVER: u32 = u32::MAX;

/// What a joining makes of a state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Change {
    pub next: u32,
    /// Parts of the figure that are now complete.
    pub closed: u8,
    /// Holes of the figure made (each a ring of bands).
    pub rings: u8,
}

const BLANK: Change = Change { next: NEVER, closed: 0, rings: 0 };

/// Which seams and vertices are on the frontier before a step.
#[derive(Clone, Debug, Default)]
struct Frontier {
    seams: Vec<usize>,
    vertices: Vec<usize>,
}

/// One end's states: those before each step, and one set after the last.
pub(crate) struct Track<'a> {
    steps: &'a [Step],
    places: Places,
    frontiers: Vec<Frontier>,
    ground: bool,
    states: Vec<States>,
}

#[derive(Default)]
struct States {
    /// Classes of seams; then those of vertices; then a mark for every class of ground.
    labels: Vec<Box<[u8]>>,
    numbers: FxHashMap<Box<[u8]>, u32>,
    changes: Vec<Option<Box<[Change]>>>,
    classes: Vec<u8>,
}

impl States {
    fn number(&mut self, labels: Box<[u8]>, seams: usize) -> u32 {
        if let Some(&n) = self.numbers.get(&labels) {
            return n;
        }
        let n = self.labels.len() as u32;
        self.classes.push(labels[..seams].iter().max().map_or(0, |m| m + 1));
        self.numbers.insert(labels.clone(), n);
        self.labels.push(labels);
        self.changes.push(None);
        n
    }
}

impl<'a> Track<'a> {
    /// `ground`: forbid islands.
    pub fn new(steps: &'a [Step], places: Places, ground: bool) -> Self {
        let (mut seen_seams, mut seen_vertices) =
            (FxHashMap::<usize, u8>::default(), FxHashMap::<usize, u8>::default());
        // A seam on a cut is met from one side alone.
        let mut panels = FxHashMap::<usize, u8>::default();
        for &(block, _) in steps.iter().flat_map(|s| &s.copies) {
            places.seams[block].iter().flatten().for_each(|s| *panels.entry(*s).or_default() += 1);
        }
        let mut frontiers = vec![Frontier::default()];
        for step in steps {
            for &(block, _) in &step.copies {
                for k in 0..4 {
                    if let Some(s) = places.seams[block][k] {
                        *seen_seams.entry(s).or_default() += 1;
                    }
                    if let Some(v) = places.vertices[block][k] {
                        *seen_vertices.entry(v).or_default() += 1;
                    }
                }
            }
            let mut next = Frontier::default();
            next.seams.extend(seen_seams.iter().filter(|(s, n)| **n < panels[*s]).map(|(s, _)| *s));
            next.vertices.extend(seen_vertices.iter().filter(|(_, n)| **n < 4).map(|(v, _)| *v));
            next.seams.sort_unstable();
            next.vertices.sort_unstable();
            frontiers.push(next);
        }
        let mut states: Vec<States> = (0..=steps.len()).map(|_| States::default()).collect();
        states[0].number(Box::new([]), 0);
        Track { steps, places, frontiers, ground, states }
    }

    /// The last step at which any seam is met: then the figure is complete.
    pub fn done(&self) -> usize {
        let met = |s: &Step| s.copies.iter().any(|&(b, _)| self.places.seams[b].iter().any(Option::is_some));
        self.steps.iter().rposition(met).expect("every sheet has a seam")
    }

    /// The classes of seams of a state.
    pub fn classes(&self, step: usize, state: u32) -> u8 {
        self.states[step].classes[state as usize]
    }

    /// How many seams are on the frontier before a step.
    pub fn seams(&self, step: usize) -> usize {
        self.frontiers[step].seams.len()
    }

    /// The seams' classes of a state, by position on the frontier.
    pub fn labels(&self, step: usize, state: u32) -> &[u8] {
        &self.states[step].labels[state as usize][..self.frontiers[step].seams.len()]
    }

    /// What every choice of a step makes of a state, by the choice's position.
    pub fn changes(&mut self, step: usize, state: u32) -> &[Change] {
        if self.states[step].changes[state as usize].is_none() {
            let found: Vec<Change> =
                self.steps[step].choices.iter().map(|&j| self.change(step, state, j)).collect();
            self.states[step].changes[state as usize] = Some(found.into());
        }
        self.states[step].changes[state as usize].as_deref().expect("worked out above")
    }

    fn change(&mut self, step: usize, state: u32, joining: Joining) -> Change {
        let before = &self.frontiers[step];
        let labels = &self.states[step].labels[state as usize];
        let (seams, vertices) = (before.seams.len(), before.vertices.len());
        // Class of every seam that is met: those of the frontier, then the new ones.
        let mut met: Vec<(usize, u8)> =
            before.seams.iter().copied().zip(labels[..seams].iter().copied()).collect();
        let mut classes = labels[..seams].iter().max().map_or(0, |m| m + 1);
        let mut rings = 0;
        let class = |met: &mut Vec<(usize, u8)>, seam: usize, classes: &mut u8| {
            if let Some(k) = met.iter().position(|(s, _)| *s == seam) {
                return k;
            }
            met.push((seam, *classes));
            *classes += 1;
            met.len() - 1
        };
        for &(block, to) in &self.steps[step].copies {
            for group in joining.groups() {
                let mut first: Option<u8> = None;
                for k in (0..4).filter(|k| group >> k & 1 == 1) {
                    let Some(seam) = self.places.seams[block][usize::from(to[k])] else { continue };
                    let at = class(&mut met, seam, &mut classes);
                    match first {
                        None => first = Some(met[at].1),
                        Some(one) if one == met[at].1 => rings += 1,
                        Some(one) => {
                            let other = met[at].1;
                            met.iter_mut().filter(|(_, c)| *c == other).for_each(|(_, c)| *c = one);
                        }
                    }
                }
            }
        }
        let after = &self.frontiers[step + 1];
        let mut names: Vec<u8> = Vec::new();
        let mut next: Vec<u8> = Vec::with_capacity(after.seams.len());
        for seam in &after.seams {
            let c = met.iter().find(|(s, _)| s == seam).expect("met before").1;
            next.push(name(&mut names, c));
        }
        let mut all: Vec<u8> = met.iter().map(|(_, c)| *c).collect();
        all.sort_unstable();
        all.dedup();
        let closed = (all.len() - names.len()) as u8;
        let seams_after = after.seams.len();
        if self.ground {
            let marks = &labels[seams + vertices..];
            let Some(ground) = self.ground_after(step, &labels[seams..seams + vertices], marks, joining)
            else {
                return BLANK;
            };
            next.extend(ground);
        }
        Change { next: self.states[step + 1].number(next.into(), seams_after), closed, rings }
    }

    /// The vertices' classes and marks after a step; `None` if a hole closes round an island.
    fn ground_after(&self, step: usize, labels: &[u8], marks: &[u8], joining: Joining) -> Option<Vec<u8>> {
        // Class 0 is the rim's; `marked` by class.
        let mut met: Vec<(usize, u8)> =
            self.frontiers[step].vertices.iter().copied().zip(labels.iter().copied()).collect();
        let mut marked: Vec<bool> = std::iter::once(false).chain(marks.iter().map(|&m| m == 1)).collect();
        for &(block, to) in &self.steps[step].copies {
            // Corners move as sides do, but a mirror swaps the two sides of each.
            let moved = joining.moved(to);
            for group in moved.ground() {
                let mut first: Option<u8> = None;
                for k in (0..4).filter(|k| group >> k & 1 == 1) {
                    let own = match self.places.vertices[block][k] {
                        None => 0,
                        Some(v) => match met.iter().find(|(w, _)| *w == v) {
                            Some((_, c)) => *c,
                            None => {
                                let c = marked.len() as u8;
                                marked.push(false);
                                met.push((v, c));
                                c
                            }
                        },
                    };
                    match first {
                        None => first = Some(own),
                        Some(one) if one == own => marked[usize::from(one)] = true,
                        Some(one) => {
                            let (keep, drop) = (one.min(own), one.max(own));
                            met.iter_mut().filter(|(_, c)| *c == drop).for_each(|(_, c)| *c = keep);
                            marked[usize::from(keep)] |= marked[usize::from(drop)];
                            first = Some(keep);
                        }
                    }
                }
            }
        }
        let after = &self.frontiers[step + 1].vertices;
        for &(_, c) in met.iter().filter(|(v, _)| !after.contains(v)) {
            let stays = c == 0 || met.iter().any(|(v, d)| *d == c && after.contains(v));
            if !stays && marked[usize::from(c)] {
                return None;
            }
        }
        let mut names: Vec<u8> = vec![0];
        let mut next: Vec<u8> = Vec::new();
        for v in after {
            let c = met.iter().find(|(w, _)| w == v).expect("met before").1;
            next.push(name(&mut names, c));
        }
        next.extend(names[1..].iter().map(|&c| u8::from(marked[usize::from(c)])));
        Some(next)
    }

    /// How many classes two states have in common, seam by seam: the blocks of their meet.
    pub fn meet(&self, step: usize, a: u32, b: u32) -> u8 {
        let seams = self.frontiers[step].seams.len();
        let (a, b) = (&self.states[step].labels[a as usize], &self.states[step].labels[b as usize]);
        let mut seen = [0u64; 32];
        let mut count = 0;
        for k in 0..seams {
            let bit = 1u64 << b[k];
            let row = &mut seen[usize::from(a[k])];
            count += u8::from(*row & bit == 0);
            *row |= bit;
        }
        count
    }

    /// Whether every way to go on that `b` allows is allowed by `a`, too: the same
    /// ground, and no mark that `b` has not.
    pub fn serves(&self, step: usize, a: u32, b: u32) -> bool {
        let seams = self.frontiers[step].seams.len();
        let states = &self.states[step].labels;
        let (a, b) = (&states[a as usize], &states[b as usize]);
        // Of equal ground, classes and so lengths are equal; a mark is 0 or 1.
        a.len() == b.len() && {
            let marks = seams + self.frontiers[step].vertices.len();
            !self.ground
                || (a[seams..marks] == b[seams..marks]
                    && a[marks..].iter().zip(&b[marks..]).all(|(x, y)| x <= y))
        }
    }
}

/// The number of a class in order of appearance.
fn name(names: &mut Vec<u8>, class: u8) -> u8 {
    names.iter().position(|&n| n == class).unwrap_or_else(|| {
        names.push(class);
        names.len() - 1
    }) as u8
}
