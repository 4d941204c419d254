//! Standings: for each goal who is where, and what became of every entry.
//!
//! Of an entrant's entries those count that are accepted, in time, not withdrawn,
//! and the first for their outline. First by the instant of receipt (a stated time
//! counts as that time), then by the order of the log. Level are, for being first,
//! entrants whose deciding entries have one instant; for most, entrants with as many
//! outlines. `Tie` says what that means.

use rusqlite::{Connection, Row};
use serde::Serialize;

use crate::error::RaceError;
use crate::log;
use crate::moment::Moment;
use crate::phases::{Phase, RaceState};
use crate::seal::{GoalKind, Tie};
use crate::store::{Store, state};

/// Everything that standings show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Standings {
    /// The race's name.
    pub race: String,
    /// The pack raced over.
    pub pack: String,
    /// The larger pack.
    pub larger: Option<String>,
    /// When it was opened.
    pub opened: String,
    /// The deadline.
    pub until: String,
    /// "open", "closed" or "revealed".
    pub phase: &'static str,
    /// How ties are decided.
    pub tie: &'static str,
    /// The SHA-256 of the sealed text.
    pub commitment: String,
    /// The number of the log's last line that is counted.
    pub log_lines: i64,
    /// The SHA-256 of that line.
    pub log_head: String,
    /// Entries in all.
    pub entries: usize,
    /// Entries that wait for their check: until there are none, places may change.
    pub waiting: usize,
    /// The goals with their places.
    pub goals: Vec<GoalRows>,
    /// Every entrant, best first.
    pub entrants: Vec<EntrantRow>,
}

/// A goal, and who is where.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GoalRows {
    /// "all", "larger" or "most".
    pub goal: &'static str,
    /// The goal in a sentence.
    pub told: String,
    /// What it wins.
    pub prize: Option<String>,
    /// The places, from the first.
    pub places: Vec<PlaceRow>,
}

/// One entrant's place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceRow {
    /// The place; shared ones are equal, and the next is counted on.
    pub place: usize,
    /// The entrant's number.
    pub entrant: i64,
    /// The entrant's name.
    pub name: String,
    /// Outlines that count for the goal.
    pub solved: usize,
    /// When the deciding entry was received.
    pub at: String,
    /// The deciding entry.
    pub entry: i64,
    /// Whether others have this place, too.
    pub shared: bool,
}

/// What became of an entrant's entries.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct EntrantRow {
    /// The entrant's number.
    pub entrant: i64,
    /// The entrant's name, or "erased" and the number.
    pub name: String,
    /// When they withdrew from the race.
    pub withdrawn: Option<String>,
    /// Different outlines that count.
    pub solved: usize,
    /// When the last of these was received.
    pub last: Option<String>,
    /// Entries accepted.
    pub accepted: usize,
    /// Entries rejected.
    pub rejected: usize,
    /// Entries that wait.
    pub waiting: usize,
    /// Accepted ones that came after the deadline.
    pub late: usize,
    /// Accepted ones for an outline that counts already.
    pub repeated: usize,
    /// Entries withdrawn.
    pub taken_back: usize,
}

/// What counts of one entrant.
#[derive(Clone, Default)]
struct Score {
    row: EntrantRow,
    /// Positions of the outlines solved, in the order of receipt, with instant and entry.
    solved: Vec<(usize, i64, i64, String)>,
}

impl Store {
    /// The standings of a race.
    ///
    /// # Errors
    /// No such race.
    pub fn standings(&mut self, race: &str) -> Result<Standings, RaceError> {
        // One picture of the file, however long the reading takes.
        let tx = self.db.transaction()?;
        let state = state(&tx, race)?;
        let scores = scores(&tx, &state)?;
        let (log_lines, log_head) = log::head(&tx, state.id)?;
        let goals = state.goals.iter().map(|goal| {
            let places = places(&state, goal.kind, &scores);
            GoalRows {
                goal: goal.kind.word(),
                told: told(&state, goal.kind),
                prize: goal.prize.clone(),
                places,
            }
        });
        let goals = goals.collect();
        let mut entrants: Vec<&Score> = scores.iter().collect();
        entrants.sort_by_key(|s| (usize::MAX - s.row.solved, last(s), s.row.entrant));
        let entrants: Vec<EntrantRow> = entrants.into_iter().map(|s| s.row.clone()).collect();
        let entries =
            tx.query_row("SELECT count(*) FROM entry WHERE race = ?1", [state.id], |r| r.get::<_, i64>(0))?;
        Ok(Standings {
            race: state.name,
            pack: state.pack,
            larger: state.larger,
            opened: state.opened.text().to_owned(),
            until: state.until.text().to_owned(),
            phase: match state.phase {
                Phase::Open => "open",
                Phase::Closed { .. } => "closed",
                Phase::Revealed { .. } => "revealed",
            },
            tie: state.tie.word(),
            commitment: state.commitment,
            log_lines,
            log_head,
            entries: usize::try_from(entries).unwrap_or(0),
            waiting: entrants.iter().map(|e| e.waiting).sum(),
            goals,
            entrants,
        })
    }
}

fn last(score: &Score) -> (i64, i64) {
    score.solved.last().map_or((i64::MAX, i64::MAX), |s| (s.1, s.2))
}

/// A goal as a sentence.
pub(crate) fn told(race: &RaceState, kind: GoalKind) -> String {
    match kind {
        GoalKind::All => format!("First with every outline of the pack {}", race.pack),
        GoalKind::Larger => {
            format!("First with every outline of the pack {}", race.larger.as_deref().unwrap_or("-"))
        }
        GoalKind::Most => "Most outlines by the deadline".to_owned(),
    }
}

