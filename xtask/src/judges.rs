//! The judges in `outside/`: Python programs that share nothing with our code.
//!
//! They run in one environment of their own under the build folder, made anew
//! whenever what it must hold has changed. A judge is any `outside/*.py`; it
//! says what is wrong, ends with a line that has `N passed, N failed` in it, and
//! with a status other than 0 if anything failed.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

use crate::debian;
use crate::report::Outcome;
use crate::run::{program, shown, target};

/// One judge.
pub(crate) struct Judge {
    pub(crate) name: String,
    file: PathBuf,
}

/// Every judge, in order of name.
pub(crate) fn all(root: &Path) -> Result<Vec<Judge>> {
    programs(&root.join("outside"))
}

/// Every peer that is timed beside us, in order of name.
pub(crate) fn peers(root: &Path) -> Result<Vec<Judge>> {
    programs(&root.join("outside/peers"))
}

fn programs(folder: &Path) -> Result<Vec<Judge>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).with_context(|| format!("{} cannot be read", folder.display()))? {
        let file = entry?.path();
        if file.extension().is_some_and(|e| e == "py") {
            let name = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            found.push(Judge { name, file });
        }
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(found)
}

/// Programs that a judge calls: the judge, the program, the package that brings it.
const CALLED: [(&str, &str, &str); 1] = [("paper", "pdftoppm", "poppler-utils")];

/// Where the judges run.
pub(crate) struct Environment {
    root: PathBuf,
    folder: PathBuf,
}

impl Environment {
    pub(crate) fn new(root: &Path) -> Self {
        Environment { root: root.to_owned(), folder: target(root).join("judges") }
    }

    /// Runs a judge; it counts as one, its own counts are noted.
    pub(crate) fn run(&self, judge: &Judge) -> Result<Outcome> {
        self.make()?;
        for (_, called, package) in CALLED.iter().filter(|c| c.0 == judge.name) {
            if program(called, ["-v"], &self.root).output().is_err() {
                debian::install(&self.root, &[package])?;
            }
        }
        // Unbuffered, so that a long run shows how far it is.
        let ran = shown(program(self.python(), [Path::new("-u"), &judge.file], &self.root))?;
        Ok(match ran.lines.iter().rev().find_map(|line| counts(line)) {
            Some((passed, failed)) => {
                let ok = ran.ok && failed == 0 && passed > 0;
                Outcome::one(ok, format!("by its own count {passed} and {failed}"))
            }
            None => Outcome::one(false, "broke off before its closing line"),
        })
    }

    /// Runs a peer, which prints its own times.
    pub(crate) fn time(&self, peer: &Judge) -> Result<Outcome> {
        self.make()?;
        Ok(Outcome::one(shown(program(self.python(), [&peer.file], &self.root))?.ok, ""))
    }

    fn python(&self) -> PathBuf {
        self.folder.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" })
    }

    /// Makes the environment unless it is there and holds what it must.
    fn make(&self) -> Result<()> {
        let wanted = self.root.join("outside/requirements.txt");
        let text = fs::read(&wanted).with_context(|| format!("{} cannot be read", wanted.display()))?;
        // Written last, so an environment that broke off half-way is made anew.
        let holds = self.folder.join("holds.txt");
        if fs::read(&holds).is_ok_and(|held| held == text) {
            return Ok(());
        }
        println!("making the judges' environment in {}", self.folder.display());
        let folder = self.folder.as_os_str();
        let made =
            program("python3", ["-m".as_ref(), "venv".as_ref(), "--clear".as_ref(), folder], &self.root);
        if !shown(made)?.ok {
            bail!("python3 -m venv failed; on Debian and its kin the package python3-venv brings it");
        }
        let wanted = wanted.as_os_str();
        let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-deps", "-r"];
        let args = pip.iter().map(std::convert::AsRef::as_ref).chain([wanted]);
        if !shown(program(self.python(), args, &self.root))?.ok {
            bail!("pip could not install outside/requirements.txt");
        }
        Ok(fs::write(&holds, text)?)
    }
}

/// The counts in a closing line, as in `swings: 12 passed, 0 failed (3 near)`.
fn counts(line: &str) -> Option<(usize, usize)> {
    let (before, after) = line.split_once(" passed, ")?;
    let passed = before.rsplit(' ').next()?.parse().ok()?;
    let failed = after.split_once(" failed")?.0.parse().ok()?;
    Some((passed, failed))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_closing_line_is_read() {
        assert_eq!(counts("swings: 12 passed, 0 failed (3 near)"), Some((12, 0)));
        assert_eq!(counts("300 passed, 1 failed"), Some((300, 1)));
        assert_eq!(counts("all passed, none failed"), None);
        assert_eq!(counts(""), None);
    }
}
