//! A program built by hand, without its pages: it works, and offers neither
//! workshop nor play page. Built from a copy of what is built already, so that
//! only what carries pages is built anew.

use std::fs;
use std::path::Path;

use anyhow::{Result, ensure};

use crate::report::Outcome;
use crate::run::{cargo, program, say, shown, target};

/// What is called: words, the exit status, and a part of the answer.
const CALLS: [(&[&str], i32, &str); 4] = [
    (&["check", "--project", crate::quayside::PROJECT], 0, "No mistakes"),
    (&["workshop", "--project", crate::quayside::PROJECT], 2, "built without its pages"),
    (&["workshop", "--share", "--project", crate::quayside::PROJECT], 2, "built without its pages"),
    (&["play", "tug", "--project", crate::quayside::PROJECT], 2, "built without its pages"),
];

/// Builds the program without pages and calls it.
pub(crate) fn run(root: &Path) -> Result<Outcome> {
    let folder = target(root).join("plain");
    if folder.exists() {
        fs::remove_dir_all(&folder)?;
    }
    fs::create_dir_all(&folder)?;
    let copied = program("cp", ["-a", &target(root).join("debug").display().to_string(), "."], &folder);
    ensure!(shown(copied)?.ok, "what is built could not be copied");
    let mut build = cargo(["build", "--workspace", "--locked", "--bin", "pinfold"], root);
    build.env("CARGO_TARGET_DIR", &folder).env("PINFOLD_PLAIN", "1");
    ensure!(shown(build)?.ok, "pinfold did not build");
    let plain = folder.join("debug/pinfold");
    let mut outcome = Outcome::default();
    for (words, status, wanted) in CALLS {
        let ran = program(&plain, words, root).output()?;
        let said = [ran.stdout, ran.stderr].concat();
        let said = String::from_utf8_lossy(&said).replace('\n', " ");
        let well = ran.status.code() == Some(status) && said.contains(wanted);
        if !well {
            say(&format!("{}: {} {said}", words.join(" "), ran.status));
        }
        outcome.add(&Outcome::one(well, ""));
    }
    let help = program(&plain, ["--help"], root).output()?;
    let commands = String::from_utf8_lossy(&help.stdout).into_owned();
    let offered =
        ["workshop", "play"].iter().any(|c| commands.lines().any(|l| l.trim_start().starts_with(c)));
    outcome.add(&Outcome::one(!offered, ""));
    fs::remove_dir_all(&folder)?;
    Ok(outcome)
}
