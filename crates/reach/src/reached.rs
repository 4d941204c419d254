//! The folds of a piece, and how far each is from home.
//!
//! Breadth first over poses up to a motion of the whole: block 0 stands still,
//! everything else is told against it. A fold counts as reached when some
//! quarter turn of a reached pose takes it (with turning over, also lying on
//! its face); its distance is the least over all poses that do. Poses are
//! found in a fixed order, hinges ascending, anticlockwise first, so equal
//! input gives equal answers, paths too.

use lattice::{Fold, FoldSet, Motion, Piece, Pose, Turn};
use rustc_hash::FxHashSet;

use crate::path::{self, Path};
use crate::plan::Plan;
use crate::swing::{Outcome, Swings};

/// Which folds of a piece its swings reach.
#[derive(Clone, Debug)]
pub struct Reach {
    piece: Piece,
    levels: u8,
    folds: FoldSet,
    poses: Vec<Node>,
    /// By fold.
    ways: Vec<Option<Way>>,
    far_sides: Vec<Option<Vec<usize>>>,
}

/// A reached pose with block 0 as at home.
#[derive(Clone, Debug)]
struct Node {
    pose: Pose,
    distance: u32,
    /// The pose before it, the hinge and the turn of the side without block 0.
    from: Option<(usize, usize, Turn)>,
}

/// How a fold is taken: by a reached pose, turned over or not.
#[derive(Clone, Copy, Debug)]
struct Way {
    node: usize,
    mirrored: bool,
}

impl Reach {
    /// What `piece` reaches in a set of `levels` levels, with bodies as wide as
    /// `plan` says. With `turn_over`, both ways up count as home.
    ///
    /// Every hinge of the piece must stand on one of the `levels`, as for
    /// [`FoldSet::of`]. The work grows with the number of poses, at most 3 to
    /// the power of the hinges.
    pub fn of(piece: &Piece, levels: u8, turn_over: bool, plan: &Plan) -> Self {
        let mut swings = Swings::new(piece, plan);
        let poses = explore(&mut swings);
        let folds = FoldSet::of(piece, levels, turn_over);
        let mut ways = vec![None; folds.len()];
        let faces: &[bool] = if turn_over { &[false, true] } else { &[false] };
        for (node, Node { pose, .. }) in poses.iter().enumerate() {
            for &mirrored in faces {
                for turn in Turn::ALL {
                    let fold = Fold::of(piece, &pose.moved(Motion::about_origin(mirrored, turn)), levels);
                    let at = folds.position(&fold).expect("a clear swing ends in a fold");
                    ways[at].get_or_insert(Way { node, mirrored });
                }
            }
        }
        Reach { piece: piece.clone(), levels, folds, poses, ways, far_sides: swings.into_far_sides() }
    }

    /// All folds of the piece, reached or not.
    pub fn folds(&self) -> &FoldSet {
        &self.folds
    }

    /// The least number of swings from home to a fold, by its position in
    /// [`folds`](Self::folds); none if single swings do not reach it.
    pub fn distance(&self, fold: usize) -> Option<u32> {
        self.ways[fold].map(|way| self.poses[way.node].distance)
    }

    /// How many folds are reached.
    pub fn reached(&self) -> usize {
        self.ways.iter().flatten().count()
    }

    /// The distance of the farthest reached fold.
    pub fn farthest(&self) -> u32 {
        (0..self.ways.len()).filter_map(|f| self.distance(f)).max().unwrap_or(0)
    }

    /// The positions of the folds that single swings do not reach, ascending.
    pub fn missed(&self) -> Vec<usize> {
        (0..self.ways.len()).filter(|&f| self.ways[f].is_none()).collect()
    }

    /// The hinges that no single swing turns, because they are part of a loop
    /// and have no two sides, ascending.
    pub fn looped(&self) -> Vec<usize> {
        (0..self.far_sides.len()).filter(|&h| self.far_sides[h].is_none()).collect()
    }

    /// The reached poses with block 0 as at home, home first, each with its
    /// distance, which never falls. Several poses can take one fold.
    pub fn poses(&self) -> impl ExactSizeIterator<Item = (&Pose, u32)> {
        self.poses.iter().map(|node| (&node.pose, node.distance))
    }

    /// A shortest way from home to a fold; none if single swings do not reach it.
    pub fn path(&self, fold: usize) -> Option<Path> {
        let Way { mut node, mirrored } = self.ways[fold]?;
        let mut turns = Vec::new();
        while let Some((before, hinge, turn)) = self.poses[node].from {
            turns.push((hinge, turn));
            node = before;
        }
        turns.reverse();
        let path = path::replay(&self.piece, &self.far_sides, &turns, mirrored);
        let ends_so = |path: &Path| Fold::of(&self.piece, path.end(), self.levels);
        let goal = &self.folds.folds()[fold];
        let turned =
            Turn::ALL.into_iter().map(|turn| path.moved(Motion::about_origin(false, turn))).find(|p| {
                let end = ends_so(p);
                end.cells == goal.cells && end.pins == goal.pins
            });
        let path =
            turned.expect("some quarter turn of a pose that takes the fold takes it as the set has it");
        // Shifted as the fold is: the lower left of its cells at the origin.
        let (to, is) = (ends_so(&path).pose.motions()[0], path.end().motions()[0]);
        Some(path.moved(Motion::STILL.shifted(to.dx - is.dx, to.dy - is.dy)))
    }
}

fn explore(swings: &mut Swings<'_>) -> Vec<Node> {
    let home = Pose::home(swings.piece());
    let mut known = FxHashSet::from_iter([home.clone()]);
    let mut poses = vec![Node { pose: home, distance: 0, from: None }];
    let mut at = 0;
    while at < poses.len() {
        let distance = poses[at].distance + 1;
        for swing in swings.from(&poses[at].pose) {
            if let Outcome::Clear(pose) = swing.outcome
                && known.insert(pose.clone())
            {
                poses.push(Node { pose, distance, from: Some((at, swing.hinge, swing.turn)) });
            }
        }
        at += 1;
    }
    poses
}
