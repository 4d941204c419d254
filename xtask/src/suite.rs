//! Everything that is checked before a change lands, cheapest first.

use std::path::Path;

use anyhow::Result;

use crate::report::{Outcome, Report};
use crate::run::{cargo, shown};
use crate::{judges, tidy, web};

/// Runs the steps whose names have `only` in them. True if nothing failed.
pub(crate) fn run(root: &Path, only: &str) -> Result<bool> {
    let mut report = Report::of(only);
    report.step("tidy", || tidy::run(root));
    // First of what builds: the program carries the pages.
    report.step("pages", || web::test(root));
    // Not `--all-targets`: that would run every benchmark, too.
    report.step("tests", || tests(root, &["--lib", "--bins", "--tests"]));
    report.step("doc tests", || tests(root, &["--doc"]));
    report.step("pages in a browser", || web::used(root));
    let environment = judges::Environment::new(root);
    for judge in judges::all(root)? {
        report.step(&format!("judge {}", judge.name), || environment.run(&judge));
    }
    println!("\n{}", report.summary());
    Ok(report.all_well())
}

fn tests(root: &Path, which: &[&str]) -> Result<Outcome> {
    let args = ["test", "--workspace", "--locked", "--no-fail-fast"];
    let ran = shown(cargo(args.iter().chain(which), root))?;
    let mut outcome = closing_lines(&ran.lines);
    if !ran.ok && outcome.failed == 0 {
        outcome.failed = 1;
        outcome.note = "did not build or broke off".into();
    }
    Ok(outcome)
}

/// The sum of the closing lines of cargo's test programs, as
/// `test result: ok. 3 passed; 0 failed; 0 ignored; …`.
fn closing_lines(lines: &[String]) -> Outcome {
    let mut outcome = Outcome::default();
    let mut ignored = 0;
    for line in lines.iter().filter(|l| l.starts_with("test result: ")) {
        let count = |what: &str| -> usize {
            let end = line.find(what).unwrap_or(0);
            line[..end].trim_end().rsplit(' ').next().and_then(|n| n.parse().ok()).unwrap_or(0)
        };
        outcome.passed += count("passed");
        outcome.failed += count("failed");
        ignored += count("ignored");
    }
    if ignored > 0 {
        outcome.note = format!("{ignored} left out");
    }
    outcome
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closing_lines_add_up() {
        let lines = [
            "test result: ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s",
            "test passed ... ok",
            "test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 measured; 0 filtered out",
        ];
        let outcome = closing_lines(&lines.map(String::from));
        assert_eq!(outcome, Outcome { passed: 15, failed: 2, note: "1 left out".into() });
    }
}
