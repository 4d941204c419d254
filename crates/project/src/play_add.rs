//! Tries added to `plays.csv`: once accepted, never lost.
//!
//! Writers take turns by a lock on a file of its own (`.plays.lock`, left there).
//! Inside it the file is read anew, checked whole, and replaced in one step by
//! itself and the new rows, forced to the disk before the call returns. So a
//! killed program or a power cut leaves the rows that were there, or those and
//! the new ones, and never half a row. Bytes that were there stay as they were,
//! but for columns that the first line lacks.

use std::collections::BTreeSet;
use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use crate::fault::Fault;
use crate::limits;
use crate::play_cell::{moment, thousandths};
use crate::play_column::{Column, header};
use crate::plays::{PLAYS_FILE, Play, Plays, PlaysFile};
use crate::project::outline_names;
use crate::report::{Mistake, Report};
use crate::source::Source;
use crate::whole_file::write_whole;

const LOCK_FILE: &str = ".plays.lock";
/// How long to wait for another writer.
const PATIENCE: Duration = Duration::from_secs(10);

/// A try to be added.
#[derive(Clone, Debug, PartialEq)]
pub struct NewPlay {
    /// As in [`Play`]; checked like everything in the file.
    pub tester: String,
    /// Likewise.
    pub outline: String,
    /// Likewise.
    pub minutes: f64,
    /// Likewise.
    pub finished: bool,
    /// `None`: the next number of this tester at this outline.
    pub number: Option<u32>,
    /// Likewise.
    pub started: Option<String>,
    /// Likewise.
    pub source: Option<String>,
}

/// What was added.
#[derive(Clone, Debug, PartialEq)]
pub struct Added {
    /// The rows, as they stand in the file now.
    pub added: Vec<Play>,
    /// How many were there already, the same in everything that tells them apart.
    pub already: usize,
}

/// Why nothing was added.
#[derive(Debug, thiserror::Error)]
pub enum NotAdded {
    /// The file, or the file to add, has mistakes.
    #[error("{0}")]
    Mistakes(Report),
    /// With the new rows the file would have mistakes: these, with their lines
    /// counted as if they stood in it.
    #[error("{0}")]
    WouldBeWrong(Report),
    /// A try of these minutes and this outcome is there already.
    #[error("the same try of '{tester}' at '{outline}' is there already, on line {line} of plays.csv")]
    There {
        /// Who.
        tester: String,
        /// At what.
        outline: String,
        /// Where.
        line: usize,
    },
    /// The tester has filled the outline before.
    #[error("'{tester}' has finished '{outline}' already, on line {line} of plays.csv")]
    Finished {
        /// Who.
        tester: String,
        /// At what.
        outline: String,
        /// Where.
        line: usize,
    },
    /// Another program has been writing for too long.
    #[error("another program is writing plays.csv")]
    Busy,
    /// What the system says.
    #[error("plays.csv was not written: {0}")]
    Io(io::Error),
}

impl From<Report> for NotAdded {
    fn from(report: Report) -> Self {
        NotAdded::Mistakes(report)
    }
}

impl From<io::Error> for NotAdded {
    fn from(error: io::Error) -> Self {
        NotAdded::Io(error)
    }
}

impl Plays {
    /// Adds one try to the project in a folder. A try without a number that looks
    /// like one that is there, or that comes after a finish, is refused: a number
    /// of its own says that it is meant.
    ///
    /// # Errors
    /// See [`NotAdded`]; nothing is written then.
    pub fn add(dir: &Path, mut play: NewPlay) -> Result<Added, NotAdded> {
        play.minutes = thousandths(play.minutes);
        let _turn = turn(dir)?;
        let file = PlaysFile::of(dir)?;
        let there = file.as_ref().map_or(&[][..], |f| &f.plays);
        if play.number.is_none() {
            let pair = there.iter().filter(|p| p.tester == play.tester && p.outline == play.outline);
            let whose = |line| (play.tester.clone(), play.outline.clone(), line);
            for p in pair {
                if play.started.is_none() && (p.minutes, p.finished) == (play.minutes, play.finished) {
                    let (tester, outline, line) = whose(p.line);
                    return Err(NotAdded::There { tester, outline, line });
                }
                if p.finished {
                    let (tester, outline, line) = whose(p.line);
                    return Err(NotAdded::Finished { tester, outline, line });
                }
            }
        }
        append(dir, file, vec![play], 0)
    }

