//! Folds: every lattice pose of a piece, each once.
//!
//! A pose gives each body a motion from home. A hinge holds when both its
//! bodies carry its pin to the same vertex, so closing a loop is the same test
//! as tying a chain. Two poses are the same fold when one shifted onto the
//! other has the same cells and the same pins.

use rustc_hash::FxHashMap;

use crate::geometry::{Cell, Level, Motion, Turn, Vertex};
use crate::piece::Piece;

/// A hinge's place: the vertex it stands on and its level.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pin {
    /// The vertex.
    pub at: Vertex,
    /// The level.
    pub level: Level,
}

/// Where each body of a piece is: its motion from home.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pose {
    motions: Vec<Motion>,
}

impl Pose {
    /// The pose a piece is drawn in.
    pub fn home(piece: &Piece) -> Self {
        Pose { motions: vec![Motion::STILL; piece.bodies()] }
    }

    /// A pose from the motion of each body.
    pub fn from_motions(motions: Vec<Motion>) -> Self {
        Pose { motions }
    }

    /// The motion of each body from home.
    pub fn motions(&self) -> &[Motion] {
        &self.motions
    }

    /// The cell of each block, in the piece's order.
    pub fn cells(&self, piece: &Piece) -> Vec<Cell> {
        piece
            .blocks()
            .iter()
            .enumerate()
            .map(|(b, &cell)| self.motions[piece.body_of(b)].cell(cell))
            .collect()
    }

    /// The turn of a block against its home.
    pub fn turn(&self, piece: &Piece, block: usize) -> Turn {
        self.motions[piece.body_of(block)].turn
    }

    /// The place of each hinge, in the piece's order. A piece that lies turned
    /// over has its levels reversed; `levels` is the set's number of levels.
    pub fn pins(&self, piece: &Piece, levels: u8) -> Vec<Pin> {
        piece
            .hinges()
            .iter()
            .map(|hinge| {
                let motion = self.motions[piece.body_of(hinge.joins[0])];
                let level = if motion.mirrored { Level(levels - 1 - hinge.level.0) } else { hinge.level };
                Pin { at: motion.vertex(hinge.pin), level }
            })
            .collect()
    }

    /// The whole pose carried by a further motion.
    pub fn moved(&self, motion: Motion) -> Self {
        Pose { motions: self.motions.iter().map(|m| m.then(motion)).collect() }
    }
}

/// A pose up to shifting, by what can be told apart: cells and pins, with the
/// lower left of the cells' bounding box at the origin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fold {
    /// The cells, sorted.
    pub cells: Vec<Cell>,
    /// The pins, sorted.
    pub pins: Vec<Pin>,
    /// One pose that takes this fold, the first in the order of search.
    pub pose: Pose,
}

impl Fold {
    /// The fold that a pose takes.
    pub fn of(piece: &Piece, pose: &Pose, levels: u8) -> Fold {
        let cells = pose.cells(piece);
        let dx = -cells.iter().map(|c| c.x).min().unwrap_or(0);
        let dy = -cells.iter().map(|c| c.y).min().unwrap_or(0);
        let pose = pose.moved(Motion::STILL.shifted(dx, dy));
        let mut cells = pose.cells(piece);
        let mut pins = pose.pins(piece, levels);
        cells.sort_unstable();
        pins.sort_unstable();
        Fold { cells, pins, pose }
    }

    /// Width and height of the bounding box.
    pub fn extent(&self) -> (i32, i32) {
        let width = self.cells.iter().map(|c| c.x + 1).max().unwrap_or(0);
        let height = self.cells.iter().map(|c| c.y + 1).max().unwrap_or(0);
        (width, height)
    }
}

/// All folds of a piece, sorted by cells and then by pins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoldSet {
    folds: Vec<Fold>,
}

impl FoldSet {
    /// The most free hinges of a piece whose folds can be listed: 3 to that
    /// power times 4 is two million poses. A straight chain of so many hinges
    /// has 977 348 folds, in 4 s and 650 MB (measured on a desktop machine); each
    /// further hinge makes that about three times as much.
    pub const MOST_FREE_HINGES: usize = 12;

    /// Whether the folds of `piece` are few enough for [`FoldSet::of`], judged
    /// before any is made.
    pub fn can_list(piece: &Piece) -> bool {
        piece.free_hinges() <= Self::MOST_FREE_HINGES
    }

    /// Every fold of `piece` in a set of `levels` levels; with `turn_over`,
    /// also those of the piece lying on its face (cells mirrored, levels reversed).
    pub fn of(piece: &Piece, levels: u8, turn_over: bool) -> Self {
        let mut found = Gather { piece, levels, folds: FxHashMap::default() };
        let ties = spanning_order(piece);
        for mirrored in [false, true] {
            if mirrored && !turn_over {
                break;
            }
            for turn in Turn::ALL {
                let mut motions = vec![None; piece.bodies()];
                motions[0] = Some(Motion::about_origin(mirrored, turn));
                let cells = body_cells(piece, 0, motions[0].expect("just placed"));
                place(&ties, &mut motions, &cells, &mut found);
            }
        }
        let mut folds: Vec<Fold> = found
            .folds
            .into_iter()
            .map(|((cells, pins), motions)| Fold { cells, pins, pose: Pose { motions } })
            .collect();
        folds.sort_unstable_by(|a, b| (&a.cells, &a.pins).cmp(&(&b.cells, &b.pins)));
        FoldSet { folds }
    }

