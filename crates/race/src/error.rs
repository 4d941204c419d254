//! Why an act of a race is refused.

use std::path::PathBuf;

use crate::mark::MarkFault;
use crate::moment::{Moment, NotAMoment};
use crate::names::TextFault;

/// Why an act is refused. Nothing is changed by an act that is.
#[derive(Debug, thiserror::Error)]
pub enum RaceError {
    /// The terms of a race have faults.
    #[error("the race is not opened: {}", .faults.join("; "))]
    Terms {
        /// Every fault.
        faults: Vec<String>,
    },
    /// A text is refused.
    #[error(transparent)]
    Text(#[from] TextFault),
    /// A text is no moment.
    #[error(transparent)]
    Moment(#[from] NotAMoment),
    /// A text is no entry mark.
    #[error(transparent)]
    Mark(#[from] MarkFault),
    /// A mark that is spelt right but nobody's.
    #[error("nobody in this file has the entry mark {mark}")]
    UnknownMark {
        /// The mark.
        mark: String,
    },
    /// A mark that was put into the file, not made by its key.
    #[error("the entry mark {mark} does not belong to the name and race it stands with in the file")]
    ForgedMark {
        /// The mark.
        mark: String,
    },
    /// Somebody else's mark.
    #[error("the entry mark {mark} is not that of '{name}'")]
    AnothersMark {
        /// The mark.
        mark: String,
        /// The name that was claimed.
        name: String,
    },
    /// A mark of another race.
    #[error("the entry mark {mark} is of the race '{its}', not of '{asked}'")]
    OtherRace {
        /// The mark.
        mark: String,
        /// Its race.
        its: String,
        /// The race that was asked for.
        asked: String,
    },
    /// There is no store yet.
    #[error("there is no race here yet: {} is missing", .path.display())]
    NoStore {
        /// The file.
        path: PathBuf,
    },
    /// The store is something else, or from a later program.
    #[error("{} is not a file of races that this program knows: {why}", .path.display())]
    OtherStore {
        /// The file.
        path: PathBuf,
        /// How that shows.
        why: String,
    },
    /// No race of that name.
    #[error("there is no race '{found}'")]
    NoRace {
        /// The name asked for.
        found: String,
        /// Those that there are.
        known: Vec<String>,
    },
    /// Several races, and none named.
    #[error("there are several races")]
    WhichRace {
        /// Their names.
        known: Vec<String>,
    },
    /// A race of that name is there.
    #[error("there is a race '{name}' already")]
    RaceExists {
        /// The name.
        name: String,
    },
    /// The race is closed.
    #[error("the race '{race}' was closed at {at}")]
    IsClosed {
        /// The race.
        race: String,
        /// When.
        at: String,
    },
    /// The race is not closed yet.
    #[error("the race '{race}' is not closed yet")]
    NotClosed {
        /// The race.
        race: String,
    },
    /// Closing before the deadline.
    #[error("the race '{race}' runs until {until}")]
    StillRuns {
        /// The race.
        race: String,
        /// Its deadline.
        until: String,
    },
    /// The name is taken.
    #[error("'{name}' is registered already, with the entry mark {mark}")]
    NameTaken {
        /// The name as registered.
        name: String,
        /// Its mark.
        mark: String,
    },
    /// No outline of that name or number.
    #[error("the race '{race}' has no outline '{found}'")]
    NoOutline {
        /// The race.
        race: String,
        /// What was asked for.
        found: String,
        /// The names of those that it has.
        known: Vec<String>,
    },
    /// An entrant who has withdrawn.
    #[error("entrant {entrant} withdrew from the race at {at}")]
    Withdrawn {
        /// The entrant's number.
        entrant: i64,
        /// When.
        at: String,
    },
    /// No such entrant.
    #[error("the race '{race}' has no entrant '{found}'")]
    NoEntrant {
        /// The race.
        race: String,
        /// What was asked for.
        found: String,
    },
    /// No such entry.
    #[error("there is no entry {found} in the race '{race}'")]
    NoEntry {
        /// The race.
        race: String,
        /// The number asked for.
        found: i64,
    },
    /// Another's entry.
    #[error("entry {entry} is not by this entrant")]
    AnothersEntry {
        /// The entry.
        entry: i64,
    },
    /// A received time that cannot be.
    #[error("the entry cannot have been received at {at}: {why}")]
    Received {
        /// The time stated.
        at: Moment,
        /// Why not.
        why: String,
    },
    /// The rules ask for a proof.
    #[error("the entry has no proof, and the rules of the race '{race}' ask for one")]
    NoProof {
        /// The race.
        race: String,
    },
    /// Too many files.
    #[error("the entry has {found} proofs; at most {most} are taken")]
    ManyProofs {
        /// How many.
        found: usize,
        /// The most.
        most: usize,
    },
    /// A file that is no proof.
    #[error("{} is not taken as a proof: {why}", .path.display())]
    BadProof {
        /// The file.
        path: PathBuf,
        /// Why not.
        why: String,
    },
    /// One entrant tries without end.
    #[error("entrant {entrant} has put in {most} entries for '{outline}', and more are not taken")]
    ManyEntries {
        /// The entrant's number.
        entrant: i64,
        /// The outline.
        outline: String,
        /// The most.
        most: i64,
    },
    /// The system has no random numbers.
    #[error("the system gives no random numbers: {why}")]
    NoRandomness {
        /// What it said.
        why: String,
    },
    /// A file could not be read or written.
    #[error("{}: {source}", .path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The store could not be read or written.
    #[error("the file of races could not be used: {0}")]
    Store(#[from] rusqlite::Error),
    /// The store holds what the program never wrote.
    #[error("the file of races is damaged: {what}")]
    Damaged {
        /// What shows it.
        what: String,
    },
}

impl RaceError {
    /// What would be right, in a few words.
    pub fn mend(&self) -> String {
        let one_of = |known: &[String]| match known.is_empty() {
            true => "open one first: pinfold race open".to_owned(),
            false => format!("there is {}", known.join(", ")),
        };
        let words = match self {
            RaceError::Terms { .. } => "put these right; nothing was sealed",
            RaceError::Text(_) => "write it in plain letters, and shorter where it is too long",
            RaceError::Moment(_) => "write date, time and zone, such as 2026-12-01T18:00:00+01:00",
            RaceError::Mark(_) => "copy the mark as it was given: twelve symbols, such as 7K3Q-9XW2-MDK4",
            RaceError::UnknownMark { .. } => {
                "ask the entrant for the mark that they were given, or register them"
            }
            RaceError::ForgedMark { .. } => "look into the file's history: pinfold race log --verify",
            RaceError::AnothersMark { .. } => "an entry counts for the mark's own name alone",
            RaceError::OtherRace { .. } => "register the entrant for this race, too",
            RaceError::NoStore { .. } => "open a race: pinfold race open NAME --pack PACK --until MOMENT",
            RaceError::OtherStore { .. } => "move the file away, or use the program that wrote it",
            RaceError::NoRace { known, .. } => return one_of(known),
            RaceError::WhichRace { known } => return format!("name one by --race: {}", known.join(", ")),
            RaceError::RaceExists { .. } => "give it another name: what is sealed stays sealed",
            RaceError::IsClosed { .. } => "nothing more can be put in",
            RaceError::NotClosed { .. } => "close it first: pinfold race close",
            RaceError::StillRuns { .. } => "wait, or say why by --early REASON; the reason is published",
            RaceError::NameTaken { .. } => {
                "another person takes another name; the same person uses this mark"
            }
            RaceError::NoOutline { known, .. } => return one_of(known),
            RaceError::Withdrawn { .. } => "a withdrawal is for good; register under another name",
            RaceError::NoEntrant { .. } => "name an entry mark, an entrant's number or a registered name",
            RaceError::NoEntry { .. } => "pinfold race standings lists the entries",
            RaceError::AnothersEntry { .. } => "name an entry of the mark's own",
            RaceError::Received { .. } => "state when it came in, between the opening and now",
            RaceError::NoProof { .. } => "add the photo: --proof FILE",
            RaceError::ManyProofs { .. } => "keep those that show the mark and the whole outline",
            RaceError::BadProof { .. } => "give a photo or file that can be read",
            RaceError::ManyEntries { .. } => "check those first, and talk to the entrant",
            RaceError::NoRandomness { .. } => "nothing secret can be made on this system",
            RaceError::File { .. } => "see that the folder can be read and written",
            RaceError::Store(_) => "see that nothing else holds the file, and that the disk has room",
            RaceError::Damaged { .. } => "take the last good copy, and compare: pinfold race log --verify",
        };
        words.to_owned()
    }
}
