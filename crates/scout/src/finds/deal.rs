//! Looking at outlines on several threads.
//!
//! Work is dealt in numbered tasks, the lowest number that is left to whichever
//! thread is free; each thread keeps a survey of its own, which remembers from
//! one outline to the next what they share. A look depends on its outline
//! alone, so what a task gives is the same on any number of threads; only the
//! order in which tasks are done differs.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use fill::{Look, Survey, SurveyAsk};
use lattice::{Cell, Class, Set};

/// What each outline is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LookAsk {
    /// The layout that is left need not drop in.
    pub interlocked: bool,
    /// Layouts to list at most, where they must be listed.
    pub most_layouts: u64,
    /// Also find the most pockets and count the layouts that drop in. These are
    /// found by listing, so of an outline with more layouts they are not.
    pub thorough: bool,
}

impl LookAsk {
    /// Looks at an outline.
    pub fn look(&self, survey: &mut Survey<'_>, cells: &[Cell]) -> Look {
        let LookAsk { interlocked, most_layouts, thorough } = *self;
        let ask = SurveyAsk {
            interlocked,
            most_layouts,
            largest: thorough,
            drop_in: thorough,
            ..SurveyAsk::default()
        };
        survey.look(cells, &ask)
    }
}

/// What outlines are looked at for, and how.
#[derive(Clone, Copy)]
pub struct Dealt<'a> {
    /// The set that is to fill them.
    pub set: &'a Set,
    /// Its pieces by what they may become.
    pub classes: &'a [Class],
    /// Threads, at least 1.
    pub threads: usize,
}

/// Does the tasks numbered 0 up to `tasks`, each with `work`, which gives `None`
/// to break off everything; `done` is told of each that is done, one at a time,
/// and gives `false` to break off. Whether all were done.
pub fn deal<T: Send>(
    dealt: &Dealt<'_>,
    tasks: usize,
    work: impl Fn(&mut Survey<'_>, usize) -> Option<T> + Sync,
    done: impl FnMut(usize, T) -> bool + Send,
) -> bool {
    let next = AtomicUsize::new(0);
    let broken = AtomicBool::new(false);
    let done = Mutex::new(done);
    std::thread::scope(|scope| {
        for _ in 0..dealt.threads.clamp(1, tasks.max(1)) {
            scope.spawn(|| {
                let mut survey = Survey::new(dealt.set, dealt.classes);
                while !broken.load(Ordering::Relaxed) {
                    let task = next.fetch_add(1, Ordering::Relaxed);
                    if task >= tasks {
                        return;
                    }
                    let goes_on = work(&mut survey, task)
                        .is_some_and(|result| done.lock().expect("no task panics")(task, result));
                    if !goes_on {
                        broken.store(true, Ordering::Relaxed);
                    }
                }
            });
        }
    });
    !broken.into_inner()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_task_is_done_once_and_a_break_ends_all() {
        let set = Set { pieces: vec![], levels: 1, turn_over: false };
        for threads in [1, 3] {
            let dealt = Dealt { set: &set, classes: &[], threads };
            let mut seen = Vec::new();
            let tell = |task, twice| {
                seen.push((task, twice));
                true
            };
            assert!(deal(&dealt, 50, |_, task| Some(2 * task), tell));
            seen.sort_unstable();
            assert_eq!(seen, (0..50).map(|n| (n, 2 * n)).collect::<Vec<_>>());
            assert!(!deal(&dealt, 50, |_, task| (task != 7).then_some(()), |_, ()| true));
            assert!(!deal(&dealt, 50, |_, _| Some(()), |_, ()| false));
            assert!(deal(&dealt, 0, |_, _| Some(()), |_, ()| true));
        }
    }
}
