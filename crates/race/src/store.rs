//! The file of races: opened, made, and asked for one race.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags, OptionalExtension, Transaction, TransactionBehavior, params};

use crate::error::RaceError;
use crate::moment::Moment;
use crate::phases::{Phase, RaceOutline, RaceState};
use crate::schema;
use crate::seal::{Goal, GoalKind, Tie};

/// The file, in the project's folder.
pub const FILE: &str = "race.sqlite";

/// The file of races, open. Several programs may have it open at once.
#[derive(Debug)]
pub struct Store {
    pub(crate) db: Connection,
    pub(crate) folder: PathBuf,
}

impl Store {
    /// Opens the file in a project's folder.
    ///
    /// # Errors
    /// There is none, or it is something else.
    pub fn open(folder: &Path) -> Result<Self, RaceError> {
        let path = folder.join(FILE);
        if !path.is_file() {
            return Err(RaceError::NoStore { path });
        }
        Self::at(folder, path)
    }

    /// Opens the file in a project's folder, or makes it, for its owner's eyes alone.
    ///
    /// # Errors
    /// It cannot be made, or is something else.
    pub fn create(folder: &Path) -> Result<Self, RaceError> {
        let path = folder.join(FILE);
        let mut new = std::fs::OpenOptions::new();
        new.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut new, 0o600);
        match new.open(&path) {
            Ok(_) => {}
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(source) => return Err(RaceError::File { path, source }),
        }
        Self::at(folder, path)
    }

    fn at(folder: &Path, path: PathBuf) -> Result<Self, RaceError> {
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut db = Connection::open_with_flags(&path, flags)?;
        db.set_prepared_statement_cache_capacity(64);
        let other = |why: String| RaceError::OtherStore { path: path.clone(), why };
        let not_ours = |e: rusqlite::Error| match e.sqlite_error_code() {
            Some(rusqlite::ErrorCode::NotADatabase) => other("it is no SQLite file".to_owned()),
            _ => RaceError::Store(e),
        };
        schema::wait_for_others(&db)?;
        let kind = schema::kind(&mut db).map_err(not_ours)?;
        match (kind.application, kind.version) {
            (0, 0) if kind.tables > 0 => return Err(other("it holds other tables".to_owned())),
            (0, 0) => {
                schema::prepare(&db)?;
                schema::create(&mut db)?;
            }
            (schema::APPLICATION, schema::VERSION) => schema::prepare(&db)?,
            (schema::APPLICATION, later) => {
                return Err(other(format!("its tables have version {later}, not {}", schema::VERSION)));
            }
            _ => return Err(other("another program made it".to_owned())),
        }
        Ok(Store { db, folder: folder.to_owned() })
    }

    /// A transaction that is alone in writing from its start.
    pub(crate) fn transaction(&mut self) -> Result<Transaction<'_>, RaceError> {
        Ok(self.db.transaction_with_behavior(TransactionBehavior::Immediate)?)
    }

    /// The names of the races, in the order of their opening.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn races(&self) -> Result<Vec<String>, RaceError> {
        let mut ask = self.db.prepare("SELECT name FROM race ORDER BY id")?;
        Ok(ask.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?)
    }

    /// A race by its name; the only one there is, where none is named.
    ///
    /// # Errors
    /// No such race, or several and none named.
    pub fn race(&self, name: Option<&str>) -> Result<RaceState, RaceError> {
        let known = self.races()?;
        let name = match (name, &known[..]) {
            (Some(name), _) if known.iter().any(|k| k == name) => name,
            (Some(name), _) => return Err(RaceError::NoRace { found: shortened(name), known }),
            (None, [only]) => only,
            (None, []) => return Err(RaceError::NoStore { path: self.folder.join(FILE) }),
            (None, _) => return Err(RaceError::WhichRace { known }),
        };
        state(&self.db, name)
    }

    /// What SQLite says of the file: "ok", or what is wrong.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn integrity(&self) -> Result<String, RaceError> {
        Ok(self.db.query_row("PRAGMA integrity_check", [], |row| row.get(0))?)
    }
}

/// What a person gave, cut short for a message.
pub(crate) fn shortened(text: &str) -> String {
    let clean: String = text.chars().take(60).collect();
    if clean.len() < text.len() {
        format!("{}…", clean.escape_debug())
    } else {
        clean.escape_debug().to_string()
    }
}

/// A race of a name that is there.
pub(crate) fn state(db: &Connection, name: &str) -> Result<RaceState, RaceError> {
    let damaged = |what: &str| RaceError::Damaged { what: format!("race '{name}': {what}") };
    let found = db
        .prepare_cached(
            "SELECT id, pack, larger, opened, until, tie, proof, mark_key, commitment, rules, closed, revealed
             FROM race WHERE name = ?1",
        )?
        .query_row([name], |row| {
            let text = |at| row.get::<_, String>(at);
            let phase = match (row.get::<_, Option<String>>(10)?, row.get::<_, Option<String>>(11)?) {
                (_, Some(at)) => Phase::Revealed { at },
                (Some(at), None) => Phase::Closed { at },
                (None, None) => Phase::Open,
            };
            Ok((row.get(0)?, text(1)?, row.get(2)?, [text(3)?, text(4)?], text(5)?, row.get(6)?, row.get(7)?, [
                text(8)?,
                text(9)?,
            ], phase))
        })
        .optional()?;
    let Some((id, pack, larger, [opened, until], tie, proof, mark_key, [commitment, rules], phase)) = found
    else {
        return Err(RaceError::NoRace { found: shortened(name), known: Vec::new() });
    };
    let moment = |text: &str| Moment::parse(text).map_err(|_| damaged("a moment cannot be read"));
    let mut ask = db.prepare_cached("SELECT kind, prize FROM goal WHERE race = ?1")?;
    let rows = ask.query_map([id], |row| Ok((row.get::<_, String>(0)?, row.get(1)?)))?;
    let mut goals = Vec::new();
    for row in rows {
        let (kind, prize) = row?;
        goals.push(Goal { kind: GoalKind::of_word(&kind).ok_or_else(|| damaged("a goal"))?, prize });
    }
    goals.sort_by_key(|goal| goal.kind);
    let mut ask = db.prepare_cached(
        "SELECT name, title, number, in_pack FROM outline WHERE race = ?1 ORDER BY position",
    )?;
    let outline = |row: &rusqlite::Row| {
        Ok(RaceOutline { name: row.get(0)?, title: row.get(1)?, number: row.get(2)?, in_pack: row.get(3)? })
    };
    let outlines = ask.query_map(params![id], outline)?.collect::<Result<_, _>>()?;
    Ok(RaceState {
        id,
        name: name.to_owned(),
        pack,
        larger,
        opened: moment(&opened)?,
        until: moment(&until)?,
        tie: Tie::of_word(&tie).ok_or_else(|| damaged("its rule on ties"))?,
        proof,
        mark_key,
        commitment,
        rules,
        phase,
        goals,
        outlines,
    })
}
