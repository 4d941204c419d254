//! The demo project as its maker keeps it, without what commands leave behind.
//!
//! Tests and judges work on a copy of these files alone, so that nothing that
//! somebody made, packed or raced in `quayside` by hand can change their verdict.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

use crate::run::target;

/// The demo project's folder.
pub(crate) const PROJECT: &str = "quayside";

/// What a project is made of; everything else in its folder was made from it.
const FILES: [&str; 6] = ["pinfold.toml", "plays.csv", "outlines", "pictures", "sheets", "templates"];

/// A fresh copy for tests and judges, which only read it.
pub(crate) fn alone(root: &Path) -> Result<PathBuf> {
    let copy = target(root).join("xtask").join(PROJECT);
    copied(&root.join(PROJECT), &copy)?;
    Ok(copy)
}

/// Copies a project's own files into a folder that is made anew.
pub(crate) fn copied(project: &Path, into: &Path) -> Result<()> {
    if into.exists() {
        fs::remove_dir_all(into).with_context(|| format!("{} cannot be made anew", into.display()))?;
    }
    fs::create_dir_all(into).with_context(|| format!("{} cannot be made", into.display()))?;
    for name in FILES {
        let from = project.join(name);
        if from.is_dir() {
            folder(&from, &into.join(name))?;
        } else if from.is_file() {
            fs::copy(&from, into.join(name)).with_context(|| format!("{name} cannot be copied"))?;
        }
    }
    Ok(())
}

fn folder(from: &Path, into: &Path) -> Result<()> {
    fs::create_dir_all(into)?;
    for entry in fs::read_dir(from).with_context(|| format!("{} cannot be read", from.display()))? {
        let entry = entry?;
        let into = into.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            folder(&entry.path(), &into)?;
        } else {
            fs::copy(entry.path(), &into)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_run_leaves_behind_is_not_copied() {
        let folder = tempfile::tempdir().unwrap();
        let (project, copy) = (folder.path().join("project"), folder.path().join("copy"));
        for inner in ["outlines", "out/packs", "sealed", "pictures/more"] {
            fs::create_dir_all(project.join(inner)).unwrap();
        }
        let kept = ["pinfold.toml", "outlines/tug.toml", "pictures/more/gull.svg"];
        let left = ["race.sqlite", "race.sqlite-wal", "out/packs/a.zip", "sealed/salt", ".plays.lock"];
        for file in kept.iter().chain(&left) {
            fs::write(project.join(file), "text").unwrap();
        }
        fs::create_dir_all(copy.join("out")).unwrap();
        copied(&project, &copy).unwrap();
        assert!(kept.iter().all(|file| copy.join(file).is_file()));
        assert!(left.iter().all(|file| !copy.join(file).exists()));
        assert!(!copy.join("out").exists());
    }
}
