//! Every lattice pose of a piece, each once, told apart block by block, and
//! which of them single clear swings join.
//!
//! Block 0 stands as at home in all of them: turning and shifting the whole
//! piece is no change. Home is pose 0 and class 0. Folds are fewer than poses:
//! what can't be told apart by cells and pins is one fold.

use lattice::{Corner, Motion, Piece, Pose, Turn};
use rustc_hash::{FxHashMap, FxHashSet};

use crate::swing::{Outcome, Swings};

/// How far each hinge is open, in quarter turns: the block named second of a
/// hinge stands 1 (side by side), 2 (corner to corner) or 3 (side by side on
/// the other side) quadrants on from the first, anticlockwise.
pub fn openings(piece: &Piece, pose: &Pose) -> Vec<u8> {
    let cells = pose.cells(piece);
    let of = |hinge: &lattice::Hinge| {
        let pin = pose.motions()[hinge.joins[0]].vertex(hinge.pin);
        let quadrant = |b: usize| {
            let stands = |&q: &u8| pin.quadrant(Corner::new(q)) == cells[b];
            (0..4).find(stands).expect("a pose holds every hinge at both blocks")
        };
        (quadrant(hinge.joins[1]) + 4 - quadrant(hinge.joins[0])) % 4
    };
    piece.hinges().iter().map(of).collect()
}

/// Every lattice pose of a piece with block 0 as at home, home first.
pub fn poses(piece: &Piece) -> Vec<Pose> {
    let home = Pose::home(piece);
    if piece.is_rigid() {
        return vec![home];
    }
    let mut search =
        Search { piece, order: order(piece), motions: vec![None; piece.bodies()], found: vec![] };
    search.motions[0] = Some(Motion::STILL);
    search.place(0);
    let at = search.found.iter().position(|p| *p == home).expect("home is a pose");
    search.found[..=at].rotate_right(1);
    search.found
}

/// Hinges in an order in which each has a block that stands by then.
fn order(piece: &Piece) -> Vec<usize> {
    let mut stands = vec![false; piece.bodies()];
    stands[0] = true;
    let mut left: Vec<usize> = (0..piece.hinges().len()).collect();
    let mut order = Vec::new();
    while !left.is_empty() {
        let touches = |h: usize| piece.hinges()[h].joins.iter().any(|&b| stands[b]);
        let next = left.iter().position(|&h| touches(h)).expect("a sound piece is connected");
        let hinge = left.remove(next);
        for b in piece.hinges()[hinge].joins {
            stands[b] = true;
        }
        order.push(hinge);
    }
    order
}

struct Search<'a> {
    piece: &'a Piece,
    order: Vec<usize>,
    motions: Vec<Option<Motion>>,
    found: Vec<Pose>,
}

impl Search<'_> {
    fn place(&mut self, depth: usize) {
        let Some(&h) = self.order.get(depth) else {
            let motions = self.motions.iter().map(|m| m.expect("all blocks stand")).collect();
            let pose = Pose::from_motions(motions);
            let mut pins: Vec<_> = self.piece.hinges().iter().map(|h| (h.pin, h.level)).collect();
            for (pin, hinge) in pins.iter_mut().zip(self.piece.hinges()) {
                pin.0 = pose.motions()[hinge.joins[0]].vertex(hinge.pin);
            }
            pins.sort_unstable();
            if pins.windows(2).all(|w| w[0] != w[1]) {
                self.found.push(pose);
            }
            return;
        };
        let hinge = self.piece.hinges()[h];
        let [a, b] = hinge.joins;
        let (from, to) = match (self.motions[a], self.motions[b]) {
            (Some(p), Some(q)) => {
                if p.vertex(hinge.pin) == q.vertex(hinge.pin) {
                    self.place(depth + 1);
                }
                return;
            }
            (Some(p), None) => (p, b),
            (None, Some(q)) => (q, a),
            (None, None) => unreachable!("one block of each hinge in the order stands"),
        };
        let pin = from.vertex(hinge.pin);
        for turn in Turn::ALL {
            let motion = from.then(Motion::about(pin, turn));
            let cell = motion.cell(self.piece.blocks()[to]);
            let mut others = self.motions.iter().zip(self.piece.blocks());
            if others.any(|(m, &c)| m.is_some_and(|m| m.cell(c) == cell)) {
                continue;
            }
            self.motions[to] = Some(motion);
            self.place(depth + 1);
            self.motions[to] = None;
        }
    }
}

/// Two poses that a clear swing of a hinge joins, the earlier one first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Joined {
    /// The poses, by position.
    pub poses: [usize; 2],
    /// The hinge, by position in the piece's hinges.
    pub hinge: usize,
}

