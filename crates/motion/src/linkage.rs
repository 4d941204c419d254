//! A piece as a linkage: where its blocks are when each hinge is open by any
//! angle, not only by quarters.
//!
//! A hinge's *opening* is the angle, anticlockwise about the pin, from the
//! middle of the block it names first to the middle of the one it names
//! second: 90° side by side, 180° corner to corner, 270° side by side on the
//! other side, and everything between. Openings of the hinges along a spanning
//! tree are the coordinates; a hinge that closes a loop must then hold by
//! itself. Block 0 stands still. Lengths in pitches, angles in radians.

use std::f64::consts::{FRAC_PI_2, PI};

use lattice::{Piece, Pose};

/// A point of the plane.
pub(crate) type Point = (f64, f64);

/// Where a block is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Its middle.
    pub middle: (f64, f64),
    /// How far it is turned from home, anticlockwise.
    pub turn: f64,
}

/// A placement with its sine and cosine at hand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stand {
    pub(crate) middle: Point,
    pub(crate) turn: f64,
    pub(crate) sin: f64,
    pub(crate) cos: f64,
}

impl Stand {
    pub(crate) fn new(middle: Point, turn: f64) -> Self {
        let (sin, cos) = turn.sin_cos();
        Stand { middle, turn, sin, cos }
    }

    /// Where a point fixed to the block is, told from its middle with the block as at home.
    pub(crate) fn carry(&self, p: Point) -> Point {
        let Stand { middle, sin, cos, .. } = *self;
        (middle.0 + p.0 * cos - p.1 * sin, middle.1 + p.0 * sin + p.1 * cos)
    }
}

/// A hinge seen from one of its blocks: the pin told from the block's middle.
#[derive(Clone, Copy, Debug)]
struct End {
    block: usize,
    pin: Point,
}

/// A hinge of the spanning tree: `child` hangs on `parent`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tie {
    pub(crate) hinge: usize,
    parent: End,
    child: End,
    /// 1 if opening the hinge turns the child anticlockwise, else −1.
    sign: f64,
    /// The opening at home.
    home: f64,
}

/// A hinge that closes a loop.
#[derive(Clone, Copy, Debug)]
struct Closing {
    hinge: usize,
    ends: [End; 2],
}

/// One step from block to block: a coordinate, and the sense in which it turns
/// what lies beyond.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Link {
    pub(crate) tie: usize,
    pub(crate) sign: f64,
}

/// A hinged piece as a linkage.
#[derive(Clone, Debug)]
pub(crate) struct Linkage {
    first: Point,
    pub(crate) blocks: usize,
    hinges: usize,
    pub(crate) ties: Vec<Tie>,
    closing: Vec<Closing>,
    /// Openings at home, by hinge.
    home: Vec<f64>,
}

fn quarters(n: u8) -> f64 {
    f64::from(n) * FRAC_PI_2
}

impl Linkage {
    pub(crate) fn new(piece: &Piece) -> Self {
        let middle = |b: usize| {
            let c = piece.blocks()[b];
            (f64::from(c.x) + 0.5, f64::from(c.y) + 0.5)
        };
        let home: Vec<f64> = reach::openings(piece, &Pose::home(piece)).into_iter().map(quarters).collect();
        let end = |h: usize, block: usize| {
            let (pin, m) = (piece.hinges()[h].pin, middle(block));
            End { block, pin: (f64::from(pin.x) - m.0, f64::from(pin.y) - m.1) }
        };
        let mut stands = vec![false; piece.bodies()];
        stands[0] = true;
        let mut left: Vec<usize> = (0..piece.hinges().len()).collect();
        let (mut ties, mut closing) = (Vec::new(), Vec::new());
        while !left.is_empty() {
            let touches = |&h: &usize| piece.hinges()[h].joins.iter().any(|&b| stands[b]);
            let next = left.iter().position(touches).expect("a sound piece is connected");
            let hinge = left.remove(next);
            let [a, b] = piece.hinges()[hinge].joins;
            if stands[a] && stands[b] {
                closing.push(Closing { hinge, ends: [end(hinge, a), end(hinge, b)] });
                continue;
            }
            let (from, to, sign) = if stands[a] { (a, b, 1.0) } else { (b, a, -1.0) };
            stands[to] = true;
            ties.push(Tie {
                hinge,
                parent: end(hinge, from),
                child: end(hinge, to),
                sign,
                home: home[hinge],
            });
        }
        Linkage {
            first: middle(0),
            blocks: piece.bodies(),
            hinges: piece.hinges().len(),
            ties,
            closing,
            home,
        }
    }

    pub(crate) fn has_loops(&self) -> bool {
        !self.closing.is_empty()
    }

    /// The coordinates of a pose, by tie.
    pub(crate) fn coordinates(&self, openings: &[u8]) -> Vec<f64> {
        self.ties.iter().map(|t| quarters(openings[t.hinge])).collect()
    }

