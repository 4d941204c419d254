//! The key that gives every plate its one place on the board.
//!
//! Each side of each lattice edge has a notch, left or right of the edge's
//! middle, by a fixed pattern without period; a plate has a lug on every side
//! of its wall, where the notch is. Lugs go nowhere but into notches, so a
//! plate that is shifted, turned or turned over stands on the tiles and shows
//! it. [`places`] counts where a plate fits.

use lattice::{Cell, Motion, Outline, Turn};

/// One side of a lattice edge: the edge between `inside` and `outside`, seen
/// from `inside`, with the notch and its lug in `outside`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Side {
    pub inside: Cell,
    pub outside: Cell,
}

/// Whether the board's notch in `side.outside` at this edge lies left of its
/// middle, looking outward. Cells are in the board's own coordinates.
pub(crate) fn notch_left(side: Side) -> bool {
    let (dx, dy) = (side.inside.x - side.outside.x, side.inside.y - side.outside.y);
    let facing = match (dx, dy) {
        (1, 0) => 0u64,
        (0, 1) => 1,
        (-1, 0) => 2,
        _ => 3,
    };
    // Steele, Lea, Flood (2014), "Fast splittable pseudorandom number generators":
    // the finalizer, from memory. Any good mixer would do; it must only stay the same.
    let mut z = (side.outside.x as i64 as u64)
        .wrapping_mul(0x9E37_79B9_7F4A_7C15)
        .wrapping_add((side.outside.y as i64 as u64).wrapping_mul(0xD1B5_4A32_D192_ED03))
        .wrapping_add(facing.wrapping_mul(0x8CB9_2BA7_2F3D_8DD7));
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    (z ^ (z >> 31)) & 1 == 1
}

/// The sides that a wall round `cells` runs along, sorted.
pub(crate) fn wall_sides(outline: &Outline) -> Vec<Side> {
    let mut sides: Vec<Side> = outline
        .cells()
        .iter()
        .flat_map(|&inside| inside.sides().map(|outside| Side { inside, outside }))
        .filter(|s| !outline.has(s.outside))
        .collect();
    sides.sort_unstable();
    sides
}

/// Every motion, among shifts, quarter turns and turning over, that lays a plate
/// on a board of `width` × `height` cells with every lug in a notch. The
/// outline is in board coordinates; the still motion is one of them.
pub(crate) fn places(outline: &Outline, width: i32, height: i32) -> Vec<Motion> {
    let lugs: Vec<(Side, bool)> = wall_sides(outline).into_iter().map(|s| (s, notch_left(s))).collect();
    let mut found = Vec::new();
    for mirrored in [false, true] {
        for turn in Turn::ALL {
            let spun = Motion::about_origin(mirrored, turn);
            let (low, w, h) = outline.moved(spun).bounds();
            for x in 0..=width - w {
                for y in 0..=height - h {
                    let motion = spun.shifted(x - low.x, y - low.y);
                    // Turned over, a plate has its left lugs right.
                    let goes = |&(s, left): &(Side, bool)| {
                        let there = Side { inside: motion.cell(s.inside), outside: motion.cell(s.outside) };
                        notch_left(there) == (left != mirrored)
                    };
                    if lugs.iter().all(goes) {
                        found.push(motion);
                    }
                }
            }
        }
    }
    found
}

/// Where on the board the plate has one place only: the shift that brings the
/// outline there, nearest the middle first. `None` if it is too large, or if
/// every place has a second one.
pub(crate) fn one_place(outline: &Outline, width: i32, height: i32) -> Option<Motion> {
    let (low, w, h) = outline.bounds();
    let mut shifts: Vec<(i32, i32)> =
        (0..=width - w).flat_map(|x| (0..=height - h).map(move |y| (x, y))).collect();
    shifts.sort_by_key(|&(x, y)| ((2 * x + w - width).abs() + (2 * y + h - height).abs(), y, x));
    shifts
        .into_iter()
        .map(|(x, y)| Motion::STILL.shifted(x - low.x, y - low.y))
        .find(|m| places(&outline.moved(*m), width, height).len() == 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::drawing;

    #[test]
    fn about_half_of_all_notches_lie_left() {
        let all = (0..40).flat_map(|x| (0..40).map(move |y| Cell::new(x, y)));
        let sides = all.flat_map(|outside| outside.sides().map(|inside| Side { inside, outside }));
        let count = sides.filter(|s| notch_left(*s)).count();
        assert!((2900..3500).contains(&count), "{count}");
    }

    #[test]
    fn even_a_square_has_one_place() {
        let square = drawing::parse("+ + + +\n # # #\n+ + + +\n # # #\n+ + + +\n # # #\n+ + + +", 0).unwrap();
        let motion = one_place(&square, 8, 8).unwrap();
        let there = square.moved(motion);
        assert_eq!(places(&there, 8, 8), [Motion::STILL]);
        assert_eq!(one_place(&square, 2, 8), None);
        // The smallest squares find their one place too.
        let small = drawing::parse("+ + +\n # #\n+ + +\n # #\n+ + +", 0).unwrap();
        for board in 3..12 {
            assert!(one_place(&small, board, board).is_some(), "{board}");
        }
    }
}
