//! The contents of a pack against its manifest.

use std::collections::{BTreeMap, BTreeSet};

use solid::sha256;

use super::container::{Container, plain_name};
use super::fault::Fault;
use crate::manifest::{MANIFEST, Manifest, SUMS};

/// The least length of a code that is looked for in files: a shorter one is
/// found by chance.
const LEAST_CODE: usize = 10;

pub(super) fn check(
    container: &mut Container<'_>,
    folder: &str,
    manifest: &Manifest,
    codes: &[String],
    faults: &mut BTreeSet<Fault>,
) {
    let codes: Vec<&str> = codes.iter().map(String::as_str).filter(|c| c.len() >= LEAST_CODE).collect();
    let mut listed: BTreeMap<String, (u64, &str)> = BTreeMap::new();
    for file in &manifest.files {
        let path = format!("{folder}/{}", file.path);
        if !plain_name(&path) {
            faults.insert(Fault::Path { name: file.path.chars().take(400).collect() });
        } else if listed.insert(path, (file.bytes, &file.sha256)).is_some() {
            faults.insert(Fault::ListedTwice { name: file.path.clone() });
        }
    }
    let there: BTreeMap<String, u64> = container.names().map(|(n, s)| (n.to_owned(), s)).collect();
    let own = [MANIFEST, SUMS].map(|name| format!("{folder}/{name}"));
    let within = |path: &str| path.strip_prefix(&format!("{folder}/")).unwrap_or(path).to_owned();
    for (path, &size) in &there {
        let name = within(path);
        if name.to_lowercase().contains("answer") {
            faults.insert(Fault::Answers { name: name.clone(), how: "its name says so" });
        }
        match listed.get(path) {
            None if own.contains(path) => {}
            None => {
                faults.insert(Fault::Extra { name });
            }
            Some(&(wanted, _)) if wanted != size => {
                faults.insert(Fault::Size { name, found: size, wanted });
            }
            Some(&(wanted, digest)) => match container.read(path, wanted) {
                None => {}
                Some(Err(why)) => {
                    faults.insert(Fault::Unreadable { name, why });
                }
                Some(Ok(bytes)) => one(&name, &bytes, digest, manifest, &codes, faults),
            },
        }
    }
    for path in listed.keys().filter(|p| !there.contains_key(*p)) {
        faults.insert(Fault::Missing { name: within(path) });
    }
    let mut numbers = BTreeSet::new();
    for outline in &manifest.outlines {
        if !numbers.insert(outline.number) {
            faults.insert(Fault::Number { number: outline.number });
        }
    }
    for name in [VERSION, SEAL] {
        if !listed.contains_key(&format!("{folder}/{name}")) {
            faults.insert(Fault::Missing { name: name.into() });
        }
    }
}

/// The files that repeat what the manifest says.
pub(crate) const VERSION: &str = "VERSION";
/// See [`VERSION`].
pub(crate) const SEAL: &str = "SEAL.txt";

fn one(
    name: &str,
    bytes: &[u8],
    digest: &str,
    manifest: &Manifest,
    codes: &[&str],
    faults: &mut BTreeSet<Fault>,
) {
    let found = sha256(bytes);
    if found == manifest.seal {
        faults.insert(Fault::Answers { name: name.into(), how: "it is the sealed text itself" });
    }
    if found != digest {
        faults.insert(Fault::Digest { name: name.into(), found });
    }
    let has = |text: &str| bytes.windows(text.len()).any(|w| w == text.as_bytes());
    if name == VERSION && bytes != format!("{}\n", manifest.version).as_bytes() {
        faults.insert(Fault::Version { wanted: manifest.version.clone() });
    }
    if name == SEAL && !has(&manifest.seal) {
        faults.insert(Fault::Seal);
    }
    // Looked for as text only: a code is no accident there, and large meshes are no text.
    if std::str::from_utf8(bytes).is_ok_and(|text| codes.iter().any(|code| text.contains(code))) {
        faults.insert(Fault::Answers { name: name.into(), how: "it has the code of a layout" });
    }
}
