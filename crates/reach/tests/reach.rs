//! The rules of swings, as a maker would say them.

use std::collections::BTreeMap;

use lattice::{Cell, Corner, Fold, FoldSet, Hinge, Level, Motion, Piece, Pin, Pose, Turn, Vertex};
use proptest::prelude::*;
use reach::{Outcome, Plan, Reach, Sizes, Swings};

fn piece(cells: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).unwrap()
}

fn plain(piece: &Piece) -> Reach {
    Reach::of(piece, 2, false, &Plan::default())
}

/// A tree of hinges grown from one block, as far as the choices allow.
fn tree() -> impl Strategy<Value = Piece> {
    let choice = (any::<prop::sample::Index>(), 0u8..4, 1u8..4, 0u8..2);
    prop::collection::vec(choice, 1..6).prop_map(|choices| {
        let (mut blocks, mut hinges) = (vec![Cell::new(0, 0)], Vec::<Hinge>::new());
        for (from, corner, quadrant, level) in choices {
            let (from, level) = (from.index(blocks.len()), Level(level));
            let pin = blocks[from].corner(Corner::new(corner));
            let cell = pin.quadrant(Corner::new(corner + 2 + quadrant));
            if !blocks.contains(&cell) && !hinges.iter().any(|h| (h.pin, h.level) == (pin, level)) {
                hinges.push(Hinge { pin, joins: [from, blocks.len()], level });
                blocks.push(cell);
            }
        }
        Piece::hinged(blocks, hinges).unwrap()
    })
}

/// Sizes from slim, with wide gaps, to stout.
fn plan() -> impl Strategy<Value = Plan> {
    (0.1..0.8f64, 1.0..6.0f64, 0.1..0.8f64).prop_map(|(gap, knuckle, clearance)| {
        Plan::new(Sizes { pitch: 15.0, gap, knuckle, clearance }).unwrap()
    })
}

#[test]
fn a_two_block_piece_reaches_all_its_six_folds_with_one_swing() {
    for (x, y) in [(1, 0), (0, 1), (1, 1), (-1, 1)] {
        let cells = [(0, 0), (x, y)];
        let pin = Cell::new(0, 0);
        for at in Corner::ALL.map(|c| pin.corner(c)) {
            let Ok(two) = Piece::hinged(
                cells.map(|(x, y)| Cell::new(x, y)).to_vec(),
                vec![Hinge { pin: at, joins: [0, 1], level: Level(0) }],
            ) else {
                continue;
            };
            let reach = plain(&two);
            assert_eq!((reach.folds().len(), reach.reached()), (6, 6));
            // From corner to corner one swing does; between the two sides lie two.
            assert_eq!(reach.farthest(), if x * y == 0 { 1 } else { 1 });
            assert!(reach.missed().is_empty() && reach.looped().is_empty());
        }
    }
}
