//! Which outlines to look for.

use super::form::MOST_SIDE;
use super::symmetry::Symmetry;

/// How the cells of an outline hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Joined {
    /// By whole sides.
    Sides,
    /// By sides or corners: parts may touch in a vertex, and be joined there by a pocket.
    SidesOrCorners,
}

/// Whether the opening may close round some of the wall, which is then an island
/// that must be tied to the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Holes {
    /// It may.
    Allowed,
    /// It may not, but wall that hangs on by a corner alone may stay. (What is
    /// not the outline hangs together by sides or corners: OEIS A342537.)
    HungByCorners,
    /// No wall is cut off, and none hangs by a corner: no island to be tied.
    /// (What is not the outline hangs together by sides: OEIS A000104.)
    None,
}

/// Which outlines to look for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Cells of each.
    pub cells: usize,
    /// Sides of the box, one way round or the other, 1 to [`MOST_SIDE`].
    pub width: usize,
    /// The other side.
    pub height: usize,
    /// How the cells hang together.
    pub joined: Joined,
    /// Whether there may be holes.
    pub holes: Holes,
    /// The classes to look for; order and repeats do not matter.
    pub symmetries: Vec<Symmetry>,
    /// Whether an outline and its mirror image are one. They are not where
    /// pieces are never turned over: what fills one need not fill the other.
    pub mirrors_as_one: bool,
}

/// What makes a want impossible.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WantedError {
    /// Nothing to look for.
    #[error("an outline has at least 1 cell")]
    NoCells,
    /// A side of none, or too long.
    #[error("the sides of the box are 1 to {MOST_SIDE} cells, not {width} and {height}")]
    Sides {
        /// What was asked for.
        width: usize,
        /// What was asked for.
        height: usize,
    },
    /// More cells than the box has.
    #[error("a box of {width} × {height} has {} cells, so no outline of {cells} fits in", width * height)]
    Box {
        /// Cells of the outline.
        cells: usize,
        /// Of the box.
        width: usize,
        /// Of the box.
        height: usize,
    },
    /// No class.
    #[error(
        "no symmetry is asked for; ask for at least one of none, mirror, diagonal, half-turn, mirrors, diagonals, quarter-turn and full"
    )]
    NoSymmetry,
    /// Corners can't hold both sides together.
    #[error(
        "where an outline is joined by corners its wall is not; ask for holes to be allowed, or for none"
    )]
    HungByCorners,
    /// The search would outgrow the memory it may have.
    #[error(
        "counting the outlines of {cells} cells in {width} × {height} outgrows its bound of {most} nodes; \
         ask for a smaller box, fewer cells, or symmetric outlines alone"
    )]
    TooMany {
        /// Cells of the outline.
        cells: usize,
        /// Of the box.
        width: usize,
        /// Of the box.
        height: usize,
        /// The bound.
        most: usize,
    },
}

impl Wanted {
    /// All outlines of so many cells joined by sides in a box, without holes,
    /// of every symmetry, mirror images apart.
    pub fn new(cells: usize, width: usize, height: usize) -> Self {
        Wanted {
            cells,
            width,
            height,
            joined: Joined::Sides,
            holes: Holes::None,
            symmetries: Symmetry::ALL.to_vec(),
            mirrors_as_one: false,
        }
    }

    /// Whether it can be had at all.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn check(&self) -> Result<(), Vec<WantedError>> {
        let Wanted { cells, width, height, .. } = *self;
        let mut errors = Vec::new();
        if cells == 0 {
            errors.push(WantedError::NoCells);
        }
        let sides = 1..=MOST_SIDE;
        if !sides.contains(&width) || !sides.contains(&height) {
            errors.push(WantedError::Sides { width, height });
        } else if cells > width * height {
            errors.push(WantedError::Box { cells, width, height });
        }
        if self.symmetries.is_empty() {
            errors.push(WantedError::NoSymmetry);
        }
        if self.joined == Joined::SidesOrCorners && self.holes == Holes::HungByCorners {
            errors.push(WantedError::HungByCorners);
        }
        if errors.is_empty() { Ok(()) } else { Err(errors) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mistake_is_named_at_once() {
        let wanted = Wanted {
            joined: Joined::SidesOrCorners,
            holes: Holes::HungByCorners,
            symmetries: vec![],
            ..Wanted::new(0, 0, 17)
        };
        let expected = [
            WantedError::NoCells,
            WantedError::Sides { width: 0, height: 17 },
            WantedError::NoSymmetry,
            WantedError::HungByCorners,
        ];
        assert_eq!(wanted.check().unwrap_err(), expected);
        let crowded = Wanted::new(10, 3, 3).check().unwrap_err();
        assert_eq!(crowded[0].to_string(), "a box of 3 × 3 has 9 cells, so no outline of 10 fits in");
    }
}
