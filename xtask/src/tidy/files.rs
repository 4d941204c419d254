//! The files that are kept in version control, or are about to be.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use super::Workspace;
use crate::run::program;

/// A file of text.
pub(super) struct Kept {
    /// Its path from the root.
    pub(super) name: String,
    pub(super) text: String,
}

impl Kept {
    pub(super) fn lines(&self) -> usize {
        self.text.lines().count()
    }

    pub(super) fn is_code(&self) -> bool {
        [".rs", ".py", ".ts", ".svelte"].iter().any(|end| self.name.ends_with(end))
    }
}

/// Every file of text that is not ignored.
pub(super) fn kept(root: &Path) -> Result<Vec<Kept>> {
    let args = ["ls-files", "-z", "--cached", "--others", "--exclude-standard"];
    let listed = program("git", args, root).output().context("git cannot be run")?;
    if !listed.status.success() {
        bail!("git cannot list the files: {}", String::from_utf8_lossy(&listed.stderr).trim());
    }
    let names = String::from_utf8(listed.stdout).context("a file's name is not text")?;
    let names = names.split_terminator('\0');
    // One that is gone from the folder is no concern; one that is no text neither.
    let read =
        |name: &str| Some(Kept { name: name.to_owned(), text: fs::read_to_string(root.join(name)).ok()? });
    Ok(names.filter_map(read).collect())
}

/// Modules whose names say nothing.
pub(super) fn names(workspace: &Workspace) -> Result<Vec<String>> {
    let code = workspace.files.iter().filter(|f| f.is_code());
    let named = code.filter(|f| says_nothing(&f.name));
    Ok(named.map(|f| format!("{}: name the module after the idea in it", f.name)).collect())
}

fn says_nothing(path: &str) -> bool {
    let empty = ["util", "utils", "helper", "helpers", "common", "misc"];
    path.split('/').any(|part| empty.contains(&part.split('.').next().unwrap_or(part)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_say_nothing_are_seen() {
        assert!(says_nothing("crates/fill/src/utils.rs"));
        assert!(says_nothing("crates/fill/tests/common/mod.rs"));
        assert!(!says_nothing("crates/fill/src/hinging.rs"));
    }
}
