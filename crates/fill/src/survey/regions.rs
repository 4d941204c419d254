//! The parts of an outline that pieces can cover, and how many layouts each has.
//!
//! Two parts of an outline concern each other only through the inside vertices
//! on their border, at which each has two cells: there both can want to have a
//! pin. Layouts of a region that can do with the same pins there are counted
//! together, by what they can do with: a [`Tally`]. The counts of a region are
//! made from those of the smaller ones that its first piece can leave.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::prepared::{MOST_PIECES, Prepared};

/// A region by its number; those it is made from have lower ones.
pub(super) type RegionId = u32;
/// The region without cells.
pub(super) const NOTHING: RegionId = 0;
pub(super) const IMPOSSIBLE: RegionId = u32::MAX;
/// Most pieces in a region that is not a first half.
const MOST_IN_REGION: usize = MOST_PIECES - MOST_PIECES / 2;
/// Edge vertices of what never comes up.
pub(super) const NEVER: u8 = u8::MAX;

/// A region.
#[derive(Clone, Copy)]
pub(super) struct Region {
    /// The pins of its border.
    pub border: u64,
    /// Its stocks: a range of [`Regions::stocks`].
    pub stocks: (u32, u32),
    /// How the layouts of its stocks are made: a range of [`Regions::joins`].
    pub joins: (u32, u32),
}

/// The layouts of a stock with a piece of one class put in front.
#[derive(Clone, Copy)]
pub(super) struct Join {
    /// The stock, by position in [`Regions::stocks`].
    pub from: u32,
    /// The stock that it becomes.
    pub to: u32,
    /// The choices of the piece: a range of [`Board::choices`].
    pub run: (u32, u32),
    /// The least number of edge vertices they need.
    pub needs: u8,
}

/// One stock of pieces on a region.
#[derive(Clone, Copy)]
pub(super) struct Stock {
    /// The pieces used, as a number.
    pub stock: u32,
    tallies: (u32, u32),
    /// No fewer edge vertices are needed by any layout.
    pub least: u8,
    /// No fewer edge vertices are needed outside of the region, where it comes up.
    pub ahead: u8,
}

/// How many layouts can do with the same pins on the border.
#[derive(Clone, Copy)]
struct Tally {
    /// The least sets of pins: a range of `ways`.
    ways: (u32, u32),
    layouts: u64,
}

/// All regions of one outline.
#[derive(Default)]
pub(super) struct Regions {
    pub regions: Vec<Region>,
    pub joins: Vec<Join>,
    pub stocks: Vec<Stock>,
    tallies: Vec<Tally>,
    ways: Vec<u64>,
    single: Vec<RegionId>,
    /// By number of pieces, then by cells.
    known: [FxHashMap<u64, RegionId>; MOST_IN_REGION + 1],
    draft: Draft,
    spare: Vec<Vec<(u16, RegionId)>>,
    /// Joins that an outline may have, by which memory is bounded: three million are about
    /// 300 MB with all that hangs on them.
    pub most: usize,
    /// There are too many: what was found is not whole.
    pub overfull: bool,
}

/// A region's stocks while they are counted.
#[derive(Default)]
struct Draft {
    open: Vec<Open>,
    used: usize,
    ways: Vec<u64>,
}

#[derive(Default)]
struct Open {
    stock: u32,
    least: u8,
    /// Those that can do with one set of pins alone.
    single: Vec<(u64, u64)>,
    tallies: Vec<(Vec<u64>, u64)>,
    used: usize,
}

pub(super) fn range((from, to): (u32, u32)) -> std::ops::Range<usize> {
    from as usize..to as usize
}

impl Regions {
    pub fn clear(&mut self, places: usize) {
        self.regions.clear();
        self.joins.clear();
        self.stocks.clear();
        self.tallies.clear();
        self.ways.clear();
        self.known.iter_mut().for_each(FxHashMap::clear);
        self.overfull = false;
        self.single.clear();
        self.single.resize(places, IMPOSSIBLE);
        self.ways.push(0);
        self.tallies.push(Tally { ways: (0, 1), layouts: 1 });
        self.stocks.push(Stock { stock: 0, tallies: (0, 1), least: 0, ahead: NEVER });
        self.regions.push(Region { border: 0, stocks: (0, 1), joins: (0, 0) });
    }

