//! A set made ready for many outlines: its shapes, each once whatever pieces
//! can take it, in two tries over cells, and the pins of its folds.
//!
//! Everything is kept as steps on a square grid of [`STRIDE`] positions a row, so
//! that putting a shape somewhere is adding a number. A shape hangs at its first
//! cell; cells run along the narrow side of an outline, so there is one trie for
//! outlines that are wide and one for those that are high.

use lattice::{Cell, Class, Fold, Set};
use rustc_hash::FxHashMap;

use crate::problem::hinged_levels;

/// Positions in a row of the grid.
pub(super) const STRIDE: i32 = 64;
/// Most classes and pieces, and most different stocks of pieces, that a survey handles.
const MOST_CLASSES: usize = 16;
pub(super) const MOST_PIECES: usize = 8;
const MOST_STOCKS: usize = 1 << 12;

/// One shape of the set.
pub(super) struct Shape {
    /// Who can take it: a range of [`Prepared::makers`].
    pub makers: std::ops::Range<u32>,
}

/// A class that can take a shape.
pub(super) struct Maker {
    pub class: u8,
    /// Its folds of that shape: a range of [`Prepared::folds`].
    pub folds: std::ops::Range<u32>,
}

/// A pin of a fold: the step from the shape's first cell to the position of the
/// cell whose lower left corner it is, and its level.
#[derive(Clone, Copy)]
pub(super) struct Step {
    pub to: i32,
    pub level: u8,
}

/// A node of a trie, in the order of a walk: one more cell of a shape.
pub(super) struct Node {
    /// Step from the first cell.
    pub to: i32,
    /// Where the walk goes on if that cell is not there.
    pub skip: u32,
    /// How many cells come before.
    pub depth: u8,
    /// The shape that ends here, or [`NO_SHAPE`].
    pub shape: u32,
}

pub(super) const NO_SHAPE: u32 = u32::MAX;

/// How cells are ordered, and what follows.
pub(super) struct Way {
    pub trie: Vec<Node>,
    /// Pins by fold, in the order of [`Prepared::folds`].
    pub pins: Vec<Step>,
}

/// The pieces of a class.
pub(super) struct Kind {
    count: usize,
    size: usize,
    /// What one of its pieces adds to the number of a stock.
    pub unit: u32,
}

/// A set made ready.
pub(super) struct Prepared {
    pub levels: usize,
    pub pieces: usize,
    pub area: usize,
    pub kinds: Vec<Kind>,
    pub shapes: Vec<Shape>,
    pub makers: Vec<Maker>,
    /// For each fold of each maker, the range of its pins.
    pub folds: Vec<std::ops::Range<u32>>,
    /// Cells along the rows first, and along the columns first.
    pub ways: [Way; 2],
    /// Most cells that a shape reaches in any direction.
    pub reach: i32,
    /// `may[stock × classes + class]`: whether a stock of used pieces leaves one of the class.
    pub may: Vec<bool>,
    /// The stock of all pieces.
    pub full: u32,
    /// `areas[n]`: the areas that n pieces can have, as bits.
    pub areas: Vec<u64>,
}

fn first(cells: &[Cell], by_column: bool) -> Cell {
    *cells.iter().min_by_key(|c| order(c, by_column)).expect("a shape has cells")
}

fn order(cell: &Cell, by_column: bool) -> (i32, i32) {
    if by_column { (cell.x, cell.y) } else { (cell.y, cell.x) }
}

