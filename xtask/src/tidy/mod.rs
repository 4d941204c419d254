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

/// Whether a crate's documentation has examples, which are tests.
pub(crate) fn has_doc_tests(root: &Path) -> Result<bool> {
    let files = files::kept(root)?;
    let sources = files.iter().filter(|f| f.name.starts_with("crates/") && f.name.contains("/src/"));
    Ok(sources.filter(|f| f.name.ends_with(".rs")).any(|f| shows_code(&f.text)))
}

/// Whether a comment of documentation has a block that rustdoc would run.
fn shows_code(text: &str) -> bool {
    let comments = text.lines().filter_map(|line| {
        let line = line.trim_start();
        line.strip_prefix("///").or_else(|| line.strip_prefix("//!")).map(str::trim)
    });
    let fences = comments.filter_map(|comment| comment.strip_prefix("```"));
    // Every other one opens a block; one of another language is no test.
    fences.step_by(2).any(|language| language.is_empty() || language.starts_with("rust"))
}

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

#[cfg(test)]
mod tests {
    use super::shows_code;

    #[test]
    fn only_blocks_of_rust_are_tests() {
        assert!(shows_code("//! ```text\n//! a\n//! ```\n/// ```\n/// let a = 1;\n/// ```\n"));
        assert!(!shows_code("//! ```text\n//! a\n//! ```\nlet a = \"```\";\n// ```"));
    }
}
