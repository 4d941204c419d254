//! Steps one after another, each under a heading, and how they went.

use std::fmt::Write;
use std::time::{Duration, Instant};

use anyhow::Result;

/// What a step found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Outcome {
    pub(crate) passed: usize,
    pub(crate) failed: usize,
    /// Left out, since what they need can't be had here.
    pub(crate) skipped: usize,
    /// What else is worth a word in the summary.
    pub(crate) note: String,
}

impl Outcome {
    /// One thing that went well or did not.
    pub(crate) fn one(ok: bool, note: impl Into<String>) -> Self {
        Outcome { passed: usize::from(ok), failed: usize::from(!ok), skipped: 0, note: note.into() }
    }

    /// Counts what another part of the same step found.
    pub(crate) fn add(&mut self, other: &Outcome) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
        let between = if self.note.is_empty() || other.note.is_empty() { "" } else { "; " };
        self.note += &format!("{between}{}", other.note);
    }
}

impl Outcome {
    /// "3 passed, 0 failed"; with "1 skipped" if something was.
    pub(crate) fn counts(&self) -> String {
        let skipped = if self.skipped > 0 { format!(", {} skipped", self.skipped) } else { String::new() };
        format!("{} passed, {} failed{skipped}", self.passed, self.failed)
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
        if !self.wants(name) {
            return;
        }
        println!("\n==== {name} ====");
        let start = Instant::now();
        let outcome = run().unwrap_or_else(|e| {
            println!("error: {e:#}");
            Outcome::one(false, "could not run")
        });
        self.add(name.to_owned(), outcome, start.elapsed());
    }

    /// Whether a step is one of those asked for.
    pub(crate) fn wants(&self, name: &str) -> bool {
        name.contains(&self.only)
    }

    /// What a step found that ran elsewhere.
    pub(crate) fn add(&mut self, name: String, outcome: Outcome, took: Duration) {
        self.steps.push((name, outcome, took));
    }

    /// Whether something ran and nothing failed.
    pub(crate) fn all_well(&self) -> bool {
        let all = self.totals();
        all.passed > 0 && all.failed == 0
    }

    fn totals(&self) -> Outcome {
        let mut all = Outcome::default();
        self.steps.iter().for_each(|(_, outcome, _)| all.add(outcome));
        all
    }

    /// A line for each step, and the closing line.
    pub(crate) fn summary(&self) -> String {
        let wide = self.steps.iter().map(|s| s.0.chars().count()).max().unwrap_or(0);
        let mut text = String::from("==== summary ====\n");
        for (name, o, time) in &self.steps {
            let verdict = if o.failed == 0 { "ok    " } else { "FAILED" };
            let mut line =
                format!("{name:wide$}  {verdict}  {:7.1} s  {:>5}", time.as_secs_f64(), o.counts());
            if !o.note.is_empty() {
                let _ = write!(line, "  ({})", o.note);
            }
            text += &(line + "\n");
        }
        let _ = write!(text, "\n{}", self.totals().counts());
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
        report.step("second", || Ok(Outcome { passed: 7, ..Outcome::default() }));
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
