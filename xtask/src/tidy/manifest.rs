//! The members of the workspace, and what their manifests say.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, anyhow};
use toml::de::{DeTable, DeValue};

use super::{Workspace, boundary};

/// A crate of the workspace.
pub(crate) struct Member {
    pub(crate) name: String,
    /// Its folder, from the root.
    pub(crate) folder: String,
    /// Crates it is built with, by name.
    pub(crate) uses: Vec<String>,
    /// Crates that its tests, benches and examples are built with besides.
    pub(crate) tests_use: Vec<String>,
    /// Every dependency with the version it asks for, if it says one.
    pub(crate) versions: Vec<(String, Option<String>)>,
    keeps_lints: bool,
    /// It has lints of its own, which deny what is unsafe.
    denies_unsafe: bool,
}

/// The members, in the order of the list.
pub(crate) fn members(root: &Path) -> Result<Vec<Member>> {
    let text = read(root, "Cargo.toml")?;
    let manifest = parse(&text, "Cargo.toml")?;
    let list = at(&manifest, &["workspace", "members"]).and_then(DeValue::as_array);
    let list = list.context("Cargo.toml has no list of members")?;
    list.iter().filter_map(|folder| folder.get_ref().as_str()).map(|folder| member(root, folder)).collect()
}

fn member(root: &Path, folder: &str) -> Result<Member> {
    let file = format!("{folder}/Cargo.toml");
    let text = read(root, &file)?;
    let manifest = parse(&text, &file)?;
    let name = at(&manifest, &["package", "name"]).and_then(DeValue::as_str);
    let mut member = Member {
        name: name.with_context(|| format!("{file} has no name"))?.to_owned(),
        folder: folder.to_owned(),
        uses: Vec::new(),
        tests_use: Vec::new(),
        versions: Vec::new(),
        keeps_lints: at(&manifest, &["lints", "workspace"]).and_then(DeValue::as_bool) == Some(true),
        denies_unsafe: at(&manifest, &["lints", "rust", "unsafe_code"]).and_then(DeValue::as_str)
            == Some("deny"),
    };
    for (section, of_tests) in
        [("dependencies", false), ("build-dependencies", false), ("dev-dependencies", true)]
    {
        for (name, version) in dependencies(&manifest, &[section]) {
            if of_tests { &mut member.tests_use } else { &mut member.uses }.push(name.clone());
            member.versions.push((name, version));
        }
    }
    Ok(member)
}

/// The dependencies that all members may share, with their versions.
pub(super) fn shared(root: &Path) -> Result<Vec<(String, Option<String>)>> {
    let text = read(root, "Cargo.toml")?;
    Ok(dependencies(&parse(&text, "Cargo.toml")?, &["workspace", "dependencies"]))
}

fn dependencies(manifest: &DeTable, section: &[&str]) -> Vec<(String, Option<String>)> {
    let Some(table) = at(manifest, section).and_then(DeValue::as_table) else {
        return Vec::new();
    };
    let version = |value: &DeValue| match value {
        DeValue::String(version) => Some(version.to_string()),
        DeValue::Table(table) => at(table, &["version"]).and_then(DeValue::as_str).map(str::to_owned),
        _ => None,
    };
    table.iter().map(|(name, value)| (name.get_ref().to_string(), version(value.get_ref()))).collect()
}

/// Crates that do without the lints that all share.
pub(super) fn lints(workspace: &Workspace) -> Result<Vec<String>> {
    let own = |m: &&Member| m.name == boundary::CRATE && m.denies_unsafe;
    let without = workspace.members.iter().filter(|m| !m.keeps_lints && !own(m));
    Ok(without.map(|m| format!("{}/Cargo.toml: write `[lints] workspace = true`", m.folder)).collect())
}

fn read(root: &Path, file: &str) -> Result<String> {
    fs::read_to_string(root.join(file)).with_context(|| format!("{file} cannot be read"))
}

fn parse<'t>(text: &'t str, file: &str) -> Result<DeTable<'t>> {
    Ok(DeTable::parse(text).map_err(|e| anyhow!("{file}: {e}"))?.into_inner())
}

fn at<'t, 's>(table: &'t DeTable<'s>, path: &[&str]) -> Option<&'t DeValue<'s>> {
    let (first, rest) = path.split_first()?;
    let value = table.get(*first)?.get_ref();
    if rest.is_empty() { Some(value) } else { at(value.as_table()?, rest) }
}
