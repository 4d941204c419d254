//! Pockets as design: which pocket sets leave exactly one essentially
//! different layout, the smallest, the largest, and what each further one lets in.
//!
//! Where every layout of the open outline can be listed, the answers are exact
//! (the largest within a stated number of nodes). Where not, pocket sets taken
//! from the layouts seen are proven to leave one layout by searching with just
//! these pockets, and the answer says that a better one may exist.
//!
//! Interlocked layouts count as layouts that must be kept out; the one that is
//! left must drop in unless the set says otherwise.

use lattice::{Class, Outline, Set, Vertex};
use num_bigint::BigUint;

use crate::admission::{Admission, Best, Wish};
use crate::bits::{Bits, with_bits};
use crate::filling::{Answer, Ask, Certainty, fill};
use crate::footprints::{Effort, Table};
use crate::hinging::Hinging;
use crate::instance::Numbering;
use crate::problem::{Problem, hinged_levels};
use crate::search::Stop;
use crate::tasks::Progress;

/// What is asked about pockets.
pub struct PocketAsk<'a> {
    /// Leave this essentially different layout, by its number (from 0) in the order in
    /// which [`fill`] shows those of the open outline; any if none is named.
    pub layout: Option<usize>,
    /// The layout left need not drop in.
    pub interlocked: bool,
    /// Layouts to list at most.
    pub most_layouts: u64,
    /// Threads to use; the result is the same with any number.
    pub threads: usize,
    /// Asked now and then whether to end early.
    pub stop: Stop<'a>,
    /// Told how many tasks are done, and of how many.
    pub progress: Progress<'a>,
}

impl Default for PocketAsk<'_> {
    fn default() -> Self {
        PocketAsk {
            layout: None,
            interlocked: false,
            most_layouts: 200_000,
            threads: 1,
            stop: &|| false,
            progress: &|_, _| {},
        }
    }
}

/// What a further pocket lets in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Further {
    /// Where it would be.
    pub at: Vertex,
    /// Layouts with it that there were not before.
    pub layouts: u64,
    /// How many essentially different layouts, by turns of the open outline, these are.
    pub different: u64,
}

/// A pocket set that leaves one essentially different layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PocketSet {
    /// The pockets, sorted.
    pub pockets: Vec<Vertex>,
    /// How many sets of this size do as well; at least so many where not all were looked at.
    pub same_size: u64,
    /// Whether no better size exists.
    pub proven: bool,
    /// No set better than this size can exist.
    pub bound: usize,
    /// The number of the layout left, as in [`PocketAsk::layout`].
    pub layout: usize,
    /// The layout left.
    pub answer: Answer,
    /// The pockets that none of its foldings uses.
    pub blind: Vec<Vertex>,
    /// What each further pocket lets in, by vertex; at least so many where not all layouts were
    /// listed, empty where it was stopped.
    pub further: Vec<Further>,
}

/// Pockets designed for an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pockets {
    /// Layouts with a pocket everywhere; at least so many if not complete.
    pub layouts_open: u64,
    /// Essentially different ones among them.
    pub different_open: u64,
    /// Whether all of them were listed, and what they say of pockets was not stopped
    /// before anything was found.
    pub complete: bool,
    /// The fewest pockets that leave one layout.
    pub smallest: Option<PocketSet>,
    /// The most pockets that leave one layout.
    pub largest: Option<PocketSet>,
}

/// Designs pockets for `outline`, whose own pockets do not matter.
pub fn pockets(set: &Set, classes: &[Class], outline: &Outline, ask: &PocketAsk) -> Pockets {
    let open = outline.open();
    let numbering = Numbering::of(&open);
    with_bits!(numbering.width(hinged_levels(set)), B => {
        let problem = Problem::<B>::new(set, classes, &open, numbering);
        Design { problem: &problem, outline: &open, ask }.run()
    })
}

struct Design<'a, B> {
    problem: &'a Problem<'a, B>,
    outline: &'a Outline,
    ask: &'a PocketAsk<'a>,
}

/// Pocket sets that are tried where not all layouts can be listed.
const MOST_TRIED: usize = 400;

