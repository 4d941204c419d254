//! What foldings of a region take at its border and need at the edge, layouts
//! that look alike from outside taken together.
//!
//! Hinges of different pieces never stand on one edge vertex (each needs two of
//! its cells, and the wall has one), so what pieces need of the edge adds up:
//! a footprint of a layout is one row of its first half with one of the rest.
//!
//! A row *a* that needs more of the edge than *b* and takes no less at the border
//! is left out. Nothing is lost by it:
//! - No footprint with *a* leaves one layout, or is the least of its layout:
//!   wherever *a* fits *b* does, and needs less.
//! - A layout of *a* counts against a footprint *f* of another layout only if *f*
//!   needs, on this region, at least what *a* needs; then it holds what *b* needs,
//!   and the layout with *b* in the place of *a* counts against *f*; or, where that
//!   is *f*'s own layout, *f* is not its least footprint, and a lesser one was
//!   judged before.
//!
//! Of rows with the same edge both are kept unless one is beyond doubt already:
//! the one that takes more is marked as of [`MANY`] layouts, for wherever it fits
//! the other fits too. Whether foldings drop in is not seen here: see
//! [`super::lone`].

use super::board::{Board, Choice};
use super::regions::{NEVER, Region, Regions, Stock, range};

/// The pieces of a region and their places, 16 bits each; or [`MANY`].
pub(super) type Owner = u64;
/// More than one layout.
pub(super) const MANY: Owner = u64::MAX;

/// What foldings of a region take and need.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// Pins on the border and edge vertices, as in [`Choice::taken`].
    pub taken: u64,
    /// The layout whose foldings these are.
    pub owner: Owner,
}

/// The rows of every stock of every region, within a bound.
#[derive(Default)]
pub(super) struct Rows {
    rows: Vec<Row>,
    /// By stock.
    of: Vec<(u32, u32)>,
    draft: Vec<Vec<Row>>,
}

/// Up to how many edge vertices rows are made, and what spoils them.
pub(super) struct Bound<'a> {
    pub most: u8,
    pub spoilers: &'a [u64],
    /// The bits of edge vertices.
    pub edges: u64,
}

impl Bound<'_> {
    fn spoilt(&self, taken: u64) -> bool {
        spoilt(self.spoilers, taken)
    }
}

/// Whether some spoiler is within what is taken.
#[inline]
pub(super) fn spoilt(spoilers: &[u64], taken: u64) -> bool {
    spoilers.iter().any(|s| s & !taken == 0)
}

impl Rows {
    pub fn of(&self, stock: usize) -> &[Row] {
        &self.rows[range(self.of[stock])]
    }

    /// Makes the rows that can be part of a footprint within the bound.
    pub fn make(&mut self, board: &Board, regions: &Regions, bound: &Bound) {
        self.rows.clear();
        self.of.clear();
        self.rows.push(Row { taken: 0, owner: 0 });
        self.of.push((0, 1));
        for region in &regions.regions[1..] {
            self.make_region(board, regions, bound, region);
        }
    }

    fn make_region(&mut self, board: &Board, regions: &Regions, bound: &Bound, region: &Region) {
        let stocks = range(region.stocks);
        let at = self.rows.len() as u32;
        // What a row of each stock may need.
        let room = |s: &Stock| match s.ahead {
            NEVER => None,
            ahead => bound.most.checked_sub(ahead).filter(|room| s.least <= *room),
        };
        if regions.stocks[stocks.clone()].iter().all(|s| room(s).is_none()) {
            self.of.extend(stocks.map(|_| (at, at)));
            return;
        }
        while self.draft.len() < stocks.len() {
            self.draft.push(Vec::new());
        }
        self.draft[..stocks.len()].iter_mut().for_each(Vec::clear);
        for join in &regions.joins[range(region.joins)] {
            let (from, to) = (self.of[join.from as usize], join.to as usize);
            if from.0 == from.1 {
                continue;
            }
            let Some(room) = room(&regions.stocks[to]) else { continue };
            let to = &mut self.draft[to - stocks.start];
            let run = &board.choices[range(join.run)];
            for row in &self.rows[range(from)] {
                put_before(run, row, region.border, u32::from(room), bound, to);
            }
        }
        for draft in &self.draft[..stocks.len()] {
            let from = self.rows.len() as u32;
            self.rows.extend_from_slice(draft);
            self.of.push((from, self.rows.len() as u32));
        }
    }
}

/// Puts a place in front of a row.
#[inline]
fn put_before(run: &[Choice], row: &Row, border: u64, room: u32, bound: &Bound, to: &mut Vec<Row>) {
    for choice in run.iter().filter(|c| c.taken & row.taken == 0) {
        let taken = (choice.taken | row.taken) & border;
        if (taken & bound.edges).count_ones() <= room {
            let owner = if row.owner == MANY { MANY } else { row.owner << 16 | choice.part() };
            add_row(to, Row { taken, owner }, bound);
        }
    }
}

/// Adds a row unless it is spoilt or another makes it needless; rows that it makes needless go.
#[inline]
fn add_row(rows: &mut Vec<Row>, mut new: Row, bound: &Bound) {
    let mut under = false;
    for old in rows.iter_mut() {
        if old.taken & !new.taken == 0 {
            // Wherever the new one fits, the old one does.
            let more = new.taken & !old.taken;
            if more & bound.edges != 0 || old.owner == MANY || old.owner == new.owner {
                return;
            }
            if more == 0 {
                old.owner = MANY;
                return;
            }
            new.owner = MANY;
        }
        under |= new.taken & !old.taken == 0;
    }
    if bound.spoilt(new.taken) {
        return;
    }
    if under {
        rows.retain_mut(|old| {
            let less = old.taken & !new.taken;
            if new.taken & !old.taken != 0 {
                return true;
            }
            if less & bound.edges != 0 || new.owner == MANY || old.owner == new.owner {
                return false;
            }
            old.owner = MANY;
            true
        });
    }
    rows.push(new);
}
