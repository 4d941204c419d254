//! Entrants: registered under a name, known by their mark, withdrawn if they wish.

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::json;

use crate::digest::{hex, sha256};
use crate::error::RaceError;
use crate::log;
use crate::mark::Mark;
use crate::moment::Moment;
use crate::names;
use crate::phases::RaceState;
use crate::seal::random;
use crate::store::{Store, shortened, state};

/// What an entrant gets at registration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Registered {
    /// The race.
    pub race: String,
    /// Their number in the log, which names nobody.
    pub entrant: i64,
    /// The name, in the form it is kept.
    pub name: String,
    /// The mark to show in photos.
    pub mark: Mark,
}

/// An entrant, found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entrant {
    pub(crate) race: i64,
    /// The race's name.
    pub race_name: String,
    /// Their number.
    pub number: i64,
    /// Their name, unless it was erased.
    pub name: Option<String>,
    /// When they withdrew.
    pub withdrawn: Option<String>,
}

/// The salted hash that the log holds of a person.
pub(crate) fn tag(salt: &[u8; 32], name: &str, contact: Option<&str>, mark: &str) -> String {
    let contact = contact.unwrap_or("-");
    sha256(format!("pinfold entrant 1\n{}\n{name}\n{contact}\n{mark}\n", hex(salt)).as_bytes())
}

/// Whose mark it is.
pub(crate) fn of_mark(db: &Connection, mark: &Mark) -> Result<Entrant, RaceError> {
    let found = db
        .prepare_cached(
            "SELECT e.race, r.name, e.number, p.name, e.withdrawn, r.mark_key FROM entrant e
             JOIN race r ON r.id = e.race
             LEFT JOIN person p ON p.race = e.race AND p.entrant = e.number WHERE e.mark = ?1",
        )?
        .query_row([mark.text()], |row| {
            let (race, race_name, number) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let entrant = Entrant { race, race_name, number, name: row.get(3)?, withdrawn: row.get(4)? };
            Ok((entrant, row.get::<_, [u8; 32]>(5)?))
        })
        .optional()?;
    let Some((entrant, key)) = found else {
        return Err(RaceError::UnknownMark { mark: mark.to_string() });
    };
    let its = entrant.name.as_deref().map(|name| Mark::made(&key, &entrant.race_name, name));
    if its.as_ref() != Some(mark) {
        return Err(RaceError::ForgedMark { mark: mark.to_string() });
    }
    Ok(entrant)
}

/// An entrant by mark, number or name.
pub(crate) fn called(db: &Connection, race: &RaceState, text: &str) -> Result<Entrant, RaceError> {
    if let Ok(mark) = Mark::parse(text) {
        match of_mark(db, &mark) {
            Ok(entrant) if entrant.race == race.id => return Ok(entrant),
            Ok(entrant) => {
                return Err(RaceError::OtherRace {
                    mark: mark.to_string(),
                    its: entrant.race_name,
                    asked: race.name.clone(),
                });
            }
            // Twelve letters may be a name, too.
            Err(RaceError::UnknownMark { .. }) => {}
            Err(e) => return Err(e),
        }
    }
    let number: Option<i64> = text.trim().parse().ok();
    let folded = if text.len() > 1000 { String::new() } else { names::folded(text) };
    let row = |row: &rusqlite::Row| {
        let (number, name, withdrawn) = (row.get(0)?, row.get(1)?, row.get(2)?);
        Ok(Entrant { race: race.id, race_name: race.name.clone(), number, name, withdrawn })
    };
    db.prepare_cached(
        "SELECT e.number, p.name, e.withdrawn FROM entrant e
         LEFT JOIN person p ON p.race = e.race AND p.entrant = e.number
         WHERE e.race = ?1 AND (p.folded = ?2 OR e.number = ?3) ORDER BY p.folded IS ?2 DESC LIMIT 1",
    )?
    .query_row(params![race.id, folded, number], row)
    .optional()?
    .ok_or_else(|| RaceError::NoEntrant { race: race.name.clone(), found: shortened(text) })
}

