//! What the swings of a piece cost, the answers for pairs of blocks included.

use divan::{Bencher, black_box};
use lattice::{Cell, Hinge, Level, Piece, Vertex};
use reach::{Plan, Reach};

/// A straight chain with its pins up, down, up, on levels 0, 1, 0, ...
fn chain(blocks: i32) -> Piece {
    let hinges = (1..blocks).map(|i| Hinge {
        pin: Vertex::new(i, i % 2),
        joins: [i as usize - 1, i as usize],
        level: Level((i % 2) as u8),
    });
    Piece::hinged((0..blocks).map(|x| Cell::new(x, 0)).collect(), hinges.collect()).expect("a sound chain")
}

#[divan::bench(args = [2, 4, 6, 8])]
fn reach_of_a_chain(bencher: Bencher, blocks: i32) {
    let (piece, plan) = (chain(blocks), Plan::default());
    bencher.bench(|| Reach::of(black_box(&piece), 2, false, &plan));
}

#[divan::bench(args = [6])]
fn folds_of_the_same_chain_alone(bencher: Bencher, blocks: i32) {
    let piece = chain(blocks);
    bencher.bench(|| lattice::FoldSet::of(black_box(&piece), 2, false));
}

fn main() {
    divan::main();
}
