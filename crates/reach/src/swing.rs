//! The swings that a piece can try in a pose, and what becomes of each.

use lattice::{Cell, Motion, Piece, Pose, Turn};

use crate::body::Knuckles;
use crate::plan::Plan;
use crate::sweep::Pairs;

/// A quarter turn of one side of a hinge, tried in some pose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swing {
    /// The hinge, as a position in the piece's hinges.
    pub hinge: usize,
    /// One quarter turn anticlockwise seen from above, or three: one clockwise.
    pub turn: Turn,
    /// What becomes of it.
    pub outcome: Outcome,
}

/// What becomes of a swing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing is in the way; this is the pose after it.
    Clear(Pose),
    /// A moving block would run into a standing one: the first such pair.
    Blocked {
        /// The block that turns.
        moving: usize,
        /// The block in its way.
        standing: usize,
    },
}

/// What has been found out about pairs of blocks under one plan. It holds for
/// every piece, so whoever looks at many hands it on.
#[derive(Debug)]
pub struct Known(Pairs);

impl Known {
    /// Nothing yet.
    pub fn nothing(plan: &Plan) -> Self {
        Known(Pairs::new(*plan))
    }
}

/// The two sides of each hinge of a piece, and what is in the way of what.
///
/// Asked again and again about one piece; every pair of blocks is looked into
/// once and remembered.
#[derive(Debug)]
pub struct Swings<'a> {
    piece: &'a Piece,
    pairs: Pairs,
    /// Per hinge, the blocks on the side without block 0; none in a loop.
    far_sides: Vec<Option<Vec<usize>>>,
    levels: usize,
}

impl<'a> Swings<'a> {
    /// The swings of `piece` with bodies as wide as `plan` says.
    pub fn new(piece: &'a Piece, plan: &Plan) -> Self {
        Self::knowing(piece, Known::nothing(plan))
    }

    /// The swings of `piece` under the plan of what is known already.
    pub fn knowing(piece: &'a Piece, known: Known) -> Self {
        let far_sides = (0..piece.hinges().len()).map(|h| far_side(piece, h)).collect();
        let levels = piece.hinges().iter().map(|h| usize::from(h.level.0) + 1).max().unwrap_or(0);
        Swings { piece, pairs: known.0, far_sides, levels }
    }

    /// What is known by now.
    pub fn into_known(self) -> Known {
        Known(self.pairs)
    }

    /// The piece.
    pub fn piece(&self) -> &'a Piece {
        self.piece
    }

    /// The plan.
    pub fn plan(&self) -> &Plan {
        self.pairs.plan()
    }

    /// The blocks, ascending, on the side of a hinge that block 0 is not on:
    /// those that move in [`from`](Self::from). None if the hinge is part of a
    /// loop: then it has no two sides, and no single swing turns it.
    pub fn far_side(&self, hinge: usize) -> Option<&[usize]> {
        self.far_sides[hinge].as_deref()
    }

    pub(crate) fn into_far_sides(self) -> Vec<Option<Vec<usize>>> {
        self.far_sides
    }

    /// Every swing that a sound pose of the piece can try: of each hinge with
    /// two sides, the two quarter turns of the side without block 0, less the
    /// one that leads through the partner block. (Turning the other side the
    /// other way is the same but for a turn of the whole.)
    pub fn from(&mut self, pose: &Pose) -> Vec<Swing> {
        let seen = Seen::of(self.piece, pose, self.levels);
        let mut swings = Vec::new();
        for hinge in 0..self.far_sides.len() {
            let Some(moving) = &self.far_sides[hinge] else { continue };
            for turn in [Turn::new(1), Turn::new(3)] {
                if seen.partner_in_the_way(self.piece, hinge, moving, turn) {
                    continue;
                }
                let hit = seen.obstacle(self.piece, &mut self.pairs, hinge, moving, turn);
                let outcome = match hit {
                    Some((moving, standing)) => Outcome::Blocked { moving, standing },
                    None => Outcome::Clear(swung(self.piece, pose, hinge, moving, turn)),
                };
                swings.push(Swing { hinge, turn, outcome });
            }
        }
        swings
    }
}

