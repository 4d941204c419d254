//! The tables, and the pragmas that make an answer durable.
//!
//! Write-ahead log with `synchronous = FULL`: a commit is on the disk before it is
//! answered. `secure_delete`: what is erased is overwritten. Triggers keep the log,
//! rulings and entries from being changed by whatever opens the file.

use std::time::{Duration, Instant};

use rusqlite::{Connection, ErrorCode, TransactionBehavior};

use crate::error::RaceError;

/// Marks the file as ours in its header: "PfRc".
pub(crate) const APPLICATION: i32 = 0x5066_5263;
/// The version of the tables.
pub(crate) const VERSION: i32 = 1;
/// How long one program waits for another.
const PATIENCE: Duration = Duration::from_secs(30);
/// How soon what was refused is tried again.
const AGAIN: Duration = Duration::from_millis(5);

const TABLES: &str = "
CREATE TABLE race (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  pack TEXT NOT NULL,
  larger TEXT,
  opened TEXT NOT NULL,
  opened_us INTEGER NOT NULL,
  until TEXT NOT NULL,
  until_us INTEGER NOT NULL,
  tie TEXT NOT NULL CHECK (tie IN ('receipt', 'shared')),
  proof INTEGER NOT NULL CHECK (proof IN (0, 1)),
  mark_key BLOB NOT NULL CHECK (length(mark_key) = 32),
  sealed TEXT NOT NULL,
  commitment TEXT NOT NULL,
  rules TEXT NOT NULL,
  closed TEXT,
  revealed TEXT
) STRICT;

