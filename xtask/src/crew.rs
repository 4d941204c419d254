//! Steps side by side, as many as there are cores and memory for, those that
//! take longest first. Each says what it found in one line when it is done, and
//! all it said if something failed; what it said is kept in a file in any case.

use std::fs;
use std::path::Path;
use std::sync::Mutex;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::{Duration, Instant};

use anyhow::Result;

use crate::report::{Outcome, Report};
use crate::run::{noted, say, target};
use crate::times::{Times, told};

/// Memory that a step may need, in bytes: compilers, browsers and solvers do.
const MEMORY: u64 = 2 << 30;
/// Nothing said for so long makes a person wonder.
const SILENCE: Duration = Duration::from_secs(30);

/// One step.
pub(crate) struct Task<'a> {
    pub(crate) name: String,
    pub(crate) act: Box<dyn FnOnce() -> Result<Outcome> + Send + 'a>,
}

impl<'a> Task<'a> {
    pub(crate) fn new(name: impl Into<String>, act: impl FnOnce() -> Result<Outcome> + Send + 'a) -> Self {
        Task { name: name.into(), act: Box::new(act) }
    }
}

enum Event {
    Begun(String),
    Done { name: String, outcome: Outcome, took: Duration, said: String },
}

/// Runs all tasks and reports each.
pub(crate) fn run(root: &Path, report: &mut Report, times: &mut Times, mut tasks: Vec<Task<'_>>) {
    // Taken from the end: the longest last.
    tasks.sort_by(|a, b| times.expected(&a.name).total_cmp(&times.expected(&b.name)));
    let all = tasks.len();
    let places = places().min(all.max(1));
    let mut waiting: f64 = tasks.iter().map(|t| times.expected(&t.name)).sum();
    let queue = Mutex::new(tasks);
    let (tell, told_by) = mpsc::channel();
    std::thread::scope(|scope| {
        for _ in 0..places {
            let (tell, queue) = (tell.clone(), &queue);
            scope.spawn(move || work(queue, &tell));
        }
        drop(tell);
        let (mut done, mut running): (usize, Vec<(String, Instant)>) = (0, Vec::new());
        loop {
            match told_by.recv_timeout(SILENCE) {
                Ok(Event::Begun(name)) => running.push((name, Instant::now())),
                Ok(Event::Done { name, outcome, took, said }) => {
                    done += 1;
                    running.retain(|(other, _)| *other != name);
                    waiting -= times.expected(&name);
                    times.keep(&name, took.as_secs_f64());
                    let left = told(waiting.max(0.0) / places as f64);
                    keep(root, &name, &said);
                    if outcome.failed > 0 {
                        say(&format!("\n==== {name} ====\n{said}"));
                    }
                    say(&format!("[{done} of {all}, about {left} left] {}", line(&name, &outcome, took)));
                    report.add(name, outcome, took);
                }
                Err(RecvTimeoutError::Timeout) => {
                    let now: Vec<String> = running
                        .iter()
                        .map(|(name, since)| {
                            let expected = times.expected(name);
                            format!("{name} ({:.0} s of about {expected:.0})", since.elapsed().as_secs_f64())
                        })
                        .collect();
                    say(&format!("[{done} of {all}] still: {}", now.join(", ")));
                }
                Err(RecvTimeoutError::Disconnected) => break,
            }
        }
    });
}

/// Runs tasks one after another, showing what they say as they say it.
pub(crate) fn in_turn(report: &mut Report, times: &mut Times, tasks: Vec<Task<'_>>) {
    let all = tasks.len();
    let mut left: f64 = tasks.iter().map(|t| times.expected(&t.name)).sum();
    for (done, Task { name, act }) in tasks.into_iter().enumerate() {
        let expected = times.expected(&name);
        say(&format!("\n[{} of {all}, about {} left]", done + 1, told(left)));
        left = (left - expected).max(0.0);
        let start = Instant::now();
        report.step(&name, act);
        times.keep(&name, start.elapsed().as_secs_f64());
    }
}

fn work(queue: &Mutex<Vec<Task<'_>>>, tell: &mpsc::Sender<Event>) {
    loop {
        let next = queue.lock().expect("no holder panics").pop();
        let Some(Task { name, act }) = next else { return };
        let _ = tell.send(Event::Begun(name.clone()));
        let start = Instant::now();
        let (outcome, mut said) = noted(act);
        let outcome = outcome.unwrap_or_else(|e| {
            said += &format!("error: {e:#}\n");
            Outcome::one(false, "could not run")
        });
        let _ = tell.send(Event::Done { name, outcome, took: start.elapsed(), said });
    }
}

fn line(name: &str, outcome: &Outcome, took: Duration) -> String {
    let verdict = if outcome.failed == 0 { "ok" } else { "FAILED" };
    let note = if outcome.note.is_empty() { String::new() } else { format!(" ({})", outcome.note) };
    format!("{verdict:6} {name}: {}{note} in {:.1} s", outcome.counts(), took.as_secs_f64())
}

/// What a step said, for whoever wants to read it. It is no loss if it can't be kept.
fn keep(root: &Path, name: &str, said: &str) {
    let folder = target(root).join("xtask/said");
    let file = folder.join(format!("{}.txt", name.replace([' ', '/'], "-")));
    let _ = fs::create_dir_all(&folder).and_then(|()| fs::write(file, said));
}

/// How many steps there is room for.
fn places() -> usize {
    let cores = std::thread::available_parallelism().map_or(1, Into::into);
    let memory = fs::read_to_string("/proc/meminfo").ok().and_then(|text| available(&text));
    memory.map_or(cores, |bytes| cores.min((bytes / MEMORY) as usize)).max(1)
}

/// The memory that is free or can be freed, in bytes, as Linux tells it.
fn available(meminfo: &str) -> Option<u64> {
    let line = meminfo.lines().find_map(|line| line.strip_prefix("MemAvailable:"))?;
    Some(line.trim().strip_suffix(" kB")?.trim().parse::<u64>().ok()? * 1024)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_task_is_reported_and_one_that_breaks_has_failed() {
        let folder = tempfile::tempdir().unwrap();
        let mut report = Report::of("");
        let tasks = (0..5)
            .map(|n| {
                Task::new(format!("task {n}"), move || {
                    anyhow::ensure!(n != 3, "the third is broken");
                    Ok(Outcome { passed: n, ..Outcome::default() })
                })
            })
            .collect();
        run(folder.path(), &mut report, &mut Times::read(folder.path()), tasks);
        assert!(!report.all_well());
        assert_eq!(report.summary().lines().last(), Some("7 passed, 1 failed"));
    }

    #[test]
    fn memory_is_read_as_linux_tells_it() {
        assert_eq!(available("MemTotal: 3 kB\nMemAvailable:   2048 kB\n"), Some(2 << 20));
        assert_eq!(available("MemTotal: 3 kB\n"), None);
    }
}
