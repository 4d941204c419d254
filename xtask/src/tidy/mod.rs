//! Habits that a compiler does not check. Each rule gives its faults as
//! sentences: where, what is wrong, what would be right.

mod arrows;
mod boundary;
mod files;
pub(crate) mod manifest;
mod versions;
mod words;

use std::path::Path;

use anyhow::Result;

use crate::report::Outcome;
use manifest::Member;

/// The workspace as the rules see it.
struct Workspace<'a> {
    root: &'a Path,
    members: Vec<Member>,
    files: Vec<files::Kept>,
}

type Rule = fn(&Workspace) -> Result<Vec<String>>;

const RULES: [(&str, Rule); 8] = [
    ("arrows between crates run as docs/architecture.md says", arrows::run),
    ("members stand in dependency order", arrows::order),
    ("quiet crates read no files or clocks and print nothing", words::quiet),
    ("no module is called utils, helpers or common", files::names),
    ("nothing tells of one machine or registry", words::machine),
    ("every version is said", versions::run),
    ("every crate keeps the workspace's lints", manifest::lints),
    ("nothing is unsafe but the boundary's marks", boundary::run),
];

/// Past so many lines a file may hold a second idea.
const LONG: usize = 400;

/// Checks every rule and shows what is wrong.
pub(crate) fn run(root: &Path) -> Result<Outcome> {
    let workspace = Workspace { root, members: manifest::members(root)?, files: files::kept(root)? };
    let mut outcome = Outcome::default();
    for (name, rule) in RULES {
        let faults = rule(&workspace)?;
        println!("{name}: {}", if faults.is_empty() { "ok" } else { "FAILED" });
        for fault in &faults {
            println!("  {fault}");
        }
        outcome.passed += usize::from(faults.is_empty());
        outcome.failed += usize::from(!faults.is_empty());
    }
    // Told, not failed: length is a hint.
    let long = workspace.files.iter().filter(|f| f.is_code() && f.lines() > LONG);
    let long: Vec<String> = long.map(|f| format!("{} ({} lines)", f.name, f.lines())).collect();
    if !long.is_empty() {
        println!("past {LONG} lines, look for the second idea: {}", long.join(", "));
        outcome.note = format!("{} past {LONG} lines", long.len());
    }
    Ok(outcome)
}
