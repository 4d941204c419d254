//! An outline and a set, numbered for the person at the board.
//!
//! A [`Place`] is a shape of a class of pieces laid somewhere on the outline; its
//! [`Lay`]s are the folds that have the shape there with every hinge inside or
//! at a pocket. Hinges of two pieces can only meet at an inside vertex (each
//! needs two of its four cells), so only those are kept apart.

use lattice::{Cell, Class, Corner, Outline, Set, Vertex, VertexKind};
use rustc_hash::FxHashMap;

use crate::mask::Mask;

/// A shape of a class, laid somewhere.
#[derive(Clone, Debug)]
pub(crate) struct Place<const W: usize> {
    pub cells: Mask<W>,
    /// The class of its piece.
    pub kind: usize,
    /// Cells of the outline that share a side with it.
    pub beside: Mask<W>,
    /// Sides of its cells at the wall.
    pub walls: usize,
    /// Sides of its cells that are not between two of them.
    pub sides: usize,
    /// Its folds, a range of [`Board::lays`]; never empty.
    pub lays: std::ops::Range<usize>,
    /// Inner pins of all its lays.
    pub pins: Mask<W>,
}

/// A fold that has the shape of a place.
#[derive(Clone, Debug)]
pub(crate) struct Lay<const W: usize> {
    /// Position in the class's folds.
    pub fold: usize,
    /// Shift of the fold from its normal position.
    pub shift: (i32, i32),
    /// Inside vertices × levels.
    pub pins: Mask<W>,
    /// Pockets that take one of its hinges.
    pub pockets: Mask<W>,
    /// Swings from home; none if single swings do not lead there.
    pub swings: Option<u32>,
}

/// A class of pieces.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    pub size: usize,
    /// Their positions in the set.
    pub pieces: Vec<usize>,
}

/// What everything at the board is numbered by.
#[derive(Clone, Debug)]
pub(crate) struct Board<const W: usize> {
    pub cells: Vec<Cell>,
    /// All cells.
    pub all: Mask<W>,
    pub pockets: Vec<Vertex>,
    pub levels: usize,
    pub spare: usize,
    pub kinds: Vec<Kind>,
    /// Sorted by class and shape.
    pub places: Vec<Place<W>>,
    pub lays: Vec<Lay<W>>,
    /// The places that cover each cell.
    pub covering: Vec<Vec<u32>>,
    /// For each cell, those that share a side with it.
    pub beside: Vec<Mask<W>>,
    /// The same, and those across a vertex where a hinge may stand: what one
    /// piece could hold together.
    pub near: Vec<Mask<W>>,
    /// Sides of each cell at the wall.
    pub walls: Vec<usize>,
    /// The pockets at each cell's corners.
    pub at_pocket: Vec<Mask<W>>,
}

/// Numbers that [`Board`] needs room for.
pub(crate) fn room(set: &Set, outline: &Outline) -> usize {
    let inside = outline.vertices(VertexKind::Inside).len() * usize::from(set.levels);
    outline.cells().len().max(inside).max(outline.pockets().len())
}

impl<const W: usize> Board<W> {
    /// `swings`: for each class and each of its folds, how many swings from home.
    pub fn new(set: &Set, classes: &[Class], swings: &[Vec<Option<u32>>], outline: &Outline) -> Self {
        let cells = outline.cells().to_vec();
        let number: FxHashMap<Cell, usize> = cells.iter().enumerate().map(|(i, &c)| (c, i)).collect();
        let inside = numbered(outline.vertices(VertexKind::Inside));
        let pockets = outline.pockets().to_vec();
        let pocket = numbered(pockets.clone());
        let mut board = Board {
            all: Mask::of(0..cells.len()),
            beside: Vec::new(),
            near: Vec::new(),
            walls: Vec::new(),
            at_pocket: Vec::new(),
            pockets,
            levels: usize::from(set.levels),
            spare: outline.spare(),
            kinds: Vec::new(),
            places: Vec::new(),
            lays: Vec::new(),
            covering: vec![Vec::new(); cells.len()],
            cells,
        };
        for &cell in &board.cells {
            let beside = Mask::of(cell.sides().iter().filter_map(|c| number.get(c).copied()));
            let across = Corner::ALL.into_iter().filter(|&k| outline.allows_hinge(cell.corner(k)));
            let across = across.filter_map(|k| number.get(&cell.corner(k).quadrant(k)).copied());
            board.near.push(Mask::of(across).or(&beside));
            board.walls.push(4 - beside.count());
            board.beside.push(beside);
            let pockets = Corner::ALL.iter().filter_map(|&k| pocket.get(&cell.corner(k)).copied());
            board.at_pocket.push(Mask::of(pockets));
        }
        let maps = Maps { number: &number, inside: &inside, pocket: &pocket, bounds: outline.bounds() };
        for (k, class) in classes.iter().enumerate() {
            let size = class.folds.folds().first().map_or(0, |f| f.cells.len());
            board.kinds.push(Kind { size, pieces: class.pieces.clone() });
            board.lay_class(k, class, &swings[k], &maps);
        }
        for (p, place) in board.places.iter().enumerate() {
            for cell in place.cells.iter() {
                board.covering[cell].push(p as u32);
            }
        }
        board
    }

