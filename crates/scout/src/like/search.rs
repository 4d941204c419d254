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
/// at by `looks`; `told` of each find as it is proven.
///
/// # Errors
/// A number of cells that the set cannot fill, or that is too large to lay.
pub fn like(
    set: &Set,
    classes: &[Class],
    ink: &Ink,
    ask: &LikeAsk,
    looks: &Looks,
    told: &mut dyn FnMut(&Nearest),
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
                let find = Nearest { candidate: candidate.clone(), look };
                told(&find);
                finds.push(find);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::like::specimen::drawn;
    use fill::{Survey, SurveyAsk};
    use lattice::Piece;

    fn bars(lengths: &[i32]) -> Set {
        let bar = |&n: &i32| Piece::rigid((0..n).map(|x| Cell::new(x, 0)).collect()).unwrap();
        Set { pieces: lengths.iter().map(bar).collect(), levels: 1, turn_over: false }
    }

    fn liked(set: &Set, rows: &[&str], ask: &LikeAsk) -> Result<Liked, LikeError> {
        let classes = set.classes();
        let looks = |outlines: &[Vec<Cell>]| {
            let mut survey = Survey::new(set, &classes);
            Some(outlines.iter().map(|o| survey.look(o, &SurveyAsk::default())).collect())
        };
        like(set, &classes, &drawn(rows, 10), ask, &looks, &mut |_| ())
    }

    /// Of few cells there are few outlines.
    fn few() -> LikeAsk {
        LikeAsk { most_candidates: 60, ..LikeAsk::default() }
    }

    #[test]
    fn a_picture_that_can_be_filled_is_found_itself() {
        let ell = ["#...", "#...", "####"];
        let liked = liked(&bars(&[4, 2]), &ell, &few()).unwrap();
        assert_eq!(liked.fate, Fate::Found);
        assert_eq!(liked.finds[0].candidate, liked.wish);
        assert_eq!((liked.wish.cells.len(), liked.wish.degrees), (6, 0));
        assert!(liked.wish.added.is_empty() && liked.wish.missed.is_empty());
        assert!(liked.wish.overlap > 0.93 && liked.wish.likeness > 0.9, "{:?}", liked.wish);
        // The box of the ink is its outline's: ten pixels a mark, one mark of border.
        let [x, y] = liked.wish.origin;
        assert!((x - 10.0).abs() < 1.5 && (y - 40.0).abs() < 1.5, "{x} {y}");
        assert!((liked.wish.pitch - 10.0).abs() < 0.8, "{}", liked.wish.pitch);
        assert!(liked.finds.windows(2).all(|w| w[0].candidate.likeness >= w[1].candidate.likeness));
    }

    #[test]
    fn one_that_cannot_says_why_and_the_nearest_that_can_are_found() {
        let plus = [".#.", "###", ".#."];
        let liked = liked(&bars(&[3, 2]), &plus, &LikeAsk { upright: true, ..few() }).unwrap();
        assert_eq!(liked.fate, Fate::Unfillable { why: Why::Colours { excess: 3 } });
        assert!(!liked.finds.is_empty());
        for find in &liked.finds {
            let (added, missed) = (find.candidate.added.len(), find.candidate.missed.len());
            assert!(find.look.layouts > 0 && added == missed && added > 0);
            assert!(find.candidate.likeness < liked.wish.likeness);
        }
    }

    #[test]
    fn parts_that_lie_apart_are_told_and_brought_together() {
        let two = ["###...###"];
        let liked = liked(&bars(&[4, 2]), &two, &LikeAsk { upright: true, ..few() }).unwrap();
        assert_eq!(liked.parts, 2);
        assert!(matches!(&liked.fate, Fate::Apart { why: Some(Why::Part { cells }) } if cells.len() == 3));
        assert!(!liked.finds.is_empty());
    }

    #[test]
    fn equal_ink_gives_equal_finds_on_any_number_of_threads() {
        let tug = ["..#..", ".##..", "#####", ".###."];
        let on = |threads| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| liked(&bars(&[4, 3, 2, 2]), &tug, &few()).unwrap())
        };
        assert_eq!(on(1), on(3));
    }

    #[test]
    fn a_number_of_cells_that_makes_no_sense_is_refused() {
        let ask = |cells| LikeAsk { cells: Some(cells), ..LikeAsk::default() };
        let set = bars(&[3, 2]);
        assert_eq!(liked(&set, &["##"], &ask(4)), Err(LikeError::TooFew { cells: 4, blocks: 5 }));
        assert_eq!(liked(&set, &["##"], &ask(201)), Err(LikeError::TooMany { cells: 201 }));
    }

    #[test]
    fn odd_pictures_are_laid_without_harm() {
        // One pixel; a thin line; dust; a frame.
        let line = "#".repeat(300);
        let dust = ["#....#", "......", "...#..", "......", "#....#"];
        let frame = ["######", "#....#", "#....#", "######"];
        for rows in [&["#"][..], &[&line[..]], &dust, &frame] {
            let liked = liked(&bars(&[3, 2, 2]), rows, &few()).unwrap();
            assert!(liked.candidates > 0 && liked.wish.cells.len() == 7, "{rows:?}");
        }
    }
}
