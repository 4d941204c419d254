//! All fillings of an outline: counted, and the first of them shown.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use lattice::{Class, DropIn, Folding, Outline, Set};
use num_bigint::BigUint;

use crate::bits::{Bits, with_bits};
use crate::hinging::Hinging;
use crate::instance::Numbering;
use crate::problem::{Problem, hinged_levels};
use crate::search::{End, Sink, Stop};
use crate::tasks::{Plan, Progress, TaskSink, run};

/// What is asked of a search.
pub struct Ask<'a> {
    /// End when this many essentially different layouts are found.
    pub limit: Option<u64>,
    /// How many essentially different layouts to show in full.
    pub answers: usize,
    /// Show layouts that are turns of each other, too.
    pub turns: bool,
    /// Threads to use; the result is the same with any number.
    pub threads: usize,
    /// Asked now and then whether to end early.
    pub stop: Stop<'a>,
    /// Told how many tasks are done, and of how many.
    pub progress: Progress<'a>,
}

impl Default for Ask<'_> {
    fn default() -> Self {
        Ask { limit: None, answers: 0, turns: false, threads: 1, stop: &|| false, progress: &|_, _| {} }
    }
}

/// Whether numbers are exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// Everything was searched: the numbers are exact.
    Complete,
    /// The limit was reached: there are at least so many.
    Limit,
    /// The search was told to stop: there are at least so many.
    Stopped,
}

/// How many fillings there are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counts {
    /// Essentially different layouts.
    pub different: BigUint,
    /// Layouts.
    pub layouts: BigUint,
    /// Foldings.
    pub foldings: BigUint,
    /// Layouts that drop in; none where it was not found out.
    pub drop_in_layouts: Option<BigUint>,
}

/// A layout shown in full, by one of its foldings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// One folding, one that drops in where there is one.
    pub folding: Folding,
    /// Its drop-in order, by position in the folding.
    pub drop_in: DropIn,
    /// How many foldings its layout has.
    pub foldings: BigUint,
}

/// The fillings of an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filling {
    /// How many.
    pub counts: Counts,
    /// Whether the numbers are exact or only reached.
    pub certainty: Certainty,
    /// The first layouts in the order of search.
    pub answers: Vec<Answer>,
}

/// Searches all fillings of `outline` by the pieces of `set`, each in the folds
/// of its class ([`Set::classes`], or fewer: [`Set::classes_by`]). A class's
/// folds must hold with each fold its turns.
///
/// # Panics
/// Only if an answer fails the lattice's own judge: a broken invariant.
pub fn fill(set: &Set, classes: &[Class], outline: &Outline, ask: &Ask) -> Filling {
    let numbering = Numbering::of(outline);
    with_bits!(numbering.width(hinged_levels(set)), B => {
        fill_with(&Problem::<B>::new(set, classes, outline, numbering), outline, ask)
    })
}

/// One layout as a task found it.
struct Record {
    layout: Vec<u32>,
    foldings: BigUint,
    drops_in: bool,
}

/// What a task has counted.
struct Tally<'p, 'a, B> {
    problem: &'p Problem<'a, B>,
    root: usize,
    layouts: u64,
    few_foldings: u128,
    /// Those that did not fit above.
    many_foldings: BigUint,
    drop_in: u64,
    /// Essentially different layouts, in parts of one by the number of rotations.
    parts: u64,
    /// With a limit: the essentially different layouts themselves.
    essential: BTreeSet<Vec<u32>>,
    limit: Option<u64>,
    records: Vec<Record>,
    keep: usize,
}

