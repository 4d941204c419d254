//! Which of the outlines like a picture can be filled, and be left one layout.

use fill::{Alone, Look, PocketAsk, Survey, SurveyAsk, pockets};
use lattice::{Cell, Class, Outline, Set};
use rayon::prelude::*;

use super::rank::{Ranking, rank};
use super::why::{self, Why};
use super::{Candidate, Fate, Find, Ink, LikeAsk, LikeError, Liked};

/// Outlines looked at between two questions whether it is enough.
const AT_ONCE: usize = 16;

/// Outlines like `ink` for a set, each piece in the folds of its class.
///
/// # Errors
/// A number of cells that the set cannot fill, or that is too large to lay.
pub fn like(set: &Set, classes: &[Class], ink: &Ink, ask: &LikeAsk) -> Result<Liked, LikeError> {
    let blocks = set.blocks();
    let cells = ask.cells.unwrap_or(blocks);
    if cells < blocks {
        return Err(LikeError::TooFew { cells, blocks });
    }
    if cells > LikeError::MOST_CELLS {
        return Err(LikeError::TooMany { cells });
    }
    let ranking =
        Ranking { cells, upright: ask.upright, corners: ask.corners, most: ask.most_candidates.max(1) };
    let ranked = rank(ink, &ranking);
    let case = Case { set, classes, ask, spare: cells - blocks };
    let mut wish_look = None;
    let mut finds = Vec::new();
    let (mut fillable, mut looked) = (0, 0);
    for batch in ranked.candidates.chunks(AT_ONCE) {
        if finds.len() >= ask.finds || (ask.stop)() {
            break;
        }
        for (candidate, look) in batch.iter().zip(case.looks(batch)) {
            looked += 1;
            fillable += usize::from(look.layouts > 0);
            if candidate.cells == ranked.wish.cells {
                wish_look = Some(look.clone());
            }
            if look.smallest.is_some() && finds.len() < ask.finds {
                finds.push(Find { candidate: candidate.clone(), look });
            }
        }
        (ask.progress)(finds.len(), ask.finds);
    }
    let fate = case.fate(&ranked.wish, &ranked.parts, wish_look);
    Ok(Liked {
        wish: ranked.wish,
        parts: ranked.parts.len(),
        fate,
        finds,
        fillable,
        looked,
        candidates: ranked.candidates.len(),
        spare: case.spare,
    })
}

struct Case<'a> {
    set: &'a Set,
    classes: &'a [Class],
    ask: &'a LikeAsk<'a>,
    spare: usize,
}

impl Case<'_> {
    /// Looks at some outlines, in their order.
    fn looks(&self, batch: &[Candidate]) -> Vec<Look> {
        let survey = || Survey::new(self.set, self.classes);
        batch.par_iter().map_init(survey, |survey, candidate| self.look(survey, &candidate.cells)).collect()
    }

    fn look(&self, survey: &mut Survey, cells: &[Cell]) -> Look {
        let ask = SurveyAsk {
            interlocked: self.ask.interlocked,
            most_layouts: self.ask.most_layouts,
            largest: self.ask.largest,
        };
        if self.spare == 0 { survey.look(cells, &ask) } else { self.look_with_spare(cells) }
    }

    /// Cells that stay empty are no matter of the survey.
    fn look_with_spare(&self, cells: &[Cell]) -> Look {
        let outline = Outline::new(cells.iter().copied(), [], self.spare).expect("an outline has cells");
        let ask = PocketAsk {
            interlocked: self.ask.interlocked,
            most_layouts: self.ask.most_layouts,
            ..PocketAsk::default()
        };
        let found = pockets(self.set, self.classes, &outline, &ask);
        let alone =
            |p: fill::PocketSet| Alone { pockets: p.pockets, same_size: p.same_size, proven: p.proven };
        Look {
            layouts: found.layouts_open,
            different: found.different_open,
            drop_in: 0,
            complete: found.complete,
            smallest: found.smallest.filter(|_| found.complete).map(alone),
            largest: found.largest.filter(|_| found.complete && self.ask.largest).map(alone),
        }
    }

    /// What becomes of the wish.
    fn fate(&self, wish: &Candidate, parts: &[Vec<Cell>], look: Option<Look>) -> Fate {
        if parts.len() > 1 {
            let why = if self.spare == 0 { why::part(self.classes, parts) } else { None };
            return Fate::Apart { why };
        }
        let look = look.unwrap_or_else(|| self.look(&mut Survey::new(self.set, self.classes), &wish.cells));
        match (look.layouts, look.complete, look.smallest.is_some()) {
            (_, _, true) => Fate::Found,
            (0, true, _) => Fate::Unfillable { why: why::why(self.classes, &wish.cells, self.spare) },
            (_, true, _) => Fate::NeverAlone { layouts: look.layouts },
            (_, false, _) => Fate::TooMany { layouts: look.layouts },
        }
    }
}
