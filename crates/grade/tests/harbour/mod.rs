//! The demo set and some of its outlines, drawn here so that tests read no
//! files; and the swings of a set's folds.

// Each test binary uses some of these.
#![allow(dead_code)]

use lattice::{Cell, Class, Hinge, Level, Outline, Piece, Set, Vertex, drawing};
use reach::{Plan, Reach, Sizes};

type Row<'a> = (&'a [(i32, i32)], &'a [((i32, i32), [usize; 2], u8)]);

/// The five pieces of the demo project.
pub fn set() -> Set {
    let rows: [Row<'_>; 5] = [
        (&[(0, 0), (1, 0), (2, 0), (2, 1)], &[((1, 1), [0, 1], 0), ((2, 0), [1, 2], 1), ((3, 1), [2, 3], 0)]),
        (&[(0, 0), (1, 0), (1, 1), (0, 1)], &[((1, 0), [0, 1], 0), ((2, 1), [1, 2], 0), ((1, 2), [2, 3], 1)]),
        (&[(0, 0), (1, 0), (2, 0), (3, 0)], &[((1, 1), [0, 1], 0), ((2, 1), [1, 2], 0), ((3, 0), [2, 3], 0)]),
        (
            &[(0, 0), (1, 0), (1, 1), (2, 1), (3, 1)],
            &[((1, 1), [0, 1], 0), ((2, 1), [1, 2], 0), ((2, 2), [2, 3], 1), ((3, 1), [3, 4], 0)],
        ),
        (
            &[(1, 1), (0, 1), (1, 2), (2, 1), (1, 0)],
            &[((1, 2), [0, 1], 0), ((2, 2), [0, 2], 0), ((2, 1), [0, 3], 0), ((1, 1), [0, 4], 1)],
        ),
    ];
    let piece = |(blocks, hinges): &Row<'_>| {
        let blocks = blocks.iter().map(|&(x, y)| Cell::new(x, y)).collect();
        let hinge = |&((x, y), joins, level): &((i32, i32), [usize; 2], u8)| Hinge {
            pin: Vertex::new(x, y),
            joins,
            level: Level(level),
        };
        Piece::hinged(blocks, hinges.iter().map(hinge).collect()).unwrap()
    };
    Set { pieces: rows.iter().map(piece).collect(), levels: 2, turn_over: false }
}

/// Swings of every fold, by class.
pub fn swings(set: &Set, classes: &[Class]) -> Vec<Vec<Option<u32>>> {
    let plan = Plan::new(Sizes::default()).unwrap();
    let of_class = |class: &Class| {
        let reach = Reach::of(&set.pieces[class.pieces[0]], set.levels, set.turn_over, &plan);
        let distance = |fold| reach.distance(reach.folds().position(fold).unwrap());
        class.folds.folds().iter().map(distance).collect()
    };
    classes.iter().map(of_class).collect()
}

pub fn crane() -> Outline {
    drawing::parse(
        "+ + o + + o + +\n # # # # # # #\no o + + + + o +\n # . . # # . .\n+ + + + + o + +\n . . . # # . .\n\
         + + + + + + + +\n . . . # # . .\n+ + + o + + + +\n . . # # # # .\n+ + + + + + + +\n . . # # # # .\n\
         + + + + o o + +",
        0,
    )
    .unwrap()
}

pub fn crab() -> Outline {
    drawing::parse(
        "+ + + + + + o +\n # # . . . # #\no o + + + + + o\n # . . . . . #\no o + + o + o +\n # # # # # # #\n\
         + + + + + + + +\n . # # # # # .\n+ o o + + o + +\n # # . . . # #\n+ + + + + + o +",
        0,
    )
    .unwrap()
}

/// The herring: most of its pockets are blind.
pub fn herring() -> Outline {
    drawing::parse(
        "o o + o o o o + +\n # . . # # # . .\no o o + + + + + o\n # # # # # # # #\no o + + + + + o o\n\
         . # # # # # # .\no o o o + + + o +\n # . . # # # . .\no o + o o o o + +",
        0,
    )
    .unwrap()
}

/// The bell buoy: hardly anyone fills it.
pub fn bell_buoy() -> Outline {
    drawing::parse(
        "+ + o o + +\n . . # . .\n+ o o + o +\n . # # # .\n+ o o o o +\n . # . # .\n+ o o o + +\n . # # # .\n\
         o o + + + o\n # # # # #\no + + + + o\n # # # # #\no + + + + o\n . # # # .\n+ o o o o +",
        0,
    )
    .unwrap()
}
