//! Entries checked: each gets a ruling, and of several the last one holds.

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::{Value, json};

use crate::entry::proofs_again;
use crate::error::RaceError;
use crate::log;
use crate::moment::Moment;
use crate::names;
use crate::store::{Store, state};

/// Entries ruled on in one transaction.
const BATCH: usize = 500;

/// What is said of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    /// The layout's code, if it is accepted; several entries may share it.
    pub code: Option<String>,
    /// Why it is not accepted, in sentences that give no answer away.
    pub reasons: Vec<String>,
}

/// Which entries to check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those that wait.
    Waiting,
    /// One, whether it waits or not.
    One(i64),
    /// All that are not withdrawn, again.
    All,
}

/// An entry with its ruling.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// Its number.
    pub entry: i64,
    /// The entrant's number.
    pub entrant: i64,
    /// The outline's name.
    pub outline: String,
    /// What was said of it.
    pub ruling: Ruling,
}

struct Row {
    entry: i64,
    entrant: i64,
    outline: String,
    layout: String,
}

impl Store {
    /// Checks entries: `judge` says of an outline's name and a layout as written
    /// whether it is right. An entry whose proof another entrant put in before is
    /// rejected, whatever its layout. Rulings are kept a batch at a time, so that a
    /// long check that is broken off has not been for nothing.
    ///
    /// # Errors
    /// No such race or entry.
    pub fn check(
        &mut self,
        race: &str,
        which: Which,
        now: &Moment,
        mut judge: impl FnMut(&str, &str) -> Ruling,
    ) -> Result<Vec<Checked>, RaceError> {
        let state = state(&self.db, race)?;
        let rows = rows(&self.db, state.id, which)?;
        if let (Which::One(found), []) = (which, &rows[..]) {
            return Err(RaceError::NoEntry { race: state.name, found });
        }
        let mut checked = Vec::with_capacity(rows.len());
        for batch in rows.chunks(BATCH) {
            let ruled: Vec<Ruling> = batch.iter().map(|row| judge(&row.outline, &row.layout)).collect();
            let tx = self.transaction()?;
            for (row, mut ruling) in batch.iter().zip(ruled) {
                // Meanwhile another program may have checked it.
                if which == Which::Waiting && is_ruled(&tx, state.id, row.entry)? {
                    continue;
                }
                for proof in proofs_again(&tx, state.id, row.entry, row.entrant)? {
                    if proof.anothers {
                        ruling.code = None;
                        ruling.reasons.push(format!(
                            "Its proof {}… was put in before, with entry {} of another entrant.",
                            &proof.sha256[..12],
                            proof.entry
                        ));
                    }
                }
                put(&tx, state.id, row.entry, &ruling, "rules", now)?;
                let Row { entry, entrant, outline, .. } = row;
                checked.push(Checked { entry: *entry, entrant: *entrant, outline: outline.clone(), ruling });
            }
            tx.commit()?;
        }
        Ok(checked)
    }

    /// Rejects an entry by the maker's own eyes, such as for a photo without a mark.
    ///
    /// # Errors
    /// No such entry; the reason is refused.
    pub fn reject(
        &mut self,
        race: &str,
        entry: i64,
        reason: &str,
        now: &Moment,
    ) -> Result<Checked, RaceError> {
        let reason = names::sentence("reason", reason)?;
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        let row = rows(&tx, state.id, Which::One(entry))?.pop();
        let row = row.ok_or(RaceError::NoEntry { race: state.name, found: entry })?;
        let ruling = Ruling { code: None, reasons: vec![reason] };
        put(&tx, state.id, entry, &ruling, "maker", now)?;
        tx.commit()?;
        Ok(Checked { entry, entrant: row.entrant, outline: row.outline, ruling })
    }
}

fn rows(db: &Connection, race: i64, which: Which) -> Result<Vec<Row>, RaceError> {
    let (condition, entry) = match which {
        Which::Waiting => (
            "e.withdrawn IS NULL AND ?2 IS NULL AND NOT EXISTS
               (SELECT 1 FROM ruling r WHERE r.race = e.race AND r.entry = e.number)",
            None,
        ),
        Which::All => ("e.withdrawn IS NULL AND ?2 IS NULL", None),
        Which::One(entry) => ("e.number = ?2", Some(entry)),
    };
    let mut ask = db.prepare(&format!(
        "SELECT number, entrant, outline, layout FROM entry e WHERE e.race = ?1 AND {condition} ORDER BY number"
    ))?;
    let row = |row: &rusqlite::Row| {
        Ok(Row { entry: row.get(0)?, entrant: row.get(1)?, outline: row.get(2)?, layout: row.get(3)? })
    };
    Ok(ask.query_map(params![race, entry], row)?.collect::<Result<_, _>>()?)
}

fn is_ruled(db: &Connection, race: i64, entry: i64) -> Result<bool, RaceError> {
    let mut ask = db.prepare_cached("SELECT 1 FROM ruling WHERE race = ?1 AND entry = ?2 LIMIT 1")?;
    Ok(ask.query_row([race, entry], |_| Ok(())).optional()?.is_some())
}

fn put(
    db: &Connection,
    race: i64,
    entry: i64,
    ruling: &Ruling,
    by: &str,
    now: &Moment,
) -> Result<(), RaceError> {
    let last: i64 = db
        .prepare_cached("SELECT coalesce(max(number), 0) FROM ruling WHERE race = ?1")?
        .query_row([race], |row| row.get(0))?;
    let accepted = ruling.code.is_some();
    let reasons = Value::from(ruling.reasons.clone()).to_string();
    db.prepare_cached(
        "INSERT INTO ruling (race, number, entry, accepted, code, reasons, ruled)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![race, last + 1, entry, accepted, ruling.code, reasons, now.utc().text()])?;
    // Neither code nor reasons: the log may be published while the race runs.
    log::append(db, race, now, "ruled", json!({ "entry": entry, "accepted": accepted, "by": by }))?;
    Ok(())
}
