//! A whole project: every file read, every check across files made.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use lattice::Set;

use crate::board::Board;
use crate::compose::Compose;
use crate::fault::Fault;
use crate::limits;
use crate::names::{folded, stem_is_good};
use crate::outline_file::{OutlineFile, OutlineRecord};
use crate::pack::PackRecord;
use crate::piece::PieceRecord;
use crate::printer::Printer;
use crate::report::{Mistake, Report};
use crate::rules::Rules;
use crate::set_file::{SetFile, Terms};
use crate::sizes::Sizes;
use crate::source::Source;

/// The set's file, below the project folder.
pub(crate) const SET_FILE: &str = "pinfold.toml";
/// The outlines' folder, below the project folder.
pub(crate) const OUTLINES: &str = "outlines";

/// A project without a mistake.
#[derive(Clone, Debug, PartialEq)]
pub struct Project {
    /// Its folder.
    pub root: PathBuf,
    /// The set's title.
    pub title: String,
    /// Pieces with copies expanded, levels, turning over.
    pub set: Set,
    /// Designer and licence.
    pub terms: Terms,
    /// What counts as a valid solution.
    pub rules: Rules,
    /// The pieces as drawn, in the file's order.
    pub pieces: Vec<PieceRecord>,
    /// The outlines, by name.
    pub outlines: Vec<OutlineRecord>,
    /// Measures of what is printed.
    pub sizes: Sizes,
    /// The printer and its filament.
    pub printer: Printer,
    /// The board and the colours of what is not a piece.
    pub board: Board,
    /// What proposed sets are ranked by.
    pub compose: Compose,
    /// The packs, in the file's order.
    pub packs: Vec<PackRecord>,
}

impl Project {
    /// Reads the project in a folder. An absent folder `outlines` is an empty
    /// one; hidden files and files that do not end in `.toml` are left alone.
    ///
    /// # Errors
    /// Every mistake of every file.
    pub fn read(dir: &Path) -> Result<Project, Report> {
        let mut mistakes = Vec::new();
        let project = read(dir, &mut mistakes);
        match (Report::of(mistakes), project) {
            (Some(report), _) => Err(report),
            (None, Some(project)) => Ok(project),
            (None, None) => unreachable!("a project is missing only where a mistake was told"),
        }
    }

    /// The outline of a name.
    pub fn outline(&self, name: &str) -> Option<&OutlineRecord> {
        self.outlines.iter().find(|o| o.name == name)
    }

    /// The record of the piece at a position in the set.
    pub fn piece(&self, in_set: usize) -> Option<&PieceRecord> {
        self.pieces.iter().find(|p| p.set.contains(&in_set))
    }

    /// What the piece at a position in the set is called: its name, with a
    /// number where it comes in copies, as in "cleat 2". Empty off the set.
    pub fn piece_name(&self, in_set: usize) -> String {
        match self.piece(in_set) {
            Some(piece) if piece.copies() > 1 => {
                format!("{} {}", piece.name, in_set - piece.set.start + 1)
            }
            Some(piece) => piece.name.clone(),
            None => String::new(),
        }
    }

    /// The file of an outline.
    pub fn outline_path(&self, name: &str) -> PathBuf {
        self.root.join(OUTLINES).join(format!("{name}.toml"))
    }
}

fn whole(file: &str, fault: Fault) -> Mistake {
    Mistake { file: file.to_owned(), place: None, fault }
}

fn read(dir: &Path, mistakes: &mut Vec<Mistake>) -> Option<Project> {
    if !dir.is_dir() {
        mistakes.push(whole(&dir.display().to_string(), Fault::NoFolder));
        return None;
    }
    let names = outline_names(dir, mistakes);
    let set_file = match Source::read(&dir.join(SET_FILE), SET_FILE) {
        Ok(source) => {
            let (file, found) = SetFile::read(&source, &names);
            mistakes.extend(found);
            Some(file)
        }
        Err(mistake) => {
            mistakes.push(*mistake);
            None
        }
    };
    let blocks = set_file.as_ref().and_then(|file| file.blocks);
    let outlines = read_outlines(dir, &names, blocks, mistakes);
    let file = set_file?;
    let (set, pieces) = file.set?;
    Some(Project {
        root: dir.to_owned(),
        title: file.title,
        set,
        terms: file.terms,
        rules: file.rules,
        pieces,
        outlines,
        sizes: file.sizes,
        printer: file.printer,
        board: file.board,
        compose: file.compose,
        packs: file.packs.into_iter().map(|p| p.record).collect(),
    })
}

