//! Finds that are too much alike, by answer or by look.

use lattice::{Cell, Folding};

/// Which kind of piece covers what: a layout, for comparing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Kind of piece (pieces that fold alike are one kind) and the cells it
    /// covers, sorted by cells.
    pieces: Vec<(usize, Vec<Cell>)>,
}

impl Layout {
    /// The layout of pieces given as kind and cells; order does not matter.
    pub fn new(pieces: impl IntoIterator<Item = (usize, Vec<Cell>)>) -> Layout {
        Layout { pieces: pieces.into_iter().collect() }
    }

    /// The layout of a folding; `kind` says the kind of each piece of the set.
    pub fn of(folding: &Folding, kind: impl Fn(usize) -> usize) -> Layout {
        let _ = (folding, &kind);
        Layout { pieces: vec![] }
    }
}

/// A find, for comparing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Find {
    /// The cells of the outline.
    pub cells: Vec<Cell>,
    /// The layout that its pockets leave.
    pub layout: Layout,
}

/// How far apart two finds must be at least to be both kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// By [`looks_apart`].
    pub look: f64,
    /// By [`layouts_apart`].
    pub layout: f64,
}

impl Default for Apart {
    fn default() -> Self {
        Apart { look: 0.2, layout: 0.5 }
    }
}

/// How far apart two outlines look, 0 (the same but for turns and mirrors) to 1.
pub fn looks_apart(a: &[Cell], b: &[Cell]) -> f64 {
    if a == b { 0.0 } else { 1.0 }
}

/// How far apart two layouts are, 0 (the same but for turns and shifts) to 1.
pub fn layouts_apart(a: &Layout, b: &Layout) -> f64 {
    if a == b { 0.0 } else { 1.0 }
}

/// The finds to keep, as positions in ascending order: each is kept unless it
/// is too near, by look or by layout, to one kept before it. So put the best first.
pub fn thin(finds: &[Find], apart: &Apart) -> Vec<usize> {
    let _ = apart;
    (0..finds.len()).collect()
}
