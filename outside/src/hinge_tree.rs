//! Every tree of blocks and hinges, up to renaming and turning its blocks.
//!
//! Levels do not matter here: with a level of its own for each hinge, no two
//! ever meet. So a tree is which corner of which block is pinned to which
//! corner of which other block, and nothing more.

use std::collections::BTreeMap;

use lattice::{Cell, Corner, Hinge, Level, Piece, Vertex};

/// A tree of blocks. Block 0 is the root; every other block is pinned by its
/// own corner 0 to a corner of an earlier block.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HingeTree {
    /// For block i + 1, the block it is pinned to and the corner of that.
    ties: Vec<(usize, u8)>,
}

/// A hinge seen from one of its blocks: own corner, other block, its corner.
type End = (u8, usize, u8);

impl HingeTree {
    /// How many blocks.
    pub fn blocks(&self) -> usize {
        self.ties.len() + 1
    }

    /// Every tree with one block more, each block and corner in turn.
    pub fn grown(&self) -> impl Iterator<Item = HingeTree> {
        (0..self.blocks()).flat_map(|block| (0..4).map(move |corner| (block, corner))).map(|tie| {
            let mut ties = self.ties.clone();
            ties.push(tie);
            HingeTree { ties }
        })
    }

    /// The same text for the same tree, however its blocks are named and turned.
    pub fn code(&self) -> String {
        let mut ends: Vec<Vec<End>> = vec![Vec::new(); self.blocks()];
        for (i, &(block, corner)) in self.ties.iter().enumerate() {
            ends[i + 1].push((0, block, corner));
            ends[block].push((corner, i + 1, 0));
        }
        let rooted = (0..self.blocks()).flat_map(|root| (0..4).map(move |first| (root, first)));
        rooted.map(|(root, first)| code(&ends, root, first, None)).min().expect("a tree has a block")
    }

    /// The tree as a piece, each hinge on a level of its own, drawn in the first
    /// pose that the lattice has room for; none if it has none.
    pub fn piece(&self) -> Option<Piece> {
        let mut stands = vec![(Cell::new(0, 0), 0)];
        let mut pins = Vec::new();
        if !self.stand(&mut stands, &mut pins) {
            return None;
        }
        let hinge = |(i, &pin): (usize, &Vertex)| Hinge {
            pin,
            joins: [self.ties[i].0, i + 1],
            level: Level(u8::try_from(i).expect("few hinges")),
        };
        let hinges = pins.iter().enumerate().map(hinge).collect();
        let cells = stands.into_iter().map(|(cell, _)| cell).collect();
        Some(Piece::hinged(cells, hinges).expect("a tree that stands is a sound piece"))
    }

    /// Stands the blocks that are left, each with its cell and quarter turns.
    fn stand(&self, stands: &mut Vec<(Cell, u8)>, pins: &mut Vec<Vertex>) -> bool {
        let Some(&(block, corner)) = self.ties.get(pins.len()) else {
            return true;
        };
        let (cell, turns) = stands[block];
        let pin = cell.corner(Corner::new(corner + turns));
        for quadrant in Corner::ALL {
            let cell = pin.quadrant(quadrant);
            if stands.iter().all(|s| s.0 != cell) {
                // The block's corner 0 is at the pin.
                stands.push((cell, quadrant.opposite().index()));
                pins.push(pin);
                if self.stand(stands, pins) {
                    return true;
                }
                pins.pop();
                stands.pop();
            }
        }
        false
    }
}

fn code(ends: &[Vec<End>], block: usize, first: u8, from: Option<usize>) -> String {
    let mut text = String::from("(");
    for corner in (0..4).map(|c| (first + c) % 4) {
        let here = ends[block].iter().filter(|e| e.0 == corner && Some(e.1) != from);
        let mut far: Vec<String> = here.map(|e| code(ends, e.1, e.2, Some(block))).collect();
        far.sort();
        text += &far.concat();
        text.push('.');
    }
    text + ")"
}

/// Every tree of `blocks` blocks, each once, in a fixed order.
pub fn all(blocks: usize) -> Vec<HingeTree> {
    let mut trees = vec![HingeTree::default()];
    for _ in 1..blocks {
        let larger: BTreeMap<String, HingeTree> =
            trees.iter().flat_map(HingeTree::grown).map(|tree| (tree.code(), tree)).collect();
        trees = larger.into_values().collect();
    }
    trees
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trees_of_three_blocks_are_a_pin_of_three_and_chains() {
        // A middle block with pins at one corner, at neighbours, or across; or all
        // three at one pin by two hinges, which is the first again from its end:
        // pinned to the middle's corner, or to the corner that the middle is pinned by.
        let codes: Vec<String> = all(3).iter().map(HingeTree::code).collect();
        assert_eq!(codes.len(), 3, "{codes:?}");
    }

    #[test]
    fn five_blocks_do_not_fit_round_one_pin() {
        let fan = HingeTree { ties: vec![(0, 0); 4] };
        assert_eq!(fan.piece(), None);
        let three = HingeTree { ties: vec![(0, 0); 3] };
        assert_eq!(three.piece().unwrap().blocks().len(), 4);
    }

    #[test]
    fn a_tree_read_from_its_other_end_is_the_same_tree() {
        // Chains of four, by how far on the pins of the two middle blocks are:
        // one and one quarter turn back; the same from its other end; one on, one back.
        let back = HingeTree { ties: vec![(0, 3), (1, 3), (2, 3)] };
        let from_the_middle = HingeTree { ties: vec![(0, 1), (1, 3), (0, 2)] };
        let on_and_back = HingeTree { ties: vec![(0, 3), (1, 1), (2, 3)] };
        assert_eq!(back.code(), from_the_middle.code());
        assert_ne!(back.code(), on_and_back.code());
    }
}
