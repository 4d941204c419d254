//! A shortest way from home to a fold, as a person would do it: at each hinge
//! the side with fewer blocks turns, and the rest stands still.

use lattice::{Motion, Piece, Pose, Turn};

use crate::swing::swung;

/// One swing of a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The hinge, as a position in the piece's hinges.
    pub hinge: usize,
    /// The blocks that turn, ascending: the side with fewer of them, or the
    /// one without block 0.
    pub moving: Vec<usize>,
    /// One quarter turn anticlockwise seen from above, or three: one clockwise.
    pub turn: Turn,
    /// The pose after it. What does not turn is where it was.
    pub after: Pose,
}

/// A shortest way from home to a fold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Path {
    /// Home, laid so that the path ends in the fold as the fold set has it.
    pub start: Pose,
    /// The swings in order.
    pub steps: Vec<Step>,
}

impl Path {
    /// The pose at its end.
    pub fn end(&self) -> &Pose {
        self.steps.last().map_or(&self.start, |step| &step.after)
    }

    /// The same path, turned and shifted as a whole.
    pub(crate) fn moved(&self, motion: Motion) -> Self {
        debug_assert!(!motion.mirrored, "a mirror would turn every step round");
        let moved = |step: &Step| Step { after: step.after.moved(motion), ..step.clone() };
        Path { start: self.start.moved(motion), steps: self.steps.iter().map(moved).collect() }
    }
}

/// The path whose steps, told as turns of the far sides of a piece lying face
/// up, are `turns`; with `mirrored` the piece lies on its face throughout.
pub(crate) fn replay(
    piece: &Piece,
    far_sides: &[Option<Vec<usize>>],
    turns: &[(usize, Turn)],
    mirrored: bool,
) -> Path {
    let start = Pose::home(piece).moved(Motion::about_origin(mirrored, Turn::NONE));
    let mut path = Path { start, steps: Vec::new() };
    for &(hinge, turn) in turns {
        let far = far_sides[hinge].as_deref().expect("only hinges with two sides swing");
        let blocks = piece.blocks().len();
        let few = far.len() * 2 <= blocks;
        let moving: Vec<usize> = (0..blocks).filter(|b| far.contains(b) == few).collect();
        // Turning the other side, or seeing it from below, reverses the sense.
        let turn = if few != mirrored { turn } else { turn.undone() };
        let after = swung(piece, path.end(), hinge, &moving, turn);
        path.steps.push(Step { hinge, moving, turn, after });
    }
    path
}
