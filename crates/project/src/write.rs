//! Writing back: only the bytes that must change, in one step, never half.
//!
//! A change is made on the text that is in the file, by spans, so comments,
//! order, indentation and line ends stay byte for byte. The new text is read
//! back and must show exactly what was asked before anything reaches the disk;
//! then a temporary file beside the old one takes its place.

use std::fs;
use std::io;
use std::path::PathBuf;

use lattice::{Motion, Outline};
use toml_writer::{ToTomlValue, TomlStringBuilder};

use crate::drawing_text::{DrawingText, print_value};
use crate::fault::Fault;
use crate::limits;
use crate::names::{folded, stem_is_good};
use crate::outline_file::{OutlineFile, OutlineRecord};
use crate::project::{OUTLINES, Project, file_name};
use crate::reader::title_is_good;
use crate::report::{Mistake, Report};
use crate::source::Source;
use crate::whole_file::write_whole;

/// What is to change in an outline's file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OutlineChange {
    /// Another title.
    pub title: Option<String>,
    /// Another printed number, or the first one.
    pub number: Option<u32>,
    /// Another printed grade.
    pub grade: Option<String>,
    /// Other cells, pockets or spare.
    pub outline: Option<Outline>,
}

/// An outline that has no file yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewOutline {
    /// Its file's name without the ending.
    pub name: String,
    /// What it is called in print.
    pub title: String,
    /// Its printed number, if it has one.
    pub number: Option<u32>,
    /// A remark for the maker.
    pub note: Option<String>,
    /// Lines of comment at the head of the file; control characters become spaces.
    pub comment: Vec<String>,
    /// Cells, pockets and spare cells.
    pub outline: Outline,
}

/// Why nothing was written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The project on the disk has mistakes.
    #[error("nothing was written, for the project has mistakes:\n{0}")]
    Mistakes(Report),
    /// What was asked would be a mistake.
    #[error("nothing was written, for the result would be wrong:\n{0}")]
    WouldBeWrong(Report),
    /// There is no outline of that name.
    #[error("nothing was written: there is no outline {0:?}")]
    NoOutline(String),
    /// There is no pack of that name.
    #[error("nothing was written: there is no pack {0:?}")]
    NoPack(String),
    /// The order given is not one of the pack's outlines.
    #[error("nothing was written: the order given does not have each outline of the pack {0:?} once")]
    NoOrder(String),
    /// The file has changed since the project was read.
    #[error("nothing was written: {0} has changed on the disk since it was read")]
    ChangedSince(String),
    /// The file is there already.
    #[error("nothing was written: {0} is there already")]
    Exists(String),
    /// The disk did not take it.
    #[error("{path} was not written: {why}", path = .path.display())]
    Disk {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
}

impl Project {
    /// Changes an outline's file, and this project with it. A drawing whose
    /// bounding box stays keeps its style: only the marks that differ change.
    ///
    /// # Errors
    /// Nothing is written if the project on the disk has mistakes, if the file
    /// is no longer as this project has it, or if the result would be wrong.
    pub fn change_outline(&mut self, name: &str, change: &OutlineChange) -> Result<(), WriteError> {
        let fresh = Project::read(&self.root).map_err(WriteError::Mistakes)?;
        let Some(old) = self.outline(name) else { return Err(WriteError::NoOutline(name.to_owned())) };
        let file = file_name(name);
        if fresh.outline(name) != Some(old) {
            return Err(WriteError::ChangedSince(file));
        }
        let path = self.outline_path(name);
        let source = Source::read(&path, &file).map_err(|mistake| would_be_wrong(*mistake))?;
        let text = changed(&source, name, old, change).ok_or(WriteError::ChangedSince(file))?;
        let wanted = OutlineRecord {
            title: change.title.clone().unwrap_or_else(|| old.title.clone()),
            number: change.number.or(old.number),
            grade: change.grade.clone().or_else(|| old.grade.clone()),
            outline: change.outline.clone().unwrap_or_else(|| old.outline.clone()),
            ..old.clone()
        };
        let record = fresh.judge(&text, &wanted)?;
        if text != source.text {
            write_whole(&path, text.as_bytes(), true).map_err(|why| WriteError::Disk { path, why })?;
        }
        *self = fresh;
        self.put(record);
        Ok(())
    }