impl<B: Bits> Design<'_, B> {
    fn run(&self) -> Pockets {
        let effort = Effort {
            layouts: self.ask.most_layouts,
            threads: self.ask.threads,
            stop: self.ask.stop,
            progress: self.ask.progress,
        };
        let table = Table::of(self.problem, &effort);
        let wish = Wish { essential: self.ask.layout.map(|n| n as u32), interlocked: self.ask.interlocked };
        let mut complete = table.complete;
        let ends = if complete {
            let admission = Admission::new(self.problem, &table, &wish, self.ask.stop);
            let ends = admission.ends();
            // That there is none is known only to who has looked everywhere.
            complete = ends.is_some() || !admission.is_over();
            ends
        } else {
            self.try_those_seen(&table, &wish)
        };
        let (smallest, largest) = match ends {
            Some((smallest, largest)) => {
                (self.pocket_set(&table, &smallest, 0), self.pocket_set(&table, &largest, self.most()))
            }
            None => (None, None),
        };
        Pockets {
            layouts_open: table.layouts.len() as u64,
            different_open: u64::from(table.different),
            complete,
            smallest,
            largest,
        }
    }

    /// A bound on the largest set: one short of all, since all leave more than one layout.
    fn most(&self) -> usize {
        self.problem.instance.edge.len().saturating_sub(1)
    }

    fn vertices(&self, set: &B) -> Vec<Vertex> {
        set.iter().map(|v| self.problem.instance.edge[v]).collect()
    }

    /// Whether just these pockets leave one essentially different layout, by searching; and which.
    fn alone_by_search(&self, pockets: &B) -> Option<Answer> {
        let outline =
            self.outline.with_pockets(self.vertices(pockets)).expect("edge vertices are on the edge");
        let ask = Ask {
            limit: Some(2),
            answers: 1,
            threads: self.ask.threads,
            stop: self.ask.stop,
            ..Ask::default()
        };
        let filling = fill(self.problem.set, self.problem.classes, &outline, &ask);
        let drops = filling.counts.drop_in_layouts.as_ref().is_some_and(|n| *n > BigUint::ZERO);
        let one = filling.certainty == Certainty::Complete && filling.counts.different == BigUint::from(1u8);
        if one && (drops || self.ask.interlocked) { filling.answers.into_iter().next() } else { None }
    }

    /// Sets from the layouts seen, smallest first, until one is proven; then as many more
    /// pockets as it bears.
    fn try_those_seen(&self, table: &Table<B>, wish: &Wish) -> Option<(Best<B>, Best<B>)> {
        let admission = Admission::new(self.problem, table, wish, self.ask.stop);
        let mut seen: Vec<(usize, B)> = Vec::new();
        for layout in &table.layouts {
            if wish.essential.is_none_or(|n| n == layout.essential) {
                let footprints = if wish.interlocked { &layout.all } else { &layout.dropping };
                seen.extend(footprints.iter().map(|f| (f.count(), f.clone())));
            }
        }
        seen.sort_unstable();
        seen.dedup();
        let candidates = seen.into_iter().filter_map(|(_, f)| admission.alone(&f));
        let smallest =
            candidates.take(MOST_TRIED).find(|alone| self.alone_by_search(&alone.pockets).is_some())?;
        let mut largest = smallest.clone();
        for v in 0..self.problem.instance.edge.len() {
            let mut more = largest.pockets.clone();
            more.insert(v);
            if more != largest.pockets && self.alone_by_search(&more).is_some() {
                largest.pockets = more;
            }
        }
        let best = |alone: crate::admission::Alone<B>| Best {
            size: alone.pockets.count(),
            sets: 1,
            alone,
            proven: false,
        };
        Some((best(smallest), best(largest)))
    }

    fn pocket_set(&self, table: &Table<B>, best: &Best<B>, bound: usize) -> Option<PocketSet> {
        let pockets = &best.alone.pockets;
        // The table found it; a search with just these pockets must say the same.
        let answer = self.alone_by_search(pockets)?;
        let left = table.admitted(pockets).next()?;
        let used = Hinging::new(&self.problem.instance).used(&table.layouts[left].places, pockets);
        Some(PocketSet {
            pockets: self.vertices(pockets),
            same_size: best.sets,
            proven: best.proven,
            bound: if best.proven { best.size } else { bound },
            layout: best.alone.essential as usize,
            answer,
            blind: self.vertices(&pockets.clone().less(&used)),
            further: self.further(table, pockets),
        })
    }

    fn further(&self, table: &Table<B>, pockets: &B) -> Vec<Further> {
        let already: std::collections::BTreeSet<usize> = table.admitted(pockets).collect();
        if (self.ask.stop)() {
            return Vec::new();
        }
        let all: Vec<Further> = (0..self.problem.instance.edge.len())
            .filter(|&v| !pockets.has(v))
            .take_while(|_| !(self.ask.stop)())
            .map(|v| {
                let mut more = pockets.clone();
                more.insert(v);
                let new: Vec<usize> = table.admitted(&more).filter(|i| !already.contains(i)).collect();
                let mut different: Vec<u32> = new.iter().map(|&i| table.layouts[i].essential).collect();
                different.sort_unstable();
                different.dedup();
                Further {
                    at: self.problem.instance.edge[v],
                    layouts: new.len() as u64,
                    different: different.len() as u64,
                }
            })
            .collect();
        if (self.ask.stop)() { Vec::new() } else { all }
    }
}
