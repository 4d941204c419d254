//! A layout as a short text: one code for all that count as the same.

use std::collections::BTreeMap;

use crate::folding::Folding;
use crate::geometry::{Cell, Motion};
use crate::outline::Outline;
use crate::set::{Class, Set};

/// Digits of a code.
const DIGITS: &[u8; 62] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

/// The code of a folding's layout on an outline: for each cell of the outline,
/// the top row first and left to right, the number of the piece that covers it
/// (its position in the set and 1; 0 if none), in base 62, as many digits each
/// as the number of pieces needs.
///
/// Interchangeable pieces (one class) take their numbers in the order in which
/// they are met, and of the layouts that rotations of the outline lead to, the
/// least code is taken. So two foldings have one code just when their layouts
/// are essentially the same.
pub fn layout_code(set: &Set, classes: &[Class], outline: &Outline, folding: &Folding) -> String {
    let mut owners: BTreeMap<Cell, usize> = BTreeMap::new();
    for placed in &folding.placed {
        for cell in placed.pose.cells(&set.pieces[placed.piece]) {
            owners.insert(cell, placed.piece);
        }
    }
    let mut reading: Vec<Cell> = outline.cells().to_vec();
    reading.sort_unstable_by_key(|c| (-c.y, c.x));
    let mut width = 1;
    while set.pieces.len() >= 62usize.pow(width) {
        width += 1;
    }
    let code = |motion: Motion| {
        let moved: BTreeMap<Cell, usize> = owners.iter().map(|(&c, &p)| (motion.cell(c), p)).collect();
        let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
        let mut next = vec![0; classes.len()];
        let mut text = String::with_capacity(reading.len() * width as usize);
        for cell in &reading {
            let number = moved.get(cell).map_or(0, |&piece| {
                *numbers.entry(piece).or_insert_with(|| {
                    let class = classes.iter().position(|c| c.pieces.contains(&piece));
                    let class = class.expect("every piece is in a class");
                    next[class] += 1;
                    classes[class].pieces[next[class] - 1] + 1
                })
            });
            let digit = |place| char::from(DIGITS[number / 62usize.pow(place) % 62]);
            text.extend((0..width).rev().map(digit));
        }
        text
    };
    outline.rotations().into_iter().map(code).min().expect("the still motion is a rotation")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing;
    use crate::fold::Pose;
    use crate::folding::Placed;
    use crate::geometry::{Level, Turn, Vertex};
    use crate::piece::{Hinge, Piece};

    fn domino() -> Piece {
        let hinge = Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) };
        Piece::hinged(vec![Cell::new(0, 0), Cell::new(1, 0)], vec![hinge]).unwrap()
    }

    fn at(piece: usize, turn: u8, dx: i32, dy: i32) -> Placed {
        let motion = Motion::about_origin(false, Turn::new(turn)).shifted(dx, dy);
        Placed { piece, pose: Pose::from_motions(vec![motion; 2]) }
    }

    #[test]
    fn a_code_is_read_off_row_by_row() {
        let single = Piece::hinged(vec![Cell::new(0, 0)], vec![]).unwrap();
        let set = Set { pieces: vec![domino(), single], levels: 1, turn_over: false };
        let outline = drawing::parse("+ o + +\n # # #\n+ + + +\n # . .\n+ + + +", 1).unwrap();
        let block = Placed { piece: 1, pose: Pose::from_motions(vec![Motion::STILL]) };
        let folding = Folding { placed: vec![at(0, 0, 0, 1), block] };
        assert_eq!(folding.faults(&set, &outline), []);
        assert_eq!(layout_code(&set, &set.classes(), &outline, &folding), "1102");
    }

    #[test]
    fn swapped_pieces_and_turned_layouts_have_one_code() {
        let set = Set { pieces: vec![domino(), domino()], levels: 1, turn_over: false };
        let outline = drawing::parse("+ o +\n # #\no + o\n # #\n+ o +", 0).unwrap();
        let code = |placed| layout_code(&set, &set.classes(), &outline, &Folding { placed });
        let lying = code(vec![at(0, 0, 0, 1), at(1, 2, 2, 1)]);
        assert_eq!(lying, "1122");
        assert_eq!(lying, code(vec![at(1, 0, 0, 1), at(0, 2, 2, 1)]));
        assert_eq!(lying, code(vec![at(0, 1, 1, 0), at(1, 3, 1, 2)]));
    }

    #[test]
    fn many_pieces_take_more_digits() {
        let single = Piece::hinged(vec![Cell::new(0, 0)], vec![]).unwrap();
        let set = Set { pieces: vec![single; 70], levels: 1, turn_over: false };
        let outline = Outline::new((0..70).map(|x| Cell::new(x, 0)), [], 0).unwrap();
        let shifted = |p: usize| Placed {
            piece: p,
            pose: Pose::from_motions(vec![Motion::STILL.shifted(69 - p as i32, 0)]),
        };
        let code =
            layout_code(&set, &set.classes(), &outline, &Folding { placed: (0..70).map(shifted).collect() });
        assert_eq!(code.len(), 140);
        assert!(code.starts_with("010203") && code.ends_with("161718"));
    }
}
