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
use crate::run::{built, patient, program, say, shown, target};

/// One judge.
pub(crate) struct Judge {
    pub(crate) name: String,
    file: PathBuf,
}

impl Judge {
    /// Whether it has a form that judges everything.
    fn knows_all(&self) -> Result<bool> {
        let text = fs::read_to_string(&self.file);
        Ok(text.with_context(|| format!("{} cannot be read", self.file.display()))?.contains("--all"))
    }
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
    /// The demo project's files alone.
    project: PathBuf,
    /// Judge everything, not the choice that is quick.
    all: bool,
}

impl Environment {
    pub(crate) fn new(root: &Path, project: PathBuf, all: bool) -> Self {
        Environment { root: root.to_owned(), folder: target(root).join("judges"), project, all }
    }

    /// The demo project's files alone.
    pub(crate) fn project(&self) -> &Path {
        &self.project
    }

    /// Runs a judge; it counts as one, its own counts are noted.
    pub(crate) fn run(&self, judge: &Judge) -> Result<Outcome> {
        for (_, called, package) in CALLED.iter().filter(|c| c.0 == judge.name) {
            if program(called, ["-v"], &self.root).output().is_err() {
                debian::install(&self.root, &[package])?;
            }
        }
        // Unbuffered, so that a long run shows how far it is.
        let mut run = patient(self.python(), [Path::new("-u"), &judge.file], &self.root);
        run.env("QUAYSIDE", &self.project)
            .env("PINFOLD", built(&self.root, "pinfold"))
            .env("EXAMPLES", built(&self.root, "examples").with_extension(""));
        if self.all && judge.knows_all()? {
            run.arg("--all");
        }
        let ran = shown(run)?;
        Ok(match ran.lines.iter().rev().find_map(|line| counts(line)) {
            Some(own) if ran.ok && own.passed == 0 && own.failed == 0 && own.skipped > 0 => {
                Outcome { skipped: 1, note: own.counts(), ..Outcome::default() }
            }
            Some(own) => {
                let ok = ran.ok && own.failed == 0 && own.passed > 0;
                let skipped = usize::from(own.skipped > 0);
                Outcome { skipped, ..Outcome::one(ok, format!("by its own count {}", own.counts())) }
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
    pub(crate) fn make(&self) -> Result<()> {
        let wanted = self.root.join("outside/requirements.txt");
        let text = fs::read(&wanted).with_context(|| format!("{} cannot be read", wanted.display()))?;
        // Written last, so an environment that broke off half-way is made anew.
        let holds = self.folder.join("holds.txt");
        if fs::read(&holds).is_ok_and(|held| held == text) {
            return Ok(());
        }
        say(&format!("making the judges' environment in {}", self.folder.display()));
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

/// The counts in a closing line, as in `swings: 12 passed, 0 failed (3 near)` or
/// `slices: 4 passed, 0 failed, 1 skipped`.
fn counts(line: &str) -> Option<Outcome> {
    let (before, after) = line.split_once(" passed, ")?;
    let passed = before.rsplit(' ').next()?.parse().ok()?;
    let (failed, rest) = after.split_once(" failed")?;
    let skipped = rest.strip_prefix(", ").and_then(|r| r.split_once(" skipped")?.0.parse().ok());
    Some(Outcome { passed, failed: failed.parse().ok()?, skipped: skipped.unwrap_or(0), note: String::new() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_closing_line_is_read() {
        let of = |line| counts(line).map(|o| (o.passed, o.failed, o.skipped));
        assert_eq!(of("swings: 12 passed, 0 failed (3 near)"), Some((12, 0, 0)));
        assert_eq!(of("300 passed, 1 failed"), Some((300, 1, 0)));
        assert_eq!(of("slices: 0 passed, 0 failed, 5 skipped"), Some((0, 0, 5)));
        assert_eq!(of("all passed, none failed"), None);
        assert_eq!(of(""), None);
    }
}
