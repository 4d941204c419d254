//! The hinge's bounds: whatever sizes are accepted give pieces that pass every
//! check, on every level; loops and hinges one above the other too.

use lattice::{Cell, Hinge, Level, Piece, Set, Vertex};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use solid::{About, BoardOrder, Part, PieceOrder, Printer, Request, Sizes, make};

fn hinge(x: i32, y: i32, joins: [usize; 2], level: u8) -> Hinge {
    Hinge { pin: Vertex::new(x, y), joins, level: Level(level) }
}

fn inspect(pieces: Vec<Piece>, sizes: Sizes, levels: u8, coupon: bool) -> Vec<Part> {
    let request = Request {
        about: About::default(),
        pieces: (0..pieces.len())
            .map(|n| PieceOrder {
                name: format!("piece {n}"),
                mark: n.to_string(),
                colour: "#0072B2".into(),
                made: true,
            })
            .collect(),
        set: Set { pieces, levels, turn_over: false },
        sizes,
        printer: Printer { bed: [900.0, 900.0], ..Printer::default() },
        board: BoardOrder { width: 3, height: 3, colours: ["#333333".into(), "#DDDDDD".into()] },
        make_board: true,
        plates: Vec::new(),
        coupon,
        backing: false,
        beds: false,
        stl: false,
        pictures: false,
    };
    make(&request).unwrap().parts
}

#[test]
fn rings_sheets_and_stacks_pass() {
    let cells = |all: &[(i32, i32)]| all.iter().map(|&(x, y)| Cell::new(x, y)).collect::<Vec<_>>();
    let square = cells(&[(0, 0), (1, 0), (1, 1), (0, 1)]);
    let ring =
        [hinge(1, 0, [0, 1], 0), hinge(2, 1, [1, 2], 0), hinge(1, 2, [2, 3], 0), hinge(0, 1, [3, 0], 0)];
    // Two hinges of four different blocks on one vertex, and ties to hold them together.
    let stack = [hinge(1, 1, [0, 1], 0), hinge(1, 1, [2, 3], 1), hinge(2, 1, [1, 2], 1)];
    // Three hinges in a row that share blocks, high over low.
    let shared = [hinge(1, 1, [1, 0], 0), hinge(1, 1, [1, 2], 1), hinge(1, 2, [3, 2], 0)];
    let crossed = [hinge(1, 1, [0, 2], 1), hinge(1, 1, [1, 3], 0), hinge(1, 0, [0, 1], 1)];
    let pieces = [ring.to_vec(), stack.to_vec(), shared.to_vec(), crossed.to_vec()]
        .map(|hinges| Piece::hinged(square.clone(), hinges).unwrap());
    let rigid = Piece::rigid(cells(&[(0, 0), (1, 0), (2, 0), (0, 1), (1, 1)])).unwrap();
    let block = Piece::hinged(cells(&[(0, 0)]), vec![]).unwrap();
    let all = pieces.into_iter().chain([rigid, block]).collect();
    for part in inspect(all, Sizes::default(), 2, false) {
        assert_eq!(part.failures, [], "{}", part.name);
    }
}

#[test]
fn three_levels_pass() {
    let blocks = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(x, y)| Cell::new(x, y)).to_vec();
    let hinges = vec![hinge(1, 1, [0, 1], 0), hinge(1, 1, [1, 2], 1), hinge(1, 1, [2, 3], 2)];
    let tall = Sizes { height: 24.0, ..Sizes::default() };
    for part in inspect(vec![Piece::hinged(blocks, hinges).unwrap()], tall, 3, false) {
        assert_eq!(part.failures, [], "{}", part.name);
    }
}

fn sizes() -> impl Strategy<Value = (Sizes, u8)> {
    let lengths = (10.0..30.0f64, 2.2..5.0f64, 0.15..0.45f64, 0.2..0.6f64, 0.2..0.8f64, 0.0..1.0f64);
    let printing = (0..3usize, 0..3usize, 1..3u8, 6.0..30.0f64);
    (lengths, printing).prop_map(
        |((pitch, knuckle, clearance, gap, chamfer, fit), (layer, nozzle, levels, height))| {
            let nozzle = [0.25, 0.4, 0.6][nozzle];
            let layer = [0.12, 0.2, 0.25][layer];
            let sizes = Sizes {
                pitch,
                knuckle,
                clearance,
                gap,
                chamfer,
                fit: 0.1 + 0.3 * fit,
                layer,
                first_layer: layer,
                nozzle,
                height,
                base: (2.0 * nozzle / layer).ceil() * layer,
                groove: 2.0 * nozzle + (0.9 * clearance.min(gap) / layer).ceil() * layer,
                mark_depth: 3.0 * layer,
                chord_error: 0.1 * clearance.min(0.2),
                ..Sizes::default()
            };
            (sizes, levels)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 24,
        max_global_rejects: 100_000,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(20),
        ..ProptestConfig::default()
    })]
    #[test]
    fn accepted_sizes_pass_every_check((sizes, levels) in sizes()) {
        prop_assume!(sizes.faults(levels).is_empty());
        let blocks = [(0, 0), (1, 0), (1, 1), (2, 1)].map(|(x, y)| Cell::new(x, y)).to_vec();
        let high = levels - 1;
        let hinges = vec![hinge(1, 1, [0, 1], 0), hinge(2, 1, [2, 1], high), hinge(2, 2, [3, 2], high)];
        for part in inspect(vec![Piece::hinged(blocks, hinges).unwrap()], sizes.clone(), levels, false) {
            prop_assert!(part.failures.is_empty(), "{}: {:?} {:?}", part.name, part.failures.iter().map(ToString::to_string).collect::<Vec<_>>(), sizes);
        }
    }
}