    /// A chosen part of the folds, in the order given.
    pub fn from_folds(mut folds: Vec<Fold>) -> Self {
        folds.sort_by(|a, b| (&a.cells, &a.pins).cmp(&(&b.cells, &b.pins)));
        FoldSet { folds }
    }

    /// The folds in order.
    pub fn folds(&self) -> &[Fold] {
        &self.folds
    }

    /// How many folds.
    pub fn len(&self) -> usize {
        self.folds.len()
    }

    /// Whether there is none (a sound piece always has its home).
    pub fn is_empty(&self) -> bool {
        self.folds.is_empty()
    }

    /// The shapes, each once, in order: runs of folds with the same cells.
    pub fn shapes(&self) -> impl Iterator<Item = &[Fold]> {
        self.folds.chunk_by(|a, b| a.cells == b.cells)
    }

    /// The position of a fold, by its cells and pins.
    pub fn position(&self, fold: &Fold) -> Option<usize> {
        self.folds.binary_search_by(|f| (&f.cells, &f.pins).cmp(&(&fold.cells, &fold.pins))).ok()
    }

    /// Whether both sets hold the same folds: their pieces are interchangeable.
    pub fn alike(&self, other: &FoldSet) -> bool {
        self.folds.len() == other.folds.len()
            && self.folds.iter().zip(&other.folds).all(|(a, b)| a.cells == b.cells && a.pins == b.pins)
    }
}

/// One hinge as met in the order of placing bodies: `from` is placed by then.
struct Tie {
    hinge: usize,
    from: usize,
    to: usize,
    closes: bool,
}

/// Hinges in an order in which each but the closing ones places a new body,
/// closing ones as soon as both their bodies stand.
fn spanning_order(piece: &Piece) -> Vec<Tie> {
    let mut placed = vec![false; piece.bodies()];
    let mut left: Vec<usize> = (0..piece.hinges().len()).collect();
    let mut order = Vec::new();
    placed[0] = true;
    while !left.is_empty() {
        let ends = |h: usize| piece.hinges()[h].joins.map(|b| piece.body_of(b));
        let closing = left.iter().position(|&h| ends(h).iter().all(|&b| placed[b]));
        let next = closing
            .or_else(|| left.iter().position(|&h| ends(h).iter().any(|&b| placed[b])))
            .expect("a sound piece is connected");
        let hinge = left.remove(next);
        let [a, b] = ends(hinge);
        let (from, to) = if placed[a] { (a, b) } else { (b, a) };
        order.push(Tie { hinge, from, to, closes: closing.is_some() });
        placed[to] = true;
    }
    order
}

type Seen = FxHashMap<(Vec<Cell>, Vec<Pin>), Vec<Motion>>;

struct Gather<'a> {
    piece: &'a Piece,
    levels: u8,
    folds: Seen,
}

fn body_cells(piece: &Piece, body: usize, motion: Motion) -> Vec<Cell> {
    (0..piece.blocks().len())
        .filter(|&b| piece.body_of(b) == body)
        .map(|b| motion.cell(piece.blocks()[b]))
        .collect()
}