impl Prepared {
    /// None where the set is beyond what a survey handles.
    pub fn new(set: &Set, classes: &[Class]) -> Option<Self> {
        let area = set.blocks();
        let pieces = set.pieces.len();
        if area > 63 || pieces > MOST_PIECES || classes.len() > MOST_CLASSES {
            return None;
        }
        let mut unit = 1;
        let mut kinds = Vec::new();
        for class in classes {
            let count = class.pieces.len();
            let size = set.pieces[class.pieces[0]].blocks().len();
            kinds.push(Kind { count, size, unit: unit as u32 });
            unit *= count + 1;
        }
        if unit > MOST_STOCKS {
            return None;
        }
        let may = (0..unit)
            .flat_map(|stock| kinds.iter().map(move |k| stock / k.unit as usize % (k.count + 1) < k.count))
            .collect();
        let mut by_cells: FxHashMap<&[Cell], Vec<(u8, &[Fold])>> = FxHashMap::default();
        for (k, class) in classes.iter().enumerate() {
            for shape in class.folds.shapes() {
                by_cells.entry(&shape[0].cells).or_default().push((k as u8, shape));
            }
        }
        let mut all: Vec<_> = by_cells.into_iter().collect();
        all.sort_unstable_by_key(|(cells, _)| *cells);
        let reach = all.iter().flat_map(|(cells, _)| cells.iter()).map(|c| c.x.max(c.y)).max().unwrap_or(0);
        let (mut shapes, mut makers, mut folds) = (Vec::new(), Vec::new(), Vec::new());
        let mut pins: [Vec<Step>; 2] = [Vec::new(), Vec::new()];
        for (cells, by_class) in &all {
            let from = makers.len() as u32;
            for (class, variants) in by_class {
                let start = folds.len() as u32;
                for fold in *variants {
                    let at = pins[0].len() as u32;
                    for (way, pins) in pins.iter_mut().enumerate() {
                        let anchor = first(cells, way == 1);
                        pins.extend(fold.pins.iter().map(|p| Step {
                            to: (p.at.y - anchor.y) * STRIDE + p.at.x - anchor.x,
                            level: p.level.0,
                        }));
                    }
                    folds.push(at..pins[0].len() as u32);
                }
                makers.push(Maker { class: *class, folds: start..folds.len() as u32 });
            }
            shapes.push(Shape { makers: from..makers.len() as u32 });
        }
        let cells: Vec<&[Cell]> = all.iter().map(|(cells, _)| *cells).collect();
        let mut areas = vec![0u64; pieces + 1];
        areas[0] = 1;
        for kind in &kinds {
            for _ in 0..kind.count {
                for n in (0..pieces).rev() {
                    areas[n + 1] |= areas[n] << kind.size;
                }
            }
        }
        let [along_rows, along_columns] = pins;
        Some(Prepared {
            levels: hinged_levels(set).max(1),
            pieces,
            area,
            kinds,
            shapes,
            makers,
            folds,
            ways: [
                Way { trie: trie(&cells, false), pins: along_rows },
                Way { trie: trie(&cells, true), pins: along_columns },
            ],
            reach,
            may,
            full: unit as u32 - 1,
            areas,
        })
    }

    /// Whether a piece of the class is left.
    pub fn may(&self, stock: u32, class: u8) -> bool {
        self.may[stock as usize * self.kinds.len() + usize::from(class)]
    }
}

/// The shapes as one trie over their cells in order.
fn trie(shapes: &[&[Cell]], by_column: bool) -> Vec<Node> {
    let mut paths: Vec<(Vec<(i32, i32)>, u32)> = shapes
        .iter()
        .enumerate()
        .map(|(i, cells)| {
            let anchor = first(cells, by_column);
            let mut steps: Vec<Cell> =
                cells.iter().map(|c| Cell::new(c.x - anchor.x, c.y - anchor.y)).collect();
            steps.sort_unstable_by_key(|c| order(c, by_column));
            (steps.iter().map(|c| order(c, by_column)).collect(), i as u32)
        })
        .collect();
    paths.sort_unstable();
    let mut nodes = Vec::new();
    grow(&paths, 1, by_column, &mut nodes);
    if let Some(single) = paths.iter().find(|(path, _)| path.len() == 1) {
        // A single block is the anchor alone: a node that asks for the anchor again.
        nodes.insert(0, Node { to: 0, skip: 1, depth: 0, shape: single.1 });
        for node in &mut nodes[1..] {
            node.skip += 1;
        }
    }
    nodes
}

fn grow(paths: &[(Vec<(i32, i32)>, u32)], depth: usize, by_column: bool, nodes: &mut Vec<Node>) {
    let longer: Vec<_> = paths.iter().filter(|(path, _)| path.len() > depth).cloned().collect();
    for group in longer.chunk_by(|a, b| a.0[depth] == b.0[depth]) {
        let (major, minor) = group[0].0[depth];
        let to = if by_column { minor * STRIDE + major } else { major * STRIDE + minor };
        let shape = group.iter().find(|(path, _)| path.len() == depth + 1).map_or(NO_SHAPE, |(_, i)| *i);
        let at = nodes.len();
        nodes.push(Node { to, skip: 0, depth: depth as u8, shape });
        grow(group, depth + 1, by_column, nodes);
        nodes[at].skip = nodes.len() as u32;
    }
}
