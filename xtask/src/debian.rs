//! Packages of Debian, installed where they are missing and may be.

use std::path::Path;
use std::sync::{Mutex, PoisonError};

use anyhow::{Context, Result, bail};

use crate::run::{program, say, shown};

/// Whether a package is there.
fn has(root: &Path, package: &str) -> bool {
    let asked = program("dpkg-query", ["--show", "--showformat=${db:Status-Status}", package], root).output();
    asked.is_ok_and(|said| said.stdout == b"installed")
}

/// One at a time: so wants the package manager.
static TURN: Mutex<()> = Mutex::new(());

/// Installs those that are missing; says what to do where that is not allowed.
pub(crate) fn install(root: &Path, packages: &[&str]) -> Result<()> {
    let _turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
    let missing: Vec<&str> = packages.iter().copied().filter(|p| !has(root, p)).collect();
    if missing.is_empty() {
        return Ok(());
    }
    let names = missing.join(" ");
    say(&format!("installing {names}"));
    let wanted = format!("install {names} (on Debian and its kin: apt-get install {names}, as root)");
    let update = program("apt-get", ["update", "-qq"], root);
    if !shown(update).context(wanted.clone())?.ok {
        bail!("apt-get has no lists: {wanted}");
    }
    let mut run = program("apt-get", ["install", "-y", "-qq", "--no-install-recommends"], root);
    run.args(&missing).env("DEBIAN_FRONTEND", "noninteractive");
    if !shown(run).context(wanted.clone())?.ok {
        bail!("apt-get failed: {wanted}");
    }
    Ok(())
}
