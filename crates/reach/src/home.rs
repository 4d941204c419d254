//! Home poses: which pose a piece is best printed in, and what speaks against
//! the one it is drawn in.
//!
//! What is judged in the plane, from the lattice and the sweep alone:
//! - the piece fits the bed, as it lies or turned by a quarter;
//! - no hinge above the lowest level stands over nothing: such a hinge stands
//!   on a hinge of the same piece just below it, or it must carry itself, and
//!   only the solid can say whether it does;
//! - every hinge is free: it can swing as the piece comes off the bed, with
//!   nothing else moved first (hinges of loops swing with their loop);
//! - among those, the smaller and the more compact the better.
//!
//! A home must be a pose that swings reach from the one drawn: otherwise it
//! would be another piece.

use lattice::{Piece, Vertex};
use rustc_hash::FxHashSet;

use crate::poses::Classes;
use crate::swing::Swings;

/// The room there is to print on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Width and depth in millimetres.
    pub size: [f64; 2],
    /// Lattice spacing in millimetres.
    pub pitch: f64,
}

/// What there is to say of a pose as the one to print a piece in. The less the
/// better, in the order of the fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Home {
    /// It does not fit the bed.
    pub too_large: bool,
    /// Hinges above the lowest level with no hinge of the piece just below them.
    pub over_nothing: usize,
    /// Hinges that can't swing before something else has moved.
    pub stuck: usize,
    /// The longer and the shorter side of what it covers, in blocks.
    pub sides: [i32; 2],
    /// Its position among the poses.
    pub pose: usize,
}

impl Home {
    /// Whether nothing speaks against it in the plane.
    pub fn is_good(&self) -> bool {
        !self.too_large && self.over_nothing == 0 && self.stuck == 0
    }

    /// What there is to say of every pose in a class, best first.
    pub fn ranked(
        piece: &Piece,
        classes: &Classes,
        class: usize,
        swings: &Swings<'_>,
        bed: Bed,
    ) -> Vec<Home> {
        let hinges = piece.hinges().len();
        let free: FxHashSet<(usize, usize)> =
            classes.swings().iter().flat_map(|s| s.poses.map(|p| (p, s.hinge))).collect();
        let of = |pose: usize| {
            let taken = &classes.poses()[pose];
            let cells = taken.cells(piece);
            let pins: Vec<(Vertex, u8)> = piece
                .hinges()
                .iter()
                .map(|h| (taken.motions()[h.joins[0]].vertex(h.pin), h.level.0))
                .collect();
            let over_nothing =
                pins.iter().filter(|&&(at, level)| level > 0 && !pins.contains(&(at, level - 1))).count();
            let stuck =
                (0..hinges).filter(|&h| swings.far_side(h).is_some() && !free.contains(&(pose, h))).count();
            let span = |of: fn(&lattice::Cell) -> i32| {
                let all = cells.iter().map(of);
                all.clone().max().unwrap_or(0) - all.min().unwrap_or(0) + 1
            };
            let (w, h) = (span(|c| c.x), span(|c| c.y));
            let mm = |n: i32| f64::from(n) * bed.pitch;
            let fits = |a, b| mm(a) <= bed.size[0] && mm(b) <= bed.size[1];
            let too_large = !fits(w, h) && !fits(h, w);
            Home { too_large, over_nothing, stuck, sides: [w.max(h), w.min(h)], pose }
        };
        let members = classes.classes().iter().enumerate().filter(|&(_, &c)| c == class);
        let mut all: Vec<Home> = members.map(|(p, _)| of(p)).collect();
        all.sort_unstable();
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::piece;
    use crate::{Plan, drawn};

    const BED: Bed = Bed { size: [220.0, 220.0], pitch: 15.0 };

    fn ranked(piece: &Piece, bed: Bed) -> Vec<Home> {
        let plan = Plan::default();
        let mut swings = Swings::new(piece, &plan);
        let classes = Classes::of(&mut swings);
        Home::ranked(piece, &classes, 0, &swings, bed)
    }

    #[test]
    fn a_high_hinge_wants_a_low_one_beneath_it() {
        // Two arms of a bar: folded in, the high pin comes to stand on the low one.
        let fold =
            piece(&[(0, 0), (0, 1), (1, 2), (2, 2)], &[(1, 1, 0, 1, 0), (1, 2, 1, 2, 0), (2, 2, 2, 3, 1)]);
        let all = ranked(&fold, BED);
        let drawn = all.iter().find(|h| h.pose == 0).unwrap();
        assert_eq!(drawn.over_nothing, 1);
        assert_eq!(all[0].over_nothing, 0);
        assert!(all.windows(2).all(|w| w[0] <= w[1]));
        // On one level nothing can stand over nothing.
        let low = piece(&[(0, 0), (1, 0), (2, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 0)]);
        assert!(ranked(&low, BED).iter().all(|h| h.over_nothing == 0));
        assert!(ranked(&low, BED)[0].is_good());
    }

    #[test]
    fn a_locked_piece_is_stuck_and_a_small_bed_is_too_small() {
        let lock = piece(
            &[(0, 0), (-1, -1), (0, -1), (-1, 0)],
            &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)],
        );
        let all = ranked(&lock, BED);
        assert_eq!((all.len(), all[0].stuck), (1, 3));
        let chain = piece(&[(0, 0), (1, 0), (2, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 0)]);
        let small = ranked(&chain, Bed { size: [31.0, 31.0], pitch: 15.0 });
        assert!(small.iter().all(|h| h.too_large == (h.sides[0] > 2)));
        assert!(!small[0].too_large && small.last().unwrap().too_large);
    }

    #[test]
    fn drawn_anew_the_best_home_is_still_the_best() {
        let chain =
            piece(&[(0, 0), (1, 0), (2, 0), (3, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0)]);
        let plan = Plan::default();
        let classes = Classes::of(&mut Swings::new(&chain, &plan));
        let best = ranked(&chain, BED)[0];
        let again = ranked(&drawn(&chain, &classes.poses()[best.pose]), BED);
        assert_eq!(Home { pose: 0, ..again[0] }, Home { pose: 0, ..best });
        let home = again.iter().find(|h| h.pose == 0).unwrap();
        assert_eq!(Home { pose: 0, ..again[0] }, *home);
    }
}
