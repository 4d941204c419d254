//! Foldings: every piece of the set in its place, and the judge of them.
//!
//! The judge works from the definitions alone and shares nothing with the
//! search: whatever finds a folding, this says whether it is one.

use std::collections::BTreeMap;

use crate::drop_in::{DropIn, drop_in};
use crate::fold::{Pin, Pose};
use crate::geometry::{Cell, Vertex};
use crate::outline::{Outline, VertexKind};
use crate::set::Set;

/// One piece in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Its position in the set.
    pub piece: usize,
    /// Where its bodies are.
    pub pose: Pose,
}

/// Every piece of a set in its place on an outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Folding {
    /// The pieces, in the order of the set.
    pub placed: Vec<Placed>,
}

/// What keeps a proposed folding from being one.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FoldingFault {
    /// A piece is missing or there twice.
    #[error("piece {piece} is placed {times} times instead of once")]
    Count {
        /// The piece.
        piece: usize,
        /// How often.
        times: usize,
    },
    /// A piece is pulled apart at a hinge.
    #[error("hinge {hinge} of piece {piece} does not hold")]
    Torn {
        /// The piece.
        piece: usize,
        /// The hinge.
        hinge: usize,
    },
    /// A piece lies on its face where the set forbids it, or is torn between both ways up.
    #[error("piece {piece} lies on its face")]
    TurnedOver {
        /// The piece.
        piece: usize,
    },
    /// A block outside the opening.
    #[error("piece {piece} stands outside the outline at cell ({}, {})", .cell.x, .cell.y)]
    Outside {
        /// The piece.
        piece: usize,
        /// The cell.
        cell: Cell,
    },
    /// Two blocks in one cell.
    #[error("two blocks stand in cell ({}, {})", .cell.x, .cell.y)]
    Overlap {
        /// The cell.
        cell: Cell,
    },
    /// Two hinges on one vertex and level.
    #[error("two hinges stand on one level at vertex ({}, {})", .at.x, .at.y)]
    PinsMeet {
        /// The vertex.
        at: Vertex,
    },
    /// A hinge in the wall.
    #[error("piece {piece} has a hinge at ({}, {}), where the wall has no pocket", .at.x, .at.y)]
    NoPocket {
        /// The piece.
        piece: usize,
        /// The vertex.
        at: Vertex,
    },
    /// Cells left empty, more or fewer than the outline says.
    #[error("{found} cells stay empty instead of {spare}")]
    Empty {
        /// How many stay empty.
        found: usize,
        /// How many should.
        spare: usize,
    },
}

impl Folding {
    /// The pins of each placed piece.
    pub fn pins(&self, set: &Set) -> Vec<Vec<Pin>> {
        self.placed.iter().map(|p| p.pose.pins(&set.pieces[p.piece], set.levels)).collect()
    }

    /// The order in which the pieces drop in, as positions in `placed`.
    pub fn drop_in(&self, set: &Set) -> DropIn {
        drop_in(&self.pins(set))
    }

    /// The edge vertices that this folding needs pockets at, sorted: its footprint.
    pub fn footprint(&self, set: &Set, outline: &Outline) -> Vec<Vertex> {
        let mut edge: Vec<Vertex> = self
            .pins(set)
            .into_iter()
            .flatten()
            .map(|pin| pin.at)
            .filter(|&v| outline.kind(v) == VertexKind::Edge)
            .collect();
        edge.sort_unstable();
        edge.dedup();
        edge
    }

    /// Everything that keeps this from being a folding of `outline` by `set`; empty if it is one.
    pub fn faults(&self, set: &Set, outline: &Outline) -> Vec<FoldingFault> {
        let mut faults = Vec::new();
        for piece in 0..set.pieces.len() {
            let times = self.placed.iter().filter(|p| p.piece == piece).count();
            if times != 1 {
                faults.push(FoldingFault::Count { piece, times });
            }
        }
        let mut cells: BTreeMap<Cell, usize> = BTreeMap::new();
        let mut pins: BTreeMap<Pin, usize> = BTreeMap::new();
        for placed in &self.placed {
            let piece = &set.pieces[placed.piece];
            let motions = placed.pose.motions();
            let over = motions.iter().filter(|m| m.mirrored).count();
            if over != 0 && (over != motions.len() || !set.turn_over) {
                faults.push(FoldingFault::TurnedOver { piece: placed.piece });
            }
            for (h, hinge) in piece.hinges().iter().enumerate() {
                let [a, b] = hinge.joins.map(|b| motions[piece.body_of(b)].vertex(hinge.pin));
                if a != b {
                    faults.push(FoldingFault::Torn { piece: placed.piece, hinge: h });
                }
            }
            for cell in placed.pose.cells(piece) {
                *cells.entry(cell).or_default() += 1;
                if !outline.has(cell) {
                    faults.push(FoldingFault::Outside { piece: placed.piece, cell });
                }
            }
            for pin in placed.pose.pins(piece, set.levels) {
                *pins.entry(pin).or_default() += 1;
                if !outline.allows_hinge(pin.at) {
                    faults.push(FoldingFault::NoPocket { piece: placed.piece, at: pin.at });
                }
            }
        }
        faults.extend(cells.iter().filter(|c| *c.1 > 1).map(|(&cell, _)| FoldingFault::Overlap { cell }));
        faults.extend(pins.iter().filter(|p| *p.1 > 1).map(|(pin, _)| FoldingFault::PinsMeet { at: pin.at }));
        let found = outline.cells().iter().filter(|c| !cells.contains_key(c)).count();
        if found != outline.spare() {
            faults.push(FoldingFault::Empty { found, spare: outline.spare() });
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing;
    use crate::geometry::{Level, Motion};
    use crate::piece::{Hinge, Piece};

    fn one_domino() -> Set {
        let hinge = Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) };
        let piece = Piece::hinged(vec![Cell::new(0, 0), Cell::new(1, 0)], vec![hinge]).unwrap();
        Set { pieces: vec![piece], levels: 1, turn_over: false }
    }

    fn at_home(set: &Set) -> Folding {
        Folding { placed: vec![Placed { piece: 0, pose: Pose::home(&set.pieces[0]) }] }
    }

    #[test]
    fn the_judge_wants_a_pocket_for_the_hinge() {
        let set = one_domino();
        let walled = drawing::parse("+ + +\n # #\n+ + +", 0).unwrap();
        let at = Vertex::new(1, 1);
        assert_eq!(at_home(&set).faults(&set, &walled), [FoldingFault::NoPocket { piece: 0, at }]);
        assert_eq!(at_home(&set).footprint(&set, &walled), [at]);
        let pocket = drawing::parse("+ o +\n # #\n+ + +", 0).unwrap();
        assert_eq!(at_home(&set).faults(&set, &pocket), []);
    }

    #[test]
    fn the_judge_sees_torn_pieces_overlaps_and_gaps() {
        let set = one_domino();
        let outline = drawing::parse("+ o +\n # #\n+ + +", 0).unwrap();
        let torn = Pose::from_motions(vec![Motion::STILL, Motion::STILL.shifted(-1, 0)]);
        let faults = Folding { placed: vec![Placed { piece: 0, pose: torn }] }.faults(&set, &outline);
        assert!(faults.contains(&FoldingFault::Torn { piece: 0, hinge: 0 }));
        assert!(faults.contains(&FoldingFault::Overlap { cell: Cell::new(0, 0) }));
        assert!(faults.contains(&FoldingFault::Empty { found: 1, spare: 0 }));
        let none = Folding { placed: vec![] }.faults(&set, &outline);
        assert!(none.contains(&FoldingFault::Count { piece: 0, times: 0 }));
    }
}
