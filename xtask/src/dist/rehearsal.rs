//! A maker's first minutes, rehearsed: a bare Debian system in a folder, the
//! package installed in it by its own package manager, and the program used.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, ensure};

use super::{Dist, program_said};
use crate::debian;
use crate::report::Outcome;
use crate::run::{program, say, shown};

/// What is called there, and what must be in the answer.
const CALLS: [(&str, &str); 7] = [
    ("pinfold --version", "pinfold "),
    ("pinfold --help", "workshop"),
    ("pinfold new /opt/harbour", "Started"),
    ("pinfold fill beacon --project /opt/harbour", "Complete"),
    ("pinfold play beacon --project /opt/harbour --out /opt/play.html", "play.html"),
    ("pinfold check --project /usr/share/doc/pinfold/examples/quayside", "No mistakes"),
    ("ls /usr/share/man/man1/pinfold-fill.1 /usr/share/applications/pinfold.desktop", "pinfold.desktop"),
];

/// Installs and uses the package; skipped where only root may do that, and isn't here.
pub(super) fn run(dist: &Dist<'_>) -> Result<Outcome> {
    if program_said(dist.root, "id", &["-u"])?.trim() != "0" {
        return Ok(Outcome {
            skipped: 1,
            note: "only root can lay a bare system".into(),
            ..Outcome::default()
        });
    }
    debian::install(dist.root, &["debootstrap"])?;
    let system = dist.into.join("system");
    let lay =
        program("debootstrap", ["--variant=minbase", &codename()?, &system.display().to_string()], dist.root);
    ensure!(shown(lay)?.ok, "debootstrap could not lay a bare system");
    let package = package(&dist.into)?;
    let inside = system.join("opt/pinfold.deb");
    std::fs::copy(&package, &inside)?;
    let there =
        |call: &str| program("chroot", [&system.display().to_string(), "/bin/sh", "-c", call], dist.root);
    ensure!(shown(there("dpkg --install /opt/pinfold.deb"))?.ok, "the package could not be installed");
    let mut outcome = Outcome::one(true, "");
    for (call, wanted) in CALLS {
        let ran = shown(there(call))?;
        let well = ran.ok && ran.lines.iter().any(|line| line.contains(wanted));
        if !well {
            say(&format!("{call}: no {wanted:?} was answered"));
        }
        outcome.add(&Outcome::one(well, ""));
    }
    let workshop = "pinfold workshop --project /opt/harbour --port 0 --no-open --json & \
                    sleep 2; kill $!; wait 2>/dev/null; true";
    let told = shown(there(workshop))?.lines.join("");
    outcome.add(&Outcome::one(told.contains("\"built\": true"), ""));
    std::fs::remove_dir_all(&system)?;
    Ok(outcome)
}

fn package(folder: &Path) -> Result<PathBuf> {
    let files = std::fs::read_dir(folder)?.filter_map(|e| Some(e.ok()?.path()));
    let mut packages = files.filter(|p| p.extension().is_some_and(|e| e == "deb"));
    packages.next().context("there is a package")
}

/// The release of this system, so that its libraries are those that it was built with.
fn codename() -> Result<String> {
    let text = std::fs::read_to_string("/etc/os-release").context("the system does not say what it is")?;
    let line = text.lines().find_map(|line| line.strip_prefix("VERSION_CODENAME="));
    Ok(line.context("the system has no code name")?.trim_matches('"').to_owned())
}
