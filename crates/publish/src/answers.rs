//! The answers of a pack's outlines, as they are sealed and printed.

use fill::{Ask, Certainty, Filling, fill};
use lattice::{Class, layout_code};
use project::{OutlineRecord, Project};
use rayon::prelude::*;

/// Layouts of one outline that are found and sealed at most.
pub const MOST_LAYOUTS: u64 = 1000;

/// One outline with its answers.
#[derive(Clone, Debug)]
pub struct Answered<'a> {
    /// The outline's number, the same over all packs.
    pub number: u32,
    /// The outline.
    pub record: &'a OutlineRecord,
    /// Its fillings: all of them, or [`MOST_LAYOUTS`].
    pub filling: Filling,
}

impl<'a> Answered<'a> {
    /// The answers of some outlines with their numbers, side by side on all
    /// threads, in the order given; `stop` as for [`fill`].
    pub fn of(
        project: &Project,
        classes: &[Class],
        outlines: &[(u32, &'a OutlineRecord)],
        stop: &(dyn Fn() -> bool + Sync),
    ) -> Vec<Answered<'a>> {
        let one = |&(number, record): &(u32, &'a OutlineRecord)| {
            let ask = Ask {
                limit: Some(MOST_LAYOUTS),
                answers: MOST_LAYOUTS as usize,
                turns: false,
                threads: 1,
                stop,
                progress: &|_, _| {},
            };
            Answered { number, record, filling: fill(&project.set, classes, &record.outline, &ask) }
        };
        outlines.par_iter().map(one).collect()
    }

    /// Whether these are all layouts.
    pub fn is_complete(&self) -> bool {
        self.filling.certainty == Certainty::Complete
    }

    /// The code of each layout ([`layout_code`]), sorted, each once.
    pub fn codes(&self, project: &Project, classes: &[Class]) -> Vec<String> {
        let code = |a: &fill::Answer| layout_code(&project.set, classes, &self.record.outline, &a.folding);
        let mut codes: Vec<String> = self.filling.answers.iter().map(code).collect();
        codes.sort_unstable();
        codes.dedup();
        codes
    }
}
