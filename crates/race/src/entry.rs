//! An entry put in: once, in order, with its time.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::json;

use crate::digest::{hex, sha256};
use crate::entrant;
use crate::error::RaceError;
use crate::log;
use crate::mark::Mark;
use crate::moment::Moment;
use crate::names;
use crate::phases::RaceState;
use crate::proof::{MOST_FILES, Proof};
use crate::seal::random;
use crate::store::{Store, shortened, state};

/// Most entries that one entrant may put in for one outline.
const MOST_TRIES: i64 = 100;

/// An entry as it is given.
#[derive(Clone, Debug, Default)]
pub struct NewEntry {
    /// The entrant's mark, as written.
    pub mark: String,
    /// The race it is meant for, if that was said; the mark tells it, too.
    pub race: Option<String>,
    /// The entrant's name, if that was said: then it must be the mark's.
    pub name: Option<String>,
    /// The outline's name or number.
    pub outline: String,
    /// The layout, as written.
    pub layout: String,
    /// Photos and files.
    pub proofs: Vec<Proof>,
    /// When it was received, if the maker states that; else it is now.
    pub received: Option<Moment>,
}

/// A proof that was put in before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofAgain {
    /// Its SHA-256.
    pub sha256: String,
    /// The first entry that has it.
    pub entry: i64,
    /// Whether that is by another entrant.
    pub anothers: bool,
}

/// What is answered to an entry. When it is, the entry is on the disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Receipt {
    /// The race.
    pub race: String,
    /// The entry's number.
    pub entry: i64,
    /// The entrant's number.
    pub entrant: i64,
    /// The outline's name.
    pub outline: String,
    /// The same entry was there; nothing was added.
    pub repeated: bool,
    /// When it was received.
    pub received: Moment,
    /// Whether the maker stated that time.
    pub stated: bool,
    /// It came after the deadline: it is kept, and does not count.
    pub late: bool,
    /// Proofs that were put in before.
    pub again: Vec<ProofAgain>,
    /// The salt that the layout's seal was made with, for the entrant to keep.
    pub salt: String,
    /// What the log has of the layout.
    pub seal: String,
}

/// What the log has of a layout: nobody can guess it without the salt.
pub(crate) fn layout_seal(salt: &[u8], outline: &str, layout: &str) -> String {
    sha256(format!("pinfold entry 1\n{}\n{outline}\n{layout}\n", hex(salt)).as_bytes())
}

/// What two entries share that are the same.
fn digest(layout: &str, proofs: &[Proof]) -> String {
    // Spaces say nothing, and blank lines neither; capitals may.
    let rows = layout.lines().map(|row| row.split_whitespace().collect::<String>());
    let plain = rows.filter(|row| !row.is_empty()).collect::<Vec<_>>().join("\n");
    let mut hashes: Vec<&str> = proofs.iter().map(|p| p.sha256.as_str()).collect();
    hashes.sort_unstable();
    sha256(format!("{plain}\n{}\n", hashes.join("\n")).as_bytes())
}

impl Store {
    /// Takes an entry. The same entry given again is told, not doubled; one that
    /// comes late is kept and does not count.
    ///
    /// # Errors
    /// The mark is nobody's or another's, the outline is none of the race's, a text
    /// or a time is refused, or the race is closed; then nothing is kept.
    pub fn enter(&mut self, new: &NewEntry, now: &Moment) -> Result<Receipt, RaceError> {
        let folder = self.folder.clone();
        let tx = self.transaction()?;
        let receipt = take(&tx, &folder, new, now)?;
        tx.commit()?;
        Ok(receipt)
    }

