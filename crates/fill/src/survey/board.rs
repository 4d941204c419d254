//! One outline on the grid: its cells and vertices numbered, every place of a
//! shape, and what the folds of a place need.

use lattice::{Cell, Vertex};

use super::prepared::{NO_SHAPE, Prepared, STRIDE};

const NONE: u8 = u8::MAX;
/// Vertices from here on are edge vertices.
const EDGE: u8 = 64;
const SLOTS: usize = 1 << 12;

/// A shape put somewhere.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub cells: u64,
    pub shape: u32,
    /// Position of its first cell.
    at: i32,
    /// Its options, once asked for.
    options: (u32, u32),
}

/// What a fold of a place takes and needs.
#[derive(Clone, Copy)]
pub(super) struct Choice {
    pub class: u8,
    /// How many edge vertices it needs.
    pub size: u8,
    pub place: u16,
    /// Pins on its border (bit = inside vertex × levels + level) and, after all of
    /// those, edge vertices with a pin.
    pub taken: u64,
}

impl Choice {
    /// The place, counted from 1, and the class in 16 bits.
    pub fn part(&self) -> u64 {
        (u64::from(self.place) + 1) << 4 | u64::from(self.class)
    }
}

/// An outline laid on the grid. One is used again and again.
pub(super) struct Board {
    cell_at: Vec<u8>,
    vertex_at: Vec<u8>,
    /// Cells by number, with their positions.
    pub cells: Vec<(Cell, i32)>,
    /// Edge vertices by number, sorted.
    pub edge: Vec<Vertex>,
    /// The cells round each inside vertex.
    round: Vec<u64>,
    /// Bits that inner pins take up.
    inner: usize,
    by_column: bool,
    pub places: Vec<Place>,
    /// Where the places of each first cell begin, one more at the end.
    pub starts: Vec<u32>,
    pub choices: Vec<Choice>,
    slots: Vec<u16>,
}

impl Board {
    pub fn new() -> Self {
        let grid = vec![NONE; (STRIDE * STRIDE) as usize];
        Board {
            cell_at: grid.clone(),
            vertex_at: grid,
            cells: Vec::new(),
            edge: Vec::new(),
            round: Vec::new(),
            inner: 0,
            by_column: false,
            places: Vec::new(),
            starts: Vec::new(),
            choices: Vec::new(),
            slots: vec![u16::MAX; SLOTS],
        }
    }

    /// Lays an outline; whether it is within what the board can hold.
    pub fn lay(&mut self, set: &Prepared, cells: &[Cell]) -> bool {
        for (_, at) in self.cells.drain(..) {
            self.cell_at[at as usize] = NONE;
        }
        let low = (cells.iter().map(|c| c.x).min(), cells.iter().map(|c| c.y).min());
        let high = (cells.iter().map(|c| c.x).max(), cells.iter().map(|c| c.y).max());
        let ((Some(x0), Some(y0)), (Some(x1), Some(y1))) = (low, high) else { return false };
        let margin = set.reach + 1;
        let (width, height) = (x1 - x0 + 1, y1 - y0 + 1);
        if width.max(height) + 2 * margin >= STRIDE || cells.len() != set.area {
            return false;
        }
        self.by_column = width > height;
        let at = |x: i32, y: i32| (y - y0 + margin) * STRIDE + x - x0 + margin;
        self.cells.extend(cells.iter().map(|&c| (c, at(c.x, c.y))));
        if self.by_column {
            self.cells.sort_unstable_by_key(|(c, _)| (c.x, c.y));
        } else {
            self.cells.sort_unstable_by_key(|(c, _)| (c.y, c.x));
        }
        for (i, &(_, at)) in self.cells.iter().enumerate() {
            self.cell_at[at as usize] = i as u8;
        }
        self.round.clear();
        self.edge.clear();
        for x in x0..=x1 + 1 {
            for y in y0..=y1 + 1 {
                let at = at(x, y);
                let round = [at, at - 1, at - STRIDE, at - STRIDE - 1];
                let cells = round.map(|a| self.cell_at[a as usize]);
                let kind = match cells.iter().filter(|&&c| c != NONE).count() {
                    0 => NONE,
                    4 => {
                        self.round.push(cells.iter().fold(0, |all, c| all | 1 << c));
                        self.round.len().min(usize::from(EDGE)) as u8 - 1
                    }
                    _ => {
                        self.edge.push(Vertex::new(x, y));
                        (usize::from(EDGE) + self.edge.len().min(64)) as u8 - 1
                    }
                };
                self.vertex_at[at as usize] = kind;
            }
        }
        self.inner = self.round.len() * set.levels;
        if self.edge.len() + self.inner > 64 {
            return false;
        }
        self.put_everywhere(set);
        self.places.len() < usize::from(u16::MAX) && self.places.len() * 2 < SLOTS
    }

