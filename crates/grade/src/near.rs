//! Near-fillings: all pieces but one are down, the cells left hang together and
//! are as many as the last piece has, and it does not go in.
//!
//! Counted exactly, without listing them: the last piece is replaced by one that
//! takes any connected shape and has no hinges, the layouts of that set are
//! counted, and those where the real piece goes in are taken off again. Each
//! layout of the outline is one of these once for each of its pieces.

use std::collections::BTreeSet;
use std::sync::Arc;

use fill::Stop;
use lattice::{Cell, Class, Fold, FoldSet, Outline, Pose, Set};
use num_bigint::BigUint;

/// Blocks of a piece up to which its place is taken by every connected shape.
const MOST_BLOCKS: usize = 6;

/// Every set of `cells` cells that hang together by sides or corners, its
/// bounding box at the origin. Their numbers are OEIS A006770.
pub(crate) fn connected_shapes(cells: usize) -> Vec<Vec<Cell>> {
    let mut shapes = BTreeSet::from([vec![Cell::new(0, 0)]]);
    for _ in 1..cells {
        let mut larger = BTreeSet::new();
        for shape in &shapes {
            for cell in shape {
                for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
                    let new = cell.shifted(dx, dy);
                    if !shape.contains(&new) {
                        let mut all: Vec<Cell> = shape.iter().copied().chain([new]).collect();
                        let x = all.iter().map(|c| c.x).min().unwrap_or(0);
                        let y = all.iter().map(|c| c.y).min().unwrap_or(0);
                        all.iter_mut().for_each(|c| *c = c.shifted(-x, -y));
                        all.sort_unstable();
                        larger.insert(all);
                    }
                }
            }
        }
        shapes = larger;
    }
    shapes.into_iter().collect()
}

/// How many near-fillings there are, by layout; `layouts`: how many layouts the
/// outline has. None where cells stay empty (which hole is the last piece's
/// cannot be said), where a piece has too many blocks, or where it was stopped.
pub(crate) fn near_fillings(
    set: &Set,
    classes: &[Class],
    outline: &Outline,
    layouts: &BigUint,
    stop: Stop<'_>,
) -> Option<BigUint> {
    let blocks = |class: &Class| class.folds.folds().first().map_or(0, |f| f.cells.len());
    if outline.spare() > 0 || classes.iter().any(|c| blocks(c) > MOST_BLOCKS) {
        return None;
    }
    let mut sum = BigUint::ZERO;
    for (k, class) in classes.iter().enumerate() {
        let mut others = classes.to_vec();
        let last = others[k].pieces.pop().expect("a class has a piece");
        others.retain(|c| !c.pieces.is_empty());
        let folds = connected_shapes(blocks(class)).into_iter().map(|cells| Fold {
            cells,
            pins: Vec::new(),
            pose: Pose::from_motions(Vec::new()),
        });
        others.push(Class { folds: Arc::new(FoldSet::from_folds(folds.collect())), pieces: vec![last] });
        let with_hole = fill::count(set, &others, outline, stop).ok()?.layouts;
        sum += with_hole - layouts * class.pieces.len();
    }
    Some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn connected_shapes_are_as_many_as_published() {
        // OEIS A006770, as docs/model.md has it.
        let counts: Vec<usize> = (1..=5).map(|n| connected_shapes(n).len()).collect();
        assert_eq!(counts, [1, 4, 20, 110, 638]);
    }
}
