//! The first pieces of a layout met with the rests they leave: layouts counted,
//! and the fewest pockets that leave one.
//!
//! A pocket set leaves one layout if it holds a footprint of that layout and
//! none of another. So footprints are gone through by size: those of each size
//! are complete before they are judged, and once one is good no larger one is
//! looked at. A footprint that two layouts have spoils every set that holds it.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::prepared::{MOST_PIECES, Prepared};
use super::regions::{IMPOSSIBLE, NOTHING, RegionId, Regions, range};
use super::rows::{Bound, MANY, Owner, Rows, spoilt};

/// Most pieces in one half of a layout.
const MOST_AHEAD: usize = MOST_PIECES / 2;

/// A layout, by its first pieces and its others.
pub(super) type Whole = (Owner, Owner);
const SEVERAL: Whole = (MANY, MANY);

/// First halves and rests whose stocks add up to the set, by position in [`Regions::stocks`].
struct Pair {
    front: u32,
    rest: u32,
}

/// Buffers used again and again.
#[derive(Default)]
pub(super) struct Meet {
    paths: Vec<(u32, [u16; MOST_AHEAD])>,
    groups: Vec<(u64, RegionId)>,
    group_of: FxHashMap<u64, u32>,
    tails: FxHashMap<[u16; MOST_AHEAD], RegionId>,
    fronts: Vec<(u16, RegionId)>,
    pairs: Vec<Pair>,
    owners: FxHashMap<u64, Whole>,
    by_size: Vec<Vec<(u64, Whole)>>,
    found: Vec<(u64, Whole)>,
    spoilers: Vec<u64>,
    rows: Rows,
}

impl Meet {
    /// Counts all layouts and makes ready what [`Meet::smallest`] needs.
    pub fn layouts(&mut self, set: &Prepared, board: &mut Board, regions: &mut Regions) -> u64 {
        regions.clear(board.places.len());
        self.paths.clear();
        self.groups.clear();
        self.group_of.clear();
        self.tails.clear();
        self.pairs.clear();
        let ahead = set.pieces / 2;
        let all = (1u64 << set.area) - 1;
        self.walk(set, board, regions, all, &mut [u16::MAX; MOST_AHEAD], 0);
        self.paths.sort_unstable();
        let mut layouts = 0;
        let mut from = 0;
        while from < self.paths.len() && !regions.overfull {
            let group = self.paths[from].0;
            let to = from + self.paths[from..].iter().take_while(|p| p.0 == group).count();
            let (left, rest) = self.groups[group as usize];
            let front = self.front(set, board, regions, all & !left, from..to, ahead);
            if let Some(front) = front {
                layouts += self.meet(set, regions, front, rest);
            }
            from = to;
        }
        layouts
    }

    /// First halves by their places, in the order of first cells.
    fn walk(
        &mut self,
        set: &Prepared,
        board: &mut Board,
        regions: &mut Regions,
        empty: u64,
        path: &mut [u16; MOST_AHEAD],
        at: usize,
    ) {
        let left = set.pieces - at;
        regions.overfull |= self.paths.len() > regions.most;
        if regions.overfull {
            return;
        }
        if at == set.pieces / 2 {
            if let Some(rest) = regions.of_cells(set, board, empty, left) {
                let next = self.groups.len() as u32;
                let group = *self.group_of.entry(empty).or_insert(next);
                if group == next {
                    self.groups.push((empty, rest));
                }
                self.paths.push((group, *path));
            }
            return;
        }
        if set.areas[left] >> empty.count_ones() & 1 == 0 {
            return;
        }
        for place in board.starting(empty) {
            let own = board.places[place].cells;
            if own & !empty == 0 {
                path[at] = place as u16;
                self.walk(set, board, regions, empty & !own, path, at + 1);
            }
        }
        path[at] = u16::MAX;
    }

    /// The region of the first halves that leave the same rest.
    fn front(
        &mut self,
        set: &Prepared,
        board: &mut Board,
        regions: &mut Regions,
        cells: u64,
        paths: std::ops::Range<usize>,
        ahead: usize,
    ) -> Option<RegionId> {
        if ahead == 0 {
            return Some(NOTHING);
        }
        let mut parts = std::mem::take(&mut self.fronts);
        parts.clear();
        for i in paths {
            let path = self.paths[i].1;
            if let Some(tail) = self.tail(set, board, regions, &path[1..ahead]) {
                parts.push((path[0], tail));
            }
        }
        let front = regions.of_parts(set, board, cells, &parts);
        self.fronts = parts;
        (front != IMPOSSIBLE).then_some(front)
    }