    /// Where the blocks are.
    pub(crate) fn place(&self, at: &[f64]) -> Vec<Stand> {
        let mut placed = vec![Stand::new(self.first, 0.0); self.blocks];
        for (tie, &open) in self.ties.iter().zip(at) {
            let parent = placed[tie.parent.block];
            let pin = parent.carry(tie.parent.pin);
            let turn = parent.turn + tie.sign * (open - tie.home);
            let mut child = Stand::new((0.0, 0.0), turn);
            let hung = child.carry(tie.child.pin);
            child.middle = (pin.0 - hung.0, pin.1 - hung.1);
            placed[tie.child.block] = child;
        }
        placed
    }

    /// Where the pin of each tie is.
    pub(crate) fn pins(&self, placed: &[Stand]) -> Vec<Point> {
        self.ties.iter().map(|t| placed[t.parent.block].carry(t.parent.pin)).collect()
    }

    /// By how much each closing hinge is torn: both coordinates, hinge by hinge.
    pub(crate) fn torn(&self, placed: &[Stand]) -> Vec<f64> {
        let of = |c: &Closing| {
            let [p, q] = c.ends.map(|e| placed[e.block].carry(e.pin));
            [q.0 - p.0, q.1 - p.1]
        };
        self.closing.iter().flat_map(of).collect()
    }

    /// The derivative of [`torn`](Self::torn): a row for each of its figures, by tie.
    pub(crate) fn torn_by(&self, placed: &[Stand]) -> Vec<Vec<f64>> {
        let pins = self.pins(placed);
        let mut rows = Vec::new();
        for c in &self.closing {
            let at = c.ends.map(|e| placed[e.block].carry(e.pin));
            let (mut across, mut along) = (vec![0.0; self.ties.len()], vec![0.0; self.ties.len()]);
            for (end, side) in [(0, -1.0), (1, 1.0)] {
                for link in self.path(0, c.ends[end].block) {
                    let pin = pins[link.tie];
                    across[link.tie] -= side * link.sign * (at[end].1 - pin.1);
                    along[link.tie] += side * link.sign * (at[end].0 - pin.0);
                }
            }
            rows.push(across);
            rows.push(along);
        }
        rows
    }

    /// The openings of all hinges, closing ones too.
    pub(crate) fn openings(&self, at: &[f64]) -> Vec<f64> {
        let placed = self.place(at);
        let mut all = vec![0.0; self.hinges];
        for (tie, &open) in self.ties.iter().zip(at) {
            all[tie.hinge] = open;
        }
        for c in &self.closing {
            let [a, b] = c.ends.map(|e| placed[e.block].turn);
            // Whole turns come in where the blocks went round a loop of others.
            let open = self.home[c.hinge] + b - a;
            all[c.hinge] = open - (2.0 * PI) * ((open - PI) / (2.0 * PI)).round();
        }
        all
    }

    /// The links that lead from one block to another.
    pub(crate) fn path(&self, from: usize, to: usize) -> Vec<Link> {
        let up = |mut block: usize| {
            let mut links = Vec::new();
            while let Some(tie) = self.ties.iter().position(|t| t.child.block == block) {
                links.push((tie, block));
                block = self.ties[tie].parent.block;
            }
            links
        };
        let (mut out, mut back) = (up(from), up(to));
        while out.last().is_some_and(|l| back.last().is_some_and(|m| l.0 == m.0)) {
            out.pop();
            back.pop();
        }
        // Seen from below, opening a hinge turns what lies above the other way.
        let out = out.into_iter().map(|(tie, _)| Link { tie, sign: -self.ties[tie].sign });
        let back = back.into_iter().rev().map(|(tie, _)| Link { tie, sign: self.ties[tie].sign });
        out.chain(back).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::{ROTATING_SQUARES, gangway, piece};

    #[test]
    fn every_lattice_pose_is_where_the_lattice_says() {
        for piece in [gangway(5), piece(ROTATING_SQUARES.0, ROTATING_SQUARES.1)] {
            let linkage = Linkage::new(&piece);
            for pose in reach::poses(&piece) {
                let openings = reach::openings(&piece, &pose);
                let at = linkage.coordinates(&openings);
                let placed = linkage.place(&at);
                for (p, cell) in placed.iter().zip(pose.cells(&piece)) {
                    assert!((p.middle.0 - f64::from(cell.x) - 0.5).abs() < 1e-12);
                    assert!((p.middle.1 - f64::from(cell.y) - 0.5).abs() < 1e-12);
                }
                assert!(linkage.torn(&placed).iter().all(|t| t.abs() < 1e-12));
                let all = linkage.openings(&at);
                assert!(all.iter().zip(&openings).all(|(a, &o)| (a - quarters(o)).abs() < 1e-12));
            }
        }
    }

    #[test]
    fn the_derivative_is_what_small_changes_show() {
        let linkage = Linkage::new(&piece(ROTATING_SQUARES.0, ROTATING_SQUARES.1));
        let at = vec![1.9, 2.4, 3.3];
        let rows = linkage.torn_by(&linkage.place(&at));
        for tie in 0..at.len() {
            let near = |by: f64| {
                let mut q = at.clone();
                q[tie] += by;
                linkage.torn(&linkage.place(&q))
            };
            let (low, high) = (near(-1e-6), near(1e-6));
            for (row, (l, h)) in rows.iter().zip(low.iter().zip(&high)) {
                assert!((row[tie] - (h - l) / 2e-6).abs() < 1e-6, "{tie}");
            }
        }
    }
}