    /// Writes a new outline file, over one that is there only if told to, and
    /// puts the outline into this project.
    ///
    /// # Errors
    /// Nothing is written if the project on the disk has mistakes, the name is
    /// taken, or the outline does not go with the set.
    pub fn add_outline(&mut self, new: &NewOutline, overwrite: bool) -> Result<(), WriteError> {
        let fresh = Project::read(&self.root).map_err(WriteError::Mistakes)?;
        let file = file_name(&new.name);
        if !stem_is_good(&new.name) {
            let fault = Fault::FileName { found: new.name.clone() };
            return Err(would_be_wrong(Mistake { file, place: None, fault }));
        }
        let namesake = fresh.outlines.iter().find(|o| folded(&o.name) == folded(&new.name));
        let path = fresh.outline_path(&new.name);
        match namesake {
            Some(o) if !overwrite || o.name != new.name => {
                return Err(WriteError::Exists(file_name(&o.name)));
            }
            None if path.exists() && !overwrite => return Err(WriteError::Exists(file)),
            _ => {}
        }
        let wanted = OutlineRecord {
            name: new.name.clone(),
            title: new.title.clone(),
            number: new.number,
            grade: None,
            note: new.note.clone(),
            outline: new.outline.clone(),
        };
        let text = new_text(&wanted, &new.comment);
        let record = fresh.judge(&text, &wanted)?;
        let written = fs::create_dir_all(fresh.root.join(OUTLINES))
            .and_then(|()| write_whole(&path, text.as_bytes(), overwrite));
        written.map_err(|why| match why.kind() {
            io::ErrorKind::AlreadyExists => WriteError::Exists(file),
            _ => WriteError::Disk { path, why },
        })?;
        *self = fresh;
        self.put(record);
        Ok(())
    }

    /// What a new text of an outline's file shows, if it is sound, goes with
    /// the rest of the project, and is what was wanted.
    fn judge(&self, text: &str, wanted: &OutlineRecord) -> Result<OutlineRecord, WriteError> {
        let name = wanted.name.as_str();
        let source = Source::new(&file_name(name), text.to_owned());
        let (file, mut mistakes) = OutlineFile::read(&source);
        if let Some((span, fault)) = file.area(self.set.blocks()) {
            mistakes.push(source.mistake(span, fault));
        }
        for other in self.outlines.iter().filter(|o| o.name != name) {
            let by = format!("the outline '{}'", other.name);
            if let Some((title, span)) = file.title.as_ref().filter(|t| folded(&t.0) == folded(&other.title))
            {
                let fault = Fault::Taken { what: "title", found: title.clone(), by: by.clone() };
                mistakes.push(source.mistake(span.clone(), fault));
            }
            if let Some((number, span)) = file.number.as_ref().filter(|n| Some(n.0) == other.number) {
                let fault = Fault::Taken { what: "number", found: number.to_string(), by };
                mistakes.push(source.mistake(span.clone(), fault));
            }
        }
        if let Some(report) = Report::of(mistakes) {
            return Err(WriteError::WouldBeWrong(report));
        }
        let record = file.record(name).expect("a file without a mistake is complete");
        let as_wanted = at_origin(&record.outline) == at_origin(&wanted.outline)
            && record == OutlineRecord { outline: record.outline.clone(), ..wanted.clone() };
        if as_wanted {
            return Ok(record);
        }
        // Only a title that the file cannot hold as it is gets here unseen.
        let fault = Fault::Title { key: "title".into(), limit: limits::TITLE };
        Err(would_be_wrong(Mistake { file: file_name(name), place: None, fault }))
    }

