//! What a piece brings to a set: the shapes it reaches, how often a shape tells
//! its fold, what its home looks like, whether it can be printed.

use lattice::{Cell, Motion, Piece, Turn};
use reach::{Classes, Known, Plan, Swings};
use rustc_hash::FxHashMap;

use crate::catalogue::Entry;

/// A set of shapes, by number.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Shapes(Vec<u64>);

impl Shapes {
    fn insert(&mut self, shape: usize) {
        if self.0.len() <= shape / 64 {
            self.0.resize(shape / 64 + 1, 0);
        }
        self.0[shape / 64] |= 1 << (shape % 64);
    }

    pub(crate) fn len(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    /// How many both hold.
    pub(crate) fn common(&self, other: &Shapes) -> usize {
        self.0.iter().zip(&other.0).map(|(a, b)| (a & b).count_ones() as usize).sum()
    }
}

/// A piece that can be chosen.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    pub(crate) blocks: usize,
    pub(crate) number: usize,
    pub(crate) piece: Piece,
    pub(crate) shapes: Shapes,
    pub(crate) folds: usize,
    pub(crate) printable: bool,
    /// The number of the home's look: its cells however they lie.
    pub(crate) look: usize,
}

/// Numbers shapes and makes candidates.
pub(crate) struct Looker {
    known: Option<Known>,
    numbers: FxHashMap<Vec<Cell>, usize>,
    looks: Vec<Vec<Vec<Cell>>>,
    look_numbers: FxHashMap<Vec<Cell>, usize>,
}

fn at_origin(mut cells: Vec<Cell>) -> Vec<Cell> {
    let x = cells.iter().map(|c| c.x).min().unwrap_or(0);
    let y = cells.iter().map(|c| c.y).min().unwrap_or(0);
    cells.iter_mut().for_each(|c| *c = c.shifted(-x, -y));
    cells.sort_unstable();
    cells
}

fn carried(cells: &[Cell], mirrored: bool, turn: Turn) -> Vec<Cell> {
    let whole = Motion::about_origin(mirrored, turn);
    at_origin(cells.iter().map(|&c| whole.cell(c)).collect())
}

impl Looker {
    pub(crate) fn new(plan: &Plan) -> Self {
        Looker {
            known: Some(Known::nothing(plan)),
            numbers: FxHashMap::default(),
            looks: vec![],
            look_numbers: FxHashMap::default(),
        }
    }

    pub(crate) fn candidate(&mut self, entry: &Entry, printable: bool) -> Candidate {
        let piece = &entry.piece;
        let mut swings = Swings::knowing(piece, self.known.take().expect("handed back below"));
        let classes = Classes::of(&mut swings);
        self.known = Some(swings.into_known());
        let mut shapes = Shapes(Vec::new());
        for (pose, &class) in classes.poses().iter().zip(classes.classes()) {
            if class == 0 {
                for turn in Turn::ALL {
                    let shape = carried(&pose.cells(piece), false, turn);
                    let next = self.numbers.len();
                    shapes.insert(*self.numbers.entry(shape).or_insert(next));
                }
            }
        }
        let positions = [false, true].into_iter().flat_map(|m| Turn::ALL.map(|t| (m, t)));
        let mut looks: Vec<Vec<Cell>> = positions.map(|(m, t)| carried(piece.blocks(), m, t)).collect();
        looks.sort_unstable();
        looks.dedup();
        let next = self.looks.len();
        let look = *self.look_numbers.entry(looks[0].clone()).or_insert(next);
        if look == next {
            self.looks.push(looks);
        }
        Candidate {
            blocks: piece.blocks().len(),
            number: entry.number,
            piece: piece.clone(),
            shapes,
            folds: entry.reached,
            printable,
            look,
        }
    }
}

impl Looker {
    /// How alike all looks met so far are.
    pub(crate) fn likeness(&self) -> Likeness {
        let row = |a: &Vec<Vec<Cell>>| self.looks.iter().map(|b| alike(a, b)).collect();
        Likeness(self.looks.iter().map(row).collect())
    }
}

impl Candidate {
    /// The share of this piece's shapes that another can take as well.
    pub(crate) fn replaced_by(&self, other: &Candidate) -> f64 {
        self.shapes.common(&other.shapes) as f64 / self.shapes.len() as f64
    }
}

/// How alike homes look, by look: 0 to 1, the most cells that fall on each
/// other, however one is laid on the other (over too: an eye sees a mirror
/// image as the same thing), of the larger one's.
pub(crate) struct Likeness(Vec<Vec<f64>>);

impl Likeness {
    pub(crate) fn of(&self, a: &Candidate, b: &Candidate) -> f64 {
        self.0[a.look][b.look]
    }
}

/// `looks`: a home's cells in all its positions, the least first.
fn alike(one: &[Vec<Cell>], other: &[Vec<Cell>]) -> f64 {
    let mine = &one[0];
    let mut most = 0;
    for theirs in other {
        let mut shifts: FxHashMap<(i32, i32), usize> = FxHashMap::default();
        for a in mine {
            for b in theirs {
                let n = shifts.entry((a.x - b.x, a.y - b.y)).or_insert(0);
                *n += 1;
                most = most.max(*n);
            }
        }
    }
    most as f64 / mine.len().max(other[0].len()) as f64
}
