//! A race from its opening to its end: opened, closed, revealed.

use rusqlite::params;
use serde_json::json;

use crate::error::RaceError;
use crate::log;
use crate::moment::Moment;
use crate::names;
use crate::seal::{Goal, Opened, Secrets, Terms, Tie, commitment, rules_of};
use crate::store::{Store, state};

/// How far a race is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Entries are taken.
    Open,
    /// No more are.
    Closed {
        /// Since when.
        at: String,
    },
    /// The sealed text is out.
    Revealed {
        /// Since when.
        at: String,
    },
}

/// An outline that is raced over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RaceOutline {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Its printed number.
    pub number: Option<u32>,
    /// Whether the pack has it; else only the larger pack.
    pub in_pack: bool,
}

/// A race as it stands, without its secrets.
#[derive(Clone, Debug)]
pub struct RaceState {
    pub(crate) id: i64,
    pub(crate) mark_key: [u8; 32],
    /// Its name.
    pub name: String,
    /// Its pack.
    pub pack: String,
    /// The larger pack.
    pub larger: Option<String>,
    /// When it was opened.
    pub opened: Moment,
    /// The deadline.
    pub until: Moment,
    /// How ties are decided.
    pub tie: Tie,
    /// Whether an entry needs a proof.
    pub proof: bool,
    /// The SHA-256 of the sealed text.
    pub commitment: String,
    /// The sealed text without salt and answers.
    pub rules: String,
    /// How far it is.
    pub phase: Phase,
    /// The goals.
    pub goals: Vec<Goal>,
    /// The outlines.
    pub outlines: Vec<RaceOutline>,
}

/// What closing a race found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// Entries that wait for their check.
    pub waiting: usize,
    /// The number and SHA-256 of the log's last line.
    pub head: (i64, String),
}

impl RaceState {
    /// The sealed lines of the set, by which layouts are judged.
    pub fn set_lines(&self) -> Vec<&str> {
        let lines = self.rules.lines().skip_while(|line| *line != "set").skip(1);
        lines.map_while(|line| line.strip_prefix("  ")).collect()
    }

    /// The sealed lines of an outline, by which its layouts are judged.
    pub fn outline_lines(&self, name: &str) -> Vec<&str> {
        let head = format!("outline {name}");
        let lines = self.rules.lines().skip_while(|line| *line != head).skip(1);
        // Title, number and pack come first, and judge nothing.
        lines.map_while(|line| line.strip_prefix("  ")).skip(3).collect()
    }

    /// Refuses what a closed race cannot take.
    pub(crate) fn must_be_open(&self) -> Result<(), RaceError> {
        match &self.phase {
            Phase::Open => Ok(()),
            Phase::Closed { at } | Phase::Revealed { at } => {
                Err(RaceError::IsClosed { race: self.name.clone(), at: at.clone() })
            }
        }
    }
}

impl Store {
    /// Opens a race: seals its terms.
    ///
    /// # Errors
    /// Every fault of the terms; a race of that name is there.
    pub fn open_race(&mut self, mut terms: Terms, secrets: &Secrets) -> Result<Opened, RaceError> {
        terms.check()?;
        let sealed = terms.sealed(&secrets.salt);
        let (commitment, rules) = (commitment(&sealed), rules_of(&sealed));
        let tx = self.transaction()?;
        let there: i64 =
            tx.query_row("SELECT count(*) FROM race WHERE name = ?1", [&terms.race], |row| row.get(0))?;
        if there > 0 {
            return Err(RaceError::RaceExists { name: terms.race });
        }
        tx.execute(
            "INSERT INTO race (name, pack, larger, opened, opened_us, until, until_us, tie, proof, mark_key,
               sealed, commitment, rules) VALUES (?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12,?13)",
            params![
                terms.race,
                terms.pack,
                terms.larger,
                terms.opened.text(),
                terms.opened.micros(),
                terms.until.text(),
                terms.until.micros(),
                terms.tie.word(),
                terms.proof,
                secrets.mark_key,
                sealed,
                commitment,
                rules
            ],
        )?;
        let race = tx.last_insert_rowid();
        for goal in &terms.goals {
            let values = params![race, goal.kind.word(), goal.prize];
            tx.execute("INSERT INTO goal (race, kind, prize) VALUES (?1, ?2, ?3)", values)?;
        }
        for (position, outline) in terms.outlines.iter().enumerate() {
            tx.execute(
                "INSERT INTO outline (race, name, position, title, number, in_pack) VALUES (?1,?2,?3,?4,?5,?6)",
                params![race, outline.name, position as i64, outline.title, outline.number, outline.in_pack],
            )?;
        }
        let goals: Vec<_> =
            terms.goals.iter().map(|g| json!({ "goal": g.kind.word(), "prize": g.prize })).collect();
        let outlines: Vec<_> =
            terms.outlines.iter().map(|o| json!({ "outline": o.name, "in_pack": o.in_pack })).collect();
        let body = json!({
            "race": terms.race, "pack": terms.pack, "larger": terms.larger, "until": terms.until.text(),
            "tie": terms.tie.word(), "proof": terms.proof, "goals": goals, "outlines": outlines,
            "commitment": commitment,
        });
        log::append(&tx, race, &terms.opened, "opened", body)?;
        tx.commit()?;
        Ok(Opened { commitment, rules })
    }

    /// Closes a race: from now on nothing can be put in. Before the deadline only
    /// with a reason, which the log keeps.
    ///
    /// # Errors
    /// It is closed already, or still runs.
    pub fn close(&mut self, race: &str, early: Option<&str>, now: &Moment) -> Result<Closed, RaceError> {
        let early = early.map(|reason| names::sentence("reason", reason)).transpose()?;
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        state.must_be_open()?;
        if *now <= state.until && early.is_none() {
            return Err(RaceError::StillRuns { race: state.name, until: state.until.text().to_owned() });
        }
        tx.execute("UPDATE race SET closed = ?2 WHERE id = ?1", params![state.id, now.utc().text()])?;
        let waiting: i64 = tx.query_row(
            "SELECT count(*) FROM entry e WHERE e.race = ?1 AND e.withdrawn IS NULL AND NOT EXISTS
               (SELECT 1 FROM ruling r WHERE r.race = e.race AND r.entry = e.number)",
            [state.id],
            |row| row.get(0),
        )?;
        log::append(&tx, state.id, now, "closed", json!({ "early": early }))?;
        let head = log::head(&tx, state.id)?;
        tx.commit()?;
        Ok(Closed { waiting: usize::try_from(waiting).unwrap_or(0), head })
    }

    /// The sealed text, salt and answers included, of a race that is closed. From
    /// then on the race counts as revealed.
    ///
    /// # Errors
    /// It is not closed yet.
    pub fn reveal(&mut self, race: &str, now: &Moment) -> Result<String, RaceError> {
        let tx = self.transaction()?;
        let state = state(&tx, race)?;
        if state.phase == Phase::Open {
            return Err(RaceError::NotClosed { race: state.name });
        }
        let sealed: String =
            tx.query_row("SELECT sealed FROM race WHERE id = ?1", [state.id], |r| r.get(0))?;
        if commitment(&sealed) != state.commitment {
            let what = "the sealed text does not have the hash that was published".to_owned();
            return Err(RaceError::Damaged { what });
        }
        if let Phase::Closed { .. } = state.phase {
            tx.execute("UPDATE race SET revealed = ?2 WHERE id = ?1", params![state.id, now.utc().text()])?;
            log::append(&tx, state.id, now, "revealed", json!({ "commitment": state.commitment }))?;
        }
        tx.commit()?;
        Ok(sealed)
    }
}