impl<B: Bits> Sink for Tally<'_, '_, B> {
    fn found(&mut self, layout: &[u32]) -> ControlFlow<()> {
        let hinging = Hinging::new(&self.problem.instance);
        let few = hinging.few_foldings(layout);
        if few == Some(0) {
            return ControlFlow::Continue(());
        }
        let images = self.problem.roots[self.root].images.len() as u64;
        let drops_in = hinging.drops_in(layout);
        self.layouts += images;
        match few.and_then(|n| self.few_foldings.checked_add(u128::from(n) * u128::from(images))) {
            Some(sum) => self.few_foldings = sum,
            None => self.many_foldings += hinging.foldings(layout) * images,
        }
        self.drop_in += if drops_in { images } else { 0 };
        self.parts += images * self.problem.kept_by(layout);
        if self.records.len() < self.keep {
            let foldings = hinging.foldings(layout);
            self.records.push(Record { layout: layout.to_vec(), foldings, drops_in });
        }
        let Some(limit) = self.limit else { return ControlFlow::Continue(()) };
        for &image in &self.problem.roots[self.root].images {
            self.essential.insert(self.problem.essential(&self.problem.carried(image, layout)));
        }
        if self.amount() >= limit { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}

impl<B: Bits> TaskSink for Tally<'_, '_, B> {
    fn amount(&self) -> u64 {
        self.essential.len() as u64
    }
}

fn fill_with<B: Bits>(problem: &Problem<B>, outline: &Outline, ask: &Ask) -> Filling {
    let rotations = problem.rotation_count();
    let limit = ask.limit.map(|n| n.max(1));
    // Two tasks can find turns of one layout, so together they must have found more.
    let enough = limit.map(|n| n.saturating_mul(rotations));
    // With a limit every layout counted is recorded, so that the count can be cut exactly.
    let keep = if ask.limit.is_some() { usize::MAX } else { ask.answers.saturating_mul(rotations as usize) };
    let plan = Plan { threads: ask.threads.max(1), stop: ask.stop, progress: ask.progress, enough };
    let make = |root| Tally {
        problem,
        root,
        layouts: 0,
        few_foldings: 0,
        many_foldings: BigUint::ZERO,
        drop_in: 0,
        parts: 0,
        essential: BTreeSet::new(),
        limit,
        records: Vec::new(),
        keep,
    };
    let roots: Vec<Vec<u32>> = problem.roots.iter().map(|r| r.prefix.clone()).collect();
    let done =
        if problem.instance.is_hopeless() { Vec::new() } else { run(&problem.instance, &roots, &plan, make) };
    let mut sum = Sum::default();
    let mut certainty = Certainty::Complete;
    let mut shown = Shown { problem, ask, outline, seen: BTreeSet::new(), answers: Vec::new() };
    let mut essential = BTreeSet::new();
    'tasks: for task in &done {
        let tally = &task.sink;
        let images = &problem.roots[tally.root].images;
        if limit.is_none() {
            let foldings = &tally.many_foldings + tally.few_foldings;
            sum.add(tally.layouts, &foldings, tally.drop_in, tally.parts);
        }
        for record in &tally.records {
            shown.show(record, images);
            let Some(limit) = limit else { continue };
            for &image in images {
                sum.add(1, &record.foldings, u64::from(record.drops_in), 0);
                essential.insert(problem.essential(&problem.carried(image, &record.layout)));
                if essential.len() as u64 == limit {
                    certainty = Certainty::Limit;
                    break 'tasks;
                }
            }
        }
        if task.end == End::Stopped {
            certainty = Certainty::Stopped;
        }
    }
    if let (Some(limit), false) = (limit, ask.turns) {
        shown.answers.truncate(usize::try_from(limit).unwrap_or(usize::MAX));
    }
    let different = if limit.is_some() { essential.len() as u64 } else { sum.parts.div_ceil(rotations) };
    let answers = shown.answers;
    let counts = Counts {
        different: different.into(),
        layouts: sum.layouts.into(),
        foldings: sum.foldings,
        drop_in_layouts: Some(sum.drop_in.into()),
    };
    Filling { counts, certainty, answers }
}

#[derive(Default)]
struct Sum {
    layouts: u64,
    foldings: BigUint,
    drop_in: u64,
    parts: u64,
}

impl Sum {
    fn add(&mut self, layouts: u64, foldings: &BigUint, drop_in: u64, parts: u64) {
        self.layouts += layouts;
        self.foldings += foldings;
        self.drop_in += drop_in;
        self.parts += parts;
    }
}

/// Collects the answers to show, each essentially different layout once.
struct Shown<'p, 'a, B> {
    problem: &'p Problem<'a, B>,
    ask: &'p Ask<'p>,
    outline: &'p Outline,
    seen: BTreeSet<Vec<u32>>,
    answers: Vec<Answer>,
}

impl<B: Bits> Shown<'_, '_, B> {
    fn show(&mut self, record: &Record, images: &[usize]) {
        let hinging = Hinging::new(&self.problem.instance);
        for &symmetry in images {
            let image = self.problem.carried(symmetry, &record.layout);
            let turned: Vec<usize> = if self.ask.turns {
                (0..self.problem.symmetries.len()).filter(|&s| self.problem.symmetries[s].rotation).collect()
            } else {
                vec![0]
            };
            for turn in turned {
                if self.answers.len() >= self.ask.answers {
                    return;
                }
                let layout = self.problem.carried(turn, &image);
                let key = if self.ask.turns { layout.clone() } else { self.problem.essential(&layout) };
                if !self.seen.insert(key) {
                    continue;
                }
                let chosen = hinging
                    .dropping_in(&layout)
                    .or_else(|| hinging.any(&layout))
                    .expect("a layout that was counted has a folding");
                let (folding, drop_in) = self.problem.folding(&layout, &chosen);
                let faults = folding.faults(self.problem.set, self.outline);
                assert!(faults.is_empty(), "the search found no folding: {faults:?}");
                self.answers.push(Answer { folding, drop_in, foldings: record.foldings.clone() });
            }
        }
    }
}
