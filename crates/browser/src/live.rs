//! What is known of a drawing while the hand still draws: how many layouts,
//! whether one alone, which pockets would leave one.
//!
//! Asked at once, the pockets come from tables over the outline
//! ([`fill::Survey`]), which take milliseconds at twenty cells; layouts are listed
//! only where the tables do not serve, and for the largest pocket set, which is
//! looked for when there is time. What is not known when it is told to stop is
//! told as a lower bound.

use std::sync::PoisonError;

use fill::{Ask, Certainty, Filling, PocketAsk, Stop, SurveyAsk};
use lattice::{Cell, Outline, Vertex};

use crate::live_set::LiveSet;

/// Layouts listed for the advice on pockets, where they are.
const MOST_LAYOUTS: u64 = 200_000;
/// Steps that the tables may take: some hundredths of a second.
const MOST_JOINS: usize = 150_000;

/// What is drawn: not yet an outline.
#[derive(Clone, Copy, Debug)]
pub struct Drawing<'a> {
    /// Its cells.
    pub cells: &'a [Cell],
    /// Its pockets.
    pub pockets: &'a [Vertex],
    /// Cells that are to stay empty.
    pub spare: usize,
}

/// How much is wanted.
#[derive(Clone, Copy)]
pub struct LiveAsk<'a> {
    /// Also look for the largest pocket set, which lists every layout.
    pub thorough: bool,
    /// Threads to use; the result is the same with any number.
    pub threads: usize,
    /// Asked now and then whether to end.
    pub stop: Stop<'a>,
}

/// What is known.
#[derive(Clone, Debug, Default)]
pub struct Live {
    /// Cells that are missing (above 0) or too many (below 0) for the set.
    pub missing: i64,
    /// Parts that hang together by sides, or across a corner with a pocket.
    pub parts: usize,
    /// What there is to say, in sentences.
    pub notes: Vec<String>,
    /// The fillings with the pockets as drawn; none where the area does not fit.
    pub filling: Option<Filling>,
    /// Whether there is exactly one essentially different layout, and it is valid;
    /// none while that is not known.
    pub unique: Option<bool>,
    /// The pockets that would leave one layout.
    pub advice: Option<Advice>,
}

/// Pockets that leave one layout.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Advice {
    /// Layouts with a pocket everywhere; at least so many if not complete.
    pub layouts_open: u64,
    /// Essentially different ones among them.
    pub different_open: u64,
    /// Whether all of them were looked at.
    pub complete: bool,
    /// The fewest pockets.
    pub smallest: Option<Advised>,
    /// The most pockets.
    pub largest: Option<Advised>,
    /// Whether the most were looked for to the end.
    pub sought_largest: bool,
}

/// A pocket set that leaves one layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advised {
    /// The pockets, sorted.
    pub pockets: Vec<Vertex>,
    /// Those that no folding of the layout left uses.
    pub blind: Vec<Vertex>,
    /// Whether no better size exists.
    pub proven: bool,
    /// Sets of this size that do as well.
    pub same_size: u64,
}

impl LiveSet {
    /// What is known of `drawn`, within what `ask` allows.
    ///
    /// # Errors
    /// Sentences that say why it is no outline: it has no cells, or pockets that are
    /// at no wall.
    pub fn look(&self, drawn: &Drawing, ask: &LiveAsk) -> Result<Live, Vec<String>> {
        let missing = (self.set().blocks() + drawn.spare) as i64 - drawn.cells.len() as i64;
        let mut live = Live { missing, ..Live::default() };
        if drawn.cells.is_empty() {
            live.notes.push(self.area_note(missing, drawn.spare));
            return Ok(live);
        }
        let outline = Outline::new(drawn.cells.iter().copied(), drawn.pockets.iter().copied(), drawn.spare)
            .map_err(|all| all.iter().map(ToString::to_string).collect::<Vec<_>>())?;
        let parts = outline.parts();
        live.parts = parts.len();
        if missing != 0 {
            live.notes.push(self.area_note(missing, drawn.spare));
            return Ok(live);
        }
        live.notes.extend(self.parts_note(&parts, drawn.spare));
        // The quicker answer first, so that a strict budget is not spent on the other.
        let advice = self.glance(&outline);
        let filling = self.fillings(&outline, &mut live, ask);
        live.filling = Some(filling);
        live.advice = Some(match advice {
            Some(advice) if !ask.thorough => advice,
            quick => self.listed(&outline, quick, ask),
        });
        Ok(live)
    }

