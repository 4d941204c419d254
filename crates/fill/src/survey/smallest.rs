//! The fewest pockets that leave one layout, from halves.
//!
//! A pocket set leaves one layout if it holds a footprint of that layout and
//! none of another. So footprints are gone through by size: those of each size
//! are complete before they are judged, and once one is good no larger one is
//! looked at. A footprint that two layouts have spoils every set that holds it.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::halves::Halves;
use super::join::{Joined, drops_in};
use super::prepared::Prepared;

const MANY: u64 = u64::MAX;

/// The smallest sets that leave one layout.
pub(super) struct Smallest {
    /// The first of them, as edge vertices.
    pub edge: u64,
    pub same_size: u64,
}

/// A footprint's layout, or [`MANY`]; and whether that layout drops in with it.
#[derive(Clone, Copy)]
struct Owner {
    layout: u64,
    drops: bool,
}

/// Buffers used again and again.
#[derive(Default)]
pub(super) struct Footprints {
    owners: FxHashMap<u64, Owner>,
    /// Of each size in turn.
    found: Vec<(u64, Owner)>,
    /// Footprints that spoil what holds them.
    spoilers: Vec<u64>,
    /// Footprints of one layout that does not drop in with them.
    blocked: Vec<(u64, u64)>,
}

impl Footprints {
    /// Searches an outline without turns.
    pub fn smallest(
        &mut self,
        set: &Prepared,
        board: &Board,
        joined: &Joined,
        rests: &Halves,
        interlocked: bool,
    ) -> Option<Smallest> {
        self.spoilers.clear();
        self.blocked.clear();
        let sizes = joined.pairs.iter().fold(0, |all, p| all | p.sizes);
        for size in (0..64u8).filter(|s| sizes >> s & 1 == 1) {
            self.gather(set, board, joined, rests, size);
            if std::env::var("ST").is_ok() { eprintln!("  size {size} found {} many {} spoilers {}", self.found.len(), self.found.iter().filter(|f| f.1.layout==MANY).count(), self.spoilers.len()); }
            if let Some(found) = self.judge(interlocked) {
                return Some(found);
            }
        }
        None
    }

    /// All footprints of one size that no spoiler of a smaller one is in, with their layouts.
    fn gather(&mut self, set: &Prepared, board: &Board, joined: &Joined, rests: &Halves, size: u8) {
        self.owners.clear();
        for pair in joined.pairs.iter().filter(|p| p.sizes >> size & 1 == 1) {
            for front in pair.front.0..pair.front.1 {
                for a in joined.fronts.states_of(&joined.fronts.halves[front as usize]) {
                    if a.size > size || self.spoilt(a.edge) {
                        continue;
                    }
                    for rest in pair.rest.0..pair.rest.1 {
                        for b in rests.states_of(&rests.halves[rest as usize]) {
                            if a.size + b.size != size || a.pins & b.pins != 0 {
                                continue;
                            }
                            let layout = u64::from(front) << 32 | u64::from(rest);
                            let owner =
                                self.owners.entry(a.edge | b.edge).or_insert(Owner { layout, drops: false });
                            if owner.layout != layout {
                                owner.layout = MANY;
                            } else {
                                owner.drops = owner.drops || drops_in(board, set, a, b);
                            }
                        }
                    }
                }
            }
        }
        self.found.clear();
        self.found.extend(self.owners.iter().map(|(f, o)| (*f, *o)));
        self.found.sort_unstable_by_key(|(f, _)| *f);
    }

    fn spoilt(&self, edge: u64) -> bool {
        self.spoilers.iter().any(|s| s & !edge == 0)
    }

    /// Which of the footprints found are good; what the others spoil.
    fn judge(&mut self, interlocked: bool) -> Option<Smallest> {
        let mut best: Option<Smallest> = None;
        let already = self.spoilers.len();
        let mut blocked = Vec::new();
        for &(edge, owner) in &self.found {
            if self.spoilers[..already].iter().any(|s| s & !edge == 0) {
                continue;
            }
            let other = |&&(f, layout): &&(u64, u64)| f & !edge == 0 && layout != owner.layout;
            if owner.layout == MANY || self.blocked.iter().find(other).is_some() {
                self.spoilers.push(edge);
            } else if owner.drops || interlocked {
                match &mut best {
                    Some(best) => best.same_size += 1,
                    None => best = Some(Smallest { edge, same_size: 1 }),
                }
            } else {
                blocked.push((edge, owner.layout));
            }
        }
        self.blocked.append(&mut blocked);
        best
    }
}
