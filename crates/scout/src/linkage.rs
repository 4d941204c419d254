//! Pieces by their joints alone: which corner of which block is tied to which,
//! on which level, whatever pose the piece is drawn in.
//!
//! Two drawings show the same linkage when their codes are equal. The code
//! walks the blocks from one corner of one of them, corners anticlockwise and
//! levels upward, and is the least over all such walks. (A block has no marks:
//! its corners are told apart only by what is tied to them, and by their
//! order, which a mirror reverses.)

use std::collections::BTreeSet;

use lattice::Piece;

/// Nothing is tied here.
const FREE: u8 = u8::MAX;

/// A corner of a block.
pub(crate) type Place = (usize, u8);

/// Blocks and joints.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Linkage {
    blocks: usize,
    levels: u8,
    /// By block, corner and level, the place tied there.
    ties: Vec<Option<Place>>,
}

/// A joint as a walk meets it: the place it comes from, the place it leads to,
/// and the level.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Joint {
    pub(crate) from: Place,
    pub(crate) to: Place,
    pub(crate) level: u8,
}

/// What two linkages must share to be one. Codes sort by number of blocks first.
pub(crate) type Code = Vec<u8>;

/// A linkage's code, and the walks that give it: more than one if the linkage
/// has symmetries.
#[derive(Clone, Debug)]
pub(crate) struct Walks {
    pub(crate) code: Code,
    pub(crate) starts: Vec<Place>,
}

impl Linkage {
    /// One block.
    pub(crate) fn block(levels: u8) -> Self {
        Linkage { blocks: 1, levels, ties: vec![None; 4 * usize::from(levels)] }
    }

    /// The linkage of a hinged piece.
    pub(crate) fn of(piece: &Piece, levels: u8) -> Self {
        let blocks = piece.blocks().len();
        let mut linkage = Linkage { blocks, levels, ties: vec![None; blocks * 4 * usize::from(levels)] };
        for hinge in piece.hinges() {
            let place = |b: usize| {
                let corner =
                    piece.blocks()[b].corner_at(hinge.pin).expect("a sound piece's pin is at a corner");
                (b, corner.index())
            };
            let [a, b] = hinge.joins.map(place);
            linkage.tie(a, b, hinge.level.0);
        }
        linkage
    }

    pub(crate) fn blocks(&self) -> usize {
        self.blocks
    }

    fn at(&self, (block, corner): Place, level: u8) -> usize {
        (block * 4 + usize::from(corner % 4)) * usize::from(self.levels) + usize::from(level)
    }

    fn tie(&mut self, a: Place, b: Place, level: u8) {
        let (i, j) = (self.at(a, level), self.at(b, level));
        self.ties[i] = Some(b);
        self.ties[j] = Some(a);
    }

    /// The joints in the order of a walk from `start`; each once, those that
    /// close a loop last at their block.
    pub(crate) fn joints(&self, start: Place) -> Vec<Joint> {
        let mut joints = Vec::new();
        self.walk(start, |from, level, to, back| {
            if !back {
                joints.push(Joint { from, to, level });
            }
        });
        joints
    }

    /// Calls `see` with each tie from both its sides: place, level, place tied,
    /// and whether the tie was seen before.
    fn walk(&self, start: Place, mut see: impl FnMut(Place, u8, Place, bool)) {
        let mut number = vec![usize::MAX; self.blocks];
        let (mut order, mut first) = (vec![start.0], vec![0; self.blocks]);
        number[start.0] = 0;
        first[start.0] = start.1;
        let mut done = vec![false; self.ties.len()];
        let mut next = 0;
        while next < order.len() {
            let block = order[next];
            next += 1;
            for i in 0..4 {
                for level in 0..self.levels {
                    let here = (block, (first[block] + i) % 4);
                    let Some(there) = self.ties[self.at(here, level)] else { continue };
                    if number[there.0] == usize::MAX {
                        number[there.0] = order.len();
                        first[there.0] = there.1;
                        order.push(there.0);
                    }
                    let back = std::mem::replace(&mut done[self.at(there, level)], true)
                        || done[self.at(here, level)];
                    see(here, level, there, back);
                }
            }
        }
    }

    fn code_from(&self, start: Place) -> Code {
        let mut number = vec![FREE; self.blocks];
        let mut first = vec![0; self.blocks];
        (number[start.0], first[start.0]) = (0, start.1);
        let mut order = vec![start.0];
        let mut code = Vec::with_capacity(2 * self.ties.len() + 1);
        code.push(self.blocks as u8);
        let mut next = 0;
        while next < order.len() {
            let block = order[next];
            next += 1;
            for i in 0..4 {
                for level in 0..self.levels {
                    match self.ties[self.at((block, (first[block] + i) % 4), level)] {
                        None => code.push(FREE),
                        Some((there, corner)) => {
                            if number[there] == FREE {
                                (number[there], first[there]) = (order.len() as u8, corner);
                                order.push(there);
                            }
                            code.push(number[there] * 4 + (corner + 4 - first[there]) % 4);
                        }
                    }
                }
            }
        }
        code
    }

    /// The code and the walks that give it.
    pub(crate) fn walks(&self) -> Walks {
        let mut best: Option<Walks> = None;
        for start in (0..self.blocks).flat_map(|b| (0..4).map(move |k| (b, k))) {
            let code = self.code_from(start);
            match &mut best {
                Some(walks) if walks.code < code => {}
                Some(walks) if walks.code == code => walks.starts.push(start),
                _ => best = Some(Walks { code, starts: vec![start] }),
            }
        }
        best.expect("a linkage has a block")
    }