    fn area_note(&self, missing: i64, spare: usize) -> String {
        let count = |n: i64, what: &str| format!("{n} {what}{}", if n == 1 { "" } else { "s" });
        let set = count(self.set().blocks() as i64, "block");
        let empty = if spare > 0 { format!(" and {spare} to stay empty") } else { String::new() };
        match missing {
            n if n > 0 => format!("{} to draw: the set has {set}{empty}.", count(n, "cell")),
            n => format!("{} too many: the set has {set}{empty}.", count(-n, "cell")),
        }
    }

    /// A part whose area no pieces of the set add up to.
    fn parts_note(&self, parts: &[Vec<Cell>], spare: usize) -> Option<String> {
        if parts.len() < 2 || spare > 0 {
            return None;
        }
        let mut sums = vec![false; self.set().blocks() + 1];
        sums[0] = true;
        for piece in &self.set().pieces {
            let size = piece.blocks().len();
            for n in (size..sums.len()).rev() {
                sums[n] |= sums[n - size];
            }
        }
        let bad = parts.iter().find(|part| !sums[part.len()])?;
        let (n, s) = (bad.len(), if bad.len() == 1 { "" } else { "s" });
        let at = format!("({}, {})", bad[0].x, bad[0].y);
        Some(format!("The part at {at} has {n} cell{s}, which no pieces of the set add up to."))
    }

    fn fillings(&self, outline: &Outline, live: &mut Live, ask: &LiveAsk) -> Filling {
        let asked = Ask { answers: 1, stop: ask.stop, ..Ask::default() };
        let found = fill::fill(self.set(), self.classes(), outline, &asked);
        let complete = found.certainty == Certainty::Complete;
        let (counts, one) = (&found.counts, 1u8.into());
        let none = counts.layouts == 0u8.into();
        // On one level no hinge stands over another, so everything drops in.
        let drops = if self.interlocked() || self.set().levels == 1 {
            Some(true)
        } else {
            counts.drop_in_layouts.as_ref().map(|n| *n != 0u8.into())
        };
        live.unique = match (complete, drops) {
            _ if counts.different > one => Some(false),
            (true, Some(drops)) => Some(drops && !none),
            (true, None) => Some(false),
            (false, _) => None,
        };
        if complete && none {
            live.notes.push("No filling with these pockets.".to_owned());
        } else if complete && drops == Some(false) {
            live.notes.push("Every layout is interlocked: none drops in.".to_owned());
        }
        found
    }

    /// The advice by tables, where they serve. Every pocket of a smallest set is used:
    /// it is what some folding needs.
    fn glance(&self, outline: &Outline) -> Option<Advice> {
        if outline.spare() > 0 {
            return None;
        }
        let ask =
            SurveyAsk { interlocked: self.interlocked(), most_joins: MOST_JOINS, ..SurveyAsk::default() };
        let look =
            self.survey.lock().unwrap_or_else(PoisonError::into_inner).glance(outline.cells(), &ask)?;
        // Where no pockets leave one layout there is no largest such set.
        let none = look.complete && look.smallest.is_none();
        Some(Advice {
            layouts_open: look.layouts,
            different_open: look.different,
            complete: look.complete,
            smallest: look.smallest.map(|s| Advised {
                pockets: s.pockets,
                blind: Vec::new(),
                proven: s.proven,
                same_size: s.same_size,
            }),
            largest: None,
            sought_largest: none,
        })
    }

    /// The advice from every layout; what the tables proved stays.
    fn listed(&self, outline: &Outline, quick: Option<Advice>, ask: &LiveAsk) -> Advice {
        let asked = PocketAsk {
            interlocked: self.interlocked(),
            most_layouts: MOST_LAYOUTS,
            threads: ask.threads,
            stop: ask.stop,
            ..PocketAsk::default()
        };
        let found = fill::pockets(self.set(), self.classes(), outline, &asked);
        let advised = |set: fill::PocketSet| Advised {
            pockets: set.pockets,
            blind: set.blind,
            proven: set.proven,
            same_size: set.same_size,
        };
        let sought_largest = found.complete;
        let largest = found.largest.map(advised);
        match quick {
            Some(quick) => Advice { largest, sought_largest, ..quick },
            None => Advice {
                layouts_open: found.layouts_open,
                different_open: found.different_open,
                complete: found.complete,
                smallest: found.smallest.map(advised),
                largest,
                sought_largest,
            },
        }
    }
}