    /// The region of one place.
    pub fn of_place(&mut self, set: &Prepared, board: &mut Board, place: u16) -> RegionId {
        if self.single[usize::from(place)] == IMPOSSIBLE {
            let cells = board.places[usize::from(place)].cells;
            self.single[usize::from(place)] = self.of_parts(set, board, cells, &[(place, NOTHING)]);
        }
        self.single[usize::from(place)]
    }

    /// The region of just `cells` by `pieces` pieces, if they can cover it.
    pub fn of_cells(
        &mut self,
        set: &Prepared,
        board: &mut Board,
        cells: u64,
        pieces: usize,
    ) -> Option<RegionId> {
        if set.areas[pieces] >> cells.count_ones() & 1 == 0 {
            return None;
        }
        if pieces == 1 {
            return board.place_of(cells).map(|place| self.of_place(set, board, place));
        }
        if let Some(&known) = self.known[pieces].get(&cells) {
            return (known != IMPOSSIBLE).then_some(known);
        }
        self.overfull |= self.joins.len() > self.most;
        if self.overfull {
            return None;
        }
        let mut parts = self.spare.pop().unwrap_or_default();
        parts.clear();
        for place in board.starting(cells) {
            let own = board.places[place].cells;
            if own & !cells == 0
                && let Some(rest) = self.of_cells(set, board, cells & !own, pieces - 1)
            {
                parts.push((place as u16, rest));
            }
        }
        let found = if parts.is_empty() { IMPOSSIBLE } else { self.of_parts(set, board, cells, &parts) };
        self.spare.push(parts);
        self.known[pieces].insert(cells, found);
        (found != IMPOSSIBLE).then_some(found)
    }

    /// A region made of parts; impossible if no stock covers it.
    pub fn of_parts(
        &mut self,
        set: &Prepared,
        board: &mut Board,
        cells: u64,
        parts: &[(u16, RegionId)],
    ) -> RegionId {
        let border = board.border(cells, set.levels);
        let pins = !board.edges();
        let mut draft = std::mem::take(&mut self.draft);
        draft.used = 0;
        let first_join = self.joins.len();
        for &(place, rest) in parts {
            let options = board.options(set, place);
            let mut start = options.start as u32;
            for run in board.choices[options].chunk_by(|a, b| a.class == b.class) {
                let class = run[0].class;
                let unit = set.kinds[usize::from(class)].unit;
                let needs = run.iter().map(|c| c.size).min().unwrap_or(0);
                let own = (start, start + run.len() as u32);
                start = own.1;
                for from in range(self.regions[rest as usize].stocks) {
                    let stock = self.stocks[from];
                    if !set.may(stock.stock, class) {
                        continue;
                    }
                    let mut to = None;
                    let mut target = |draft: &mut Draft| {
                        *to.get_or_insert_with(|| draft.stock(stock.stock + unit, needs + stock.least))
                    };
                    for tally in &self.tallies[range(stock.tallies)] {
                        // Mostly there is one choice and one way.
                        if let ([choice], (from, to)) = (run, tally.ways)
                            && from + 1 == to
                        {
                            let taken = self.ways[from as usize];
                            if choice.taken & taken == 0 {
                                let at = target(&mut draft);
                                draft.open[at]
                                    .add_single((choice.taken & pins | taken) & border, tally.layouts);
                            }
                            continue;
                        }
                        draft.ways.clear();
                        for &taken in &self.ways[range(tally.ways)] {
                            for choice in run.iter().filter(|c| c.taken & taken == 0) {
                                add_way(&mut draft.ways, (choice.taken & pins | taken) & border);
                            }
                        }
                        if !draft.ways.is_empty() {
                            let at = target(&mut draft);
                            draft.open[at].add(&mut draft.ways, tally.layouts);
                        }
                    }
                    if let Some(to) = to {
                        self.joins.push(Join { from: from as u32, to: to as u32, run: own, needs });
                    }
                }
            }
        }
        let region = self.finish(&mut draft, border, first_join);
        self.draft = draft;
        region
    }

