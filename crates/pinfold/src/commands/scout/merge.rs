//! `--merge`: the shards of a catalogue joined to one file.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::finds::{Found, Hunt};
use super::shelf::Shelf;
use crate::answer::{Failure, counted};

pub(super) fn run(hunt: &Hunt<'_>, from: &[PathBuf], into: &Path) -> Result<Found, Failure> {
    let shelves: Vec<Shelf> = from.iter().map(|folder| Shelf::there(folder)).collect::<Result<_, _>>()?;
    let target = match shelves.first() {
        Some(first) => Shelf::open(into, first.about().clone())?,
        None => Shelf::there(into)?,
    };
    for shelf in &shelves {
        target.must_be_of(shelf.about(), shelf.folder())?;
    }
    let mut found = Found { done: true, ..Found::default() };
    if target.is_whole() {
        target.clear()?;
        found.notes.push(format!("{} is whole already.", target.whole_path().display()));
    } else {
        let all: Vec<&Shelf> = std::iter::once(&target).chain(&shelves).collect();
        let parts = target.parts();
        let tell = |part| hunt.work.progress(part as usize, parts as usize);
        let rows = target.join(&all, tell)?;
        found.looked = rows;
        found.notes.push(format!(
            "Joined {} with {} to {}.",
            counted(parts as usize, "part"),
            counted(rows as usize, "outline"),
            target.whole_path().display()
        ));
    }
    found.notes.push(format!("`pinfold scout --catalogue {}` shows its finds.", into.display()));
    let whole = target.whole_path().display().to_string();
    found.facts.insert("catalogue".into(), json!({ "whole": whole, "of": target.about() }));
    Ok(found)
}