/// What counts, for every entrant in the order of their numbers.
fn scores(db: &Connection, race: &RaceState) -> Result<Vec<Score>, RaceError> {
    let mut scores: Vec<Score> = Vec::new();
    let mut ask = db.prepare(
        "SELECT e.number, p.name, e.withdrawn FROM entrant e
         LEFT JOIN person p ON p.race = e.race AND p.entrant = e.number WHERE e.race = ?1 ORDER BY e.number",
    )?;
    let mut rows = ask.query([race.id])?;
    while let Some(row) = rows.next()? {
        let entrant: i64 = row.get(0)?;
        let name = row.get::<_, Option<String>>(1)?.unwrap_or_else(|| format!("erased {entrant}"));
        let row = EntrantRow { entrant, name, withdrawn: row.get(2)?, ..EntrantRow::default() };
        scores.push(Score { row, solved: Vec::new() });
    }
    // Numbers count up from 1 without a gap, so a list does for a map.
    let damaged = |what: String| RaceError::Damaged { what };
    let index = |number: i64, most: usize, what: &str| {
        let index = usize::try_from(number - 1).ok().filter(|i| *i < most);
        index.ok_or_else(|| damaged(format!("there is no {what} {number}")))
    };
    let most: i64 =
        db.query_row("SELECT coalesce(max(number), 0) FROM entry WHERE race = ?1", [race.id], |r| r.get(0))?;
    let most = usize::try_from(most).unwrap_or(0);
    let mut accepted: Vec<Option<bool>> = vec![None; most];
    let mut ask = db.prepare("SELECT entry, accepted FROM ruling WHERE race = ?1 ORDER BY number")?;
    let mut rows = ask.query([race.id])?;
    while let Some(row) = rows.next()? {
        accepted[index(row.get(0)?, most, "entry")?] = Some(row.get(1)?);
    }
    let mut ask = db.prepare(
        "SELECT e.number, e.entrant, o.position, e.received, e.received_us, e.withdrawn IS NOT NULL FROM entry e
         JOIN outline o ON o.race = e.race AND o.name = e.outline
         WHERE e.race = ?1 ORDER BY e.received_us, e.number",
    )?;
    let mut rows = ask.query([race.id])?;
    let count = scores.len();
    while let Some(row) = rows.next()? {
        let (entry, outline): (i64, i64) = (row.get(0)?, row.get(2)?);
        let score = &mut scores[index(row.get(1)?, count, "entrant")?];
        let outline = usize::try_from(outline).unwrap_or(usize::MAX);
        take(score, race, entry, outline, accepted[index(entry, most, "entry")?], row)?;
    }
    for score in &mut scores {
        if score.row.withdrawn.is_some() {
            score.solved.clear();
        }
        score.row.solved = score.solved.len();
        score.row.last = score.solved.last().map(|s| s.3.clone());
    }
    Ok(scores)
}

/// Counts one entry; they come in the order of receipt.
fn take(
    score: &mut Score,
    race: &RaceState,
    entry: i64,
    outline: usize,
    accepted: Option<bool>,
    row: &Row,
) -> Result<(), RaceError> {
    let (micros, withdrawn): (i64, bool) = (row.get(4)?, row.get(5)?);
    let it = &mut score.row;
    match accepted {
        _ if withdrawn => it.taken_back += 1,
        None => it.waiting += 1,
        Some(false) => it.rejected += 1,
        Some(true) => {
            it.accepted += 1;
            if micros > race.until.micros() {
                it.late += 1;
            } else if score.solved.iter().any(|s| s.0 == outline) {
                it.repeated += 1;
            } else {
                score.solved.push((outline, micros, entry, row.get(3)?));
            }
        }
    }
    Ok(())
}

/// Who is where for a goal.
fn places(race: &RaceState, kind: GoalKind, scores: &[Score]) -> Vec<PlaceRow> {
    let counts = |outline: usize| match kind {
        GoalKind::All => race.outlines[outline].in_pack,
        GoalKind::Larger | GoalKind::Most => true,
    };
    let needed = match kind {
        GoalKind::Most => 1,
        _ => (0..race.outlines.len()).filter(|&o| counts(o)).count(),
    };
    struct Candidate<'a> {
        score: &'a Score,
        solved: usize,
        micros: i64,
        entry: i64,
        at: &'a str,
    }
    let mut list: Vec<Candidate> = Vec::new();
    for score in scores {
        let solved: Vec<_> = score.solved.iter().filter(|s| counts(s.0)).collect();
        if let Some(&&(_, micros, entry, ref at)) = solved.last().filter(|_| solved.len() >= needed) {
            list.push(Candidate { score, solved: solved.len(), micros, entry, at });
        }
    }
    list.sort_by_key(|c| (usize::MAX - c.solved, c.micros, c.entry));
    let level = |a: &Candidate, b: &Candidate| {
        race.tie == Tie::Shared && a.solved == b.solved && (kind == GoalKind::Most || a.micros == b.micros)
    };
    let mut places: Vec<PlaceRow> = Vec::with_capacity(list.len());
    for (i, c) in list.iter().enumerate() {
        let with_last = i > 0 && level(&list[i - 1], c);
        let with_next = list.get(i + 1).is_some_and(|next| level(c, next));
        let place = if with_last { places[i - 1].place } else { i + 1 };
        places.push(PlaceRow {
            place,
            entrant: c.score.row.entrant,
            name: c.score.row.name.clone(),
            solved: c.solved,
            at: c.at.to_owned(),
            entry: c.entry,
            shared: with_last || with_next,
        });
    }
    places
}

/// Whether a race's last entry is before its deadline: for pages that say so.
pub(crate) fn is_over(standings: &Standings, now: &Moment) -> bool {
    Moment::parse(&standings.until).is_ok_and(|until| *now > until)
}