    fn finish(&mut self, draft: &mut Draft, border: u64, first_join: usize) -> RegionId {
        if draft.used == 0 {
            return IMPOSSIBLE;
        }
        let first = self.stocks.len() as u32;
        for open in &draft.open[..draft.used] {
            let tally = self.tallies.len() as u32;
            for &(way, layouts) in &open.single {
                let at = self.ways.len() as u32;
                self.ways.push(way);
                self.tallies.push(Tally { ways: (at, at + 1), layouts });
            }
            for (ways, layouts) in &open.tallies[..open.used] {
                let way = self.ways.len() as u32;
                self.ways.extend_from_slice(ways);
                self.tallies.push(Tally { ways: (way, self.ways.len() as u32), layouts: *layouts });
            }
            let tallies = (tally, self.tallies.len() as u32);
            self.stocks.push(Stock { stock: open.stock, tallies, least: open.least, ahead: NEVER });
        }
        self.joins[first_join..].iter_mut().for_each(|join| join.to += first);
        let stocks = (first, self.stocks.len() as u32);
        let joins = (first_join as u32, self.joins.len() as u32);
        self.regions.push(Region { border, stocks, joins });
        self.regions.len() as u32 - 1
    }

    /// The layouts of two stocks together.
    pub fn together(&self, a: &Stock, b: &Stock) -> u64 {
        let mut layouts = 0;
        for ours in &self.tallies[range(a.tallies)] {
            for theirs in &self.tallies[range(b.tallies)] {
                let theirs_ways = &self.ways[range(theirs.ways)];
                if self.ways[range(ours.ways)].iter().any(|x| theirs_ways.iter().any(|y| x & y == 0)) {
                    layouts += ours.layouts * theirs.layouts;
                }
            }
        }
        layouts
    }

    /// Tells every stock what at least comes with it, from those that were made last.
    pub fn look_ahead(&mut self) {
        for join in self.joins.iter().rev() {
            let above = self.stocks[join.to as usize].ahead;
            if above != NEVER {
                let below = &mut self.stocks[join.from as usize].ahead;
                *below = (*below).min(above + join.needs);
            }
        }
    }
}

impl Draft {
    fn stock(&mut self, stock: u32, least: u8) -> usize {
        let at = match self.open[..self.used].iter().position(|o| o.stock == stock) {
            Some(at) => at,
            None => {
                if self.used == self.open.len() {
                    self.open.push(Open::default());
                }
                let open = &mut self.open[self.used];
                (open.stock, open.least, open.used) = (stock, NEVER, 0);
                open.single.clear();
                self.used += 1;
                self.used - 1
            }
        };
        self.open[at].least = self.open[at].least.min(least);
        at
    }
}

impl Open {
    #[inline]
    fn add_single(&mut self, way: u64, layouts: u64) {
        match self.single.iter_mut().find(|t| t.0 == way) {
            Some(tally) => tally.1 += layouts,
            None => self.single.push((way, layouts)),
        }
    }

    #[inline]
    fn add(&mut self, ways: &mut [u64], layouts: u64) {
        if let [way] = ways {
            self.add_single(*way, layouts);
            return;
        }
        ways.sort_unstable();
        if let Some(tally) = self.tallies[..self.used].iter_mut().find(|t| t.0 == *ways) {
            tally.1 += layouts;
            return;
        }
        if self.used == self.tallies.len() {
            self.tallies.push((Vec::new(), 0));
        }
        let tally = &mut self.tallies[self.used];
        tally.0.clear();
        tally.0.extend_from_slice(ways);
        tally.1 = layouts;
        self.used += 1;
    }
}

/// Keeps the least sets of pins.
#[inline]
fn add_way(ways: &mut Vec<u64>, new: u64) {
    if ways.iter().any(|old| old & !new == 0) {
        return;
    }
    ways.retain(|old| new & !old != 0);
    ways.push(new);
}
