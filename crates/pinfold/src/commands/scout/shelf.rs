//! A catalogue on the disk: a folder with `catalogue.json`, which says what it
//! is of, and either parts, each a whole Parquet file named by its places, or
//! one whole, `outlines.parquet`.
//!
//! What it promises: a file is there whole or not at all; a part that is there
//! is never written again; so whoever stops at whatever moment, going on neither
//! loses a row nor writes one twice. Several processes may fill one folder.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use ::scout::finds::Find;
use project::{write_whole, write_whole_by};
use serde_json::Value;

use crate::answer::Failure;

const ABOUT: &str = "catalogue.json";
const WHOLE: &str = "outlines.parquet";

/// A catalogue's folder.
pub(super) struct Shelf {
    folder: PathBuf,
    about: Value,
    /// The same as it stands in files.
    text: String,
}

impl Shelf {
    /// Opens a folder for a catalogue of `about`, made if need be.
    pub(super) fn open(folder: &Path, about: Value) -> Result<Shelf, Failure> {
        let shelf = Shelf { folder: folder.to_owned(), text: about.to_string(), about };
        fs::create_dir_all(folder).map_err(|e| shelf.broken(&e))?;
        match write_whole(&folder.join(ABOUT), shelf.text.as_bytes(), false) {
            Ok(()) => {}
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                let there = Shelf::there(folder)?;
                shelf.must_be_of(&there.about, folder)?;
            }
            Err(e) => return Err(shelf.broken(&e)),
        }
        Ok(shelf)
    }

    /// The catalogue that is in a folder.
    pub(super) fn there(folder: &Path) -> Result<Shelf, Failure> {
        let no = |why: &dyn std::fmt::Display| {
            Failure::plain(
                format_args!("{} has no catalogue of outlines: {ABOUT}: {why}", folder.display()),
                "name the folder that was given with --catalogue when it was made",
            )
        };
        let text = fs::read_to_string(folder.join(ABOUT)).map_err(|e| no(&e))?;
        let about: Value = serde_json::from_str(&text).map_err(|e| no(&e))?;
        let shelf = Shelf { folder: folder.to_owned(), about, text };
        if shelf.number("places").is_none() || shelf.number("places_a_part").is_none_or(|n| n == 0) {
            return Err(no(&"it does not say how many places there are"));
        }
        Ok(shelf)
    }

    /// That this catalogue is of the same as another one; else how they differ.
    pub(super) fn must_be_of(&self, other: &Value, folder: &Path) -> Result<(), Failure> {
        let mut differences = Vec::new();
        differ("", &self.about, other, &mut differences);
        // How it is cut follows from the rest, and is told only if nothing else is.
        let (cut, asked): (Vec<String>, Vec<String>) =
            differences.into_iter().partition(|told| told.starts_with("its places"));
        let differences = if asked.is_empty() { cut } else { asked };
        if differences.is_empty() {
            return Ok(());
        }
        Err(Failure::plain(
            format_args!("{} is a catalogue of something else: {}", folder.display(), differences.join("; ")),
            "name another folder, or ask for the same as when it was begun",
        ))
    }

    pub(super) fn about(&self) -> &Value {
        &self.about
    }

    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    fn number(&self, key: &str) -> Option<u64> {
        self.about[key].as_u64()
    }

    /// Places in all.
    fn places(&self) -> u64 {
        self.number("places").expect("read when it was opened")
    }

    /// How many parts there are when all are there.
    pub(super) fn parts(&self) -> u64 {
        self.places().div_ceil(self.number("places_a_part").expect("read when it was opened"))
    }

    /// The places of a part.
    pub(super) fn part_places(&self, part: u64) -> std::ops::Range<u64> {
        let size = self.number("places_a_part").expect("read when it was opened");
        part * size..((part + 1) * size).min(self.places())
    }

    fn part_path(&self, part: u64) -> PathBuf {
        let places = self.part_places(part);
        self.folder.join(format!("places-{:012}-{:012}.parquet", places.start, places.end - 1))
    }

    pub(super) fn has_part(&self, part: u64) -> bool {
        self.part_path(part).exists()
    }

    pub(super) fn whole_path(&self) -> PathBuf {
        self.folder.join(WHOLE)
    }

    pub(super) fn is_whole(&self) -> bool {
        self.whole_path().exists()
    }

    /// Puts a part on the shelf, forced to the disk. One that is there stays.
    pub(super) fn put(&self, part: u64, finds: &[Find]) -> Result<(), Failure> {
        let bytes = columns::part(&self.text, finds).map_err(|e| self.broken(&e))?;
        match write_whole(&self.part_path(part), &bytes, false) {
            Err(e) if e.kind() != io::ErrorKind::AlreadyExists => Err(self.broken(&e)),
            _ => Ok(()),
        }
    }

    /// Tells of each row of a part.
    pub(super) fn read_part(&self, part: u64, tell: impl FnMut(Find)) -> Result<(), Failure> {
        self.read(&self.part_path(part), tell)
    }

    /// Tells of each row of the whole.
    pub(super) fn read_whole(&self, tell: impl FnMut(Find)) -> Result<(), Failure> {
        self.read(&self.whole_path(), tell)
    }

    fn read(&self, path: &Path, tell: impl FnMut(Find)) -> Result<(), Failure> {
        let damaged = |why: &dyn std::fmt::Display| {
            Failure::plain(
                format_args!("{} can't be used: {why}", path.display()),
                "take it away, and the same call makes it anew",
            )
        };
        let file = File::open(path).map_err(|e| damaged(&e))?;
        let of = columns::finds(file, tell).map_err(|e| damaged(&e))?;
        if of == self.text { Ok(()) } else { Err(damaged(&"it is of another catalogue")) }
    }

    /// Joins parts, each the first there is on one of the shelves, to the whole,
    /// and takes away those that stood on this one. How many rows there are.
    pub(super) fn join(&self, shelves: &[&Shelf], told: impl Fn(u64)) -> Result<u64, Failure> {
        let all = self.parts();
        let path = |part: u64| shelves.iter().map(|s| s.part_path(part)).find(|path| path.exists());
        let missing: Vec<u64> = (0..all).filter(|&part| path(part).is_none()).collect();
        if let Some(&first) = missing.first() {
            return Err(Failure::plain(
                format_args!(
                    "{} of {all} parts are missing, the first of them {}",
                    missing.len(),
                    self.part_path(first).file_name().unwrap_or_default().to_string_lossy(),
                ),
                "run the shards that are missing (those that are done take no time), then merge again",
            ));
        }
        let parts = (0..all).map(|part| {
            told(part);
            File::open(path(part).ok_or(io::ErrorKind::NotFound)?)
        });
        let mut rows = 0;
        let written = write_whole_by(&self.whole_path(), true, |file| {
            let (mut out, count) = columns::join(BufWriter::new(file), &self.text, parts)?;
            rows = count;
            out.flush()?;
            Ok::<(), columns::ColumnsError>(())
        });
        written.map_err(|e| self.broken(&e))?;
        self.clear()?;
        Ok(rows)
    }

    /// Takes away the parts of a catalogue that is whole, and what a process
    /// that was killed has left half-written.
    pub(super) fn clear(&self) -> Result<(), Failure> {
        for entry in fs::read_dir(&self.folder).map_err(|e| self.broken(&e))? {
            let path = entry.map_err(|e| self.broken(&e))?.path();
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            let part = name.starts_with("places-") && name.ends_with(".parquet");
            let left = name.starts_with(".pinfold-") && name.ends_with(".part");
            if part || left {
                match fs::remove_file(&path) {
                    Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(self.broken(&e)),
                    _ => {}
                }
            }
        }
        Ok(())
    }

    fn broken(&self, why: &dyn std::fmt::Display) -> Failure {
        Failure::plain(
            format_args!("the catalogue in {} could not be written: {why}", self.folder.display()),
            "make room, or name another folder; what is there is whole, and the same call goes on",
        )
    }
}