CREATE TABLE goal (
  race INTEGER NOT NULL REFERENCES race (id),
  kind TEXT NOT NULL CHECK (kind IN ('all', 'larger', 'most')),
  prize TEXT,
  PRIMARY KEY (race, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE outline (
  race INTEGER NOT NULL REFERENCES race (id),
  name TEXT NOT NULL,
  position INTEGER NOT NULL,
  title TEXT NOT NULL,
  number INTEGER,
  in_pack INTEGER NOT NULL CHECK (in_pack IN (0, 1)),
  PRIMARY KEY (race, name)
) STRICT, WITHOUT ROWID;

CREATE TABLE entrant (
  race INTEGER NOT NULL REFERENCES race (id),
  number INTEGER NOT NULL,
  mark TEXT NOT NULL UNIQUE,
  tag TEXT NOT NULL,
  registered TEXT NOT NULL,
  withdrawn TEXT,
  PRIMARY KEY (race, number)
) STRICT;

-- All that is known of people, and the only place it stands.
CREATE TABLE person (
  race INTEGER NOT NULL,
  entrant INTEGER NOT NULL,
  salt BLOB NOT NULL CHECK (length(salt) = 32),
  name TEXT NOT NULL,
  folded TEXT NOT NULL,
  contact TEXT,
  PRIMARY KEY (race, entrant),
  UNIQUE (race, folded),
  FOREIGN KEY (race, entrant) REFERENCES entrant (race, number)
) STRICT;

CREATE TABLE entry (
  race INTEGER NOT NULL,
  number INTEGER NOT NULL,
  entrant INTEGER NOT NULL,
  outline TEXT NOT NULL,
  layout TEXT NOT NULL,
  salt BLOB NOT NULL CHECK (length(salt) = 32),
  digest TEXT NOT NULL,
  received TEXT NOT NULL,
  received_us INTEGER NOT NULL,
  stated INTEGER NOT NULL CHECK (stated IN (0, 1)),
  withdrawn TEXT,
  PRIMARY KEY (race, number),
  FOREIGN KEY (race, entrant) REFERENCES entrant (race, number),
  FOREIGN KEY (race, outline) REFERENCES outline (race, name)
) STRICT;
CREATE INDEX entry_by_entrant ON entry (race, entrant, outline);
CREATE UNIQUE INDEX entry_once ON entry (race, entrant, outline, digest) WHERE withdrawn IS NULL;

CREATE TABLE proof (
  race INTEGER NOT NULL,
  entry INTEGER NOT NULL,
  sha256 TEXT NOT NULL,
  file TEXT NOT NULL,
  bytes INTEGER NOT NULL,
  PRIMARY KEY (race, entry, sha256),
  FOREIGN KEY (race, entry) REFERENCES entry (race, number)
) STRICT;
CREATE INDEX proof_by_hash ON proof (race, sha256, entry);

-- Of an entry's rulings the last one holds.
CREATE TABLE ruling (
  race INTEGER NOT NULL,
  number INTEGER NOT NULL,
  entry INTEGER NOT NULL,
  accepted INTEGER NOT NULL CHECK (accepted IN (0, 1)),
  code TEXT,
  reasons TEXT NOT NULL,
  ruled TEXT NOT NULL,
  PRIMARY KEY (race, number),
  FOREIGN KEY (race, entry) REFERENCES entry (race, number)
) STRICT;
CREATE INDEX ruling_by_entry ON ruling (race, entry, number);

CREATE TABLE log (
  race INTEGER NOT NULL REFERENCES race (id),
  seq INTEGER NOT NULL,
  line TEXT NOT NULL,
  hash TEXT NOT NULL,
  PRIMARY KEY (race, seq)
) STRICT;

CREATE TRIGGER log_no_update BEFORE UPDATE ON log
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;
CREATE TRIGGER log_no_delete BEFORE DELETE ON log
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;
-- Also keeps REPLACE from taking a line out.
CREATE TRIGGER log_in_order BEFORE INSERT ON log
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM log WHERE race = NEW.race)
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;

CREATE TRIGGER ruling_no_update BEFORE UPDATE ON ruling
BEGIN SELECT RAISE(ABORT, 'rulings are only added to'); END;
CREATE TRIGGER ruling_no_delete BEFORE DELETE ON ruling
BEGIN SELECT RAISE(ABORT, 'rulings are only added to'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never taken out'); END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
WHEN OLD.withdrawn IS NOT NULL OR NEW.race IS NOT OLD.race OR NEW.number IS NOT OLD.number
  OR NEW.entrant IS NOT OLD.entrant OR NEW.outline IS NOT OLD.outline OR NEW.layout IS NOT OLD.layout
  OR NEW.salt IS NOT OLD.salt OR NEW.digest IS NOT OLD.digest OR NEW.received IS NOT OLD.received
  OR NEW.received_us IS NOT OLD.received_us OR NEW.stated IS NOT OLD.stated
BEGIN SELECT RAISE(ABORT, 'of an entry only its withdrawal can be noted, once'); END;
CREATE TRIGGER sealed_stays BEFORE UPDATE OF name, sealed, commitment, rules, until, until_us, tie ON race
BEGIN SELECT RAISE(ABORT, 'what is sealed stays sealed'); END;
";

/// Another program may be at the file: it is waited for.
pub(crate) fn wait_for_others(db: &Connection) -> Result<(), rusqlite::Error> {
    db.busy_timeout(PATIENCE)
}

/// What is set on every connection, before anything else.
pub(crate) fn prepare(db: &Connection) -> Result<(), rusqlite::Error> {
    db.pragma_update(None, "foreign_keys", true)?;
    db.pragma_update(None, "recursive_triggers", true)?;
    db.pragma_update(None, "secure_delete", true)?;
    db.pragma_update(None, "trusted_schema", false)?;
    write_ahead(db)?;
    db.pragma_update(None, "synchronous", "full")
}

/// Turns the write-ahead log on. Where two programs do so on a new file at once, SQLite
/// refuses one of them without waiting, lest both wait for each other: it tries again.
fn write_ahead(db: &Connection) -> Result<(), rusqlite::Error> {
    let started = Instant::now();
    loop {
        match db.pragma_update(None, "journal_mode", "wal") {
            Err(e)
                if e.sqlite_error_code() == Some(ErrorCode::DatabaseBusy) && started.elapsed() < PATIENCE =>
            {
                std::thread::sleep(AGAIN);
            }
            done => return done,
        }
    }
}

/// What a file is.
pub(crate) struct Kind {
    /// The mark of the application that made it; 0 if none did.
    pub(crate) application: i32,
    /// The version of its tables.
    pub(crate) version: i32,
    /// Tables, indices and triggers that it has.
    pub(crate) tables: i64,
}

/// What the file is, all of it at one moment: another program may be making it.
pub(crate) fn kind(db: &mut Connection) -> Result<Kind, rusqlite::Error> {
    let tx = db.transaction()?;
    let (application, version) = versions(&tx)?;
    let tables = tx.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(Kind { application, version, tables })
}

fn versions(db: &Connection) -> Result<(i32, i32), rusqlite::Error> {
    let number = |name| db.pragma_query_value(None, name, |row| row.get(0));
    Ok((number("application_id")?, number("user_version")?))
}

/// Makes the tables in a file that has none. Of two programs that try, one does.
pub(crate) fn create(db: &mut Connection) -> Result<(), RaceError> {
    let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
    if versions(&tx)? == (0, 0) {
        tx.execute_batch(TABLES)?;
        tx.pragma_update(None, "application_id", APPLICATION)?;
        tx.pragma_update(None, "user_version", VERSION)?;
    }
    tx.commit()?;
    Ok(())
}
