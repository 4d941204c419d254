//! Outlines: the opening to be filled, and the pockets in its wall.

use std::collections::BTreeSet;

use crate::geometry::{Cell, Motion, Turn, Vertex};

/// How a vertex lies to an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VertexKind {
    /// All four cells round it belong to the outline: there is no wall.
    Inside,
    /// Some cells belong and some do not: a hinge here needs a pocket.
    Edge,
    /// No cell round it belongs.
    Away,
}

/// What is wrong with an outline.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OutlineError {
    /// There is nothing to fill.
    #[error("the outline has no cells")]
    NoCells,
    /// A pocket where there is no wall, or none that the opening touches.
    #[error("the pocket at ({}, {}) is not on the edge of the outline", .at.x, .at.y)]
    PocketOffEdge {
        /// Where it is.
        at: Vertex,
        /// Inside or away.
        kind: VertexKind,
    },
}

/// Cells to be filled, pockets on the edge, and how many cells stay empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    cells: Vec<Cell>,
    pockets: Vec<Vertex>,
    spare: usize,
}

impl Outline {
    /// An outline of the given cells and pockets, `spare` of whose cells stay
    /// empty. Order and repeats do not matter.
    ///
    /// # Errors
    /// Every fault: no cells, pockets off the edge.
    pub fn new(
        cells: impl IntoIterator<Item = Cell>,
        pockets: impl IntoIterator<Item = Vertex>,
        spare: usize,
    ) -> Result<Self, Vec<OutlineError>> {
        let cells: Vec<Cell> = cells.into_iter().collect::<BTreeSet<_>>().into_iter().collect();
        let pockets: Vec<Vertex> = pockets.into_iter().collect::<BTreeSet<_>>().into_iter().collect();
        let outline = Outline { cells, pockets, spare };
        let mut faults = Vec::new();
        if outline.cells.is_empty() {
            faults.push(OutlineError::NoCells);
        }
        for &at in &outline.pockets {
            let kind = outline.kind(at);
            if kind != VertexKind::Edge {
                faults.push(OutlineError::PocketOffEdge { at, kind });
            }
        }
        if faults.is_empty() { Ok(outline) } else { Err(faults) }
    }

    /// The cells, sorted.
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// The pockets, sorted.
    pub fn pockets(&self) -> &[Vertex] {
        &self.pockets
    }

    /// How many cells stay empty in a filling.
    pub fn spare(&self) -> usize {
        self.spare
    }

    /// Whether a cell belongs to the opening.
    pub fn has(&self, cell: Cell) -> bool {
        self.cells.binary_search(&cell).is_ok()
    }

    /// How a vertex lies.
    pub fn kind(&self, vertex: Vertex) -> VertexKind {
        match vertex.quadrants().into_iter().filter(|&c| self.has(c)).count() {
            0 => VertexKind::Away,
            4 => VertexKind::Inside,
            _ => VertexKind::Edge,
        }
    }

    /// Whether a hinge may stand on a vertex: inside, or at a pocket.
    pub fn allows_hinge(&self, vertex: Vertex) -> bool {
        self.pockets.binary_search(&vertex).is_ok() || self.kind(vertex) == VertexKind::Inside
    }

    /// The vertices of one kind, sorted. Asking for `Away` gives none.
    pub fn vertices(&self, kind: VertexKind) -> Vec<Vertex> {
        let corners: BTreeSet<Vertex> =
            self.cells.iter().flat_map(|c| crate::geometry::Corner::ALL.map(|k| c.corner(k))).collect();
        corners.into_iter().filter(|&v| self.kind(v) == kind).collect()
    }

    /// The same opening with other pockets.
    ///
    /// # Errors
    /// Pockets off the edge.
    pub fn with_pockets(&self, pockets: impl IntoIterator<Item = Vertex>) -> Result<Self, Vec<OutlineError>> {
        Self::new(self.cells.iter().copied(), pockets, self.spare)
    }

    /// The same opening as if with a pocket at every edge vertex.
    #[must_use]
    pub fn open(&self) -> Self {
        Outline { pockets: self.vertices(VertexKind::Edge), ..self.clone() }
    }

    /// The outline carried by a motion.
    #[must_use]
    pub fn moved(&self, motion: Motion) -> Self {
        let mut cells: Vec<Cell> = self.cells.iter().map(|&c| motion.cell(c)).collect();
        let mut pockets: Vec<Vertex> = self.pockets.iter().map(|&v| motion.vertex(v)).collect();
        cells.sort_unstable();
        pockets.sort_unstable();
        Outline { cells, pockets, spare: self.spare }
    }

