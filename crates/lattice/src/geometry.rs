//! Cells, vertices, quarter turns, levels, and the motions that carry them.
//!
//! A cell (x, y) is the unit square [x, x+1] × [y, y+1]; a vertex (x, y) is a
//! lattice point. Quadrants of a vertex and corners of a block are numbered
//! alike, anticlockwise from the upper right: 0 upper right, 1 upper left,
//! 2 lower left, 3 lower right.

/// The unit square [x, x+1] × [y, y+1].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Cell {
    /// Column of the left side.
    pub x: i32,
    /// Row of the lower side.
    pub y: i32,
}

/// A lattice point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Vertex {
    /// Distance right of the origin.
    pub x: i32,
    /// Distance above the origin.
    pub y: i32,
}

/// One of the four corners of a block, or quadrants of a vertex.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Corner(u8);

/// A number of quarter turns anticlockwise, 0 to 3.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Turn(u8);

/// The storey of a hinge in the block's height; 0 is the lowest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Level(pub u8);

impl Corner {
    /// All four, anticlockwise from the upper right.
    pub const ALL: [Corner; 4] = [Corner(0), Corner(1), Corner(2), Corner(3)];

    /// Corner `n` counted anticlockwise from the upper right, modulo 4.
    pub const fn new(n: u8) -> Self {
        Self(n % 4)
    }

    /// 0 to 3.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// The corner that a quarter turn of `turn` carries this one to.
    pub const fn turned(self, turn: Turn) -> Self {
        Self((self.0 + turn.0) % 4)
    }

    /// The corner across the block.
    pub const fn opposite(self) -> Self {
        Self((self.0 + 2) % 4)
    }
}

impl Turn {
    /// All four turns.
    pub const ALL: [Turn; 4] = [Turn(0), Turn(1), Turn(2), Turn(3)];
    /// No turn.
    pub const NONE: Turn = Turn(0);
    /// The half turn.
    pub const HALF: Turn = Turn(2);

    /// `n` quarter turns anticlockwise, modulo 4.
    pub const fn new(n: u8) -> Self {
        Self(n % 4)
    }

    /// 0 to 3.
    pub const fn quarters(self) -> u8 {
        self.0
    }

    /// One turn after the other.
    pub const fn then(self, next: Turn) -> Turn {
        Turn((self.0 + next.0) % 4)
    }

    /// The turn that undoes this one.
    pub const fn undone(self) -> Turn {
        Turn((4 - self.0) % 4)
    }
}

impl Cell {
    /// The cell whose lower left corner is (x, y).
    pub const fn new(x: i32, y: i32) -> Self {
        Self { x, y }
    }

    /// The vertex at a corner of this cell.
    pub const fn corner(self, corner: Corner) -> Vertex {
        match corner.0 {
            0 => Vertex::new(self.x + 1, self.y + 1),
            1 => Vertex::new(self.x, self.y + 1),
            2 => Vertex::new(self.x, self.y),
            _ => Vertex::new(self.x + 1, self.y),
        }
    }

    /// The corner of this cell at `vertex`, if it has one there.
    pub fn corner_at(self, vertex: Vertex) -> Option<Corner> {
        Corner::ALL.into_iter().find(|&c| self.corner(c) == vertex)
    }

    /// The four cells that share a side with this one, anticlockwise from the right.
    pub const fn sides(self) -> [Cell; 4] {
        [
            Cell::new(self.x + 1, self.y),
            Cell::new(self.x, self.y + 1),
            Cell::new(self.x - 1, self.y),
            Cell::new(self.x, self.y - 1),
        ]
    }

    /// Shifted by (dx, dy).
    pub const fn shifted(self, dx: i32, dy: i32) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }
}

impl Vertex {
    /// The lattice point (x, y).
    pub const fn new(x: i32, y: i32) -> Self {
        Self { x, y }
    }

    /// The cell in a quadrant of this vertex.
    pub const fn quadrant(self, corner: Corner) -> Cell {
        match corner.0 {
            0 => Cell::new(self.x, self.y),
            1 => Cell::new(self.x - 1, self.y),
            2 => Cell::new(self.x - 1, self.y - 1),
            _ => Cell::new(self.x, self.y - 1),
        }
    }

    /// The four cells round this vertex, quadrant 0 first.
    pub const fn quadrants(self) -> [Cell; 4] {
        [
            self.quadrant(Corner(0)),
            self.quadrant(Corner(1)),
            self.quadrant(Corner(2)),
            self.quadrant(Corner(3)),
        ]
    }

    /// Shifted by (dx, dy).
    pub const fn shifted(self, dx: i32, dy: i32) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }
}

