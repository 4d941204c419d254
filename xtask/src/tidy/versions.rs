//! Every version is said: `*` settles on old ones, and judges must be the same
//! everywhere.

use anyhow::Result;

use super::{Workspace, manifest};

pub(super) fn run(workspace: &Workspace) -> Result<Vec<String>> {
    let mut faults = Vec::new();
    let shared = manifest::shared(workspace.root)?;
    let own = workspace.members.iter().flat_map(|m| m.versions.iter().map(|v| (m.folder.as_str(), v)));
    for (folder, (name, version)) in shared.iter().map(|v| ("the workspace", v)).chain(own) {
        if version.as_deref().is_some_and(is_open) {
            faults.push(format!("{folder}: {name} asks for `*`; say the version"));
        }
    }
    for file in &workspace.files {
        let pinned = file.name.ends_with("requirements.txt");
        let node = file.name.ends_with("package.json");
        for (i, line) in file.text.lines().enumerate() {
            if pinned && is_loose(line)
                || node && [": \"*\"", ": \"latest\""].iter().any(|open| line.contains(open))
            {
                faults.push(format!("{}:{}: `{}` does not say its version", file.name, i + 1, line.trim()));
            }
        }
    }
    Ok(faults)
}

/// Whether a version leaves everything open.
fn is_open(version: &str) -> bool {
    version.trim_start_matches(['=', '^', '~', '>', ' ']).starts_with('*')
}

/// Whether a line of a requirements file asks for something without pinning it.
fn is_loose(line: &str) -> bool {
    let line = line.split('#').next().unwrap_or_default().trim();
    !line.is_empty() && line.split_once("==").is_none_or(|(_, version)| version.contains('*'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn open_versions_are_seen() {
        assert!(is_open("*") && is_open(">=*"));
        assert!(!is_open("1.2") && !is_open("=0.19.1"));
    }

    #[test]
    fn requirements_are_pinned() {
        assert!(is_loose("shapely") && is_loose("shapely>=2.1") && is_loose("numpy==2.*"));
        assert!(!is_loose("shapely==2.1.0  # geometry") && !is_loose("# a word") && !is_loose(""));
    }
}