fn place(ties: &[Tie], motions: &mut [Option<Motion>], cells: &[Cell], found: &mut Gather) {
    let Some((tie, rest)) = ties.split_first() else {
        let pose = Pose { motions: motions.iter().map(|m| m.expect("all bodies stand")).collect() };
        let fold = Fold::of(found.piece, &pose, found.levels);
        if fold.pins.windows(2).all(|w| w[0] != w[1]) {
            found.folds.entry((fold.cells, fold.pins)).or_insert(fold.pose.motions);
        }
        return;
    };
    let hinge = &found.piece.hinges()[tie.hinge];
    let base = motions[tie.from].expect("placed earlier");
    let pin = base.vertex(hinge.pin);
    if tie.closes {
        if motions[tie.to].expect("placed earlier").vertex(hinge.pin) == pin {
            place(rest, motions, cells, found);
        }
        return;
    }
    for turn in Turn::ALL {
        let motion = base.then(Motion::about(pin, turn));
        let added = body_cells(found.piece, tie.to, motion);
        // The turn that lays the new block on its partner is among the clashes.
        if added.iter().any(|c| cells.contains(c)) {
            continue;
        }
        motions[tie.to] = Some(motion);
        let all: Vec<Cell> = cells.iter().chain(&added).copied().collect();
        place(rest, motions, &all, found);
        motions[tie.to] = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::piece::Hinge;

    fn chain(cells: &[(i32, i32)], pins: &[(i32, i32, u8)]) -> Piece {
        let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
        let hinges = pins
            .iter()
            .enumerate()
            .map(|(i, &(x, y, l))| Hinge { pin: Vertex::new(x, y), joins: [i, i + 1], level: Level(l) })
            .collect();
        Piece::hinged(blocks, hinges).unwrap()
    }

    #[test]
    fn a_two_block_piece_has_six_fixed_folds_on_four_shapes() {
        let folds = FoldSet::of(&chain(&[(0, 0), (1, 0)], &[(1, 1, 0)]), 1, false);
        assert_eq!((folds.len(), folds.shapes().count()), (6, 4));
        let dominoes = folds.folds().iter().filter(|f| f.extent() != (2, 2)).count();
        assert_eq!(dominoes, 4);
    }

    #[test]
    fn what_can_be_listed_is_told_by_the_free_hinges() {
        let straight = |hinges: i32| {
            let cells: Vec<_> = (0..=hinges).map(|x| (x, 0)).collect();
            let pins: Vec<_> = (1..=hinges).map(|x| (x, x % 2, 0)).collect();
            chain(&cells, &pins)
        };
        assert!(FoldSet::can_list(&straight(12)));
        assert!(!FoldSet::can_list(&straight(13)));
        // One body, however large, only turns.
        let plank = Piece::rigid((0..40).map(|x| Cell::new(x, 0)).collect()).unwrap();
        assert!(FoldSet::can_list(&plank));
    }

    #[test]
    fn a_single_block_has_one_fold() {
        let block = Piece::hinged(vec![Cell::new(4, -3)], vec![]).unwrap();
        let folds = FoldSet::of(&block, 2, true);
        assert_eq!(folds.len(), 1);
        assert_eq!(folds.folds()[0].cells, [Cell::new(0, 0)]);
    }

    #[test]
    fn a_rigid_piece_only_turns() {
        let ell = vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(2, 0), Cell::new(2, 1)];
        let ell = Piece::rigid(ell).unwrap();
        assert_eq!(FoldSet::of(&ell, 1, false).len(), 4);
        assert_eq!(FoldSet::of(&ell, 1, true).len(), 8);
    }

    #[test]
    fn a_ring_of_four_is_a_square_or_a_cross_of_dominoes() {
        // Four blocks round one void vertex, hinged at the four outer middles.
        let blocks = vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1), Cell::new(0, 1)];
        let pins = [(1, 0), (2, 1), (1, 2), (0, 1)];
        let hinges = pins
            .iter()
            .enumerate()
            .map(|(i, &(x, y))| Hinge { pin: Vertex::new(x, y), joins: [i, (i + 1) % 4], level: Level(0) })
            .collect();
        let ring = Piece::hinged(blocks, hinges).unwrap();
        assert!(ring.has_loop());
        let folds = FoldSet::of(&ring, 1, false);
        // Every fold holds the closing hinge too: four pins, all distinct.
        assert!(folds.folds().iter().all(|f| f.pins.len() == 4));
        assert!(folds.folds().iter().any(|f| f.extent() == (2, 2)));
    }

    #[test]
    fn turned_over_a_piece_has_its_levels_reversed() {
        let piece = chain(&[(0, 0), (1, 0)], &[(1, 1, 0)]);
        let folds = FoldSet::of(&piece, 2, true);
        assert_eq!(folds.len(), 12);
        assert_eq!(folds.folds().iter().filter(|f| f.pins[0].level == Level(1)).count(), 6);
    }

    #[test]
    fn two_hinges_never_meet_on_one_vertex_and_level() {
        // This chain closes to a square in which its first and last pin meet.
        let drawn = |last| chain(&[(0, 0), (0, 1), (1, 2), (2, 2)], &[(1, 1, 0), (1, 2, 0), (2, 2, last)]);
        let meeting = |piece: &Piece| {
            let folds = FoldSet::of(piece, 2, false);
            folds.folds().iter().filter(|f| f.pins.chunk_by(|a, b| a.at == b.at).count() < 3).count()
        };
        assert_eq!((meeting(&drawn(0)), meeting(&drawn(1))), (0, 4));
    }

    #[test]
    fn each_fold_is_the_fold_of_its_pose() {
        let piece = chain(&[(0, 0), (1, 0), (2, 0), (2, 1)], &[(1, 1, 0), (2, 0, 1), (3, 1, 0)]);
        let folds = FoldSet::of(&piece, 2, false);
        for (i, fold) in folds.folds().iter().enumerate() {
            let again = Fold::of(&piece, &fold.pose, 2);
            assert_eq!(folds.position(&again), Some(i));
        }
        let home = Fold::of(&piece, &Pose::home(&piece), 2);
        assert!(folds.position(&home).is_some());
    }
}
