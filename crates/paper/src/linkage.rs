//! A piece as a tree of blocks hung on their pins: what a moving picture turns.
//!
//! One block stands still. Every other block hangs on the block before it, and
//! where it is follows from the angles of the hinges on the way, each turning
//! all that hangs on it about its pin at home. So a hinge stays where it is
//! however its angle changes, and nothing has to be drawn anew.

use lattice::{Motion, Piece, Pose, Turn};

use crate::error::{PaperError, check_held};

/// A quarter turn of all that hangs on a hinge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Swing {
    /// The hinge, as a position in the piece's hinges.
    pub hinge: usize,
    /// Which way it turns, seen from above.
    pub anticlockwise: bool,
}

/// A piece hung on one of its blocks.
pub(crate) struct Linkage<'a> {
    pub piece: &'a Piece,
    pub anchor: usize,
    /// For each block, those that hang on it, each with its hinge.
    pub hung: Vec<Vec<(usize, usize)>>,
}

impl<'a> Linkage<'a> {
    /// Hangs a piece of separate blocks on `anchor`.
    pub fn new(piece: &'a Piece, anchor: usize) -> Result<Self, PaperError> {
        let blocks = piece.blocks().len();
        if piece.is_rigid() || anchor >= blocks {
            return Err(PaperError::Nothing);
        }
        let mut hung = vec![Vec::new(); blocks];
        let mut seen = vec![false; blocks];
        let mut next = std::collections::VecDeque::from([anchor]);
        seen[anchor] = true;
        while let Some(block) = next.pop_front() {
            for (h, hinge) in piece.hinges().iter().enumerate() {
                let [a, b] = hinge.joins;
                let other = if a == block { b } else { a };
                if (a == block || b == block) && !seen[other] {
                    seen[other] = true;
                    hung[block].push((other, h));
                    next.push_back(other);
                }
            }
        }
        Ok(Linkage { piece, anchor, hung })
    }

    /// The blocks that hang on a hinge, its own one first; none if it closes a loop.
    pub fn on(&self, hinge: usize) -> Vec<usize> {
        let first = self.hung.iter().flatten().find(|(_, h)| *h == hinge);
        let mut all: Vec<usize> = first.iter().map(|(block, _)| *block).collect();
        let mut at = 0;
        while at < all.len() {
            all.extend(self.hung[all[at]].iter().map(|(block, _)| *block));
            at += 1;
        }
        all
    }

    /// The angles of all hinges, in quarter turns anticlockwise, at home and after
    /// each swing; every pose on the way must be one of the piece.
    pub fn angles(&self, position: usize, swings: &[Swing]) -> Result<Vec<Vec<i32>>, PaperError> {
        let hinges = self.piece.hinges();
        let mut motions = vec![Motion::STILL; self.piece.bodies()];
        let mut angles = vec![vec![0; hinges.len()]];
        for (number, swing) in swings.iter().enumerate() {
            let moving = if swing.hinge < hinges.len() { self.on(swing.hinge) } else { Vec::new() };
            let Some(&first) = moving.first() else {
                return Err(PaperError::NoSwing { swing: number, hinge: swing.hinge });
            };
            let pin = motions[self.piece.body_of(first)].vertex(hinges[swing.hinge].pin);
            let turn = Motion::about(pin, Turn::new(if swing.anticlockwise { 1 } else { 3 }));
            for block in moving {
                let body = self.piece.body_of(block);
                motions[body] = motions[body].then(turn);
            }
            // A hinge that closes a loop is torn by a swing of the loop's others.
            check_held(self.piece, position, &Pose::from_motions(motions.clone()), number + 1)?;
            let mut after = angles[number].clone();
            after[swing.hinge] += if swing.anticlockwise { 1 } else { -1 };
            angles.push(after);
        }
        Ok(angles)
    }
}