    /// Takes many entries, in their order; when it answers, those taken are on the
    /// disk. Each by itself is taken or refused as by [`Store::enter`].
    ///
    /// # Errors
    /// The store fails; then none is kept.
    pub fn enter_all(
        &mut self,
        new: &[NewEntry],
        now: &Moment,
    ) -> Result<Vec<Result<Receipt, RaceError>>, RaceError> {
        let folder = self.folder.clone();
        let mut tx = self.transaction()?;
        let mut answers = Vec::with_capacity(new.len());
        for new in new {
            let point = tx.savepoint()?;
            match take(&point, &folder, new, now) {
                Ok(receipt) => {
                    point.commit()?;
                    answers.push(Ok(receipt));
                }
                Err(e @ (RaceError::Store(_) | RaceError::Damaged { .. })) => return Err(e),
                // What was begun goes with the savepoint.
                Err(e) => answers.push(Err(e)),
            }
        }
        tx.commit()?;
        Ok(answers)
    }
}

/// Takes one entry within a transaction.
fn take(db: &Connection, folder: &Path, new: &NewEntry, now: &Moment) -> Result<Receipt, RaceError> {
    let mark = Mark::parse(&new.mark)?;
    let layout = names::layout(&new.layout)?;
    let mut proofs = new.proofs.clone();
    proofs.sort_by(|a, b| a.sha256.cmp(&b.sha256));
    proofs.dedup();
    if proofs.len() > MOST_FILES {
        return Err(RaceError::ManyProofs { found: proofs.len(), most: MOST_FILES });
    }
    let mut salt = [0; 32];
    random(&mut salt)?;
    let entrant = entrant::of_mark(db, &mark)?;
    if let Some(asked) = new.race.as_ref().filter(|asked| **asked != entrant.race_name) {
        let (mark, asked) = (mark.to_string(), shortened(asked));
        return Err(RaceError::OtherRace { mark, its: entrant.race_name, asked });
    }
    if let Some(name) = &new.name {
        let claimed = names::folded(&names::name(name)?);
        if entrant.name.as_deref().map(names::folded) != Some(claimed) {
            return Err(RaceError::AnothersMark { mark: mark.to_string(), name: shortened(name) });
        }
    }
    let race = state(db, &entrant.race_name)?;
    race.must_be_open()?;
    if let Some(at) = entrant.withdrawn {
        return Err(RaceError::Withdrawn { entrant: entrant.number, at });
    }
    let outline = outline_called(&race, &new.outline)?;
    if race.proof && proofs.is_empty() {
        return Err(RaceError::NoProof { race: race.name });
    }
    let received = received(&race, new.received.as_ref(), now)?;
    let digest = digest(&layout, &proofs);
    if let Some(receipt) = same(db, &race, entrant.number, &outline, &digest)? {
        return Ok(receipt);
    }
    let tries: i64 = db
        .prepare_cached("SELECT count(*) FROM entry WHERE race = ?1 AND entrant = ?2 AND outline = ?3")?
        .query_row(params![race.id, entrant.number, outline], |row| row.get(0))?;
    if tries >= MOST_TRIES {
        return Err(RaceError::ManyEntries { entrant: entrant.number, outline, most: MOST_TRIES });
    }
    let last: i64 = db
        .prepare_cached("SELECT coalesce(max(number), 0) FROM entry WHERE race = ?1")?
        .query_row([race.id], |row| row.get(0))?;
    let (entry, stated) = (last + 1, new.received.is_some());
    db.prepare_cached(
        "INSERT INTO entry (race, number, entrant, outline, layout, salt, digest, received, received_us,
           stated) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )?
    .execute(params![
        race.id,
        entry,
        entrant.number,
        outline,
        layout,
        salt,
        digest,
        received.text(),
        received.micros(),
        stated
    ])?;
    for proof in &proofs {
        proof.keep(folder)?;
        db.prepare_cached(
            "INSERT INTO proof (race, entry, sha256, file, bytes) VALUES (?1, ?2, ?3, ?4, ?5)",
        )?
        .execute(params![race.id, entry, proof.sha256, proof.file(), proof.bytes.len() as i64])?;
    }
    let again = proofs_again(db, race.id, entry, entrant.number)?;
    let late = received > race.until;
    let seal = layout_seal(&salt, &outline, &layout);
    let hashes: Vec<&str> = proofs.iter().map(|p| p.sha256.as_str()).collect();
    let body = json!({
        "entry": entry, "entrant": entrant.number, "outline": outline, "received": received.text(),
        "stated": stated, "late": late, "layout": seal, "proofs": hashes,
    });
    log::append(db, race.id, now, "entered", body)?;
    let (race, entrant, salt) = (race.name, entrant.number, hex(&salt));
    Ok(Receipt { race, entry, entrant, outline, repeated: false, received, stated, late, again, salt, seal })
}

