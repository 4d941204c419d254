//! How far apart two layouts are.

use lattice::{Cell, Class, Folding, Motion, Set, Turn};
use rustc_hash::FxHashMap;

use super::looks::apart;
use super::votes::Votes;

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
    apart(a.common(&b, &mut Votes::default()), a.cells.max(b.cells))
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
    /// Its lower left, from that of the layout.
    at: [i64; 2],
    cells: u32,
}

/// A layout after a turn.
struct Turned {
    /// Sorted by shape.
    places: Vec<Place>,
    /// The farthest lower left to the right, and upwards.
    wide: i64,
    high: i64,
}

impl Turned {
    fn new(mut places: Vec<Place>) -> Turned {
        for axis in 0..2 {
            let low = places.iter().map(|p| p.at[axis]).min().unwrap_or(0);
            places.iter_mut().for_each(|p| p.at[axis] -= low);
        }
        places.sort_unstable_by_key(|p| (p.shape, p.at));
        let far = |axis: usize| places.iter().map(|p| p.at[axis]).max().unwrap_or(0);
        let (wide, high) = (far(0), far(1));
        Turned { places, wide, high }
    }
}

/// A layout, made ready for many comparisons.
pub(crate) struct Laid {
    turns: [Turned; 4],
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
        let turns = turns.map(Turned::new);
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
    /// the shift that lays one on the other. `votes` is scratch.
    pub fn common(&self, other: &Laid, votes: &mut Votes) -> usize {
        let own = &self.turns[0];
        let agree = other.turns.iter().map(|turned| {
            let (wide, high) = (turned.wide, turned.high);
            let mut from = 0;
            let shifts = own.places.iter().flat_map(|a| {
                while turned.places.get(from).is_some_and(|b| b.shape < a.shape) {
                    from += 1;
                }
                let alike = turned.places[from..].iter().take_while(|b| b.shape == a.shape);
                alike.map(|b| ([a.at[0] - b.at[0] + wide, a.at[1] - b.at[1] + high], a.cells))
            });
            votes.most(own.wide + wide + 1, own.high + high + 1, shifts)
        });
        agree.max().unwrap_or(0)
    }
}

/// Where cells lie after a turn about the origin, and their shape.
fn turned(cells: &[Cell], turn: Turn) -> ([i64; 2], Vec<Cell>) {
    let motion = Motion::about_origin(false, turn);
    let mut shape: Vec<Cell> = cells.iter().map(|&c| motion.cell(c)).collect();
    let x0 = shape.iter().map(|c| c.x).min().unwrap_or(0);
    let y0 = shape.iter().map(|c| c.y).min().unwrap_or(0);
    for cell in &mut shape {
        *cell = cell.shifted(-x0, -y0);
    }
    shape.sort_unstable();
    ([x0.into(), y0.into()], shape)
}
