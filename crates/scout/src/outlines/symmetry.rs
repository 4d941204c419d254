//! The eight ways an outline can be symmetric.

use std::fmt;
use std::str::FromStr;

use lattice::Cell;

use super::form::Rows;

/// The class of an outline by the motions that keep its cells: all of them, and
/// no others. Up to turning, these are all the classes there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Symmetry {
    /// Only the still motion.
    None,
    /// One mirror, along a row or column of the lattice.
    Mirror,
    /// One mirror, along a diagonal of the lattice.
    Diagonal,
    /// The half turn.
    HalfTurn,
    /// Two mirrors along rows and columns, so the half turn as well.
    Mirrors,
    /// Two mirrors along diagonals, so the half turn as well.
    Diagonals,
    /// The quarter turns, so the half turn as well.
    QuarterTurn,
    /// All eight motions.
    Full,
}

/// A word that names no class.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{found:?} is no symmetry; there are none, mirror, diagonal, half-turn, mirrors, diagonals, \
     quarter-turn and full"
)]
pub struct UnknownSymmetry {
    /// What was read.
    pub found: String,
}

impl Symmetry {
    /// All classes, in their order.
    pub const ALL: [Symmetry; 8] = [
        Symmetry::None,
        Symmetry::Mirror,
        Symmetry::Diagonal,
        Symmetry::HalfTurn,
        Symmetry::Mirrors,
        Symmetry::Diagonals,
        Symmetry::QuarterTurn,
        Symmetry::Full,
    ];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Symmetry::None => "none",
            Symmetry::Mirror => "mirror",
            Symmetry::Diagonal => "diagonal",
            Symmetry::HalfTurn => "half-turn",
            Symmetry::Mirrors => "mirrors",
            Symmetry::Diagonals => "diagonals",
            Symmetry::QuarterTurn => "quarter-turn",
            Symmetry::Full => "full",
        }
    }

    /// How many of the eight motions keep such an outline.
    pub const fn motions(self) -> u32 {
        match self {
            Symmetry::None => 1,
            Symmetry::Mirror | Symmetry::Diagonal | Symmetry::HalfTurn => 2,
            Symmetry::Mirrors | Symmetry::Diagonals | Symmetry::QuarterTurn => 4,
            Symmetry::Full => 8,
        }
    }

    /// Whether a mirror is among them: such an outline is its own mirror image.
    pub const fn mirrored(self) -> bool {
        !matches!(self, Symmetry::None | Symmetry::HalfTurn | Symmetry::QuarterTurn)
    }

    /// The class of some cells, wherever they stand; of no cells, and of cells
    /// that no box of [`MOST_SIDE`](super::MOST_SIDE) holds, there is none.
    pub fn of(cells: &[Cell]) -> Option<Symmetry> {
        Rows::of(cells).map(|rows| Symmetry::of_motions(rows.motions()))
    }

    /// The class of a group of motions, given as bits ([`Rows::image`]).
    pub(crate) fn of_motions(motions: u8) -> Symmetry {
        match motions {
            0b1 => Symmetry::None,
            0b11 | 0b101 => Symmetry::Mirror,
            0b1001 => Symmetry::HalfTurn,
            0b1_0001 | 0b1000_0001 => Symmetry::Diagonal,
            0b1111 => Symmetry::Mirrors,
            0b1001_1001 => Symmetry::Diagonals,
            0b110_1001 => Symmetry::QuarterTurn,
            0b1111_1111 => Symmetry::Full,
            _ => unreachable!("motions form a group"),
        }
    }
}

impl fmt::Display for Symmetry {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(self.name())
    }
}

impl FromStr for Symmetry {
    type Err = UnknownSymmetry;

    fn from_str(text: &str) -> Result<Self, UnknownSymmetry> {
        Symmetry::ALL
            .into_iter()
            .find(|s| s.name() == text)
            .ok_or_else(|| UnknownSymmetry { found: text.to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(rows: &[&str]) -> Symmetry {
        let cells: Vec<Cell> = rows
            .iter()
            .enumerate()
            .flat_map(|(y, row)| {
                row.char_indices().filter(|c| c.1 == '#').map(move |c| Cell::new(c.0 as i32, -(y as i32)))
            })
            .collect();
        Symmetry::of(&cells).unwrap()
    }

    #[test]
    fn every_class_has_a_specimen() {
        assert_eq!(of(&["##.", ".##", ".#."]), Symmetry::None);
        assert_eq!(of(&["###", ".#."]), Symmetry::Mirror);
        assert_eq!(of(&["#.", "##"]), Symmetry::Diagonal);
        assert_eq!(of(&["##.", ".##"]), Symmetry::HalfTurn);
        assert_eq!(of(&["##"]), Symmetry::Mirrors);
        assert_eq!(of(&["##.", "###", ".##"]), Symmetry::Diagonals);
        assert_eq!(of(&["##..", ".##.", ".##.", "..##"]), Symmetry::HalfTurn);
        assert_eq!(of(&[".#..", ".###", "###.", "..#."]), Symmetry::QuarterTurn);
        assert_eq!(of(&[".#.", "###", ".#."]), Symmetry::Full);
    }

    #[test]
    fn names_are_read_back() {
        for symmetry in Symmetry::ALL {
            assert_eq!(symmetry.to_string().parse(), Ok(symmetry));
        }
        assert!("turns".parse::<Symmetry>().unwrap_err().to_string().contains("quarter-turn"));
    }

    #[test]
    fn nothing_and_the_endless_have_no_class() {
        assert_eq!(Symmetry::of(&[]), None);
        assert_eq!(Symmetry::of(&[Cell::new(0, 0), Cell::new(i32::MAX, i32::MIN)]), None);
    }
}