/// The receipt of the same entry, if it is there.
fn same(
    db: &Connection,
    race: &RaceState,
    entrant: i64,
    outline: &str,
    digest: &str,
) -> Result<Option<Receipt>, RaceError> {
    let found = db
        .prepare_cached(
            "SELECT number, received, stated, salt, layout FROM entry WHERE race = ?1 AND entrant = ?2
               AND outline = ?3 AND digest = ?4 AND withdrawn IS NULL",
        )?
        .query_row(params![race.id, entrant, outline, digest], |row| {
            let salt: [u8; 32] = row.get(3)?;
            Ok((row.get(0)?, row.get::<_, String>(1)?, row.get(2)?, salt, row.get::<_, String>(4)?))
        })
        .optional()?;
    let Some((entry, received, stated, salt, layout)) = found else { return Ok(None) };
    let received = Moment::parse(&received)?;
    Ok(Some(Receipt {
        race: race.name.clone(),
        entry,
        entrant,
        outline: outline.to_owned(),
        repeated: true,
        late: received > race.until,
        received,
        stated,
        again: proofs_again(db, race.id, entry, entrant)?,
        salt: hex(&salt),
        seal: layout_seal(&salt, outline, &layout),
    }))
}

/// An outline by its name or its printed number.
fn outline_called(race: &RaceState, text: &str) -> Result<String, RaceError> {
    let wanted = text.trim();
    let number: Option<u32> = wanted.parse().ok();
    let found = race
        .outlines
        .iter()
        .find(|o| o.name == wanted)
        .or_else(|| race.outlines.iter().find(|o| number.is_some() && o.number == number));
    found.map(|o| o.name.clone()).ok_or_else(|| RaceError::NoOutline {
        race: race.name.clone(),
        found: shortened(text),
        known: race.outlines.iter().map(|o| o.name.clone()).collect(),
    })
}

fn received(race: &RaceState, stated: Option<&Moment>, now: &Moment) -> Result<Moment, RaceError> {
    let Some(at) = stated else { return Ok(now.utc()) };
    let bad = |why: &str| Err(RaceError::Received { at: at.clone(), why: why.to_owned() });
    match at {
        at if *at < race.opened => bad("the race was opened later"),
        at if at > now => bad("that is still to come"),
        at => Ok(at.clone()),
    }
}

/// The proofs of an entry that earlier entries have, too; withdrawn ones count.
pub(crate) fn proofs_again(
    db: &Connection,
    race: i64,
    entry: i64,
    entrant: i64,
) -> Result<Vec<ProofAgain>, RaceError> {
    // Another's entry is told before one's own, and of each the first.
    let mut ask = db.prepare_cached(
        "SELECT p.sha256, o.entry, e.entrant <> ?3 AS anothers FROM proof p
         JOIN proof o ON o.race = p.race AND o.sha256 = p.sha256 AND o.entry < p.entry
         JOIN entry e ON e.race = o.race AND e.number = o.entry
         WHERE p.race = ?1 AND p.entry = ?2 ORDER BY p.sha256, anothers DESC, o.entry",
    )?;
    let row = |row: &rusqlite::Row| {
        Ok(ProofAgain { sha256: row.get(0)?, entry: row.get(1)?, anothers: row.get(2)? })
    };
    let mut found: Vec<ProofAgain> =
        ask.query_map(params![race, entry, entrant], row)?.collect::<Result<_, _>>()?;
    found.dedup_by(|later, first| later.sha256 == first.sha256);
    Ok(found)
}
