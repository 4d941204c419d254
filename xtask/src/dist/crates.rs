//! The crates that are in the program, as cargo tells them: those reached by
//! normal and build dependencies for this machine, ours left out.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::program_said;

/// A crate of somebody else's.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shipped {
    pub(super) name: String,
    pub(super) version: String,
    /// As its authors state it, an SPDX expression.
    pub(super) licence: Option<String>,
    pub(super) description: Option<String>,
    /// SHA-256 of its archive, as the lock file has it.
    pub(super) digest: Option<String>,
    /// Where its sources lie on this machine.
    pub(super) folder: PathBuf,
}

/// Every crate in the program, in order of name.
pub(super) fn shipped(root: &Path) -> Result<Vec<Shipped>> {
    let tree = ["tree", "--locked", "--package", "pinfold", "--edges", "normal", "--prefix", "none"];
    let tree = program_said(root, "cargo", &[&tree[..], &["--format", "{p}"]].concat())?;
    let names: BTreeSet<(String, String)> = tree.lines().filter_map(named).collect();
    let metadata = program_said(root, "cargo", &["metadata", "--locked", "--format-version", "1"])?;
    let metadata: Value = serde_json::from_str(&metadata)?;
    let lock = std::fs::read_to_string(root.join("Cargo.lock")).context("Cargo.lock cannot be read")?;
    let lock = DeTable::parse(&lock).context("Cargo.lock is no TOML")?;
    let packages = metadata["packages"].as_array().context("cargo tells of packages")?;
    let text = |value: &Value| value.as_str().map(str::to_owned);
    let mut shipped: Vec<Shipped> = packages
        .iter()
        .filter(|p| !p["source"].is_null())
        .filter_map(|p| {
            let (name, version) = (text(&p["name"])?, text(&p["version"])?);
            let folder = Path::new(p["manifest_path"].as_str()?).parent()?.to_owned();
            names.contains(&(name.clone(), version.clone())).then(|| Shipped {
                licence: text(&p["license"]),
                description: text(&p["description"])
                    .map(|d| d.split_whitespace().collect::<Vec<_>>().join(" ")),
                digest: digest(lock.get_ref(), &name, &version),
                name,
                version,
                folder,
            })
        })
        .collect();
    shipped.sort();
    Ok(shipped)
}

/// Name and version in a line of the tree, as in "fill v0.1.0 (…)".
fn named(line: &str) -> Option<(String, String)> {
    let mut words = line.split_whitespace();
    Some((words.next()?.to_owned(), words.next()?.strip_prefix('v')?.to_owned()))
}

fn digest(lock: &DeTable<'_>, name: &str, version: &str) -> Option<String> {
    let packages = lock.get("package")?.get_ref().as_array()?;
    let of = |package: &DeValue<'_>, key: &str| Some(package.get(key)?.get_ref().as_str()?.to_owned());
    let is = |p: &DeValue<'_>| {
        of(p, "name").as_deref() == Some(name) && of(p, "version").as_deref() == Some(version)
    };
    of(packages.iter().map(Spanned::get_ref).find(|p| is(p))?, "checksum")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_the_tree_is_read() {
        let line = "serde v1.0.229 (*)";
        assert_eq!(named(line), Some(("serde".into(), "1.0.229".into())));
        assert_eq!(named(""), None);
    }
}
