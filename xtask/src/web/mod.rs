//! The pages: the core compiled to WebAssembly, the TypeScript built and tested.
//!
//! What is built stands in `web/dist`, which nothing else writes and nobody
//! keeps; the crates that carry pages put it into the program as it is.

mod browser;
mod npm;
mod wasm;

use std::path::Path;

use anyhow::{Result, ensure};

use crate::report::Outcome;
use crate::run::{built, program, shown, target};

/// Builds everything that pages are made of.
pub(crate) fn build(root: &Path) -> Result<()> {
    wasm::build(root)?;
    npm::install(root)?;
    ensure!(npm::run(root, &["run", "build"])?, "the pages did not build");
    Ok(())
}

/// Checks the types of the built pages and tests their logic.
pub(crate) fn checked(root: &Path) -> Result<Outcome> {
    let mut outcome = Outcome::one(npm::run(root, &["run", "check"])?, "");
    vectors(root)?;
    outcome.add(&npm::vitest(root, "vitest.config.ts", &[])?);
    Ok(outcome)
}

/// Uses the built pages in a browser, as a person would.
pub(crate) fn used(root: &Path, project: &Path) -> Result<Outcome> {
    let browser = browser::find()?;
    let pinfold = built(root, "pinfold");
    let said = [
        ("PINFOLD", pinfold.as_os_str()),
        ("CHROMIUM", browser.as_os_str()),
        ("QUAYSIDE", project.as_os_str()),
    ];
    npm::vitest(root, "vitest.browser.config.ts", &said)
}

/// Foldings with the native judge's verdicts, for the pages' core to be held to.
fn vectors(root: &Path) -> Result<()> {
    let file = target(root).join("web/foldings.jsonl");
    let run = program(built(root, "examples/foldings"), [&file], root);
    ensure!(shown(run)?.ok, "the native judge's verdicts were not written");
    Ok(())
}

/// A program in the folder of the pages.
fn in_web(root: &Path, name: &str, args: &[&str]) -> std::process::Command {
    program(name, args, &root.join("web"))
}
