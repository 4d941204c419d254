//! What every way of finding is given, and what it gives.

use ::scout::finds::{Dealt, Find, LookAsk, deal};
use fill::Look;
use lattice::{Cell, Class};
use project::Project;
use serde_json::{Map, Value};

use super::Scout;
use super::arrive::Arriving;
use super::library::Pictures;
use crate::answer::Failure;
use crate::cli::Call;
use crate::commands::open;
use crate::rules;
use crate::work::{self, Work};

/// Outlines that a thread takes at a time.
const BLOCK: usize = 16;

/// Good outlines that are remembered: the best by the order asked for. At about
/// a kilobyte each, 20 MB at most.
const POOL: usize = 20_000;

/// The set that outlines are sought for, and the work that is being done.
pub(super) struct Hunt<'a> {
    pub(super) args: &'a Scout,
    pub(super) project: Project,
    pub(super) classes: Vec<Class>,
    /// The maker's pictures, if looks are scored by them.
    pub(super) pictures: Option<Pictures>,
    pub(super) work: Work,
    /// Who is told of finds before the answer.
    pub(super) arriving: Arriving,
}

impl<'a> Hunt<'a> {
    pub(super) fn start(args: &'a Scout, call: &Call) -> Result<Self, Failure> {
        let project = open(call)?;
        let classes = rules::classes(&project)?;
        let cells = project.set.blocks();
        let pictures = args.pictures.as_ref().map(|folder| Pictures::of(folder, cells)).transpose()?;
        let work = Work::start("scouting", args.time);
        let arriving = Arriving::new(args.as_found, args.order());
        Ok(Hunt { args, project, classes, pictures, work, arriving })
    }

    /// An outline that was looked at, scored by its looks.
    pub(super) fn find(&self, place: u64, cells: Vec<Cell>, look: Look) -> Find {
        let likeness = self.pictures.as_ref().map(|pictures| pictures.likeness(&cells));
        Find::new(place, cells, look, likeness)
    }

    /// What each outline is asked.
    pub(super) fn ask(&self) -> LookAsk {
        LookAsk {
            interlocked: self.project.rules.interlocked,
            most_layouts: self.args.limit,
            thorough: self.args.thorough(),
        }
    }

    /// Looking at outlines of the project's set.
    pub(super) fn dealt(&self) -> Dealt<'_> {
        Dealt { set: &self.project.set, classes: &self.classes, threads: work::threads(self.args.threads) }
    }

    /// How far the work is.
    pub(super) fn progress(&self, done: usize, all: usize) {
        self.work.progress(done, all);
        self.arriving.progress(done, all);
    }

    /// Whether a find is as the call wants them.
    fn is_wished(&self, find: &Find) -> bool {
        let pockets = find.pockets().map_or(usize::MAX, <[_]>::len);
        find.is_good()
            && self.args.most_pockets.is_none_or(|most| pockets <= most)
            && self.args.least_layouts.is_none_or(|least| find.look.different >= least)
    }

    /// What is seen of these outlines, in their order; of those at the front only,
    /// if the work has to stop. `seen` is told of each when it was looked at.
    pub(super) fn looks(
        &self,
        outlines: &[Vec<Cell>],
        ask: &LookAsk,
        mut seen: impl FnMut(usize, &Look) + Send,
    ) -> Vec<Look> {
        let blocks: Vec<&[Vec<Cell>]> = outlines.chunks(BLOCK).collect();
        let mut looks: Vec<Option<Vec<Look>>> = vec![None; blocks.len()];
        let mut done = 0;
        deal(
            &self.dealt(),
            blocks.len(),
            |survey, nth| {
                let one = |cells: &Vec<Cell>| (!self.work.must_stop()).then(|| ask.look(survey, cells));
                blocks[nth].iter().map(one).collect::<Option<Vec<Look>>>()
            },
            |nth, some| {
                some.iter().enumerate().for_each(|(i, look)| seen(nth * BLOCK + i, look));
                done += some.len();
                self.progress(done, outlines.len());
                looks[nth] = Some(some);
                true
            },
        );
        looks.into_iter().map_while(|some| some).flatten().collect()
    }
}

/// What a way of finding gives.
#[derive(Default)]
pub(super) struct Found {
    /// The finds, best first.
    pub(super) finds: Vec<Find>,
    /// How many there were; more than are remembered, if there are too many.
    pub(super) good: u64,
    /// Outlines that were looked at.
    pub(super) looked: u64,
    /// What was asked was done, finds or none.
    pub(super) done: bool,
    /// What a person should know of how they were found, a sentence each.
    pub(super) notes: Vec<String>,
    /// The same and more for a program.
    pub(super) facts: Map<String, Value>,
}

impl Found {
    /// Remembers a find if it is good, and among the best so far; and tells of it.
    pub(super) fn offer(&mut self, hunt: &Hunt<'_>, find: Find) {
        self.looked += 1;
        if hunt.is_wished(&find) {
            self.good += 1;
            hunt.arriving.find(&find);
            self.finds.push(find);
            if self.finds.len() >= 2 * POOL {
                self.settle(hunt.args);
            }
        }
    }

    /// Puts the best first, and forgets those that are too many.
    pub(super) fn settle(&mut self, args: &Scout) {
        let order = args.order();
        self.finds.sort_by(|a, b| order.compare(a, b));
        self.finds.truncate(POOL);
    }
}
