//! The groups of motions a box can have, and how connected a part of an outline
//! is to its own images.
//!
//! Motions are numbered as [`Rows::image`](super::form::Rows::image) does.

/// Two motions, one after the other.
pub(crate) const fn then(first: u8, next: u8) -> u8 {
    let flips = if next & 4 == 0 { first & 3 } else { (first & 1) << 1 | (first & 2) >> 1 };
    ((first ^ next) & 4) | (flips ^ next & 3)
}

/// The motion that undoes one.
pub(crate) const fn undone(motion: u8) -> u8 {
    match motion {
        5 => 6,
        6 => 5,
        own => own,
    }
}

/// A group of motions about the middle of a box, as bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Group(pub u8);

/// How to keep track of which images of a part hang together with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Mirrors: one or two kinds of them, by bits. A part hangs together with its
    /// image in a mirror if it touches that mirror, and in no other way.
    Mirrors {
        /// All bits.
        all: u8,
    },
    /// Turns: the powers of one. Going round the middle leads from a part to its
    /// image, so each cell remembers which image it is of.
    Turns {
        /// How many of them.
        order: u8,
    },
}

impl Group {
    /// Every group of a square; [`Group::fits`] says which a rectangle has.
    /// Larger groups come after the groups they contain.
    pub const ALL: [Group; 10] = [
        Group(0b1),
        Group(0b11),
        Group(0b101),
        Group(0b1_0001),
        Group(0b1000_0001),
        Group(0b1001),
        Group(0b1111),
        Group(0b1001_1001),
        Group(0b110_1001),
        Group(0b1111_1111),
    ];

    /// Whether a box has these motions.
    pub fn fits(self, width: usize, height: usize) -> bool {
        width == height || self.0 < 0b1_0000
    }

    /// Its motions.
    pub fn motions(self) -> impl Iterator<Item = u8> {
        (0..8).filter(move |m| self.0 >> m & 1 == 1)
    }

    /// How many.
    pub fn order(self) -> u32 {
        self.0.count_ones()
    }

    /// Whether all motions of `other` are in it.
    pub fn holds(self, other: Group) -> bool {
        self.0 & other.0 == other.0
    }

    /// The group that a motion makes of it.
    pub fn seen_after(self, motion: u8) -> Group {
        let seen = |m| then(then(undone(motion), m), motion);
        Group(self.motions().fold(0, |bits, m| bits | 1 << seen(m)))
    }

    pub fn kind(self) -> Kind {
        match self.0 {
            0b1001 => Kind::Turns { order: 2 },
            0b110_1001 => Kind::Turns { order: 4 },
            0b1 => Kind::Mirrors { all: 0 },
            0b1111 | 0b1001_1001 | 0b1111_1111 => Kind::Mirrors { all: 0b11 },
            _ => Kind::Mirrors { all: 0b1 },
        }
    }

    /// The turn whose powers the group is, if it is one of turns.
    pub fn turn(self) -> u8 {
        if self.0 == 0b1001 { 3 } else { 5 }
    }

    /// The bit of a mirror among the kinds that the group has; 0 for a turn.
    pub fn mirror_bit(self, motion: u8) -> u8 {
        match (self.0, motion) {
            (0b1111_1111, 1 | 2) | (0b1111, 1) | (0b1001_1001, 4) => 0b1,
            (0b1111_1111, 4 | 7) | (0b1111, 2) | (0b1001_1001, 7) => 0b10,
            (0b11, 1) | (0b101, 2) | (0b1_0001, 4) | (0b1000_0001, 7) => 0b1,
            _ => 0,
        }
    }

    /// Of how many pieces a part and its images are, when the part is tied to its
    /// own images as `tie` says ([`Kind`]): a set of mirrors, or the step
    /// 0, 1, 2 of the subgroup chain none, half turn, all (none, all).
    pub fn pieces(self, tie: u8) -> u8 {
        match self.kind() {
            Kind::Mirrors { all } if tie == all => 1,
            Kind::Mirrors { .. } => self.order() as u8 >> tie.count_ones(),
            Kind::Turns { order } => order >> tie,
        }
    }
}

impl Kind {
    /// The tie that makes a part and all its images one.
    pub fn whole(self) -> u8 {
        match self {
            Kind::Mirrors { all } => all,
            Kind::Turns { order } => order.trailing_zeros() as u8,
        }
    }

    /// A tie and another together.
    pub fn joined(self, a: u8, b: u8) -> u8 {
        match self {
            Kind::Mirrors { .. } => a | b,
            Kind::Turns { .. } => a.max(b),
        }
    }

    /// The tie of a part that meets its image `steps` turns further; only for turns.
    pub fn met(self, steps: u8) -> u8 {
        match self {
            Kind::Mirrors { .. } => 0,
            Kind::Turns { order } => {
                let steps = steps % order;
                if steps == 0 { 0 } else { order.trailing_zeros() as u8 - steps.trailing_zeros() as u8 }
            }
        }
    }

    /// Turns that differ by a multiple of this are the same for a part so tied.
    pub fn modulus(self, tie: u8) -> u8 {
        match self {
            Kind::Mirrors { .. } => 1,
            Kind::Turns { order } => order >> tie,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::form::Rows;
    use super::*;
    use lattice::Cell;

    #[test]
    fn motions_go_one_after_the_other_as_images_do() {
        let cells = [(0, 0), (1, 0), (1, 1), (2, 1)].map(|(x, y)| Cell::new(x, y));
        let cells = [&cells[..], &[Cell::new(2, 2), Cell::new(3, 1)]].concat();
        let rows = Rows::of(&cells).unwrap();
        assert_eq!(rows.motions(), 1, "only one without symmetry can tell motions apart");
        for a in 0..8 {
            assert_eq!(then(a, undone(a)), 0);
            for b in 0..8 {
                assert_eq!(rows.image(a).image(b), rows.image(then(a, b)));
            }
        }
    }

    #[test]
    fn groups_are_closed_and_all_there() {
        let mut groups: Vec<u8> = Vec::new();
        for bits in 1..=255u8 {
            let group = Group(bits);
            let closed = bits & 1 == 1
                && group.motions().all(|a| group.motions().all(|b| bits >> then(a, b) & 1 == 1));
            if closed {
                groups.push(bits);
            }
        }
        let mut ours = Group::ALL.map(|g| g.0);
        ours.sort_unstable();
        assert_eq!(groups, ours);
    }

    #[test]
    fn fully_tied_parts_are_one_piece() {
        for group in Group::ALL {
            assert_eq!(group.pieces(group.kind().whole()), 1);
            assert_eq!(u32::from(group.pieces(0)), group.order());
        }
        assert_eq!(Group(0b110_1001).pieces(Kind::Turns { order: 4 }.met(2)), 2);
        assert_eq!(Kind::Turns { order: 4 }.met(3), 2);
    }
}