/// How two texts of what a catalogue is of differ, leaf by leaf: there, and here.
fn differ(name: &str, here: &Value, there: &Value, told: &mut Vec<String>) {
    match (here, there) {
        (Value::Object(a), Value::Object(b)) => {
            let mut keys: Vec<&String> = a.keys().chain(b.keys()).collect();
            keys.sort_unstable();
            keys.dedup();
            for key in keys {
                let name = if name.is_empty() { key.clone() } else { format!("{name}.{key}") };
                differ(&name, a.get(key).unwrap_or(&Value::Null), b.get(key).unwrap_or(&Value::Null), told);
            }
        }
        _ if here == there => {}
        _ if name == "pictures" => told.push("its looks are scored by other pictures, or by none".to_owned()),
        _ if name == "set.fingerprint" => told.push("its set has other pieces or folds".to_owned()),
        _ => told.push(format!("its {} is {there}, not {here}", name.replace('.', " "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_differs_is_told_leaf_by_leaf() {
        let here = json!({ "set": { "fingerprint": "a", "levels": 2 }, "want": { "box": "4x3" } });
        let there =
            json!({ "set": { "fingerprint": "b", "levels": 2 }, "want": { "box": "4x4" }, "limit": 7 });
        let mut told = Vec::new();
        differ("", &here, &there, &mut told);
        assert_eq!(
            told,
            [
                "its limit is 7, not null",
                "its set has other pieces or folds",
                "its want box is \"4x4\", not \"4x3\""
            ]
        );
    }
}