/// The piece as it is drawn in one of its poses: blocks and hinges in their order.
pub fn drawn(piece: &Piece, pose: &Pose) -> Piece {
    let pin = |h: &lattice::Hinge| pose.motions()[piece.body_of(h.joins[0])].vertex(h.pin);
    let hinges = piece.hinges().iter().map(|h| lattice::Hinge { pin: pin(h), ..*h }).collect();
    let again = if piece.is_rigid() {
        Piece::rigid(pose.cells(piece))
    } else {
        Piece::hinged(pose.cells(piece), hinges)
    };
    again.expect("a pose of a sound piece is a sound drawing")
}

/// The lattice poses of a piece, by what single clear swings join.
#[derive(Clone, Debug)]
pub struct Classes {
    poses: Vec<Pose>,
    class: Vec<usize>,
    swings: Vec<Joined>,
    count: usize,
}

impl Classes {
    /// The classes of the piece that `swings` belongs to.
    pub fn of(swings: &mut Swings<'_>) -> Self {
        let poses = poses(swings.piece());
        let at: FxHashMap<&Pose, usize> = poses.iter().enumerate().map(|(i, p)| (p, i)).collect();
        let mut class = vec![usize::MAX; poses.len()];
        let mut joined = FxHashSet::default();
        let mut count = 0;
        for first in 0..poses.len() {
            if class[first] != usize::MAX {
                continue;
            }
            class[first] = count;
            let mut stack = vec![first];
            while let Some(from) = stack.pop() {
                for swing in swings.from(&poses[from]) {
                    let Outcome::Clear(after) = swing.outcome else { continue };
                    let to = at[&after];
                    joined.insert(Joined { poses: [from.min(to), from.max(to)], hinge: swing.hinge });
                    if class[to] == usize::MAX {
                        class[to] = count;
                        stack.push(to);
                    }
                }
            }
            count += 1;
        }
        let mut swings: Vec<_> = joined.into_iter().collect();
        swings.sort_unstable();
        Classes { poses, class, swings, count }
    }

    /// Every lattice pose, home first.
    pub fn poses(&self) -> &[Pose] {
        &self.poses
    }

    /// The class of each pose, numbered by first pose.
    pub fn classes(&self) -> &[usize] {
        &self.class
    }

    /// How many classes.
    pub fn count(&self) -> usize {
        self.count
    }

    /// The clear swings, each once, in order.
    pub fn swings(&self) -> &[Joined] {
        &self.swings
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::piece;
    use crate::{Plan, Reach};
    use lattice::{Fold, FoldSet};

    fn specimens() -> Vec<Piece> {
        vec![
            piece(&[(3, 4)], &[]),
            piece(&[(0, 0), (1, 0), (2, 0), (3, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0)]),
            piece(
                &[(0, 0), (-1, -1), (0, -1), (-1, 0)],
                &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)],
            ),
            piece(
                &[(0, 0), (1, 0), (1, 1), (0, 1)],
                &[(1, 0, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (1, 1, 3, 0, 0)],
            ),
        ]
    }

    #[test]
    fn poses_take_every_fold_and_class_0_is_what_swings_reach() {
        for piece in specimens() {
            let plan = Plan::default();
            let (folds, reach) = (FoldSet::of(&piece, 2, false), Reach::of(&piece, 2, false, &plan));
            let classes = Classes::of(&mut Swings::new(&piece, &plan));
            let mut taken = vec![false; folds.len()];
            for pose in classes.poses() {
                for turn in Turn::ALL {
                    let fold = Fold::of(&piece, &pose.moved(Motion::about_origin(false, turn)), 2);
                    taken[folds.position(&fold).unwrap()] = true;
                }
            }
            assert!(taken.iter().all(|&t| t));
            let home = classes.classes().iter().filter(|&&c| c == 0).count();
            assert_eq!(home, reach.poses().len());
            assert_eq!(classes.poses()[0], Pose::home(&piece));
            assert_eq!(classes.classes().iter().max(), Some(&(classes.count() - 1)));
        }
    }

    #[test]
    fn every_hinge_is_open_by_one_two_or_three_quarters() {
        for piece in specimens() {
            let all: Vec<_> = poses(&piece).iter().map(|p| openings(&piece, p)).collect();
            assert!(all.iter().flatten().all(|o| (1..=3).contains(o)));
            let apart: FxHashSet<_> = all.iter().collect();
            assert_eq!(apart.len(), all.len(), "openings tell poses apart");
        }
    }
}