    fn put_everywhere(&mut self, set: &Prepared) {
        self.places.clear();
        self.starts.clear();
        self.choices.clear();
        let trie = &set.ways[usize::from(self.by_column)].trie;
        let mut below = [0u64; 65];
        for (i, &(_, at)) in self.cells.iter().enumerate() {
            self.starts.push(self.places.len() as u32);
            below[0] = 1 << i;
            let mut node = 0;
            while let Some(next) = trie.get(node) {
                let cell = self.cell_at[(at + next.to) as usize];
                if cell == NONE {
                    node = next.skip as usize;
                    continue;
                }
                let depth = usize::from(next.depth);
                let cells = below[depth.saturating_sub(1)] | 1 << cell;
                below[depth] = cells;
                if next.shape != NO_SHAPE {
                    let unasked = (u32::MAX, 0);
                    self.places.push(Place { cells, shape: next.shape, at, options: unasked });
                }
                node += 1;
            }
        }
        self.starts.push(self.places.len() as u32);
        self.slots.fill(u16::MAX);
        if self.places.len() * 2 < SLOTS {
            for (i, place) in self.places.iter().enumerate() {
                let mut slot = hash(place.cells);
                while self.slots[slot] != u16::MAX {
                    slot = (slot + 1) % SLOTS;
                }
                self.slots[slot] = i as u16;
            }
        }
    }

    /// The place that covers just these cells.
    pub fn place_of(&self, cells: u64) -> Option<u16> {
        let mut slot = hash(cells);
        loop {
            let place = self.slots[slot];
            if place == u16::MAX {
                return None;
            }
            if self.places[usize::from(place)].cells == cells {
                return Some(place);
            }
            slot = (slot + 1) % SLOTS;
        }
    }

    /// Places whose first cell is the first of `empty`.
    pub fn starting(&self, empty: u64) -> std::ops::Range<usize> {
        let cell = empty.trailing_zeros() as usize;
        self.starts[cell] as usize..self.starts[cell + 1] as usize
    }

    /// The least choices of border pins and edge vertices of a place, sorted by class: a
    /// range of [`Board::choices`].
    pub fn options(&mut self, set: &Prepared, place: u16) -> std::ops::Range<usize> {
        let Place { shape, at, options, .. } = self.places[usize::from(place)];
        if options.0 != u32::MAX {
            return options.0 as usize..options.1 as usize;
        }
        let start = self.choices.len();
        let border = self.border(self.places[usize::from(place)].cells, set.levels);
        for maker in &set.makers[as_usize(&set.shapes[shape as usize].makers)] {
            let first = self.choices.len();
            for fold in &set.folds[as_usize(&maker.folds)] {
                let (inner, edge) = self.pins(set, fold, at);
                let (taken, size) = (inner & border | edge, edge.count_ones() as u8);
                let choice = Choice { class: maker.class, size, place, taken };
                add_least(&mut self.choices, first, choice);
            }
        }
        let options = start..self.choices.len();
        self.places[usize::from(place)].options = (start as u32, options.end as u32);
        options
    }

    /// All inner pins and edge vertices of the folds that a class has on a place.
    pub fn foldings(&self, set: &Prepared, place: u16, class: u8) -> impl Iterator<Item = (u64, u64)> {
        let Place { shape, at, .. } = self.places[usize::from(place)];
        let makers = &set.makers[as_usize(&set.shapes[shape as usize].makers)];
        let folds =
            makers.iter().filter(move |m| m.class == class).flat_map(|m| &set.folds[as_usize(&m.folds)]);
        folds.map(move |fold| self.pins(set, fold, at))
    }

    /// The inner pins and the edge vertices of a fold on a place.
    #[inline]
    fn pins(&self, set: &Prepared, fold: &std::ops::Range<u32>, at: i32) -> (u64, u64) {
        let (mut inner, mut edge) = (0, 0);
        for pin in &set.ways[usize::from(self.by_column)].pins[as_usize(fold)] {
            let vertex = self.vertex_at[(at + pin.to) as usize];
            if vertex >= EDGE {
                edge |= 1 << (usize::from(vertex - EDGE) + self.inner);
            } else {
                inner |= 1 << (usize::from(vertex) * set.levels + usize::from(pin.level));
            }
        }
        (inner, edge)
    }

    /// What matters outside of a region of `cells`: the pins of inside vertices at
    /// which it has two of the four cells, and all edge vertices.
    pub fn border(&self, cells: u64, levels: usize) -> u64 {
        let each = (1u64 << levels) - 1;
        let two = self.round.iter().enumerate().filter(|(_, round)| (*round & cells).count_ones() == 2);
        two.fold(self.edges(), |border, (v, _)| border | each << (v * levels))
    }

    /// The bits of edge vertices.
    pub fn edges(&self) -> u64 {
        u64::MAX.checked_shl(self.inner as u32).unwrap_or(0)
    }

    pub fn vertices(&self, taken: u64) -> Vec<Vertex> {
        (0..self.edge.len()).filter(|v| taken >> (v + self.inner) & 1 == 1).map(|v| self.edge[v]).collect()
    }
}

/// Adds a choice to those from `first` on unless one of them is under it; those above it go.
fn add_least(choices: &mut Vec<Choice>, first: usize, new: Choice) {
    let under = |a: &Choice, b: &Choice| a.taken & !b.taken == 0;
    if choices[first..].iter().any(|old| under(old, &new)) {
        return;
    }
    let mut at = first;
    while at < choices.len() {
        if under(&new, &choices[at]) {
            choices.remove(at);
        } else {
            at += 1;
        }
    }
    choices.push(new);
}

fn as_usize(range: &std::ops::Range<u32>) -> std::ops::Range<usize> {
    range.start as usize..range.end as usize
}

fn hash(cells: u64) -> usize {
    // Multiplicative hashing with the golden ratio (Knuth, TAOCP 3, sec. 6.4; from memory).
    (cells.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 52) as usize % SLOTS
}
