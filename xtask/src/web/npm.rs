//! The pages' own tools, as their lock file pins them.

use std::ffi::OsStr;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};

use super::in_web;
use crate::report::Outcome;
use crate::run::shown;

/// Installs what the lock file says, unless it is there.
pub(super) fn install(root: &Path) -> Result<()> {
    let lock = fs::read(root.join("web/package-lock.json")).context("web/package-lock.json is not there")?;
    // Written last, so that a run that broke off is made anew.
    let holds = root.join("web/node_modules/.holds");
    if fs::read(&holds).is_ok_and(|held| held == lock) {
        return Ok(());
    }
    let ran = shown(in_web(root, "npm", &["ci"]))
        .context("the pages need Node 20.19 or later with npm; on Debian and its kin: nodejs and npm")?;
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
    Some(Outcome { passed, failed, note: String::new() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closing_line_is_counted() {
        let of = |line| counts(line).map(|o| (o.passed, o.failed));
        assert_eq!(of("      Tests  12 passed (12)"), Some((12, 0)));
        assert_eq!(of("      Tests  1 failed | 12 passed (13)"), Some((12, 1)));
        assert_eq!(of(" Test Files  2 passed (2)"), None);
    }
}
