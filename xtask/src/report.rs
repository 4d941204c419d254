//! Steps one after another, each under a heading, and how they went.

use std::fmt::Write;
use std::time::{Duration, Instant};

use anyhow::Result;

/// What a step found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Outcome {
    pub(crate) passed: usize,
    pub(crate) failed: usize,
    /// What else is worth a word in the summary.
    pub(crate) note: String,
}

impl Outcome {
    /// One thing that went well or did not.
    pub(crate) fn one(ok: bool, note: impl Into<String>) -> Self {
        Outcome { passed: usize::from(ok), failed: usize::from(!ok), note: note.into() }
    }

    /// Counts what another part of the same step found.
    pub(crate) fn add(&mut self, other: &Outcome) {
        self.passed += other.passed;
        self.failed += other.failed;
        let between = if self.note.is_empty() || other.note.is_empty() { "" } else { "; " };
        self.note += &format!("{between}{}", other.note);
    }
}

/// The steps so far.
#[derive(Default)]
pub(crate) struct Report {
    only: String,
    steps: Vec<(String, Outcome, Duration)>,
}

impl Report {
    /// Steps whose names have `only` in them; all if it is empty.
    pub(crate) fn of(only: &str) -> Self {
        Report { only: only.to_owned(), steps: Vec::new() }
    }

    /// Runs a step. One that cannot run, or finds nothing at all, has failed.
    pub(crate) fn step(&mut self, name: &str, run: impl FnOnce() -> Result<Outcome>) {
        if !name.contains(&self.only) {
            return;
        }
        println!("\n==== {name} ====");
        let start = Instant::now();
        let outcome = run().unwrap_or_else(|e| {
            println!("error: {e:#}");
            Outcome::one(false, "could not run")
        });
        self.steps.push((name.to_owned(), outcome, start.elapsed()));
    }

    /// Whether something ran and nothing failed.
    pub(crate) fn all_well(&self) -> bool {
        let (passed, failed) = self.totals();
        passed > 0 && failed == 0
    }

    fn totals(&self) -> (usize, usize) {
        self.steps.iter().fold((0, 0), |(p, f), (_, o, _)| (p + o.passed, f + o.failed))
    }

    /// A line for each step, and the closing line.
    pub(crate) fn summary(&self) -> String {
        let wide = self.steps.iter().map(|s| s.0.chars().count()).max().unwrap_or(0);
        let mut text = String::from("==== summary ====\n");
        for (name, o, time) in &self.steps {
            let verdict = if o.failed == 0 { "ok    " } else { "FAILED" };
            let mut line = format!(
                "{name:wide$}  {verdict}  {:7.1} s  {:5} passed, {} failed",
                time.as_secs_f64(),
                o.passed,
                o.failed
            );
            if !o.note.is_empty() {
                let _ = write!(line, "  ({})", o.note);
            }
            text += &(line + "\n");
        }
        let (passed, failed) = self.totals();
        let _ = write!(text, "\n{passed} passed, {failed} failed");
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_that_cannot_run_has_failed_and_the_next_one_runs() {
        let mut report = Report::of("");
        report.step("first", || anyhow::bail!("no such program"));
        report.step("second", || Ok(Outcome { passed: 7, failed: 0, note: String::new() }));
        assert!(!report.all_well());
        assert_eq!(report.summary().lines().last(), Some("7 passed, 1 failed"));
    }

    #[test]
    fn a_run_of_nothing_is_not_well() {
        let mut report = Report::of("geometry");
        report.step("first", || Ok(Outcome::one(true, "")));
        assert!(!report.all_well());
        assert_eq!(report.summary().lines().last(), Some("0 passed, 0 failed"));
    }
}
