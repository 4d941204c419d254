//! What tests and demo run on, built: pages, program, examples, tests, and the
//! judges' environment; side by side as far as one does not need the other.
//!
//! Everything is built from the whole workspace and in one profile, so that what
//! one task has built the next one finds: a package built by itself would want
//! other features of its libraries, and those built anew.

use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Instant;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::judges::Environment;
use crate::run::{built, cargo, noted, say, shown};
use crate::suite::TestProgram;
use crate::times::{Times, told};
use crate::{web, where_time_goes};

/// What `cargo build` is asked for, from the whole workspace.
pub(crate) const PROGRAM: [&str; 2] = ["--bin", "pinfold"];
const FIRST_LOOK: [&str; 2] = ["--example", "first_look"];

/// The small program that gives a first answer; where it is.
pub(crate) fn first_look(root: &Path, times: &mut Times) -> Result<PathBuf> {
    timed(times, "building the first look", || build(root, &FIRST_LOOK))?;
    Ok(built(root, "examples/first_look"))
}

/// The program with its pages; where it is.
pub(crate) fn program(root: &Path, times: &mut Times) -> Result<PathBuf> {
    timed(times, "building the program", || {
        beside(root, None, || build(root, &PROGRAM))?;
        // Once more, with the pages in it; nothing to do if they had been there.
        build(root, &PROGRAM)
    })?;
    Ok(built(root, "pinfold"))
}

/// All that `cargo xtask test` runs: the programs of tests if they are wanted.
pub(crate) fn everything(
    root: &Path,
    times: &mut Times,
    judges: &Environment,
    tests: bool,
) -> Result<Vec<TestProgram>> {
    timed(times, "building the pages", || beside(root, Some(judges), || build(root, &["--examples"])))?;
    if !tests {
        timed(times, "building the program", || build(root, &PROGRAM))?;
        return Ok(Vec::new());
    }
    timed(times, "building the tests", || test_programs(root))
}

fn build(root: &Path, what: &[&str]) -> Result<()> {
    let args = ["build", "--workspace", "--locked", "--timings"].iter().chain(what);
    if !shown(cargo(args, root))?.ok {
        bail!("cargo could not build {}", what.join(" "));
    }
    where_time_goes::keep(root);
    Ok(())
}

/// Builds the pages, and the judges' environment, beside something else.
fn beside<T>(root: &Path, judges: Option<&Environment>, act: impl FnOnce() -> Result<T>) -> Result<T> {
    std::thread::scope(|scope| {
        let pages = scope.spawn(|| noted(|| web::build(root)));
        let ready = scope.spawn(|| noted(|| judges.map_or(Ok(()), Environment::make)));
        let done = act();
        told_of("the judges' environment", ready.join().expect("making it does not panic"))?;
        told_of("the pages", pages.join().expect("building them does not panic"))?;
        done
    })
}

fn told_of(what: &str, (made, said): (Result<()>, String)) -> Result<()> {
    if made.is_err() {
        say(&said);
    }
    made.with_context(|| format!("{what} could not be made"))
}

fn timed<T>(times: &mut Times, what: &str, act: impl FnOnce() -> Result<T>) -> Result<T> {
    say(&format!("{what}: about {} the first time", told(times.expected(what))));
    let start = Instant::now();
    let made = act()?;
    let took = start.elapsed().as_secs_f64();
    // A second run has little to build; what a first one takes is what is asked about.
    if took > times.expected(what) / 2.0 {
        times.keep(what, took);
    }
    say(&format!("{what}: {took:.0} s"));
    Ok(made)
}

fn test_programs(root: &Path) -> Result<Vec<TestProgram>> {
    let args = ["test", "--workspace", "--locked", "--timings", "--no-run", "--lib", "--bins", "--tests"];
    let mut run = cargo(args, root);
    run.arg("--message-format=json-render-diagnostics").stderr(Stdio::inherit());
    let ran = run.output().context("cargo cannot be run")?;
    if !ran.status.success() {
        bail!("the tests did not build");
    }
    where_time_goes::keep(root);
    let said = String::from_utf8(ran.stdout).context("cargo's messages are text")?;
    let messages = said.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
    let programs: Vec<TestProgram> = messages.filter_map(|m| TestProgram::of(&m)).collect();
    if programs.is_empty() {
        bail!("cargo tells of no program of tests");
    }
    Ok(programs)
}
