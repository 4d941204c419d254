//! A layout as written: which piece is said to cover which cell.

/// For each cell of an outline, the piece that is said to cover it. Nothing
/// else is known of it: it may be no layout that can be. It belongs to the sheets
/// of the outline it was read for, and means nothing to others.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Layout {
    pub(crate) owners: Vec<Option<usize>>,
}

impl Layout {
    /// The piece of each cell by its position in the set, or none; the cells
    /// from the top row down and from left to right.
    pub fn owners(&self) -> &[Option<usize>] {
        &self.owners
    }
}