/// A motion of the lattice onto itself: a mirror in a vertical line first if
/// `mirrored`, then a turn about the origin, then a shift.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Motion {
    /// x becomes −x before anything else: the piece is turned over.
    pub mirrored: bool,
    /// Quarter turns about the origin.
    pub turn: Turn,
    /// Shift to the right.
    pub dx: i32,
    /// Shift upward on paper.
    pub dy: i32,
}

impl Motion {
    /// The motion that changes nothing.
    pub const STILL: Motion = Motion { mirrored: false, turn: Turn::NONE, dx: 0, dy: 0 };

    /// A turn about the origin, after a mirror if asked, without a shift.
    pub const fn about_origin(mirrored: bool, turn: Turn) -> Self {
        Motion { mirrored, turn, dx: 0, dy: 0 }
    }

    /// A turn about `pin`.
    pub fn about(pin: Vertex, turn: Turn) -> Self {
        let spun = Motion::about_origin(false, turn).vertex(pin);
        Motion { mirrored: false, turn, dx: pin.x - spun.x, dy: pin.y - spun.y }
    }

    /// The same motion with a further shift.
    pub const fn shifted(self, dx: i32, dy: i32) -> Self {
        Motion { dx: self.dx + dx, dy: self.dy + dy, ..self }
    }

    /// Where a vertex goes.
    pub const fn vertex(self, v: Vertex) -> Vertex {
        let x = if self.mirrored { -v.x } else { v.x };
        let (x, y) = match self.turn.0 {
            0 => (x, v.y),
            1 => (-v.y, x),
            2 => (-x, -v.y),
            _ => (v.y, -x),
        };
        Vertex::new(x + self.dx, y + self.dy)
    }

    /// Where a cell goes.
    pub const fn cell(self, c: Cell) -> Cell {
        // The image square's lower left corner is the image of one of the four.
        let a = self.vertex(Vertex::new(c.x, c.y));
        let b = self.vertex(Vertex::new(c.x + 1, c.y + 1));
        Cell::new(if a.x < b.x { a.x } else { b.x }, if a.y < b.y { a.y } else { b.y })
    }

    /// This motion first, then `next`.
    pub fn then(self, next: Motion) -> Motion {
        let turn = if next.mirrored { self.turn.undone() } else { self.turn };
        let origin = next.vertex(self.vertex(Vertex::new(0, 0)));
        Motion {
            mirrored: self.mirrored != next.mirrored,
            turn: turn.then(next.turn),
            dx: origin.x,
            dy: origin.y,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_block_in_quadrant_q_has_the_vertex_at_its_corner_q_plus_2() {
        let v = Vertex::new(3, -2);
        for q in Corner::ALL {
            assert_eq!(v.quadrant(q).corner_at(v), Some(q.opposite()));
        }
    }

    #[test]
    fn quadrants_and_corners_run_anticlockwise_from_the_upper_right() {
        assert_eq!(
            Vertex::new(0, 0).quadrants(),
            [Cell::new(0, 0), Cell::new(-1, 0), Cell::new(-1, -1), Cell::new(0, -1)]
        );
        assert_eq!(Cell::new(0, 0).corner(Corner::new(0)), Vertex::new(1, 1));
        assert_eq!(Cell::new(0, 0).corner(Corner::new(3)), Vertex::new(1, 0));
    }

    fn motion() -> impl Strategy<Value = Motion> {
        (any::<bool>(), 0u8..4, -9i32..9, -9i32..9).prop_map(|(mirrored, t, dx, dy)| Motion {
            mirrored,
            turn: Turn::new(t),
            dx,
            dy,
        })
    }

    proptest! {
        #[test]
        fn a_turned_block_carries_its_corners(x in -9i32..9, y in -9i32..9, k in 0u8..4, m in motion()) {
            let (cell, corner) = (Cell::new(x, y), Corner::new(k));
            let own = if m.mirrored { Corner::new(k ^ 1) } else { corner };
            prop_assert_eq!(m.vertex(cell.corner(corner)), m.cell(cell).corner(own.turned(m.turn)));
        }

        #[test]
        fn motions_compose(x in -9i32..9, y in -9i32..9, a in motion(), b in motion()) {
            let (v, c) = (Vertex::new(x, y), Cell::new(x, y));
            prop_assert_eq!(a.then(b).vertex(v), b.vertex(a.vertex(v)));
            prop_assert_eq!(a.then(b).cell(c), b.cell(a.cell(c)));
        }

        #[test]
        fn a_turn_about_a_pin_keeps_the_pin(x in -9i32..9, y in -9i32..9, t in 0u8..4) {
            let pin = Vertex::new(x, y);
            prop_assert_eq!(Motion::about(pin, Turn::new(t)).vertex(pin), pin);
        }
    }
}