    fn put(&mut self, record: OutlineRecord) {
        match self.outlines.binary_search_by(|o| o.name.cmp(&record.name)) {
            Ok(at) => self.outlines[at] = record,
            Err(at) => self.outlines.insert(at, record),
        }
    }
}

pub(crate) fn would_be_wrong(mistake: Mistake) -> WriteError {
    WriteError::WouldBeWrong(Report::of(vec![mistake]).expect("it has a mistake"))
}

/// The outline with the lower left of its bounding box at the origin, where
/// drawing it anew puts it.
fn at_origin(outline: &Outline) -> Outline {
    let (low, ..) = outline.bounds();
    outline.moved(Motion::STILL.shifted(-low.x, -low.y))
}

pub(crate) fn string(text: &str) -> String {
    TomlStringBuilder::new(text).as_default().to_toml_value()
}

/// The file's text with the change made; `None` if the file no longer shows
/// `old`.
fn changed(source: &Source, name: &str, old: &OutlineRecord, change: &OutlineChange) -> Option<String> {
    let (file, _) = OutlineFile::read(source);
    if file.record(name).as_ref() != Some(old) {
        return None;
    }
    let (drawn, (_, title)) = (file.drawing?, file.title?);
    let newline = if source.text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut splices = Vec::new();
    if let Some(text) = change.title.as_ref().filter(|&t| *t != old.title) {
        // A title that is none is told as such when the text is judged.
        let text = if title_is_good(text) { string(text) } else { "\"\"".to_owned() };
        splices.push((title, text));
    }
    if let Some(number) = change.number.filter(|&n| Some(n) != old.number) {
        match file.number {
            Some((_, span)) => splices.push((span, number.to_string())),
            None => {
                let start = source.line_start(drawn.key.start);
                splices.push((start..start, format!("number = {number}{newline}")));
            }
        }
    }
    if let Some(grade) = change.grade.as_ref().filter(|&g| Some(g) != old.grade.as_ref()) {
        let text = if title_is_good(grade) { string(grade) } else { "\"\"".to_owned() };
        match file.grade {
            Some((_, span)) => splices.push((span, text)),
            None => {
                let start = source.line_start(drawn.key.start);
                splices.push((start..start, format!("grade = {text}{newline}")));
            }
        }
    }
    if let Some(outline) = &change.outline {
        let raw = &source.text[drawn.value.clone()];
        let there = DrawingText::new(raw, drawn.value.start, &drawn.text);
        let bare = |o: &Outline| (o.cells().to_vec(), o.pockets().to_vec());
        match there.marks_to_change(&old.outline, outline) {
            Some(marks) => splices.extend(marks.into_iter().map(|(at, c)| (at..at + 1, c.to_string()))),
            None if bare(&old.outline) == bare(outline) => {}
            None => splices.push((drawn.value.clone(), print_value(outline, newline))),
        }
        let spare = outline.spare();
        match file.spare {
            _ if spare == old.outline.spare() => {}
            Some(span) => splices.push((span, spare.to_string())),
            None => {
                let start = source.line_start(drawn.key.start);
                splices.push((start..start, format!("spare = {spare}{newline}")));
            }
        }
    }
    splices.sort_by_key(|s| s.0.start);
    let mut text = source.text.clone();
    for (span, new) in splices.into_iter().rev() {
        text.replace_range(span, &new);
    }
    Some(text)
}

fn new_text(wanted: &OutlineRecord, comment: &[String]) -> String {
    let lawful = |line: &String| line.replace(char::is_control, " ");
    let mut text: String = comment.iter().map(|line| format!("# {}\n", lawful(line))).collect();
    text += &format!("title = {}\n", string(&wanted.title));
    if let Some(number) = wanted.number {
        text += &format!("number = {number}\n");
    }
    if let Some(note) = &wanted.note {
        text += &format!("note = {}\n", string(note));
    }
    if wanted.outline.spare() > 0 {
        text += &format!("spare = {}\n", wanted.outline.spare());
    }
    text + &format!("drawing = {}\n", print_value(&wanted.outline, "\n"))
}