    /// The region of some places in a row.
    fn tail(
        &mut self,
        set: &Prepared,
        board: &mut Board,
        regions: &mut Regions,
        places: &[u16],
    ) -> Option<RegionId> {
        match places {
            [] => return Some(NOTHING),
            [one] => return Some(regions.of_place(set, board, *one)),
            _ => {}
        }
        let mut key = [u16::MAX; MOST_AHEAD];
        key[..places.len()].copy_from_slice(places);
        if let Some(&known) = self.tails.get(&key) {
            return (known != IMPOSSIBLE).then_some(known);
        }
        let rest = self.tail(set, board, regions, &places[1..]);
        let cells = places.iter().fold(0, |all, &p| all | board.places[usize::from(p)].cells);
        let made = rest.map_or(IMPOSSIBLE, |rest| regions.of_parts(set, board, cells, &[(places[0], rest)]));
        self.tails.insert(key, made);
        (made != IMPOSSIBLE).then_some(made)
    }

    /// Pairs the stocks of a first half and a rest; the layouts they have together.
    fn meet(&mut self, set: &Prepared, regions: &mut Regions, front: RegionId, rest: RegionId) -> u64 {
        let mut layouts = 0;
        for a in range(regions.regions[front as usize].stocks) {
            let wanted = set.full - regions.stocks[a].stock;
            for b in range(regions.regions[rest as usize].stocks) {
                if regions.stocks[b].stock != wanted {
                    continue;
                }
                let together = regions.together(&regions.stocks[a], &regions.stocks[b]);
                if together > 0 {
                    layouts += together;
                    let (ours, theirs) = (regions.stocks[a].least, regions.stocks[b].least);
                    regions.stocks[a].ahead = regions.stocks[a].ahead.min(theirs);
                    regions.stocks[b].ahead = regions.stocks[b].ahead.min(ours);
                    self.pairs.push(Pair { front: a as u32, rest: b as u32 });
                }
            }
        }
        layouts
    }

    /// The fewest edge vertices that only one of the layouts counted last can do with:
    /// all such sets, as in [`super::board::Choice::taken`], each with its layout, in order.
    pub fn smallest(&mut self, board: &Board, regions: &mut Regions) -> Vec<(u64, Whole)> {
        regions.look_ahead();
        self.spoilers.clear();
        let least = |p: &Pair| regions.stocks[p.front as usize].least + regions.stocks[p.rest as usize].least;
        let Some(first) = self.pairs.iter().map(least).min() else { return Vec::new() };
        let edges = board.edges();
        // Mostly the first bound will do; where none is good, all must be seen.
        for most in [first.saturating_add(1), 64] {
            let bound = Bound { most, spoilers: &self.spoilers, edges };
            self.rows.make(board, regions, &bound);
            self.gather(edges);
            for size in 0..=usize::from(most.min(63)) {
                if self.by_size[size].is_empty() {
                    continue;
                }
                self.look_up(size);
                let sets = self.judge();
                if !sets.is_empty() {
                    return sets;
                }
            }
        }
        Vec::new()
    }

    /// All footprints within the bound that no spoiler is in, by size.
    fn gather(&mut self, edges: u64) {
        self.by_size.resize_with(64, Vec::new);
        self.by_size.iter_mut().for_each(Vec::clear);
        for pair in &self.pairs {
            let rests = self.rows.of(pair.rest as usize);
            for a in self.rows.of(pair.front as usize) {
                for b in rests {
                    if a.taken & b.taken != 0 {
                        continue;
                    }
                    let edge = (a.taken | b.taken) & edges;
                    if !spoilt(&self.spoilers, edge) {
                        let layout =
                            if a.owner == MANY || b.owner == MANY { SEVERAL } else { (a.owner, b.owner) };
                        self.by_size[edge.count_ones() as usize].push((edge, layout));
                    }
                }
            }
        }
    }

    /// The footprints of one size, each once, that no spoiler of a smaller one is in.
    fn look_up(&mut self, size: usize) {
        self.owners.clear();
        for &(edge, layout) in &self.by_size[size] {
            let owner = self.owners.entry(edge).or_insert(layout);
            if *owner != layout {
                *owner = SEVERAL;
            }
        }
        self.found.clear();
        let kept = self.owners.iter().filter(|(f, _)| !spoilt(&self.spoilers, **f));
        self.found.extend(kept.map(|(f, o)| (*f, *o)));
        self.found.sort_unstable();
    }

    /// Which of the footprints found leave one layout; the others spoil what holds them.
    fn judge(&mut self) -> Vec<(u64, Whole)> {
        let mut good = Vec::new();
        for &(edge, layout) in &self.found {
            if layout == SEVERAL {
                self.spoilers.push(edge);
            } else {
                good.push((edge, layout));
            }
        }
        good
    }
}
