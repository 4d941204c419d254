//! How cells and the wall round them hang together.

use lattice::Cell;
use rustc_hash::FxHashSet;

/// Whether cells hang together by whole sides, or across corners too.
pub fn hangs_together(cells: &[Cell], corners: bool) -> bool {
    let Some(&first) = cells.first() else { return false };
    let mut left: FxHashSet<Cell> = cells.iter().copied().collect();
    sweep(first, &mut left, corners);
    left.is_empty()
}

/// Holes: parts of the wall, hanging together by whole sides, that are cut off
/// from the wall outside. A part that hangs on by a corner alone counts.
pub fn holes(cells: &[Cell]) -> usize {
    let least = |of: fn(&Cell) -> i32| cells.iter().map(of).min().unwrap_or(0) - 1;
    let most = |of: fn(&Cell) -> i32| cells.iter().map(of).max().unwrap_or(0) + 1;
    let (low, high) = ((least(|c| c.x), least(|c| c.y)), (most(|c| c.x), most(|c| c.y)));
    let mut wall: FxHashSet<Cell> =
        (low.0..=high.0).flat_map(|x| (low.1..=high.1).map(move |y| Cell::new(x, y))).collect();
    cells.iter().for_each(|cell| {
        wall.remove(cell);
    });
    sweep(Cell::new(low.0, low.1), &mut wall, false);
    let mut count = 0;
    while let Some(&first) = wall.iter().next() {
        sweep(first, &mut wall, false);
        count += 1;
    }
    count
}

/// Takes away the cells that hang together with `first`.
fn sweep(first: Cell, left: &mut FxHashSet<Cell>, corners: bool) {
    left.remove(&first);
    let mut next = vec![first];
    while let Some(cell) = next.pop() {
        for &(dx, dy) in steps(corners) {
            let near = cell.shifted(dx, dy);
            if left.remove(&near) {
                next.push(near);
            }
        }
    }
}

/// The steps from a cell to those it hangs together with.
pub(super) fn steps(corners: bool) -> &'static [(i32, i32)] {
    const STEPS: [(i32, i32); 8] = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)];
    &STEPS[..if corners { 8 } else { 4 }]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(rows: &[&str]) -> Vec<Cell> {
        let of = |(y, row): (usize, &&str)| -> Vec<Cell> {
            row.match_indices('#').map(|(x, _)| Cell::new(x as i32, y as i32)).collect()
        };
        rows.iter().enumerate().flat_map(of).collect()
    }

    #[test]
    fn corners_join_only_where_they_may() {
        let kite = cells(&["#.", ".#"]);
        assert_eq!((hangs_together(&kite, true), hangs_together(&kite, false)), (true, false));
        assert!(!hangs_together(&[], true));
    }

    #[test]
    fn a_hole_is_wall_that_no_side_ties_to_the_rest() {
        assert_eq!(holes(&cells(&["###", "#.#", "###"])), 1);
        assert_eq!(holes(&cells(&["###", "#.#", "##."])), 1);
        assert_eq!(holes(&cells(&["#####", "#.#.#", "#####"])), 2);
        assert_eq!(holes(&cells(&["###", "#..", "###"])), 0);
    }
}
