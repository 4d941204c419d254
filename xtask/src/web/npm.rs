//! The pages' own tools, as their lock file pins them.

use std::ffi::OsStr;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};

use super::in_web;
use crate::report::Outcome;
use crate::run::shown;

const NEED: &str = "the pages need Node 20.19 or later of 20, or 22.12 or later, with npm; \
                    on Debian and its kin: nodejs and npm";

/// Whether a version, as in "v20.19.0", is one that the pages' tools run on.
fn will_do(version: &str) -> bool {
    let mut parts = version.trim().trim_start_matches('v').split('.').map(|n| n.parse::<u32>().ok());
    match (parts.next().flatten(), parts.next().flatten()) {
        (Some(20), Some(minor)) => minor >= 19,
        (Some(22), Some(minor)) => minor >= 12,
        (Some(major), Some(_)) => major > 22,
        _ => false,
    }
}

/// Installs what the lock file says, unless it is there.
pub(super) fn install(root: &Path) -> Result<()> {
    let node = in_web(root, "node", &["--version"]).output().context(NEED)?;
    let version = String::from_utf8_lossy(&node.stdout).trim().to_owned();
    ensure!(will_do(&version), "node is {version}, which is too old: {NEED}");
    let lock = fs::read(root.join("web/package-lock.json")).context("web/package-lock.json is not there")?;
    // Written last, so that a run that broke off is made anew.
    let holds = root.join("web/node_modules/.holds");
    if fs::read(&holds).is_ok_and(|held| held == lock) {
        return Ok(());
    }
    let ran = shown(in_web(root, "npm", &["ci"])).context(NEED)?;
    ensure!(ran.ok, "npm could not install what web/package-lock.json says");
    Ok(fs::write(holds, lock)?)
}

/// Runs npm; whether that went well.
pub(super) fn run(root: &Path, args: &[&str]) -> Result<bool> {
    Ok(shown(in_web(root, "npm", args))?.ok)
}

/// Runs the tests of a configuration and counts them.
pub(super) fn vitest(root: &Path, config: &str, said: &[(&str, &OsStr)]) -> Result<Outcome> {
    let mut run = in_web(root, "npx", &["--no-install", "vitest", "run", "--config", config]);
    run.env("NO_COLOR", "1").env("TARGET", crate::run::target(root)).envs(said.iter().copied());
    let ran = shown(run)?;
    let mut outcome = ran.lines.iter().rev().find_map(|line| counts(line)).unwrap_or_default();
    if outcome == Outcome::default() || !ran.ok && outcome.failed == 0 {
        outcome.failed += 1;
        outcome.note = "broke off or ran nothing".into();
    }
    Ok(outcome)
}

/// The closing line, as in `Tests  1 failed | 12 passed (13)`.
fn counts(line: &str) -> Option<Outcome> {
    let rest = line.trim().strip_prefix("Tests ")?;
    let count = |what: &str| {
        let before = rest.split(what).next().filter(|before| before.len() < rest.len())?;
        before.trim_end().rsplit(' ').next()?.parse().ok()
    };
    let (passed, failed) = (count("passed").unwrap_or(0), count("failed").unwrap_or(0));
    Some(Outcome { passed, failed, ..Outcome::default() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_of_node_are_told_apart() {
        for good in ["v20.19.0", "v20.20.2\n", "v22.12.0", "v24.1.0"] {
            assert!(will_do(good), "{good}");
        }
        for bad in ["v18.20.4", "v20.18.1", "v21.7.0", "v22.11.0", "", "v22"] {
            assert!(!will_do(bad), "{bad}");
        }
    }

    #[test]
    fn the_closing_line_is_counted() {
        let of = |line| counts(line).map(|o| (o.passed, o.failed));
        assert_eq!(of("      Tests  12 passed (12)"), Some((12, 0)));
        assert_eq!(of("      Tests  1 failed | 12 passed (13)"), Some((12, 1)));
        assert_eq!(of(" Test Files  2 passed (2)"), None);
    }
}
