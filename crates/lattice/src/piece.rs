//! Pieces: square blocks tied by hinges into one connected whole.
//!
//! A [`Piece`] that exists is sound: its home pose is a legal fold. All faults
//! of a drawing are told at once.

use crate::geometry::{Cell, Level, Vertex};

/// A vertical pin through one corner of two blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Hinge {
    /// Where the pin stands in the home pose.
    pub pin: Vertex,
    /// The two blocks it ties, as positions in the piece's blocks.
    pub joins: [usize; 2],
    /// The storey it stands on.
    pub level: Level,
}

/// What is wrong with a drawing of a piece. Blocks and hinges are named by
/// their positions in the drawing, from 0.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PieceError {
    /// A piece needs a block.
    #[error("the piece has no blocks")]
    NoBlocks,
    /// Two blocks in one cell.
    #[error("blocks {first} and {second} stand in the same cell")]
    SameCell {
        /// The earlier block.
        first: usize,
        /// The later block.
        second: usize,
    },
    /// A hinge names a block that is not there.
    #[error("hinge {hinge} joins block {block}, but there are only {blocks} blocks")]
    NoSuchBlock {
        /// The hinge.
        hinge: usize,
        /// The position it names.
        block: usize,
        /// How many blocks there are.
        blocks: usize,
    },
    /// A hinge ties a block to itself.
    #[error("hinge {hinge} joins block {block} to itself")]
    JoinsItself {
        /// The hinge.
        hinge: usize,
        /// The block.
        block: usize,
    },
    /// The pin is no corner of a block it should tie.
    #[error("the pin of hinge {hinge} is not at a corner of block {block}")]
    PinOffCorner {
        /// The hinge.
        hinge: usize,
        /// The block that the pin misses.
        block: usize,
        /// Vertices that are corners of both blocks, if any.
        shared: Vec<Vertex>,
    },
    /// Two hinges on one vertex and level.
    #[error("hinges {first} and {second} stand on the same vertex and level")]
    SamePin {
        /// The earlier hinge.
        first: usize,
        /// The later hinge.
        second: usize,
    },
    /// No chain of hinges ties this block to the first one.
    #[error("block {block} is not tied to block 0 by any chain of hinges")]
    NotConnected {
        /// A block out of reach.
        block: usize,
    },
    /// A rigid piece has hinges.
    #[error("hinge {hinge} is in a rigid piece, which has none")]
    HingeInRigid {
        /// The hinge.
        hinge: usize,
    },
    /// A rigid piece whose blocks do not hang together by whole sides.
    #[error("block {block} of the rigid piece shares no side with the rest")]
    RigidApart {
        /// A block out of reach.
        block: usize,
    },
}

/// Blocks and hinges, drawn in the home pose.
///
/// Blocks that move as one are a *body*: every block its own in a hinged
/// piece, all of them one in a rigid piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    blocks: Vec<Cell>,
    hinges: Vec<Hinge>,
    rigid: bool,
}

impl Piece {
    /// A piece whose blocks move at its hinges (one block needs none).
    ///
    /// # Errors
    /// Every fault of the drawing.
    pub fn hinged(blocks: Vec<Cell>, hinges: Vec<Hinge>) -> Result<Self, Vec<PieceError>> {
        Self::checked(Piece { blocks, hinges, rigid: false })
    }

    /// One solid body of its blocks.
    ///
    /// # Errors
    /// Every fault of the drawing.
    pub fn rigid(blocks: Vec<Cell>) -> Result<Self, Vec<PieceError>> {
        Self::checked(Piece { blocks, hinges: Vec::new(), rigid: true })
    }

    /// All faults of a drawing, without building the piece.
    pub fn faults(blocks: &[Cell], hinges: &[Hinge], rigid: bool) -> Vec<PieceError> {
        let piece = Piece { blocks: blocks.to_vec(), hinges: hinges.to_vec(), rigid };
        piece.find_faults()
    }

    fn checked(self) -> Result<Self, Vec<PieceError>> {
        let faults = self.find_faults();
        if faults.is_empty() { Ok(self) } else { Err(faults) }
    }

    fn find_faults(&self) -> Vec<PieceError> {
        let mut faults = Vec::new();
        if self.blocks.is_empty() {
            faults.push(PieceError::NoBlocks);
        }
        for (second, cell) in self.blocks.iter().enumerate() {
            if let Some(first) = self.blocks[..second].iter().position(|c| c == cell) {
                faults.push(PieceError::SameCell { first, second });
            }
        }
        for (h, hinge) in self.hinges.iter().enumerate() {
            if self.rigid {
                faults.push(PieceError::HingeInRigid { hinge: h });
            }
            faults.extend(self.hinge_faults(h, hinge));
            let same = |other: &Hinge| (other.pin, other.level) == (hinge.pin, hinge.level);
            if let Some(first) = self.hinges[..h].iter().position(same) {
                faults.push(PieceError::SamePin { first, second: h });
            }
        }
        // With a broken hinge the piece looks loose only because of that.
        if faults.is_empty() {
            faults.extend(self.loose_block());
        }
        faults
    }

