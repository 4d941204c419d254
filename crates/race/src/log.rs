//! The log: a line of JSON for every act, each with the SHA-256 of the one before.

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::{Map, Value, json};

use crate::digest::sha256;
use crate::error::RaceError;
use crate::moment::Moment;

/// What stands for the line before the first.
pub(crate) const START: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// A line of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogLine {
    /// Its number, from 1.
    pub seq: i64,
    /// The line, to the byte, without its end.
    pub line: String,
    /// The SHA-256 of the line.
    pub hash: String,
}

/// The number and hash of the last line.
pub(crate) fn head(db: &Connection, race: i64) -> Result<(i64, String), RaceError> {
    let mut ask = db.prepare_cached("SELECT seq, hash FROM log WHERE race = ?1 ORDER BY seq DESC LIMIT 1")?;
    let found = ask.query_row([race], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
    Ok(found.unwrap_or_else(|| (0, START.to_owned())))
}

/// Adds a line; gives its number. To be called within the transaction of the act.
pub(crate) fn append(
    db: &Connection,
    race: i64,
    at: &Moment,
    act: &str,
    body: Value,
) -> Result<i64, RaceError> {
    let (last, previous) = head(db, race)?;
    let seq = last + 1;
    let mut object = Map::new();
    object.insert("seq".into(), json!(seq));
    object.insert("at".into(), json!(at.utc().text()));
    object.insert("act".into(), json!(act));
    if let Value::Object(body) = body {
        object.extend(body);
    }
    object.insert("previous".into(), json!(previous));
    let line = Value::Object(object).to_string();
    let mut put = db.prepare_cached("INSERT INTO log (race, seq, line, hash) VALUES (?1, ?2, ?3, ?4)")?;
    put.execute(params![race, seq, line, sha256(line.as_bytes())])?;
    Ok(seq)
}

/// Every line, in order.
pub(crate) fn lines(db: &Connection, race: i64) -> Result<Vec<LogLine>, RaceError> {
    let mut ask = db.prepare("SELECT seq, line, hash FROM log WHERE race = ?1 ORDER BY seq")?;
    let line = |row: &rusqlite::Row| Ok(LogLine { seq: row.get(0)?, line: row.get(1)?, hash: row.get(2)? });
    let found = ask.query_map([race], line)?.collect::<Result<_, _>>()?;
    Ok(found)
}