    /// Lower left of the bounding box, then its width and height.
    pub fn bounds(&self) -> (Vertex, i32, i32) {
        let x0 = self.cells.iter().map(|c| c.x).min().unwrap_or(0);
        let y0 = self.cells.iter().map(|c| c.y).min().unwrap_or(0);
        let x1 = self.cells.iter().map(|c| c.x + 1).max().unwrap_or(0);
        let y1 = self.cells.iter().map(|c| c.y + 1).max().unwrap_or(0);
        (Vertex::new(x0, y0), x1 - x0, y1 - y0)
    }

    /// The motions among the eight turns and mirrors that map the cells onto
    /// themselves, the still one first, then turns, then mirrors.
    pub fn cell_symmetries(&self) -> Vec<Motion> {
        let (low, ..) = self.bounds();
        let mut found = Vec::new();
        for mirrored in [false, true] {
            for turn in Turn::ALL {
                let motion = Motion::about_origin(mirrored, turn);
                let (image, ..) = self.moved(motion).bounds();
                let motion = motion.shifted(low.x - image.x, low.y - image.y);
                if self.moved(motion).cells == self.cells {
                    found.push(motion);
                }
            }
        }
        found
    }

    /// The rotations that map the outline, cells and pockets, onto itself; the
    /// still one first. There are no mirror images: a plate is not turned over.
    pub fn rotations(&self) -> Vec<Motion> {
        self.cell_symmetries()
            .into_iter()
            .filter(|m| !m.mirrored && self.moved(*m).pockets == self.pockets)
            .collect()
    }

    /// The parts of the opening: cells that hang together by whole sides, or
    /// across a corner that has a pocket. Each part is sorted, parts by first cell.
    pub fn parts(&self) -> Vec<Vec<Cell>> {
        let mut left: BTreeSet<Cell> = self.cells.iter().copied().collect();
        let mut parts = Vec::new();
        while let Some(first) = left.pop_first() {
            let mut part = vec![first];
            let mut next = 0;
            while next < part.len() {
                let cell = part[next];
                next += 1;
                let across = crate::geometry::Corner::ALL
                    .into_iter()
                    .filter(|&k| self.pockets.binary_search(&cell.corner(k)).is_ok())
                    .map(|k| cell.corner(k).quadrant(k));
                for near in cell.sides().into_iter().chain(across) {
                    if left.remove(&near) {
                        part.push(near);
                    }
                }
            }
            part.sort_unstable();
            parts.push(part);
        }
        parts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing;

    fn outline(text: &str) -> Outline {
        drawing::parse(text, 0).unwrap()
    }

    #[test]
    fn a_pocket_must_stand_on_the_edge() {
        let cells = [Cell::new(0, 0), Cell::new(1, 0), Cell::new(0, 1), Cell::new(1, 1)];
        let faults =
            Outline::new(cells, [Vertex::new(1, 1), Vertex::new(9, 9), Vertex::new(0, 0)], 0).unwrap_err();
        assert_eq!(
            faults,
            [
                OutlineError::PocketOffEdge { at: Vertex::new(1, 1), kind: VertexKind::Inside },
                OutlineError::PocketOffEdge { at: Vertex::new(9, 9), kind: VertexKind::Away },
            ]
        );
    }

    #[test]
    fn corner_joined_parts_are_joined_only_by_a_pocket() {
        let apart = "+ + +\n # .\n+ + +\n . #\n+ + +";
        assert_eq!(outline(apart).parts().len(), 2);
        assert_eq!(outline(&apart.replacen("\n+ + +\n . #", "\n+ o +\n . #", 1)).parts().len(), 1);
    }

    #[test]
    fn a_pocket_can_break_the_symmetry() {
        let plain = outline("+ + +\n # #\n+ + +\n # #\n+ + +");
        assert_eq!(plain.cell_symmetries().len(), 8);
        assert_eq!(plain.rotations().len(), 4);
        let one = outline("+ o +\n # #\n+ + +\n # #\n+ + +");
        assert_eq!(one.rotations().len(), 1);
        let two = outline("+ o +\n # #\n+ + +\n # #\n+ o +");
        assert_eq!(two.rotations().len(), 2);
    }

    #[test]
    fn a_ring_has_a_hole_with_edge_vertices_of_its_own() {
        let ring = outline("+ + + +\n # # #\n+ o + +\n # . #\n+ + + +\n # # #\n+ + + +");
        assert_eq!(ring.vertices(VertexKind::Inside), []);
        assert_eq!(ring.vertices(VertexKind::Edge).len(), 16);
        assert!(ring.allows_hinge(Vertex::new(1, 2)));
        assert!(!ring.allows_hinge(Vertex::new(2, 2)));
        assert_eq!(ring.open().pockets().len(), 16);
    }
}