    fn hinge_faults(&self, h: usize, hinge: &Hinge) -> Vec<PieceError> {
        let blocks = self.blocks.len();
        let absent: Vec<_> = hinge
            .joins
            .into_iter()
            .filter(|&b| b >= blocks)
            .map(|block| PieceError::NoSuchBlock { hinge: h, block, blocks })
            .collect();
        if !absent.is_empty() {
            return absent;
        }
        let [a, b] = hinge.joins;
        if a == b {
            return vec![PieceError::JoinsItself { hinge: h, block: a }];
        }
        let corners = |i: usize| crate::geometry::Corner::ALL.map(|c| self.blocks[i].corner(c));
        let shared: Vec<Vertex> = corners(a).into_iter().filter(|v| corners(b).contains(v)).collect();
        [a, b]
            .into_iter()
            .filter(|&i| !corners(i).contains(&hinge.pin))
            .map(|block| PieceError::PinOffCorner { hinge: h, block, shared: shared.clone() })
            .collect()
    }

    fn loose_block(&self) -> Option<PieceError> {
        let mut reached = vec![false; self.blocks.len()];
        let mut stack = vec![0];
        reached[0] = true;
        while let Some(a) = stack.pop() {
            for (b, seen) in reached.iter_mut().enumerate() {
                let tied = if self.rigid {
                    self.blocks[a].sides().contains(&self.blocks[b])
                } else {
                    self.hinges.iter().any(|h| h.joins == [a, b] || h.joins == [b, a])
                };
                if tied && !std::mem::replace(seen, true) {
                    stack.push(b);
                }
            }
        }
        let block = reached.iter().position(|r| !r)?;
        Some(if self.rigid { PieceError::RigidApart { block } } else { PieceError::NotConnected { block } })
    }

    /// The cells of the blocks in the home pose.
    pub fn blocks(&self) -> &[Cell] {
        &self.blocks
    }

    /// The hinges in the home pose.
    pub fn hinges(&self) -> &[Hinge] {
        &self.hinges
    }

    /// Whether all blocks are one solid body.
    pub fn is_rigid(&self) -> bool {
        self.rigid
    }

    /// How many bodies move against each other.
    pub fn bodies(&self) -> usize {
        if self.rigid { 1 } else { self.blocks.len() }
    }

    /// The body that a block belongs to.
    pub fn body_of(&self, block: usize) -> usize {
        if self.rigid { 0 } else { block }
    }

    /// The hinges that turn freely in some order: all but those that close a
    /// loop. The piece has at most 4 × 3 to this power folds.
    pub fn free_hinges(&self) -> usize {
        self.bodies() - 1
    }

    /// Whether the hinges close a loop.
    pub fn has_loop(&self) -> bool {
        self.hinges.len() >= self.bodies()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn c(x: i32, y: i32) -> Cell {
        Cell::new(x, y)
    }

    fn h(x: i32, y: i32, joins: [usize; 2], level: u8) -> Hinge {
        Hinge { pin: Vertex::new(x, y), joins, level: Level(level) }
    }

    #[test]
    fn a_sound_chain_is_accepted() {
        let piece =
            Piece::hinged(vec![c(0, 0), c(1, 0), c(2, 0)], vec![h(1, 1, [0, 1], 0), h(2, 0, [1, 2], 1)]);
        assert!(!piece.unwrap().has_loop());
    }

    #[test]
    fn every_fault_is_told_at_once() {
        let faults = Piece::faults(
            &[c(0, 0), c(1, 0), c(1, 0), c(5, 5)],
            &[h(7, 7, [0, 1], 0), h(1, 1, [0, 9], 0), h(1, 0, [1, 1], 0), h(1, 0, [0, 1], 0)],
            false,
        );
        assert!(faults.contains(&PieceError::SameCell { first: 1, second: 2 }));
        assert!(faults.contains(&PieceError::NoSuchBlock { hinge: 1, block: 9, blocks: 4 }));
        assert!(faults.contains(&PieceError::JoinsItself { hinge: 2, block: 1 }));
        assert!(faults.contains(&PieceError::SamePin { first: 2, second: 3 }));
        assert_eq!(
            faults.iter().filter(|f| matches!(f, PieceError::PinOffCorner { hinge: 0, .. })).count(),
            2
        );
    }

    #[test]
    fn a_loose_block_is_found() {
        let faults = Piece::faults(&[c(0, 0), c(1, 0), c(2, 0)], &[h(1, 0, [0, 1], 0)], false);
        assert_eq!(faults, [PieceError::NotConnected { block: 2 }]);
        assert_eq!(Piece::faults(&[c(0, 0), c(1, 1)], &[], true), [PieceError::RigidApart { block: 1 }]);
    }

    #[test]
    fn two_hinges_share_a_vertex_on_different_levels_only() {
        let blocks = [c(0, 0), c(1, 0), c(1, 1)];
        assert_eq!(Piece::faults(&blocks, &[h(1, 1, [0, 1], 0), h(1, 1, [1, 2], 1)], false), []);
        assert_eq!(
            Piece::faults(&blocks, &[h(1, 1, [0, 1], 1), h(1, 1, [1, 2], 1)], false),
            [PieceError::SamePin { first: 0, second: 1 }]
        );
    }
}