/// The names of the outline files, sorted.
pub(crate) fn outline_names(dir: &Path, mistakes: &mut Vec<Mistake>) -> Vec<String> {
    let folder = dir.join(OUTLINES);
    let entries = match fs::read_dir(&folder) {
        Ok(entries) => entries,
        Err(e) if e.kind() == ErrorKind::NotFound => return Vec::new(),
        Err(e) => {
            let fault =
                if folder.is_dir() { Fault::Unreadable { why: e.to_string() } } else { Fault::NotAFolder };
            mistakes.push(whole(OUTLINES, fault));
            return Vec::new();
        }
    };
    let mut files = Vec::new();
    for entry in entries {
        match entry {
            Ok(entry) => files.push(PathBuf::from(entry.file_name())),
            Err(e) => mistakes.push(whole(OUTLINES, Fault::Unreadable { why: e.to_string() })),
        }
    }
    let hidden = |file: &Path| file.as_os_str().as_encoded_bytes().starts_with(b".");
    files.retain(|file| file.extension() == Some(OsStr::new("toml")) && !hidden(file));
    files.sort();
    if files.len() > limits::OUTLINES {
        let fault = Fault::TooManyOutlines { found: files.len(), limit: limits::OUTLINES };
        mistakes.push(whole(OUTLINES, fault));
        files.clear();
    }
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    for file in files {
        let stem = file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let shown = file_name(&stem);
        if !stem_is_good(&stem) || file.to_str().is_none() {
            mistakes.push(whole(&shown, Fault::FileName { found: stem }));
        } else if let Some(by) = names.get(&folded(&stem)) {
            let by = format!("the file {}", file_name(by));
            mistakes.push(whole(&shown, Fault::Taken { what: "file name", found: stem, by }));
        } else {
            names.insert(folded(&stem), stem);
        }
    }
    let mut names: Vec<String> = names.into_values().collect();
    names.sort();
    names
}

/// An outline's file as reports name it.
pub(crate) fn file_name(name: &str) -> String {
    format!("{OUTLINES}/{name}.toml")
}

/// Every outline, checked by itself and against the others and the set.
fn read_outlines(
    dir: &Path,
    names: &[String],
    blocks: Option<usize>,
    mistakes: &mut Vec<Mistake>,
) -> Vec<OutlineRecord> {
    let mut records = Vec::new();
    let mut titles: BTreeMap<String, String> = BTreeMap::new();
    let mut numbers: BTreeMap<u32, String> = BTreeMap::new();
    for name in names {
        let file_name = file_name(name);
        let source = match Source::read(&dir.join(OUTLINES).join(format!("{name}.toml")), &file_name) {
            Ok(source) => source,
            Err(mistake) => {
                mistakes.push(*mistake);
                continue;
            }
        };
        let (file, found) = OutlineFile::read(&source);
        mistakes.extend(found);
        let mut taken = |what, found: String, by: Option<&String>, span| {
            if let Some(by) = by {
                let by = format!("the outline '{by}'");
                mistakes.push(source.mistake(span, Fault::Taken { what, found, by }));
            }
        };
        if let Some((title, span)) = &file.title {
            taken("title", title.clone(), titles.get(&folded(title)), span.clone());
            titles.entry(folded(title)).or_insert_with(|| name.clone());
        }
        if let Some((number, span)) = &file.number {
            taken("number", number.to_string(), numbers.get(number), span.clone());
            numbers.entry(*number).or_insert_with(|| name.clone());
        }
        if let Some((span, fault)) = blocks.and_then(|blocks| file.area(blocks)) {
            mistakes.push(source.mistake(span, fault));
        }
        records.extend(file.record(name));
    }
    records
}
