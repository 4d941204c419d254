//! What a plan costs: looks at the bodies, and what finds and misses take.

use divan::{Bencher, black_box};
use lattice::{Cell, Hinge, Level, Piece, Vertex};
use motion::{Effort, Planned};
use reach::Plan;

fn piece(cells: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let hinge = |&(x, y, a, b, level): &(i32, i32, usize, usize, u8)| Hinge {
        pin: Vertex::new(x, y),
        joins: [a, b],
        level: Level(level),
    };
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    Piece::hinged(blocks, hinges.iter().map(hinge).collect()).expect("a sound piece")
}

#[divan::bench]
fn a_ring_of_four_opened(bencher: Bencher) {
    let ring = piece(
        &[(0, 0), (1, 0), (1, 1), (0, 1)],
        &[(1, 0, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (1, 1, 3, 0, 0)],
    );
    bencher.bench(|| Planned::of(black_box(&ring), 2, false, &Plan::default(), Effort::default()));
}

#[divan::bench(args = [1_000, 10_000])]
fn a_lock_looked_at_in_vain(bencher: Bencher, looks: u64) {
    let lock =
        piece(&[(0, 0), (-1, -1), (0, -1), (-1, 0)], &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)]);
    bencher.bench(|| Planned::of(black_box(&lock), 2, false, &Plan::default(), Effort { looks, seed: 1 }));
}

fn main() {
    divan::main();
}