impl Store {
    /// Registers an entrant and gives them their mark.
    ///
    /// # Errors
    /// The name or contact is refused, or the name is taken; the race is closed.
    pub fn register(
        &mut self,
        race: &str,
        name: &str,
        contact: Option<&str>,
        now: &Moment,
    ) -> Result<Registered, RaceError> {
        let name = names::name(name)?;
        let contact = contact.map(|contact| names::sentence("contact", contact)).transpose()?;
        let folded = names::folded(&name);
        let mut salt = [0; 32];
        random(&mut salt)?;
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        state.must_be_open()?;
        let taken = tx
            .query_row(
                "SELECT p.name, e.mark FROM person p
                 JOIN entrant e ON e.race = p.race AND e.number = p.entrant
                 WHERE p.race = ?1 AND p.folded = ?2",
                params![state.id, folded],
                |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?)),
            )
            .optional()?;
        if let Some((name, mark)) = taken {
            return Err(RaceError::NameTaken { name, mark: Mark::parse(&mark)?.to_string() });
        }
        let mark = Mark::made(&state.mark_key, &state.name, &name);
        let last: i64 = tx.query_row(
            "SELECT coalesce(max(number), 0) FROM entrant WHERE race = ?1",
            [state.id],
            |row| row.get(0),
        )?;
        let number = last + 1;
        let tag = tag(&salt, &name, contact.as_deref(), mark.text());
        tx.execute(
            "INSERT INTO entrant (race, number, mark, tag, registered) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![state.id, number, mark.text(), tag, now.utc().text()],
        )?;
        tx.execute(
            "INSERT INTO person (race, entrant, salt, name, folded, contact) VALUES (?1,?2,?3,?4,?5,?6)",
            params![state.id, number, salt, name, folded, contact],
        )?;
        log::append(&tx, state.id, now, "registered", json!({ "entrant": number, "person": tag }))?;
        tx.commit()?;
        Ok(Registered { race: state.name, entrant: number, name, mark })
    }

    /// Finds an entrant by mark, number or name.
    ///
    /// # Errors
    /// There is none.
    pub fn entrant(&self, race: &RaceState, text: &str) -> Result<Entrant, RaceError> {
        called(&self.db, race, text)
    }

    /// Withdraws an entrant, or one entry of theirs. `false` if that was done before.
    ///
    /// # Errors
    /// There is no such entry of theirs; the race is closed.
    pub fn withdraw(
        &mut self,
        race: &str,
        entrant: &str,
        entry: Option<i64>,
        now: &Moment,
    ) -> Result<bool, RaceError> {
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        state.must_be_open()?;
        let entrant = called(&tx, &state, entrant)?;
        let at = now.utc();
        let done = match entry {
            None if entrant.withdrawn.is_some() => false,
            None => {
                tx.execute(
                    "UPDATE entrant SET withdrawn = ?3 WHERE race = ?1 AND number = ?2",
                    params![state.id, entrant.number, at.text()],
                )?;
                log::append(&tx, state.id, now, "withdrew", json!({ "entrant": entrant.number }))?;
                true
            }
            Some(entry) => {
                let found = tx
                    .query_row(
                        "SELECT entrant, withdrawn FROM entry WHERE race = ?1 AND number = ?2",
                        params![state.id, entry],
                        |row| Ok((row.get::<_, i64>(0)?, row.get::<_, Option<String>>(1)?)),
                    )
                    .optional()?;
                match found {
                    None => return Err(RaceError::NoEntry { race: state.name, found: entry }),
                    Some((by, _)) if by != entrant.number => return Err(RaceError::AnothersEntry { entry }),
                    Some((_, Some(_))) => false,
                    Some((_, None)) => {
                        tx.execute(
                            "UPDATE entry SET withdrawn = ?3 WHERE race = ?1 AND number = ?2",
                            params![state.id, entry, at.text()],
                        )?;
                        let body = json!({ "entrant": entrant.number, "entry": entry });
                        log::append(&tx, state.id, now, "withdrew", body)?;
                        true
                    }
                }
            }
        };
        tx.commit()?;
        Ok(done)
    }
}
