//! What every way of finding is given, and what it gives.

use ::scout::finds::{Find, Lookout, OutlineAsk};
use lattice::Class;
use project::Project;
use serde_json::{Map, Value};

use super::Scout;
use crate::answer::Failure;
use crate::cli::Call;
use crate::commands::open;
use crate::rules;
use crate::work::{self, Work};

/// The set that outlines are sought for, and the work that is being done.
pub(super) struct Hunt<'a> {
    pub(super) args: &'a Scout,
    pub(super) project: Project,
    pub(super) classes: Vec<Class>,
    pub(super) work: Work,
}

impl<'a> Hunt<'a> {
    pub(super) fn start(args: &'a Scout, call: &Call) -> Result<Self, Failure> {
        let project = open(call)?;
        let classes = rules::classes(&project)?;
        let work = Work::start("scouting", args.time);
        Ok(Hunt { args, project, classes, work })
    }

    /// What each outline is asked.
    pub(super) fn ask(&self) -> OutlineAsk {
        OutlineAsk {
            interlocked: self.project.rules.interlocked,
            most_layouts: self.args.limit,
            largest: true,
        }
    }

    /// Threads that look at outlines of the project's set.
    pub(super) fn lookout(&self) -> Lookout<'_> {
        let threads = work::threads(self.args.threads);
        Lookout::new(&self.project.set, &self.classes, self.ask(), threads)
    }
}

/// What a way of finding gives.
#[derive(Default)]
pub(super) struct Found {
    /// The finds, best first.
    pub(super) finds: Vec<Find>,
    /// Outlines that were looked at.
    pub(super) looked: u64,
    /// What a person should know of how they were found, a sentence each.
    pub(super) notes: Vec<String>,
    /// The same and more for a program.
    pub(super) facts: Map<String, Value>,
}
