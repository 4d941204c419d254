//! Whether an archive is a sound pack: its manifest, every digest, nothing more
//! and nothing less, no tricks of archives, no answers.
//!
//! Sizes are looked at before anything is unpacked, and no file is unpacked
//! beyond the size that the manifest gives it. Every fault is told, not the
//! first alone. The pack is held against itself: that it is the one its maker
//! made, only the digest of the archive, from the maker's own page, can say.

mod container;
mod contents;
mod fault;

use std::collections::BTreeSet;

use solid::sha256;

use crate::manifest::{FORM, MANIFEST, Manifest, SUMS};
use container::Container;
pub use fault::{Fault, NoPack};

/// Bytes that a pack may have when unpacked, all files together: 1 GiB.
pub(crate) const MOST_BYTES: u64 = 1 << 30;
/// Files that a pack may have.
pub(crate) const MOST_FILES: usize = 20_000;
/// Bytes that a manifest may have.
const MOST_MANIFEST: u64 = 16 << 20;

/// What was found of an archive that is a pack, sound or not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// What it says of itself.
    pub manifest: Manifest,
    /// Every fault; none of a sound one.
    pub faults: Vec<Fault>,
    /// SHA-256 of the archive.
    pub sha256: String,
    /// Files in it.
    pub files: usize,
    /// Whether answers were looked for by their codes, besides by name and seal.
    pub codes: usize,
}

/// Checks an archive. `codes`: of layouts, where they are known, which must not
/// be in any file.
///
/// # Errors
/// What is no pack at all.
pub fn verify(bytes: &[u8], codes: &[String]) -> Result<Verified, NoPack> {
    let mut faults = BTreeSet::new();
    let mut container = Container::open(bytes, &mut faults)?;
    let folder = container.folder().ok_or(NoPack::NoManifest)?;
    let json = container.read(&format!("{folder}/{MANIFEST}"), MOST_MANIFEST);
    let json = json.ok_or(NoPack::NoManifest)?.map_err(|why| NoPack::Manifest { why })?;
    let wrong = |why: String| NoPack::Manifest { why };
    let json = String::from_utf8(json).map_err(|_| wrong("it is not text in UTF-8".into()))?;
    let manifest: Manifest = serde_json::from_str(&json).map_err(|e| wrong(e.to_string()))?;
    if manifest.form != FORM {
        return Err(NoPack::Form { found: manifest.form.chars().take(60).collect() });
    }
    if folder != manifest.folder() {
        faults.insert(Fault::Folder { found: folder.clone(), wanted: manifest.folder() });
    }
    contents::check(&mut container, &folder, &manifest, codes, &mut faults);
    let sums = container.read(&format!("{folder}/{SUMS}"), MOST_MANIFEST);
    match sums {
        None => {
            faults.insert(Fault::Missing { name: SUMS.into() });
        }
        Some(Err(why)) => {
            faults.insert(Fault::Unreadable { name: SUMS.into(), why });
        }
        Some(Ok(found)) => {
            if found != manifest.sums(&json).as_bytes() {
                faults.insert(Fault::Sums);
            }
        }
    }
    Ok(Verified {
        manifest,
        faults: faults.into_iter().collect(),
        sha256: sha256(bytes),
        files: container.len(),
        codes: codes.len(),
    })
}
