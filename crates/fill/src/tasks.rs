//! One search as many tasks on several threads, with the result of one.
//!
//! Tasks are the nodes a few choices below the roots, in the order of search;
//! their results are handed back in that order, whoever finished first. When a
//! run of tasks from the first one on has found enough, later ones are dropped.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::bits::Bits;
use crate::instance::Instance;
use crate::search::{End, Search, Sink, Stop};

/// A sink of one task, which knows how much it has found.
pub(crate) trait TaskSink: Sink + Send {
    /// How much was found, in the unit of [`Plan::enough`].
    fn amount(&self) -> u64;
}

/// Told how many tasks are done, and of how many.
pub type Progress<'a> = &'a (dyn Fn(usize, usize) + Sync);

/// How to run a search.
pub(crate) struct Plan<'a> {
    /// At least 1.
    pub threads: usize,
    /// Told to stop?
    pub stop: Stop<'a>,
    /// Told of each task done.
    pub progress: Progress<'a>,
    /// Enough is found when the first tasks together have this much.
    pub enough: Option<u64>,
}

/// One task's result.
pub(crate) struct Done<S> {
    pub sink: S,
    pub end: End,
}

/// Tasks a thread should have to choose from, so that none idles long.
const TASKS_A_THREAD: usize = 64;
const DEEPEST_SPLIT: usize = 4;
/// With fewer places than this a search on one thread is over before anyone asks how far it is.
const WORTH_SPLITTING: usize = 4096;

/// Runs the search below each root (a prefix of places; `make` gives the sink
/// for tasks below root number r). Results are in the order of search.
pub(crate) fn run<B: Bits, S: TaskSink>(
    instance: &Instance<B>,
    roots: &[Vec<u32>],
    plan: &Plan,
    make: impl Fn(usize) -> S + Sync,
) -> Vec<Done<S>> {
    let tasks = split(instance, roots, plan);
    let next = AtomicUsize::new(0);
    let last_needed = AtomicUsize::new(usize::MAX);
    let done: Mutex<Vec<Option<Done<S>>>> = Mutex::new(tasks.iter().map(|_| None).collect());
    let work = || {
        let mut number = next.fetch_add(1, Ordering::Relaxed);
        let Some(_) = tasks.get(number) else { return };
        let current = AtomicUsize::new(number);
        let stop = || (plan.stop)() || current.load(Ordering::Relaxed) > last_needed.load(Ordering::Relaxed);
        let mut search = Search::new(instance, &stop);
        while let Some((root, prefix)) = tasks.get(number) {
            if number > last_needed.load(Ordering::Relaxed) || (plan.stop)() {
                break;
            }
            let mut sink = make(*root);
            let end = search.run(prefix, &mut sink);
            let mut done = done.lock().expect("no task panics while it reports");
            done[number] = Some(Done { sink, end });
            (plan.progress)(done.iter().flatten().count(), tasks.len());
            if let Some(enough) = plan.enough {
                let mut sum = 0;
                let run = done.iter().map_while(Option::as_ref);
                for (i, one) in run.enumerate() {
                    sum += one.sink.amount();
                    if sum >= enough {
                        last_needed.fetch_min(i, Ordering::Relaxed);
                        break;
                    }
                }
            }
            drop(done);
            number = next.fetch_add(1, Ordering::Relaxed);
            current.store(number, Ordering::Relaxed);
        }
    };
    if plan.threads > 1 && tasks.len() > 1 {
        std::thread::scope(|scope| {
            for _ in 1..plan.threads {
                scope.spawn(work);
            }
            work();
        });
    } else {
        work();
    }
    let needed = last_needed.into_inner();
    let done = done.into_inner().expect("all threads have ended");
    done.into_iter()
        .enumerate()
        .take_while(|(i, _)| *i <= needed)
        .zip(&tasks)
        .map(|((_, done), (root, _))| done.unwrap_or_else(|| Done { sink: make(*root), end: End::Stopped }))
        .collect()
}

/// Cuts the roots into tasks, each with the number of its root.
fn split<B: Bits>(instance: &Instance<B>, roots: &[Vec<u32>], plan: &Plan) -> Vec<(usize, Vec<u32>)> {
    let mut tasks: Vec<(usize, Vec<u32>)> = roots.iter().cloned().enumerate().collect();
    if plan.threads < 2 && instance.places.len() < WORTH_SPLITTING {
        return tasks;
    }
    let pieces: usize = instance.kinds.iter().map(|k| k.count).sum();
    let mut search = Search::new(instance, plan.stop);
    for _ in 0..DEEPEST_SPLIT {
        if tasks.len() >= plan.threads * TASKS_A_THREAD || tasks.iter().all(|t| t.1.len() + 2 >= pieces) {
            break;
        }
        tasks = tasks
            .into_iter()
            .flat_map(|(root, prefix)| search.split(&prefix).into_iter().map(move |longer| (root, longer)))
            .collect();
    }
    tasks
}
