//! Facts others have found about hinged squares, against the catalogue.
//!
//! D. Eppstein, The Geometry Junkyard, "Hinged dissections of polyominoes":
//! four whole squares with three suitably placed hinges form all five
//! tetrominoes; "it does not seem to be possible to join five squares by hinges
//! and form all twelve pentominoes" (an observation there, not a theorem).

use std::collections::BTreeSet;

use lattice::{Cell, FoldSet, Motion, Turn};
use reach::{Bed, Plan, Reach};
use scout::{Catalogue, Entry, Wanted};

/// A cell set however it lies, if it hangs together by sides.
fn polyomino(cells: &[Cell]) -> Option<Vec<Cell>> {
    let (mut near, mut at) = (vec![cells[0]], 0);
    while at < near.len() {
        for c in near[at].sides() {
            if cells.contains(&c) && !near.contains(&c) {
                near.push(c);
            }
        }
        at += 1;
    }
    let lying = |m: bool, t: Turn| {
        let whole = Motion::about_origin(m, t);
        let moved: Vec<Cell> = cells.iter().map(|&c| whole.cell(c)).collect();
        let low = |of: fn(&Cell) -> i32| moved.iter().map(of).min().unwrap();
        let (x, y) = (low(|c| c.x), low(|c| c.y));
        let mut moved: Vec<Cell> = moved.iter().map(|c| c.shifted(-x, -y)).collect();
        moved.sort();
        moved
    };
    let all = [false, true].into_iter().flat_map(|m| Turn::ALL.map(|t| lying(m, t)));
    (near.len() == cells.len()).then(|| all.min().unwrap())
}

/// The free polyominoes among a piece's folds: all of them, or those swings reach.
fn polyominoes(e: &Entry, levels: u8, swings: bool) -> usize {
    let all: BTreeSet<Vec<Cell>> = if swings {
        let reach = Reach::of(&e.piece, levels, false, &Plan::default());
        let folds = reach.folds().folds().iter().enumerate();
        folds.filter(|(f, _)| reach.distance(*f).is_some()).filter_map(|(_, f)| polyomino(&f.cells)).collect()
    } else {
        let folds = FoldSet::of(&e.piece, levels, false);
        folds.folds().iter().filter_map(|f| polyomino(&f.cells)).collect()
    };
    all.len()
}

fn most(blocks: usize, levels: u8, swings: bool) -> usize {
    let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
    let wanted = Wanted { blocks, levels, loops: 0, plan: Plan::default(), bed };
    let entries = Catalogue::of(&wanted).unwrap().entries;
    entries.iter().map(|e| polyominoes(e, levels, swings)).max().unwrap()
}

#[test]
fn four_squares_form_all_five_tetrominoes_and_by_swings_too() {
    assert_eq!([most(4, 1, false), most(4, 2, false), most(4, 2, true)], [5, 5, 5]);
}

#[test]
fn no_five_squares_form_all_twelve_pentominoes() {
    // Trees on one or two levels are all there; ten is the most any of them forms.
    assert_eq!([most(5, 1, false), most(5, 2, false), most(5, 2, true)], [10, 10, 10]);
}
