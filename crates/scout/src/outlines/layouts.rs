//! How far apart two layouts are.

use lattice::{Cell, Class, Folding, Motion, Set, Turn};
use rustc_hash::FxHashMap;

use super::looks::apart;

/// Which kind of piece covers what: a layout, for comparing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Kind of piece and the cells it covers, sorted.
    pieces: Vec<(usize, Vec<Cell>)>,
}

impl Layout {
    /// The layout of pieces given as kind and cells; order does not matter.
    pub fn new(pieces: impl IntoIterator<Item = (usize, Vec<Cell>)>) -> Layout {
        let mut pieces: Vec<(usize, Vec<Cell>)> = pieces.into_iter().collect();
        for (_, cells) in &mut pieces {
            cells.sort_unstable();
            cells.dedup();
        }
        pieces.sort_unstable();
        Layout { pieces }
    }

    /// The layout of a folding of a set; pieces of one class are one kind.
    pub fn of(set: &Set, classes: &[Class], folding: &Folding) -> Layout {
        let kind =
            |piece: usize| classes.iter().position(|c| c.pieces.contains(&piece)).unwrap_or(classes.len());
        let placed = folding.placed.iter();
        Layout::new(placed.map(|p| (kind(p.piece), p.pose.cells(&set.pieces[p.piece]))))
    }
}

/// How far apart two layouts are: the share of cells that another piece covers,
/// or the same piece laid otherwise, when one layout is turned and shifted so
/// that as much agrees as can. A piece agrees where one of its kind covers just
/// the same cells. With c cells in such pieces, 1 − c / max(cells of a, cells of b).
/// Mirror images do not agree, as pieces are not turned over.
///
/// This is a metric on layouts up to turning and shifting.
pub fn layouts_apart(a: &Layout, b: &Layout) -> f64 {
    let mut shapes = Shapes::default();
    let (a, b) = (Laid::new(a, &mut shapes), Laid::new(b, &mut shapes));
    apart(a.common(&b), a.cells.max(b.cells))
}

/// Numbers for kinds in shapes.
#[derive(Default)]
pub(crate) struct Shapes(FxHashMap<(usize, Vec<Cell>), u32>);

impl Shapes {
    fn number(&mut self, kind: usize, shape: Vec<Cell>) -> u32 {
        let next = self.0.len() as u32;
        *self.0.entry((kind, shape)).or_insert(next)
    }
}

/// A piece where it lies.
#[derive(Clone, Copy)]
struct Place {
    /// Kind and shape.
    shape: u32,
    /// Lower left.
    at: (i32, i32),
    cells: u32,
}

/// A layout, made ready for many comparisons.
pub(crate) struct Laid {
    /// By turn, its places sorted by shape.
    turns: [Vec<Place>; 4],
    /// Shapes up to turning, sorted, with their cells.
    shapes: Vec<(u32, u32)>,
    pub cells: usize,
}

impl Laid {
    pub fn new(layout: &Layout, shapes: &mut Shapes) -> Laid {
        let turns = Turn::ALL.map(|turn| {
            let turned = layout.pieces.iter().map(|(kind, cells)| {
                let (at, shape) = turned(cells, turn);
                let count = shape.len() as u32;
                Place { shape: shapes.number(*kind, shape), at, cells: count }
            });
            turned.collect::<Vec<Place>>()
        });
        // A number for all turns of a shape: the least of theirs.
        let least = |i: usize| (turns.iter().map(|t| t[i].shape).min().unwrap_or(0), turns[0][i].cells);
        let mut free: Vec<(u32, u32)> = (0..layout.pieces.len()).map(least).collect();
        free.sort_unstable();
        let turns = turns.map(|mut places| {
            places.sort_unstable_by_key(|p| (p.shape, p.at));
            places
        });
        let cells = layout.pieces.iter().map(|p| p.1.len()).sum();
        Laid { turns, shapes: free, cells }
    }

    /// No more cells than this can agree: pieces of one kind and shape, wherever.
    pub fn most_common(&self, other: &Laid) -> usize {
        let (mut i, mut j, mut sum) = (0, 0, 0);
        while let (Some(a), Some(b)) = (self.shapes.get(i), other.shapes.get(j)) {
            if a.0 == b.0 {
                sum += a.1 as usize;
            }
            i += usize::from(a.0 <= b.0);
            j += usize::from(b.0 <= a.0);
        }
        sum
    }

    /// The most cells that agree: every two places of one kind and shape vote for
    /// the shift that lays one on the other.
    pub fn common(&self, other: &Laid) -> usize {
        let mut votes: Vec<((i64, i64), u32)> = Vec::new();
        let mut most = 0;
        for turned in &other.turns {
            votes.clear();
            let mut from = 0;
            for a in &self.turns[0] {
                while turned.get(from).is_some_and(|b| b.shape < a.shape) {
                    from += 1;
                }
                for b in turned[from..].iter().take_while(|b| b.shape == a.shape) {
                    let way = |a: i32, b: i32| i64::from(a) - i64::from(b);
                    votes.push(((way(a.at.0, b.at.0), way(a.at.1, b.at.1)), a.cells));
                }
            }
            votes.sort_unstable();
            let sums = votes.chunk_by(|a, b| a.0 == b.0).map(|v| v.iter().map(|v| v.1).sum::<u32>());
            most = most.max(sums.max().unwrap_or(0));
        }
        most as usize
    }
}

/// Where cells lie after a turn about the origin, and their shape.
fn turned(cells: &[Cell], turn: Turn) -> ((i32, i32), Vec<Cell>) {
    let motion = Motion::about_origin(false, turn);
    let mut shape: Vec<Cell> = cells.iter().map(|&c| motion.cell(c)).collect();
    let x0 = shape.iter().map(|c| c.x).min().unwrap_or(0);
    let y0 = shape.iter().map(|c| c.y).min().unwrap_or(0);
    for cell in &mut shape {
        *cell = cell.shifted(-x0, -y0);
    }
    shape.sort_unstable();
    ((x0, y0), shape)
}