    /// Adds the tries of another file of plays, all or none. Rows that are there
    /// already are passed over: those of a tester and a moment of start that are
    /// there, or without one, of a tester, outline, number, minutes and outcome.
    ///
    /// # Errors
    /// See [`NotAdded`]; nothing is written then.
    pub fn add_from(dir: &Path, path: &Path) -> Result<Added, NotAdded> {
        let name = path.display().to_string();
        let source =
            Source::read(path, &name).map_err(|m| Report::of(vec![*m]).expect("there is a mistake"))?;
        let new = PlaysFile::read(source, &outline_names(dir, &mut Vec::new()))?.plays;
        let _turn = turn(dir)?;
        let file = PlaysFile::of(dir)?;
        let there: BTreeSet<Identity> =
            file.iter().flat_map(|f| &f.plays).flat_map(|p| [Identity::of(p), Identity::bare(p)]).collect();
        let all = new.len();
        let fresh: Vec<NewPlay> = new
            .into_iter()
            .filter(|p| !there.contains(&Identity::of(p)))
            .map(|p| NewPlay {
                tester: p.tester,
                outline: p.outline,
                minutes: p.minutes,
                finished: p.finished,
                number: Some(p.number),
                started: p.started,
                source: p.source,
            })
            .collect();
        let already = all - fresh.len();
        append(dir, file, fresh, already)
    }
}

/// What makes two rows one try.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Identity {
    Started(String, i64),
    Bare(String, String, u32, u64, bool),
}

impl Identity {
    fn of(play: &Play) -> Self {
        match play.started.as_deref().and_then(moment) {
            Some(moment) => Identity::Started(play.tester.clone(), moment),
            None => Identity::bare(play),
        }
    }

    fn bare(play: &Play) -> Self {
        let (tester, outline) = (play.tester.clone(), play.outline.clone());
        Identity::Bare(tester, outline, play.number, play.minutes.to_bits(), play.finished)
    }
}

/// This writer's turn: until the file is closed.
fn turn(dir: &Path) -> Result<File, NotAdded> {
    let lock = OpenOptions::new().create(true).truncate(false).write(true).open(dir.join(LOCK_FILE))?;
    let until = Instant::now() + PATIENCE;
    loop {
        match lock.try_lock() {
            Ok(()) => return Ok(lock),
            Err(TryLockError::WouldBlock) if Instant::now() < until => {
                thread::sleep(Duration::from_millis(20))
            }
            Err(TryLockError::WouldBlock) => return Err(NotAdded::Busy),
            Err(TryLockError::Error(e)) => return Err(e.into()),
        }
    }
}

fn append(dir: &Path, file: Option<PlaysFile>, new: Vec<NewPlay>, already: usize) -> Result<Added, NotAdded> {
    if new.is_empty() {
        return Ok(Added { added: Vec::new(), already });
    }
    let old = file.as_ref().map_or(0, |f| f.plays.len());
    let text = with_rows(file, &new);
    if text.len() as u64 > limits::FILE_BYTES {
        let fault = Fault::FileTooLarge { limit: limits::FILE_BYTES };
        let whole = Mistake { file: PLAYS_FILE.to_owned(), place: None, fault };
        return Err(NotAdded::WouldBeWrong(Report::of(vec![whole]).expect("there is a mistake")));
    }
    // Read back as whoever comes next will read it, before anything is written.
    let source = Source::new(PLAYS_FILE, text.clone());
    let outlines = outline_names(dir, &mut Vec::new());
    let read = PlaysFile::read(source, &outlines).map_err(NotAdded::WouldBeWrong)?;
    write_whole(&dir.join(PLAYS_FILE), text.as_bytes(), true)?;
    Ok(Added { added: read.plays[old..].to_vec(), already })
}

/// The file's text with rows at its end.
fn with_rows(file: Option<PlaysFile>, new: &[NewPlay]) -> String {
    let (mut text, separator, columns) = match file {
        Some(mut file) => {
            let lacks: Vec<Column> = Column::ALL.into_iter().filter(|c| !file.columns.contains(c)).collect();
            let mut text = file.source.text;
            for column in lacks.iter().rev() {
                text.insert_str(file.header.end, &format!("{}{}", file.separator, column.name()));
            }
            file.columns.extend(lacks);
            (text, file.separator, file.columns)
        }
        None => (header() + "\n", ',', Column::ALL.to_vec()),
    };
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    if !text.ends_with('\n') {
        text += end;
    }
    for play in new {
        let cells: Vec<String> = columns.iter().map(|column| cell(play, *column)).collect();
        text += &cells.join(&separator.to_string());
        text += end;
    }
    text
}

fn cell(play: &NewPlay, column: Column) -> String {
    match column {
        Column::Tester => play.tester.clone(),
        Column::Outline => play.outline.clone(),
        // To the thousandth: a sixteenth of a second.
        Column::Minutes => {
            let text = format!("{:.3}", play.minutes);
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        Column::Finished => if play.finished { "yes" } else { "no" }.to_owned(),
        Column::Try => play.number.map_or(String::new(), |n| n.to_string()),
        Column::Started => play.started.clone().unwrap_or_default(),
        Column::Source => play.source.clone().unwrap_or_default(),
    }
}
