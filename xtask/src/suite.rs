//! Everything that is checked before a change lands: what must be built first,
//! then all tests, pages and judges side by side, the slow ones first.

use std::path::{Path, PathBuf};

use anyhow::Result;
use serde_json::Value;

use crate::building;
use crate::crew::{self, Task};
use crate::report::{Outcome, Report};
use crate::run::{Ran, cargo, patient, say, shown};
use crate::times::Times;
use crate::{dist, judges, plain, quayside, tidy, web, where_time_goes};

/// Runs the steps whose names have `only` in them; with `all`, judges judge
/// everything, not the choice that is quick. True if nothing failed.
pub(crate) fn run(root: &Path, only: &str, all: bool) -> Result<bool> {
    let mut report = Report::of(only);
    let mut times = Times::read(root);
    report.step("tidy", || tidy::run(root));
    let judges = judges::all(root)?;
    let fixed = ["pages", "pages in a browser", "doc tests"].map(String::from);
    let named: Vec<String> = judges.iter().map(|j| format!("judge {}", j.name)).chain(fixed).collect();
    let tests = "tests".starts_with(only) || only.starts_with("tests");
    if tests || named.iter().any(|name| report.wants(name)) {
        let environment = judges::Environment::new(root, quayside::alone(root)?, all);
        let built = building::everything(root, &mut times, &environment, tests);
        let programs = match built {
            Ok(programs) => programs,
            Err(error) => {
                say(&format!("error: {error:#}"));
                report.add("build".into(), Outcome::one(false, "did not build"), Default::default());
                println!("\n{}", report.summary());
                return Ok(false);
            }
        };
        let mut tasks: Vec<Task<'_>> =
            programs.into_iter().map(|test| Task::new(test.name.clone(), move || test.run())).collect();
        // Looking for examples in documentation that has none takes a minute.
        if tidy::has_doc_tests(root)? {
            tasks.push(Task::new("doc tests", || doc_tests(root)));
        }
        tasks.push(Task::new("pages", || web::checked(root)));
        let project = environment.project().to_owned();
        tasks.push(Task::new("pages in a browser", move || web::used(root, &project)));
        for judge in &judges {
            let environment = &environment;
            tasks.push(Task::new(format!("judge {}", judge.name), move || environment.run(judge)));
        }
        if all {
            tasks.push(Task::new("package in a bare system", || dist::rehearsed(root)));
            tasks.push(Task::new("program without pages", || plain::run(root)));
        }
        tasks.retain(|task| report.wants(&task.name));
        crew::run(root, &mut report, &mut times, tasks);
    }
    if std::env::var_os("CI").is_some() {
        // So that a slow unit is seen when it comes.
        where_time_goes::tell(root)?;
    }
    println!("\n{}", report.summary());
    Ok(report.all_well())
}

/// A program of tests, as cargo built it.
pub(crate) struct TestProgram {
    name: String,
    file: PathBuf,
    /// Where cargo would run it.
    folder: PathBuf,
}

impl TestProgram {
    /// Those that a message of cargo tells of, if it tells of one.
    pub(crate) fn of(message: &Value) -> Option<Self> {
        let is_test = message["reason"] == "compiler-artifact" && message["profile"]["test"] == true;
        let file = message["executable"].as_str().filter(|_| is_test)?;
        let manifest = Path::new(message["manifest_path"].as_str()?);
        let folder = manifest.parent()?.to_owned();
        let package = folder.file_name()?.to_string_lossy().into_owned();
        let target = message["target"]["name"].as_str()?;
        let name = if message["target"]["kind"][0] == "test" {
            format!("tests {package} {target}")
        } else {
            format!("tests {package}")
        };
        Some(TestProgram { name, file: file.into(), folder })
    }

    fn run(&self) -> Result<Outcome> {
        let mut run = patient(&self.file, ["--color", "never"], &self.folder);
        // As cargo has it, for a test that asks.
        run.env("CARGO_MANIFEST_DIR", &self.folder);
        Ok(counted(&shown(run)?))
    }
}

fn doc_tests(root: &Path) -> Result<Outcome> {
    let args = ["test", "--workspace", "--locked", "--no-fail-fast", "--doc"];
    Ok(counted(&shown(cargo(args, root))?))
}

fn counted(ran: &Ran) -> Outcome {
    let mut outcome = closing_lines(&ran.lines);
    if !ran.ok && outcome.failed == 0 {
        outcome.failed = 1;
        outcome.note = "did not build or broke off".into();
    }
    outcome
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
        assert_eq!(
            outcome,
            Outcome { passed: 15, failed: 2, note: "1 left out".into(), ..Outcome::default() }
        );
    }
}
