//! The fourteen ways to join the eight ports of a panel without crossing.
//!
//! Every side has two ports: the edges of one band of the figure. Lines joined
//! without crossing are the outlines of bands joined in groups, so a joining is
//! a non-crossing partition of the four sides (there are as many of the one as
//! of the other: the Catalan number 14). The ground between is parted likewise:
//! corner k lies between side k and side k + 1.

use crate::geometry::{Sheet, Side};

/// Groups of sides as bit sets (bit k: side k of [`Side::ALL`]), one joining a row.
const GROUPS: [&[u8]; 14] = [
    &[0b0001, 0b0010, 0b0100, 0b1000],
    &[0b0011, 0b0100, 0b1000],
    &[0b0110, 0b1000, 0b0001],
    &[0b1100, 0b0001, 0b0010],
    &[0b1001, 0b0010, 0b0100],
    &[0b0101, 0b0010, 0b1000],
    &[0b1010, 0b0001, 0b0100],
    &[0b0011, 0b1100],
    &[0b0110, 0b1001],
    &[0b0111, 0b1000],
    &[0b1110, 0b0001],
    &[0b1101, 0b0010],
    &[0b1011, 0b0100],
    &[0b1111],
];

/// One of the fourteen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Joining(u8);

impl Joining {
    /// All, in the order of their codes.
    pub fn all() -> impl Iterator<Item = Joining> {
        (0..14).map(Joining)
    }

    /// Its code, a letter from a to n.
    #[must_use]
    pub fn code(self) -> char {
        char::from(b'a' + self.0)
    }

    /// The joining of a code.
    #[must_use]
    pub fn of_code(code: char) -> Option<Joining> {
        ('a'..='n').contains(&code).then(|| Joining(code as u8 - b'a'))
    }

    /// Its number from 0.
    #[must_use]
    pub fn index(self) -> usize {
        usize::from(self.0)
    }

    /// Which sides' bands are joined, as bit sets.
    #[must_use]
    pub fn groups(self) -> &'static [u8] {
        GROUPS[self.index()]
    }

    /// Whether the bands of two sides are one.
    #[must_use]
    pub fn joins(self, a: Side, b: Side) -> bool {
        let both = 1 << a as u8 | 1 << b as u8;
        self.groups().iter().any(|g| g & both == both)
    }

    /// How many pairs of sides are joined in this panel and not in the same one
    /// turned by a quarter, or the other way about: how much it changes.
    #[must_use]
    pub fn change_of_a_quarter(self) -> usize {
        let turned = self.turned(1);
        let pairs = Side::ALL.iter().flat_map(|&a| Side::ALL.iter().map(move |&b| (a, b)));
        pairs.filter(|(a, b)| a < b && self.joins(*a, *b) != turned.joins(*a, *b)).count()
    }

    /// Whether a block can have it: a side that bounds no void has no ports, and
    /// stands alone here.
    #[must_use]
    pub fn fits(self, sheet: &Sheet, block: usize) -> bool {
        Side::ALL.iter().all(|&s| sheet.bounds_void(block, s) || self.groups().contains(&(1 << s as u8)))
    }

    /// Which corners' ground is joined, as bit sets.
    #[must_use]
    pub fn ground(self) -> Vec<u8> {
        let mut left = 0b1111u8;
        let mut groups = Vec::new();
        while left != 0 {
            let first = left.trailing_zeros();
            let mut group = 0;
            for corner in first..4 {
                // Sides first + 1 ..= corner lie between the two corners.
                let between = (first + 1..=corner).fold(0u8, |m, s| m | 1 << s);
                if self.groups().iter().all(|g| g & between == 0 || g & !between == 0) {
                    group |= 1 << corner;
                }
            }
            groups.push(group);
            left &= !group;
        }
        groups
    }

    /// The joining seen where side k has become side `to[k]`.
    #[must_use]
    pub fn moved(self, to: [u8; 4]) -> Joining {
        let moved = |g: &u8| (0..4).filter(|k| g >> k & 1 == 1).fold(0u8, |m, k| m | 1 << to[k]);
        let mut want: Vec<u8> = self.groups().iter().map(moved).collect();
        want.sort_unstable();
        let same = |j: &Joining| {
            let mut have = j.groups().to_vec();
            have.sort_unstable();
            have == want
        };
        Joining::all().find(same).expect("turns and mirrors do not make lines cross")
    }

    /// Turned anticlockwise.
    #[must_use]
    pub fn turned(self, quarters: i32) -> Joining {
        self.moved([0, 1, 2, 3].map(|k| (k + quarters).rem_euclid(4) as u8))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fourteen_and_closed_under_turns() {
        let mut seen = std::collections::BTreeSet::new();
        for j in Joining::all() {
            assert_eq!(j.groups().iter().fold(0, |m, g| m ^ g), 0b1111);
            assert!(seen.insert(j.turned(1)));
            assert_eq!(j.turned(4), j);
            assert_eq!(Joining::of_code(j.code()), Some(j));
        }
        assert_eq!(seen.len(), 14);
    }

    #[test]
    fn ground_and_bands_part_the_panel() {
        // Kreweras' complement: groups of sides and groups of corners are five in all.
        for j in Joining::all() {
            assert_eq!(j.groups().len() + j.ground().len(), 5, "{}", j.code());
        }
    }
}
