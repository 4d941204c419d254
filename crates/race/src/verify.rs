//! The log checked: the chain of hashes, and that log and tables tell one story.

use std::collections::BTreeMap;

use rusqlite::params;
use serde_json::{Value, json};

use crate::digest::sha256;
use crate::entrant::tag;
use crate::entry::layout_seal;
use crate::error::RaceError;
use crate::log::{self, LogLine, START};
use crate::moment::Moment;
use crate::phases::{Phase, RaceOutline};
use crate::seal::{Goal, rules_of};
use crate::store::{Store, state};

/// A log that was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// Its lines.
    pub lines: Vec<LogLine>,
    /// What is wrong.
    pub faults: Vec<LogFault>,
}

/// What is wrong in a log, and at which line; 0 where a line is missing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogFault {
    /// The line's number.
    pub line: i64,
    /// What is wrong, in a sentence without a full stop.
    pub what: String,
}

impl Store {
    /// Checks a race's log.
    ///
    /// # Errors
    /// No such race.
    pub fn verify(&mut self, race: &str) -> Result<Verified, RaceError> {
        let tx = self.db.transaction()?;
        let state = state(&tx, race)?;
        let lines = log::lines(&tx, state.id)?;
        let mut faults = chain(&lines);
        let mut acts: BTreeMap<String, Vec<(i64, Value)>> = BTreeMap::new();
        for line in &lines {
            match serde_json::from_str::<Value>(&line.line) {
                Ok(value) => {
                    let act = value["act"].as_str().unwrap_or_default().to_owned();
                    acts.entry(act).or_default().push((line.seq, value));
                }
                Err(_) => faults.push(LogFault { line: line.seq, what: "it is no JSON".to_owned() }),
            }
        }
        let of = |act: &str| acts.get(act).map_or(&[][..], Vec::as_slice);
        let mut wrong = |line: i64, what: String| faults.push(LogFault { line, what });

        let outline = |o: &RaceOutline| json!({ "outline": o.name, "in_pack": o.in_pack });
        let goal = |g: &Goal| json!({ "goal": g.kind.word(), "prize": g.prize });
        match of("opened") {
            [(_, opened)]
                if opened["commitment"] == state.commitment.as_str()
                    && opened["until"] == state.until.text()
                    && opened["tie"] == state.tie.word()
                    && opened["outlines"] == state.outlines.iter().map(outline).collect::<Value>()
                    && opened["goals"] == state.goals.iter().map(goal).collect::<Value>() => {}
            _ => wrong(1, "it does not tell of the race as it stands in the tables".to_owned()),
        }
        let sealed: String =
            tx.query_row("SELECT sealed FROM race WHERE id = ?1", [state.id], |r| r.get(0))?;
        if sha256(sealed.as_bytes()) != state.commitment || rules_of(&sealed) != state.rules {
            wrong(1, "the sealed text does not have the hash that was published".to_owned());
        }

        let mut ask = tx.prepare(
            "SELECT e.tag, p.salt, p.name, p.contact, e.mark FROM entrant e
             LEFT JOIN person p ON p.race = e.race AND p.entrant = e.number
             WHERE e.race = ?1 AND e.number = ?2",
        )?;
        for (line, value) in of("registered") {
            let entrant = value["entrant"].as_i64().unwrap_or(0);
            let found = ask.query_row(params![state.id, entrant], |row| {
                let (tag, salt): (String, Option<[u8; 32]>) = (row.get(0)?, row.get(1)?);
                let (name, contact): (Option<String>, Option<String>) = (row.get(2)?, row.get(3)?);
                Ok((tag, salt, name, contact, row.get::<_, String>(4)?))
            });
            match found {
                Ok((kept, salt, name, contact, mark)) => {
                    let again =
                        salt.zip(name).map(|(salt, name)| tag(&salt, &name, contact.as_deref(), &mark));
                    if value["person"] != kept.as_str() || again.is_some_and(|again| again != kept) {
                        wrong(*line, format!("entrant {entrant} is not who was registered"));
                    }
                }
                Err(_) => wrong(*line, format!("entrant {entrant} is missing")),
            }
        }
        let count = |table: &str| -> Result<usize, RaceError> {
            // The names are this program's own, never a person's.
            let sql = format!("SELECT count(*) FROM {table} WHERE race = ?1");
            let found: i64 = tx.query_row(&sql, [state.id], |row| row.get(0))?;
            Ok(usize::try_from(found).unwrap_or(0))
        };
        for (table, act) in [("entrant", "registered"), ("entry", "entered"), ("ruling", "ruled")] {
            let (rows, told) = (count(table)?, of(act).len());
            if rows != told {
                wrong(0, format!("the table '{table}' has {rows} rows, the log tells of {told}"));
            }
        }

        let mut ask = tx.prepare(
            "SELECT entrant, outline, layout, salt, received, stated, received_us FROM entry WHERE race = ?1 AND number = ?2",
        )?;
        let mut proofs =
            tx.prepare("SELECT sha256 FROM proof WHERE race = ?1 AND entry = ?2 ORDER BY sha256")?;
        for (i, (line, value)) in of("entered").iter().enumerate() {
            let entry = value["entry"].as_i64().unwrap_or(0);
            if entry != i as i64 + 1 {
                wrong(*line, format!("entry {entry} stands where entry {} belongs", i + 1));
            }
            let found = ask.query_row(params![state.id, entry], |row| {
                let (outline, layout): (String, String) = (row.get(1)?, row.get(2)?);
                let salt: [u8; 32] = row.get(3)?;
                let seal = layout_seal(&salt, &outline, &layout);
                let (received, stated): (String, bool) = (row.get(4)?, row.get(5)?);
                let instant = Moment::parse(&received).is_ok_and(|at| row.get(6) == Ok(at.micros()));
                Ok(value["entrant"] == row.get::<_, i64>(0)?
                    && value["outline"] == outline.as_str()
                    && value["layout"] == seal.as_str()
                    && value["received"] == received.as_str()
                    && instant
                    && value["stated"] == stated)
            });
            let hashes: Vec<String> =
                proofs.query_map(params![state.id, entry], |row| row.get(0))?.collect::<Result<_, _>>()?;
            let told: Vec<&str> =
                value["proofs"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
            if !matches!(found, Ok(true)) || hashes != told {
                wrong(*line, format!("entry {entry} is not what was received"));
            }
        }
        let mut ask = tx.prepare("SELECT entry, accepted FROM ruling WHERE race = ?1 ORDER BY number")?;
        let rulings: Vec<(i64, bool)> =
            ask.query_map([state.id], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        for ((line, value), (entry, accepted)) in of("ruled").iter().zip(rulings) {
            if value["entry"] != entry || value["accepted"] != accepted {
                wrong(*line, format!("the ruling on entry {entry} is not the one that was made"));
            }
        }
        let withdrawn: i64 = tx.query_row(
            "SELECT (SELECT count(*) FROM entry WHERE race = ?1 AND withdrawn IS NOT NULL)
                  + (SELECT count(*) FROM entrant WHERE race = ?1 AND withdrawn IS NOT NULL)",
            [state.id],
            |row| row.get(0),
        )?;
        if withdrawn != of("withdrew").len() as i64 {
            wrong(0, "withdrawals in the tables are not those of the log".to_owned());
        }
        let ends = match &state.phase {
            Phase::Open => (0, 0),
            Phase::Closed { .. } => (1, 0),
            Phase::Revealed { .. } => (1, 1),
        };
        if (of("closed").len(), of("revealed").len()) != ends {
            wrong(0, "the end of the race in the tables is not that of the log".to_owned());
        }
        let erased = count("entrant")?.saturating_sub(count("person")?);
        if erased != of("erased").len() {
            wrong(0, format!("{erased} entrants are erased, the log tells of {}", of("erased").len()));
        }
        faults.sort_by_key(|fault| fault.line);
        Ok(Verified { lines, faults })
    }
}

/// The faults of the chain alone.
fn chain(lines: &[LogLine]) -> Vec<LogFault> {
    let mut faults = Vec::new();
    let mut previous = START.to_owned();
    for (i, line) in lines.iter().enumerate() {
        let mut wrong = |what: &str| faults.push(LogFault { line: line.seq, what: what.to_owned() });
        let value: Value = serde_json::from_str(&line.line).unwrap_or(Value::Null);
        if line.seq != i as i64 + 1 || value["seq"] != line.seq {
            wrong("its number does not follow the one before");
        }
        if value["previous"] != previous.as_str() {
            wrong("it does not hold the hash of the line before");
        }
        previous = sha256(line.line.as_bytes());
        if line.hash != previous {
            wrong("it does not have the hash that was kept");
        }
    }
    if lines.is_empty() {
        faults.push(LogFault { line: 0, what: "the log is empty".to_owned() });
    }
    faults
}