    /// The linkage that a code tells of, its blocks in the order of the walk.
    pub(crate) fn from_code(code: &Code, levels: u8) -> Self {
        let blocks = usize::from(code[0]);
        let ties = code[1..].iter().map(|&t| (t != FREE).then(|| (usize::from(t / 4), t % 4))).collect();
        Linkage { blocks, levels, ties }
    }

    /// The same seen in a mirror, with levels reversed, or both. Blocks keep their numbers.
    pub(crate) fn changed(&self, mirrored: bool, reversed: bool) -> Self {
        let mut changed = Linkage { ties: vec![None; self.ties.len()], ..*self };
        let seen = |(b, k): Place| if mirrored { (b, (5 - k) % 4) } else { (b, k) };
        for b in 0..self.blocks {
            for k in 0..4 {
                for level in 0..self.levels {
                    let to = if reversed { self.levels - 1 - level } else { level };
                    let i = changed.at(seen((b, k)), to);
                    changed.ties[i] = self.ties[self.at((b, k), level)].map(seen);
                }
            }
        }
        changed
    }

    /// Every linkage with one more block tied on, by code.
    pub(crate) fn grown(&self, into: &mut BTreeSet<Code>) {
        for place in (0..self.blocks).flat_map(|b| (0..4).map(move |k| (b, k))) {
            let stack = self.stack(place);
            for level in 0..self.levels {
                let taken = stack.iter().any(|&p| self.ties[self.at(p, level)].is_some());
                // A vertex has room for four blocks.
                if taken || stack.len() == 4 {
                    continue;
                }
                let mut more = self.clone();
                more.blocks += 1;
                more.ties.resize(more.blocks * 4 * usize::from(self.levels), None);
                // A block of its own is the same from each of its corners.
                more.tie(place, (self.blocks, 0), level);
                into.insert(more.walks().code);
            }
        }
    }

    /// All places that share one vertex with this one for good.
    fn stack(&self, place: Place) -> Vec<Place> {
        let mut stack = vec![place];
        let mut next = 0;
        while next < stack.len() {
            for level in 0..self.levels {
                if let Some(there) = self.ties[self.at(stack[next], level)]
                    && !stack.contains(&there)
                {
                    stack.push(there);
                }
            }
            next += 1;
        }
        stack
    }
}

/// The codes of all hinge trees of `blocks` blocks on `levels` levels, in order.
pub(crate) fn trees(blocks: usize, levels: u8) -> Vec<Code> {
    let mut codes = BTreeSet::from([Linkage::block(levels).walks().code]);
    for _ in 1..blocks {
        let mut more = BTreeSet::new();
        for code in &codes {
            Linkage::from_code(code, levels).grown(&mut more);
        }
        codes = more;
    }
    codes.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn on_one_level_there_are_as_many_as_dissections_into_quadrilaterals() {
        // Blocks are quadrilaterals, hinged corners the sides they share: OEIS
        // A005034, dissections of a polygon into n quadrilaterals up to
        // rotation (F. Harary, E. M. Palmer, R. C. Read (1975), "On the
        // cell-growth problem for arbitrary polygons", Discr. Math. 11,
        // 371-389): 1, 1, 2, 7, 25, 108, 492.
        let counts: Vec<usize> = (1..=7).map(|n| trees(n, 1).len()).collect();
        assert_eq!(counts, [1, 1, 2, 7, 25, 108, 492]);
    }

    /// How many linkages of up to `most` blocks there are with one corner of one
    /// block marked, by power series. Let Y = x C³ be a block that hangs by one
    /// corner and C what a corner holds: on one level nothing or a block; on
    /// two, nothing, a block on either level, two blocks at this corner, or a
    /// block that has another at the same corner: C = 1 + 2Y + Y² + 2Y². Then
    /// the marked ones are x C⁴.
    fn marked(most: usize, levels: u8) -> Vec<u64> {
        let times = |a: &[u64], b: &[u64]| -> Vec<u64> {
            (0..=most).map(|n| (0..=n).map(|i| a[i] * b[n - i]).sum()).collect()
        };
        let shifted = |a: &[u64]| [&[0], &a[..most]].concat();
        let mut y = vec![0; most + 1];
        let mut c = vec![0; most + 1];
        for _ in 0..=most {
            let pairs = times(&y, &y);
            let (one, two) = if levels == 1 { (1, 0) } else { (2, 3) };
            c = (0..=most).map(|n| u64::from(n == 0) + one * y[n] + two * pairs[n]).collect();
            y = shifted(&times(&c, &times(&c, &c)));
        }
        let square = times(&c, &c);
        shifted(&times(&square, &square))
    }

    #[test]
    fn each_linkage_counts_as_often_as_its_symmetries_let_its_corners_differ() {
        for levels in [1, 2] {
            let marked = marked(7, levels);
            for (n, &expected) in marked.iter().enumerate().skip(1) {
                let corners = |code: &Code| 4 * n / Linkage::from_code(code, levels).walks().starts.len();
                let found: usize = trees(n, levels).iter().map(corners).sum();
                assert_eq!(found as u64, expected, "{n} blocks, {levels} levels");
            }
        }
    }

    #[test]
    fn a_code_tells_the_linkage_and_changes_undo_themselves() {
        for code in trees(5, 2) {
            let linkage = Linkage::from_code(&code, 2);
            assert_eq!(linkage.walks().code, code);
            for (mirrored, reversed) in [(true, false), (false, true), (true, true)] {
                let there = linkage.changed(mirrored, reversed);
                assert_eq!(there.changed(mirrored, reversed), linkage);
            }
            assert_eq!(linkage.joints((0, 0)).len(), 4);
            let from_another = linkage.joints((2, 1));
            assert!(from_another.len() == 4 && from_another[0].from.0 == 2);
        }
    }
}
