//! The made files, onto the disk: each whole or not at all, and nothing left
//! beside them that would be taken for one of them.
//!
//! - A part that failed leaves no file, not even one of an earlier call.
//! - Beds lay out the parts of one call: those of an earlier one go.
//! - A call for some parts keeps what the manifest and the cautions of earlier
//!   calls say of the others; a call for all writes both anew.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, ErrorKind};
use std::path::Path;

use project::write_whole;
use solid::{Made, NamedFile, Part};

use crate::failure::Failure;

pub(crate) const CAUTIONS: &str = "cautions.txt";
const MANIFEST: &str = "manifest.sha256";
const BEDS: &str = "beds";
const STL_BEDS: &str = "stl/beds";

/// Writes everything that was made into a folder; `all`: nothing was left out.
///
/// # Errors
/// What the disk did not take.
pub fn write(out: &Path, made: &Made, all: bool) -> Result<(), Failure> {
    try_write(out, made, all).map_err(|(name, e)| {
        Failure::plain(
            format_args!("{} was not written: {e}", out.join(name).display()),
            "name a folder that can be written in with --out",
        )
    })
}

type Broken = (String, io::Error);

fn try_write(out: &Path, made: &Made, all: bool) -> Result<(), Broken> {
    let failed = made.parts.iter().filter(|part| part.file.is_none());
    for name in failed.flat_map(files_of).chain(old_beds(out, made)) {
        remove(&out.join(&name)).map_err(|e| (name, e))?;
    }
    for file in &made.files {
        let bytes = match file.name.as_str() {
            MANIFEST => continue,
            CAUTIONS if !all => with_earlier(out, file),
            _ => file.bytes.clone(),
        };
        put(out, &file.name, &bytes)?;
    }
    // Last, when what it names is there.
    match made.files.iter().find(|file| file.name == MANIFEST) {
        Some(file) => {
            let digests = digests(out, file, all).map_err(|e| (MANIFEST.to_owned(), e))?;
            put(out, MANIFEST, digests.as_bytes())
        }
        None => Ok(()),
    }
}

fn put(out: &Path, name: &str, bytes: &[u8]) -> Result<(), Broken> {
    let path = out.join(name);
    let folder = path.parent().map_or(Ok(()), fs::create_dir_all);
    folder.and_then(|()| write_whole(&path, bytes, true)).map_err(|e| (name.to_owned(), e))
}

fn remove(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(e) if !matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Err(e),
        _ => Ok(()),
    }
}

/// Every file that a part may have.
fn files_of(part: &Part) -> impl Iterator<Item = String> {
    let stem = part.stem();
    [("", "3mf"), ("stl/", "stl"), ("pictures/", "svg"), ("pictures/", "png")]
        .map(|(folder, ending)| format!("{folder}{stem}.{ending}"))
        .into_iter()
}

/// Beds of earlier calls that this one has not.
fn old_beds(out: &Path, made: &Made) -> Vec<String> {
    let mut old = Vec::new();
    for (folder, ending) in [(BEDS, ".3mf"), (STL_BEDS, ".stl")] {
        let Ok(entries) = fs::read_dir(out.join(folder)) else { continue };
        let names = entries.filter_map(|e| e.ok()?.file_name().into_string().ok());
        let ours = |n: &String| {
            let number = n.strip_prefix("bed-").and_then(|n| n.strip_suffix(ending));
            number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
        };
        old.extend(names.filter(ours).map(|n| format!("{folder}/{n}")));
    }
    old.retain(|name| !made.files.iter().any(|file| file.name == *name));
    old.sort();
    old
}

/// The paragraphs of a text.
pub(crate) fn paragraphs(text: &str) -> impl Iterator<Item = &str> {
    text.split("\n\n").map(str::trim).filter(|p| !p.is_empty())
}

/// The cautions of earlier calls with those of this one that they do not have.
fn with_earlier(out: &Path, file: &NamedFile) -> Vec<u8> {
    let earlier = fs::read_to_string(out.join(CAUTIONS)).unwrap_or_default();
    let now = String::from_utf8_lossy(&file.bytes);
    let mut all: Vec<&str> = paragraphs(&earlier).collect();
    for paragraph in paragraphs(&now) {
        if !all.contains(&paragraph) {
            all.push(paragraph);
        }
    }
    (all.join("\n\n") + "\n").into_bytes()
}

/// The manifest: this call's files, and with a call for some parts the others
/// that are still there, as they are now.
fn digests(out: &Path, file: &NamedFile, all: bool) -> io::Result<String> {
    let mut lines: BTreeMap<String, String> = BTreeMap::new();
    let mut take = |text: &str, old: bool| -> io::Result<()> {
        for (digest, name) in text.lines().filter_map(|line| line.split_once("  ")) {
            // Of the cautions and of what earlier calls left, what is there counts.
            let digest = match fs::read(out.join(name)) {
                Ok(bytes) if old || name == CAUTIONS => solid::sha256(&bytes),
                Ok(_) => digest.to_owned(),
                Err(e) if old && e.kind() == ErrorKind::NotFound => continue,
                Err(e) => return Err(e),
            };
            lines.insert(name.to_owned(), digest);
        }
        Ok(())
    };
    if !all {
        take(&fs::read_to_string(out.join(MANIFEST)).unwrap_or_default(), true)?;
    }
    take(&String::from_utf8_lossy(&file.bytes), false)?;
    Ok(lines.into_iter().map(|(name, digest)| format!("{digest}  {name}\n")).collect())
}