/// The pose after `moving` has turned about a hinge of its own.
pub(crate) fn swung(piece: &Piece, pose: &Pose, hinge: usize, moving: &[usize], turn: Turn) -> Pose {
    let hinge = &piece.hinges()[hinge];
    let about = Motion::about(pose.motions()[hinge.joins[0]].vertex(hinge.pin), turn);
    let mut motions = pose.motions().to_vec();
    for &block in moving {
        motions[block] = motions[block].then(about);
    }
    Pose::from_motions(motions)
}

/// The blocks that hang on block 0 only by this hinge, if it is all they hang by.
fn far_side(piece: &Piece, hinge: usize) -> Option<Vec<usize>> {
    let mut near = vec![false; piece.blocks().len()];
    let mut stack = vec![0];
    near[0] = true;
    while let Some(a) = stack.pop() {
        for (h, other) in piece.hinges().iter().enumerate() {
            let [p, q] = other.joins;
            if h != hinge && (p == a || q == a) {
                let b = if p == a { q } else { p };
                if !std::mem::replace(&mut near[b], true) {
                    stack.push(b);
                }
            }
        }
    }
    let far: Vec<usize> = (0..near.len()).filter(|&b| !near[b]).collect();
    (!far.is_empty()).then_some(far)
}

/// A pose as the sweep sees it: cells, pins, and knuckles at geometric corners.
struct Seen {
    cells: Vec<Cell>,
    pins: Vec<lattice::Vertex>,
    /// By level and block.
    knuckles: Vec<Vec<Knuckles>>,
}

impl Seen {
    /// Levels count as drawn: lying on its face, a piece has all of them
    /// reversed together, which puts nothing in another thing's way.
    fn of(piece: &Piece, pose: &Pose, levels: usize) -> Self {
        let cells = pose.cells(piece);
        let mut knuckles = vec![vec![Knuckles::default(); cells.len()]; levels];
        let mut pins = Vec::new();
        for hinge in piece.hinges() {
            let at = pose.motions()[hinge.joins[0]].vertex(hinge.pin);
            for block in hinge.joins {
                let corner = cells[block].corner_at(at).expect("a pose holds every hinge at both blocks");
                let on_level = &mut knuckles[usize::from(hinge.level.0)];
                on_level[block] = on_level[block].with(corner);
            }
            pins.push(at);
        }
        Seen { cells, pins, knuckles }
    }

    fn partner_in_the_way(&self, piece: &Piece, hinge: usize, moving: &[usize], turn: Turn) -> bool {
        let [p, q] = piece.hinges()[hinge].joins;
        let (mover, stander) = if moving.contains(&p) { (p, q) } else { (q, p) };
        Motion::about(self.pins[hinge], turn).cell(self.cells[mover]) == self.cells[stander]
    }

    /// The first pair of a moving and a standing block that meet, if any.
    fn obstacle(
        &self,
        piece: &Piece,
        pairs: &mut Pairs,
        hinge: usize,
        moving: &[usize],
        turn: Turn,
    ) -> Option<(usize, usize)> {
        let pin = self.pins[hinge];
        let turning = &piece.hinges()[hinge];
        for &a in moving {
            for b in (0..self.cells.len()).filter(|b| !moving.contains(b)) {
                let own = turning.joins == [a, b] || turning.joins == [b, a];
                for (level, knuckles) in self.knuckles.iter().enumerate() {
                    let block = |i: usize| {
                        let cell = self.cells[i];
                        let mut k = knuckles[i];
                        if own && level == usize::from(turning.level.0) {
                            k = k.without(cell.corner_at(pin).expect("the hinge's own block"));
                        }
                        (cell.shifted(-pin.x, -pin.y), k)
                    };
                    if !pairs.clear(block(a), block(b), turn == Turn::new(1)) {
                        return Some((a, b));
                    }
                }
            }
        }
        None
    }
}
