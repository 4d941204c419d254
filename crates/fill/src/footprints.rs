//! Every layout of an open outline with its footprints.
//!
//! A pocket set admits a layout when it contains one of its footprints, so
//! this table answers every question about pockets without searching again.

use std::ops::ControlFlow;

use crate::bits::Bits;
use crate::hinging::Hinging;
use crate::problem::Problem;
use crate::search::{End, Sink, Stop};
use crate::tasks::{Plan, Progress, TaskSink, run};

/// A layout of the open outline.
#[derive(Clone, Debug)]
pub(crate) struct Footed<B> {
    /// Its places, sorted.
    pub places: Vec<u32>,
    /// Number of the essentially different layout it is, in the order of search.
    pub essential: u32,
    /// Its least footprints.
    pub all: Vec<B>,
    /// Its least footprints of foldings that drop in.
    pub dropping: Vec<B>,
}

/// All layouts of an open outline.
pub(crate) struct Table<B> {
    pub layouts: Vec<Footed<B>>,
    /// How many essentially different ones.
    pub different: u32,
    /// Whether the table is whole.
    pub complete: bool,
}

struct Collect<'p, 'a, B> {
    problem: &'p Problem<'a, B>,
    root: usize,
    enough: u64,
    found: Vec<(Vec<u32>, Vec<B>, Vec<B>)>,
}

impl<B: Bits> Sink for Collect<'_, '_, B> {
    fn found(&mut self, layout: &[u32]) -> ControlFlow<()> {
        let hinging = Hinging::new(&self.problem.instance);
        let all = hinging.footprints(layout, false);
        if !all.is_empty() {
            let dropping = hinging.footprints(layout, true);
            self.found.push((layout.to_vec(), all, dropping));
        }
        if self.amount() >= self.enough { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}

impl<B: Bits> TaskSink for Collect<'_, '_, B> {
    fn amount(&self) -> u64 {
        self.found.len() as u64
    }
}

/// How far to go for a table.
pub(crate) struct Effort<'a> {
    /// Layouts to find at most, symmetric ones counted once.
    pub layouts: u64,
    pub threads: usize,
    pub stop: Stop<'a>,
    pub progress: Progress<'a>,
}

impl<B: Bits> Table<B> {
    /// Searches the open outline of `problem`.
    pub fn of(problem: &Problem<B>, effort: &Effort) -> Self {
        let roots: Vec<Vec<u32>> = problem.roots.iter().map(|r| r.prefix.clone()).collect();
        let plan = Plan {
            threads: effort.threads.max(1),
            stop: effort.stop,
            progress: effort.progress,
            enough: Some(effort.layouts),
        };
        let make = |root| Collect { problem, root, enough: effort.layouts, found: Vec::new() };
        let done = if problem.instance.is_hopeless() {
            Vec::new()
        } else {
            run(&problem.instance, &roots, &plan, make)
        };
        let mut numbers = rustc_hash::FxHashMap::default();
        let (mut layouts, mut complete, mut taken) = (Vec::new(), true, 0);
        for task in done {
            complete &= task.end == End::Exhausted;
            for (layout, all, dropping) in task.sink.found {
                if taken == effort.layouts {
                    complete = false;
                    break;
                }
                taken += 1;
                for &image in &problem.roots[task.sink.root].images {
                    let places = problem.carried(image, &layout);
                    let next = numbers.len() as u32;
                    let essential = *numbers.entry(problem.essential(&places)).or_insert(next);
                    let carry = |sets: &[B]| carried_sets(problem, image, sets);
                    layouts.push(Footed { places, essential, all: carry(&all), dropping: carry(&dropping) });
                }
            }
        }
        Table { layouts, different: numbers.len() as u32, complete }
    }

    /// The layouts that a pocket set admits.
    pub fn admitted<'t>(&'t self, pockets: &'t B) -> impl Iterator<Item = usize> + 't {
        let admits = |l: &Footed<B>| l.all.iter().any(|f| f.within(pockets));
        self.layouts.iter().enumerate().filter(move |(_, l)| admits(l)).map(|(i, _)| i)
    }
}

/// Edge sets carried by a symmetry, each list sorted again.
pub(crate) fn carried_sets<B: Bits>(problem: &Problem<B>, symmetry: usize, sets: &[B]) -> Vec<B> {
    let edge = &problem.symmetries[symmetry].edge;
    let carry = |set: &B| B::of(problem.instance.width, set.iter().map(|v| edge[v]));
    let mut sets: Vec<B> = sets.iter().map(carry).collect();
    sets.sort_unstable();
    sets
}
