//! Which of the outlines like a picture can be filled, and be left one layout.

use fill::Look;
use lattice::{Cell, Class, Set};

use super::rank::{Ranking, rank};
use super::why::{self, Why};
use super::{Fate, Ink, LikeAsk, LikeError, Liked, Nearest};

/// Looks at outlines and says what is seen of each, in their order; none if it
/// was told to stop.
pub type Looks<'a> = dyn Fn(&[Vec<Cell>]) -> Option<Vec<Look>> + 'a;

/// Outlines looked at between two questions whether it is enough.
const AT_ONCE: usize = 32;

/// Outlines like `ink` for a set, each piece in the folds of its class, looked
/// at by `looks`.
///
/// # Errors
/// A number of cells that the set cannot fill, or that is too large to lay.
pub fn like(
    set: &Set,
    classes: &[Class],
    ink: &Ink,
    ask: &LikeAsk,
    looks: &Looks,
) -> Result<Liked, LikeError> {
    let blocks = set.blocks();
    let cells = ask.cells.unwrap_or(blocks);
    if cells < blocks {
        return Err(LikeError::TooFew { cells, blocks });
    }
    if cells > LikeError::MOST_CELLS {
        return Err(LikeError::TooMany { cells });
    }
    let spare = cells - blocks;
    let most = ask.most_candidates.max(1);
    let ranked = rank(ink, &Ranking { cells, upright: ask.upright, corners: ask.corners, most });
    let mut finds: Vec<Nearest> = Vec::new();
    let (mut fillable, mut looked) = (0, 0);
    let wish = &ranked.wish;
    let mut of_wish = None;
    for batch in ranked.candidates.chunks(AT_ONCE) {
        if finds.len() >= ask.finds {
            break;
        }
        let outlines: Vec<Vec<Cell>> = batch.iter().map(|c| c.cells.clone()).collect();
        let Some(seen) = looks(&outlines) else { break };
        for (candidate, look) in batch.iter().zip(seen) {
            looked += 1;
            fillable += usize::from(look.layouts > 0);
            if candidate.cells == wish.cells {
                of_wish = Some(look.clone());
            }
            if look.smallest.is_some() && finds.len() < ask.finds {
                finds.push(Nearest { candidate: candidate.clone(), look });
            }
        }
    }
    let fate = if ranked.parts.len() > 1 {
        Fate::Apart { why: (spare == 0).then(|| why::part(classes, &ranked.parts)).flatten() }
    } else {
        let look = of_wish.or_else(|| Some(looks(std::slice::from_ref(&wish.cells))?.remove(0)));
        look.map_or(Fate::Unknown, |look| fate(&look, || why::why(classes, &wish.cells, spare)))
    };
    let parts = ranked.parts.len();
    let candidates = ranked.candidates.len();
    Ok(Liked { wish: ranked.wish, parts, fate, finds, fillable, looked, candidates, spare })
}

/// What becomes of a wish that hangs together.
fn fate(look: &Look, why: impl Fn() -> Why) -> Fate {
    match (look.layouts, look.complete, look.smallest.is_some()) {
        (_, _, true) => Fate::Found,
        (0, true, _) => Fate::Unfillable { why: why() },
        (layouts, true, _) => Fate::NeverAlone { layouts },
        (layouts, false, _) => Fate::TooMany { layouts },
    }
}
