//! Looking at many outlines on several threads, in order.
//!
//! Outlines are dealt in blocks of a fixed size and their looks handed back in
//! the order of the outlines; each thread keeps a survey of its own. A look
//! depends on its outline alone, so the result is the same on any number of
//! threads.

use std::sync::Mutex;

use fill::{Look, Survey, SurveyAsk};
use lattice::{Cell, Class, Set};
use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};

/// What is asked of each outline.
pub type OutlineAsk = SurveyAsk;

/// Outlines that a thread takes at a time.
const BLOCK: usize = 16;

/// Threads with a survey each.
pub struct Lookout<'a> {
    pool: ThreadPool,
    surveys: Vec<Mutex<Survey<'a>>>,
    ask: SurveyAsk,
}

impl<'a> Lookout<'a> {
    /// For a set, each piece in the folds of its class, on so many threads (at
    /// least 1 is taken).
    pub fn new(set: &'a Set, classes: &'a [Class], ask: SurveyAsk, threads: usize) -> Self {
        let threads = threads.max(1);
        let pool = ThreadPoolBuilder::new().num_threads(threads).build().expect("the system gives threads");
        let surveys = (0..threads).map(|_| Mutex::new(Survey::new(set, classes))).collect();
        Lookout { pool, surveys, ask }
    }

    /// What is seen of each outline, in their order; `None` if told to stop.
    pub fn looks(&self, outlines: &[Vec<Cell>], stop: &(dyn Fn() -> bool + Sync)) -> Option<Vec<Look>> {
        let block = |some: &[Vec<Cell>]| -> Option<Vec<Look>> {
            let thread = rayon::current_thread_index().unwrap_or(0);
            let mut survey = self.surveys[thread].lock().expect("no look panics");
            some.iter().map(|cells| (!stop()).then(|| survey.look(cells, &self.ask))).collect()
        };
        let blocks: Option<Vec<Vec<Look>>> =
            self.pool.install(|| outlines.par_chunks(BLOCK).map(block).collect());
        Some(blocks?.into_iter().flatten().collect())
    }
}
