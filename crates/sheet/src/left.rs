//! A sheet as a piece of the lattice, and the pieces that are left of it.
//!
//! Hinges left out until none is in a ring leave a tree: a piece that folds.
//! How many trees there are is the number of spanning trees of the grid (G.
//! Kirchhoff's matrix-tree theorem); how many pieces, what is left of them up to
//! turns and mirror.

use std::collections::BTreeMap;

use lattice::{Cell, Hinge, Level, Piece, Vertex};

use crate::geometry::Sheet;

/// A piece that is left of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// The piece, as it lies in the first sheet it was met in.
    pub piece: Piece,
    /// From how many trees it comes.
    pub trees: usize,
}

/// The sheet as one piece: blocks row by row, a hinge for every tie.
///
/// # Panics
/// Never: every two neighbours of a sheet share the vertex of their tie, and levels
/// part the two hinges of a vertex.
#[must_use]
pub fn piece(sheet: &Sheet) -> Piece {
    of_ties(sheet, |_| true)
}

fn of_ties(sheet: &Sheet, keep: impl Fn(usize) -> bool) -> Piece {
    let cell = |b: usize| {
        let [i, j] = sheet.place(b);
        Cell::new(i as i32, j as i32)
    };
    let ties = sheet.ties();
    let hinges = ties.iter().enumerate().filter(|(k, _)| keep(*k)).map(|(_, tie)| {
        let [i, j] = sheet.place(tie.blocks[0]).map(|x| x as i32);
        let [x, y] = tie.corners[0];
        let pin = Vertex { x: i + (x + 1) / 2, y: j + (y + 1) / 2 };
        Hinge { pin, joins: tie.blocks, level: Level(tie.level) }
    });
    Piece::hinged((0..sheet.blocks()).map(cell).collect(), hinges.collect())
        .expect("a sheet is a sound piece")
}

/// Every piece that is left of the sheet's linkage when it is cut to a tree, up to
/// turns and mirror, levels left out of account; in the order they are first met.
/// `None` if there are more than `most` trees, or the caller said stop.
#[must_use]
pub fn left(sheet: &Sheet, most: usize, stop: &dyn Fn() -> bool) -> Option<Vec<Left>> {
    let ties = sheet.ties();
    let mut found: Vec<Left> = Vec::new();
    let mut known: BTreeMap<Vec<[i32; 6]>, usize> = BTreeMap::new();
    let mut trees = 0;
    let mut kept = Vec::new();
    let mut classes: Vec<usize> = (0..sheet.blocks()).collect();
    let mut each = |kept: &[usize]| {
        trees += 1;
        let piece = of_ties(sheet, |k| kept.contains(&k));
        let at = *known.entry(canonical(&piece)).or_insert_with(|| {
            found.push(Left { piece, trees: 0 });
            found.len() - 1
        });
        found[at].trees += 1;
        trees <= most && !stop()
    };
    let pairs: Vec<[usize; 2]> = ties.iter().map(|t| t.blocks).collect();
    grow(&pairs, 0, sheet.blocks() - 1, &mut classes, &mut kept, &mut each).then_some(found)
}

/// Takes ties in or leaves them out; false if `each` wants no more.
fn grow(
    pairs: &[[usize; 2]],
    from: usize,
    wanted: usize,
    classes: &mut Vec<usize>,
    kept: &mut Vec<usize>,
    each: &mut impl FnMut(&[usize]) -> bool,
) -> bool {
    if kept.len() == wanted {
        return each(kept);
    }
    if pairs.len() - from < wanted - kept.len() {
        return true;
    }
    let [a, b] = pairs[from].map(|b| classes[b]);
    if a != b {
        let before = classes.clone();
        classes.iter_mut().filter(|c| **c == b).for_each(|c| *c = a);
        kept.push(from);
        let on = grow(pairs, from + 1, wanted, classes, kept, each);
        kept.pop();
        *classes = before;
        if !on {
            return false;
        }
    }
    grow(pairs, from + 1, wanted, classes, kept, each)
}

/// The least list of hinges over the eight ways to lay the piece: pin, then the two
/// cells it ties, all from the lower left.
fn canonical(piece: &Piece) -> Vec<[i32; 6]> {
    let ways = (0..8).map(|way| {
        // Twice the coordinates, so that cells have their middles on odd numbers.
        let put = |x: i32, y: i32| {
            let x = if way >= 4 { -x } else { x };
            [[x, y], [-y, x], [-x, -y], [y, -x]][way % 4]
        };
        let middle = |b: usize| {
            let c = piece.blocks()[b];
            put(2 * c.x + 1, 2 * c.y + 1)
        };
        let all: Vec<[i32; 2]> = (0..piece.blocks().len()).map(middle).collect();
        let low = [0, 1].map(|k| all.iter().map(|p| p[k]).min().unwrap_or(0));
        let from = |p: [i32; 2]| [p[0] - low[0], p[1] - low[1]];
        let mut hinges: Vec<[i32; 6]> = piece
            .hinges()
            .iter()
            .map(|h| {
                let [px, py] = from(put(2 * h.pin.x, 2 * h.pin.y));
                let mut cells = h.joins.map(|b| from(middle(b)));
                cells.sort_unstable();
                let [[ax, ay], [bx, by]] = cells;
                [px, py, ax, ay, bx, by]
            })
            .collect();
        hinges.sort_unstable();
        hinges
    });
    ways.min().expect("eight ways")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    #[test]
    fn as_many_trees_as_the_grid_has() {
        // Spanning trees of grids, OEIS A001353, A006238 and A116469 (from memory);
        // `outside/sheets.py` reckons them by the matrix-tree theorem.
        for (m, n, trees) in [(2, 2, 4), (3, 2, 15), (4, 2, 56), (3, 3, 192)] {
            let [one, other] = [Hand::Left, Hand::Right]
                .map(|h| left(&Sheet::new(m, n, h).unwrap(), 1000, &|| false).unwrap());
            assert_eq!(one.iter().map(|l| l.trees).sum::<usize>(), trees);
            // The other hand is a mirror of this one, or the same lying elsewhere.
            assert_eq!(one.len(), other.len());
            assert!(one.iter().all(|l| l.piece.hinges().len() + 1 == m * n));
        }
        assert_eq!(left(&Sheet::new(3, 3, Hand::Left).unwrap(), 100, &|| false), None);
    }

    #[test]
    fn a_sheet_is_a_sound_piece() {
        let sheet = Sheet::new(6, 6, Hand::Right).unwrap();
        assert_eq!(piece(&sheet).hinges().len(), 60);
    }
}
