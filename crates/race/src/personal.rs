//! What is known of a person: given out whole, or taken out for good.

use std::fs;

use rusqlite::params;
use serde_json::{Value, json};

use crate::digest::hex;
use crate::entrant::called;
use crate::error::RaceError;
use crate::log;
use crate::mark::Mark;
use crate::moment::Moment;
use crate::proof::PROOFS;
use crate::store::{Store, state};

/// What was taken out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Erased {
    /// The entrant's number, which stays.
    pub entrant: i64,
    /// Proofs removed from the disk.
    pub proofs: Vec<String>,
    /// Proofs that stay, because another entrant's entry has the same file.
    pub shared: Vec<String>,
}

impl Store {
    /// All that is kept of an entrant, as one object for them to have.
    ///
    /// # Errors
    /// There is no such entrant.
    pub fn export(&self, race: &str, entrant: &str) -> Result<Value, RaceError> {
        let db = &self.db;
        let state = state(db, race)?;
        let found = called(db, &state, entrant)?;
        let key = params![state.id, found.number];
        let (mark, registered): (String, String) = db.query_row(
            "SELECT mark, registered FROM entrant WHERE race = ?1 AND number = ?2",
            key,
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        let mark = Mark::parse(&mark).map_or(mark, |mark| mark.to_string());
        let person = db
            .prepare("SELECT name, contact, salt FROM person WHERE race = ?1 AND entrant = ?2")?
            .query_map(key, |row| {
                let salt: [u8; 32] = row.get(2)?;
                let (name, contact): (String, Option<String>) = (row.get(0)?, row.get(1)?);
                Ok(json!({ "name": name, "contact": contact, "salt": hex(&salt) }))
            })?
            .next()
            .transpose()?;
        let mut ask = db.prepare(
            "SELECT number, outline, layout, received, stated, withdrawn, salt FROM entry
             WHERE race = ?1 AND entrant = ?2 ORDER BY number",
        )?;
        let mut rows = ask.query(key)?;
        let mut entries = Vec::new();
        while let Some(row) = rows.next()? {
            let entry: i64 = row.get(0)?;
            let (outline, layout): (String, String) = (row.get(1)?, row.get(2)?);
            let (received, stated): (String, bool) = (row.get(3)?, row.get(4)?);
            let withdrawn: Option<String> = row.get(5)?;
            let salt: [u8; 32] = row.get(6)?;
            let proofs: Vec<String> = self.strings(
                "SELECT file FROM proof WHERE race = ?1 AND entry = ?2 ORDER BY file",
                params![state.id, entry],
            )?;
            let mut ask = db.prepare_cached(
                "SELECT accepted, code, reasons, ruled FROM ruling WHERE race = ?1 AND entry = ?2 ORDER BY number",
            )?;
            let rulings: Vec<Value> = ask
                .query_map(params![state.id, entry], |row| {
                    let (accepted, code): (bool, Option<String>) = (row.get(0)?, row.get(1)?);
                    let (reasons, ruled): (String, String) = (row.get(2)?, row.get(3)?);
                    let reasons: Value = serde_json::from_str(&reasons).unwrap_or(Value::Null);
                    Ok(json!({ "accepted": accepted, "code": code, "reasons": reasons, "ruled": ruled }))
                })?
                .collect::<Result<_, _>>()?;
            entries.push(json!({
                "entry": entry, "outline": outline, "layout": layout, "salt": hex(&salt), "received": received, "stated": stated,
                "withdrawn": withdrawn, "proofs": proofs, "rulings": rulings,
            }));
        }
        Ok(json!({
            "race": state.name, "entrant": found.number, "mark": mark, "registered": registered,
            "withdrawn": found.withdrawn, "person": person, "entries": entries,
        }))
    }

    /// Takes out all that is known of a person: name, contact, mark, and their
    /// photos, unless another entrant's entry has the same file. What they solved
    /// stays under their number. The log stays whole: of the person it has only a
    /// hash whose salt is gone now. `None` if that was done before.
    ///
    /// # Errors
    /// There is no such entrant; a photo cannot be removed.
    pub fn erase(&mut self, race: &str, entrant: &str, now: &Moment) -> Result<Option<Erased>, RaceError> {
        let folder = self.folder.join(PROOFS);
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        let found = called(&tx, &state, entrant)?;
        let key = params![state.id, found.number];
        if found.name.is_none() {
            return Ok(None);
        }
        tx.execute("DELETE FROM person WHERE race = ?1 AND entrant = ?2", key)?;
        // A mark is made from the name: whoever has the key could try names on it.
        let gone = format!("erased {} {}", state.id, found.number);
        tx.execute(
            "UPDATE entrant SET mark = ?3 WHERE race = ?1 AND number = ?2",
            params![state.id, found.number, gone],
        )?;
        log::append(&tx, state.id, now, "erased", json!({ "entrant": found.number }))?;
        let mut files: Vec<(String, bool)> = Vec::new();
        {
            // The same file may be another's, in this race or in another one.
            let mut ask = tx.prepare(
                "SELECT DISTINCT p.file, EXISTS (
                   SELECT 1 FROM proof o JOIN entry oe ON oe.race = o.race AND oe.number = o.entry
                   JOIN person op ON op.race = oe.race AND op.entrant = oe.entrant
                   WHERE o.sha256 = p.sha256)
                 FROM proof p JOIN entry e ON e.race = p.race AND e.number = p.entry
                 WHERE e.race = ?1 AND e.entrant = ?2 ORDER BY p.file",
            )?;
            let rows = ask.query_map(key, |row| Ok((row.get(0)?, row.get(1)?)))?;
            for row in rows {
                files.push(row?);
            }
        }
        let mut erased = Erased { entrant: found.number, proofs: Vec::new(), shared: Vec::new() };
        // Before the commit: broken off in between, the person is still there to be erased.
        for (file, shared) in files {
            if shared {
                erased.shared.push(file);
                continue;
            }
            let path = folder.join(&file);
            match fs::remove_file(&path) {
                Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
                    return Err(RaceError::File { path, source });
                }
                _ => erased.proofs.push(file),
            }
        }
        tx.commit()?;
        // Until then the old pages stand in the write-ahead log.
        self.db.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        Ok(Some(erased))
    }

    pub(crate) fn strings(
        &self,
        sql: &str,
        values: &[&dyn rusqlite::ToSql],
    ) -> Result<Vec<String>, RaceError> {
        let mut ask = self.db.prepare_cached(sql)?;
        Ok(ask.query_map(values, |row| row.get(0))?.collect::<Result<_, _>>()?)
    }
}
