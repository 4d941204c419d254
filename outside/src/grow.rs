//! Sets of cells grown a cell at a time, up to shifting: plain sets of
//! coordinates that know nothing of pieces, folds and motions.

use std::collections::BTreeSet;

use lattice::Cell;

/// Cells, sorted, with the lower left of their bounding box at the origin.
pub type Shape = Vec<Cell>;

/// The sides of a cell.
pub const SIDES: &[(i32, i32)] = &[(1, 0), (0, 1), (-1, 0), (0, -1)];

/// The sides and corners of a cell.
pub const SIDES_AND_CORNERS: &[(i32, i32)] =
    &[(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];

/// Shifted to the origin and sorted.
pub fn settled(mut cells: Vec<Cell>) -> Shape {
    let dx = cells.iter().map(|c| c.x).min().unwrap_or(0);
    let dy = cells.iter().map(|c| c.y).min().unwrap_or(0);
    for cell in &mut cells {
        *cell = cell.shifted(-dx, -dy);
    }
    cells.sort_unstable();
    cells
}

/// Every shape of one cell more, where neighbours are at `steps`.
pub fn grown<'s>(shapes: impl IntoIterator<Item = &'s Shape>, steps: &[(i32, i32)]) -> BTreeSet<Shape> {
    let mut larger = BTreeSet::new();
    for shape in shapes {
        for from in shape {
            for &(dx, dy) in steps {
                let cell = from.shifted(dx, dy);
                if !shape.contains(&cell) {
                    let mut cells = shape.clone();
                    cells.push(cell);
                    larger.insert(settled(cells));
                }
            }
        }
    }
    larger
}

/// Every fixed shape of `size` cells.
pub fn all(size: usize, steps: &[(i32, i32)]) -> BTreeSet<Shape> {
    let mut shapes = BTreeSet::from([vec![Cell::new(0, 0)]]);
    for _ in 1..size {
        shapes = grown(&shapes, steps);
    }
    shapes
}
