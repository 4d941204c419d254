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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::archive::{FileInPack, archive};
    use crate::manifest::NumberedOutline;
    use proptest::prelude::*;

    fn small() -> (Manifest, Vec<FileInPack>) {
        let manifest = Manifest {
            form: FORM.into(),
            set: "Quayside".into(),
            pack: "tide".into(),
            title: "Tide".into(),
            version: "1.0".into(),
            licence: "CC-BY-4.0".into(),
            within: None,
            outlines: vec![NumberedOutline { number: 1, name: "tug".into(), title: "Tug".into() }],
            seal: sha256(b"sealed"),
            files: Vec::new(),
        };
        let seal = format!("The seal is {}.\n", manifest.seal);
        let files = vec![
            FileInPack::new("README.md", "# Tide\n".repeat(9)),
            FileInPack::new("SEAL.txt", seal),
            FileInPack::new("VERSION", "1.0\n"),
            FileInPack::new("print/tug.3mf", b"PK".repeat(40)),
        ];
        manifest.close(files)
    }

    #[test]
    fn a_pack_as_it_is_made_is_sound_and_has_equal_bytes() {
        let (manifest, files) = small();
        let bytes = archive("tide-1.0", &files);
        assert_eq!(bytes, archive("tide-1.0", &files));
        let found = verify(&bytes, &["1122334455".into()]).unwrap();
        assert_eq!((found.faults, found.manifest, found.files), (vec![], manifest, 6));
        assert_eq!(found.sha256, sha256(&bytes));
    }

    #[test]
    fn answers_are_found_by_name_by_seal_and_by_code() {
        let told = |name: &str, bytes: &[u8]| {
            let (manifest, mut files) = small();
            files.retain(|f| f.name != MANIFEST && f.name != SUMS);
            files.push(FileInPack::new(name, bytes));
            let (_, files) = manifest.close(files);
            let found = verify(&archive("tide-1.0", &files), &["1122334455".into()]).unwrap();
            found.faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
        };
        assert_eq!(told("notes.txt", b"nothing"), "");
        assert!(told("print/tug-ANSWER.3mf", b"x").contains("its name says so"));
        assert!(told("notes.txt", b"sealed").contains("the sealed text itself"));
        assert!(told("notes.txt", b"try 1122334455").contains("the code of a layout"));
    }

    #[test]
    fn what_is_no_pack_is_told_as_such() {
        assert!(matches!(verify(b"", &[]), Err(NoPack::NoArchive { .. })));
        let bare = archive("tide-1.0", &[FileInPack::new("README.md", "# Tide\n")]);
        assert_eq!(verify(&bare, &[]), Err(NoPack::NoManifest));
        let odd = archive("tide-1.0", &[FileInPack::new(MANIFEST, "[]")]);
        assert!(matches!(verify(&odd, &[]), Err(NoPack::Manifest { .. })));
    }

    proptest! {
        /// Bytes changed, cut out or put in never make it panic; and whatever it
        /// calls sound still has every file as it was.
        #[test]
        fn no_damage_passes_for_another_pack(
            changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4u8), 1..4),
        ) {
            let (manifest, files) = small();
            let mut bytes = archive("tide-1.0", &files);
            for (at, byte, how) in changes {
                let at = at.index(bytes.len());
                match how {
                    0 => { bytes.remove(at); }
                    1 => bytes.insert(at, byte),
                    _ => bytes[at] = byte,
                }
            }
            if let Ok(found) = verify(&bytes, &[]) && found.faults.is_empty() {
                prop_assert_eq!(found.manifest, manifest);
                let mut zip = zip::ZipArchive::new(std::io::Cursor::new(&bytes)).unwrap();
                for file in &files {
                    let mut there = zip.by_name(&format!("tide-1.0/{}", file.name)).unwrap();
                    let mut read = Vec::new();
                    std::io::Read::read_to_end(&mut there, &mut read).unwrap();
                    prop_assert_eq!(&read, &file.bytes);
                }
            }
        }

        #[test]
        fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
            let _ = verify(&bytes, &[]);
        }
    }
}