    fn lay_class(&mut self, kind: usize, class: &Class, swings: &[Option<u32>], maps: &Maps<'_>) {
        let (low, width, height) = maps.bounds;
        let mut first = 0;
        for shape in class.folds.shapes() {
            let (w, h) = shape[0].extent();
            for (dy, dx) in (0..=height - h).flat_map(|dy| (0..=width - w).map(move |dx| (dy, dx))) {
                let shift = (low.x + dx, low.y + dy);
                let cells = shape[0].cells.iter().map(|c| maps.number.get(&c.shifted(shift.0, shift.1)));
                let Some(cells) = cells.map(|c| c.copied()).collect::<Option<Vec<usize>>>() else { continue };
                let start = self.lays.len();
                for (f, fold) in shape.iter().enumerate() {
                    let (mut pins, mut pockets) = (Mask::NONE, Mask::NONE);
                    let stands = fold.pins.iter().all(|pin| {
                        let at = pin.at.shifted(shift.0, shift.1);
                        if let Some(v) = maps.inside.get(&at) {
                            pins = pins.or(&Mask::one(v * self.levels + usize::from(pin.level.0)));
                        } else if let Some(&v) = maps.pocket.get(&at) {
                            pockets = pockets.or(&Mask::one(v));
                        } else {
                            return false;
                        }
                        true
                    });
                    if stands {
                        let fold = first + f;
                        self.lays.push(Lay { fold, shift, pins, pockets, swings: swings[fold] });
                    }
                }
                if start < self.lays.len() {
                    self.places.push(self.place(kind, &cells, start));
                }
            }
            first += shape.len();
        }
    }

    fn place(&self, kind: usize, cells: &[usize], start: usize) -> Place<W> {
        let own = Mask::of(cells.iter().copied());
        let beside = cells.iter().fold(Mask::NONE, |all, &c| all.or(&self.beside[c])).less(&own);
        let walls = cells.iter().map(|&c| self.walls[c]).sum();
        let joined: usize = cells.iter().map(|&c| self.beside[c].and(&own).count()).sum();
        let lays = start..self.lays.len();
        let pins = self.lays[lays.clone()].iter().fold(Mask::NONE, |all, lay| all.or(&lay.pins));
        Place { cells: own, kind, beside, walls, sides: 4 * cells.len() - joined, lays, pins }
    }

    /// The lays of a place.
    pub fn lays_of(&self, place: u32) -> &[Lay<W>] {
        &self.lays[self.places[place as usize].lays.clone()]
    }

    /// The sizes that some of the pieces left, with some of the spare cells, add up
    /// to: bit n for n cells.
    pub fn sums(&self, left: &[usize]) -> u128 {
        let mut sums: u128 = (1 << (self.spare.min(126) + 1)) - 1;
        for (kind, &count) in self.kinds.iter().zip(left) {
            for _ in 0..count {
                sums |= sums.checked_shl(kind.size as u32).unwrap_or(0);
            }
        }
        sums
    }

    /// The part of `empty` that hangs together with a cell of it.
    #[inline]
    pub fn part(&self, cell: usize, empty: &Mask<W>) -> Mask<W> {
        let mut part = Mask::one(cell);
        let mut new = part;
        while let Some(next) = new.first() {
            new = new.less(&Mask::one(next));
            let more = self.near[next].and(empty).less(&part);
            part = part.or(&more);
            new = new.or(&more);
        }
        part
    }
}

struct Maps<'a> {
    number: &'a FxHashMap<Cell, usize>,
    inside: &'a FxHashMap<Vertex, usize>,
    pocket: &'a FxHashMap<Vertex, usize>,
    bounds: (Vertex, i32, i32),
}

fn numbered(vertices: Vec<Vertex>) -> FxHashMap<Vertex, usize> {
    vertices.into_iter().enumerate().map(|(i, v)| (v, i)).collect()
}
