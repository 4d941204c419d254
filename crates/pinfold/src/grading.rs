//! Outlines of a project graded, for every command that asks how hard they are.

use std::sync::atomic::{AtomicUsize, Ordering};

use clap::Args;
use grade::{Ask, Grade, Step, Ungraded};
use lattice::Class;
use project::{OutlineRecord, Project, WriteError};
use rayon::prelude::*;
use serde_json::{Map, Value, json};

use crate::answer::Failure;
use crate::rules;
use crate::work::{self, Early, Work, waiting};

/// What every command takes that grades.
#[derive(Clone, Debug, Args)]
pub(crate) struct People {
    /// How many modelled people try each outline
    #[arg(long, value_name = "N", default_value = "2000", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    runs: u32,
    /// They give up after so many tries
    #[arg(long, value_name = "N", default_value = "1000", value_parser = clap::value_parser!(u32).range(4..=10_000_000))]
    tries: u32,
    /// Another seed, other people
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Threads to use; the answer is the same with any number [default: one for each core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
}

/// Outlines with their grades, or why they have none.
pub(crate) struct Graded<'p> {
    pub(crate) classes: Vec<Class>,
    pub(crate) outlines: Vec<(&'p OutlineRecord, Result<Grade, Ungraded>)>,
    pub(crate) seconds: f64,
}

/// As many outlines as there was time for.
pub(crate) struct SoFar<'p> {
    pub(crate) classes: Vec<Class>,
    /// In the order asked for; those that were not ended are left out.
    pub(crate) outlines: Vec<(&'p OutlineRecord, Result<Grade, Ungraded>)>,
    pub(crate) early: Option<Early>,
    seconds: f64,
}

impl Default for People {
    /// Those of a call that says nothing else.
    fn default() -> Self {
        People { runs: 2000, tries: 1000, seed: 1, threads: None }
    }
}

impl People {
    pub(crate) fn seed(&self) -> u64 {
        self.seed
    }

    /// What sets these people apart from others; threads change nothing.
    pub(crate) fn who(&self) -> (u32, u32, u64) {
        (self.runs, self.tries, self.seed)
    }

    #[cfg(test)]
    pub(crate) fn of_seed(self, seed: u64) -> Self {
        People { seed, ..self }
    }

    /// Grades outlines, in the order given.
    pub(crate) fn grade<'p>(
        &self,
        project: &Project,
        outlines: Vec<&'p OutlineRecord>,
    ) -> Result<Graded<'p>, Failure> {
        let SoFar { classes, outlines, early, seconds } = self.grade_so_far(project, outlines, "grades")?;
        let Some(early) = early else { return Ok(Graded { classes, outlines, seconds }) };
        let why = if early == Early::Time { "the time was over" } else { "interrupted" };
        Err(Failure::plain(
            format_args!("{why} before every outline was graded"),
            "name fewer outlines, or ask for fewer --runs",
        ))
    }

    /// The same; ended early, with what there is. `what` stands before the bar.
    pub(crate) fn grade_so_far<'p>(
        &self,
        project: &Project,
        outlines: Vec<&'p OutlineRecord>,
        what: &str,
    ) -> Result<SoFar<'p>, Failure> {
        let classes = rules::classes(project)?;
        let swings = swings(project, &classes)?;
        let work = Work::start(what, None);
        let done = AtomicUsize::new(0);
        let ask = Ask {
            runs: self.runs,
            most: self.tries,
            seed: self.seed,
            interlocked: project.rules.interlocked,
            stop: &|| work.must_stop(),
            ..Ask::default()
        };
        let one = |record: &&'p OutlineRecord| {
            if work.must_stop() {
                return None;
            }
            let grade = grade::grade(&project.set, &classes, &swings, &record.outline, &ask);
            work.progress(done.fetch_add(1, Ordering::Relaxed) + 1, outlines.len());
            // One that was told to stop may have known less than it would have.
            (!work.must_stop()).then_some((*record, grade))
        };
        let pool = rayon::ThreadPoolBuilder::new().num_threads(work::threads(self.threads)).build();
        let pool = pool.map_err(|e| Failure::plain(e, "ask for fewer threads"))?;
        let outlines: Vec<_> = pool.install(|| outlines.par_iter().filter_map(one).collect());
        Ok(SoFar { classes, outlines, early: work.ended(), seconds: work.seconds() })
    }

    /// What the grades rest on: people, their habits, and where steps begin.
    pub(crate) fn json(&self, object: &mut Map<String, Value>) {
        let person = grade::Person::default();
        let habits: Map<String, Value> =
            person.habits().into_iter().map(|(name, value)| (name.to_owned(), json!(value))).collect();
        let steps = Step::ALL.map(|s| {
            let from = s.from_effort();
            json!({ "grade": s.word(), "from_effort": from, "from_tries": from.exp2() })
        });
        object.insert("seed".into(), json!(self.seed));
        object.insert("runs".into(), json!(self.runs));
        object.insert("gives_up_after".into(), json!(self.tries));
        object.insert("person".into(), habits.into());
        object.insert("steps".into(), json!(steps));
    }
}

/// Swings from home to every fold of every class.
fn swings(project: &Project, classes: &[Class]) -> Result<Vec<Vec<Option<u32>>>, Failure> {
    let plan = rules::plan(project)?;
    let of_class = |class: &Class| {
        let piece = project.piece(class.pieces[0]).expect("every piece of the set has a record");
        let reach = desk::rules::reach_of(project, piece, &plan);
        let folds = class.folds.folds().iter();
        folds.map(|f| reach.folds().position(f).and_then(|at| reach.distance(at))).collect()
    };
    Ok(waiting("swings of the pieces", || classes.iter().map(of_class).collect()))
}

/// A number with two decimals, as JSON shows it.
pub(crate) fn short(value: f64) -> Value {
    json!((value * 1000.0).round() / 1000.0)
}

/// Why a project's file was not changed.
pub(crate) fn not_written(error: WriteError) -> Failure {
    match error {
        WriteError::Mistakes(report) | WriteError::WouldBeWrong(report) => Failure::Mistakes(report),
        other => Failure::plain(other, "run the command again"),
    }
}
