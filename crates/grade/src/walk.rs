//! One person at the board, try by try, from a seed.
//!
//! A **try** is one look at one spot with the pieces in hand: a piece is laid
//! there, or nothing is found to go. The eye is drawn to a spot by its closed
//! sides and open pockets; what is laid there is drawn by how few swings its
//! fold takes, the pockets it uses, and how snugly it lies. Dead holes (cells
//! that no pieces left add up to) are seen by chance and late. Then a piece
//! beside the hole is lifted, the move is kept in mind for a while, and now and
//! then the whole board is cleared.

use crate::drop::drops_in;
use crate::mask::Mask;
use crate::sight::Sight;

/// A piece on the board.
#[derive(Clone, Copy, Debug)]
struct Down {
    place: u32,
    lay: usize,
}

/// How one person fared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Fared {
    /// Tries, the last one included.
    pub tries: u32,
    /// Whether the board was filled; else it was given up.
    pub solved: bool,
}

/// What a person sees on a board is worked out once and kept, for the same few
/// boards come again and again: so many lists of it, and where each goes.
const KEPT: usize = 512;

/// A list to draw from: sums of weights, each with what it is the weight of. What
/// it is a list of is told by its key.
#[derive(Clone, Default)]
struct Draw {
    key: u64,
    list: Vec<(f32, u32)>,
}

impl Draw {
    fn sum(&self) -> f32 {
        self.list.last().map_or(0.0, |l| l.0)
    }

    /// One of them, for a part of the sum from 0 to 1.
    fn at(&self, part: f32) -> u32 {
        let aim = part * self.sum();
        let at = self.list.partition_point(|f| f.0 <= aim).min(self.list.len() - 1);
        self.list[at].1
    }
}

/// Told what happens on the board.
pub(crate) trait Watch {
    /// Pieces are down: their places, and the number that tells them apart.
    fn laid(&mut self, places: &mut dyn Iterator<Item = u32>, count: usize, mark: u64);
    /// All but one are down, the cells left hang together, and the last does not go in.
    fn last_fails(&mut self, places: &mut dyn Iterator<Item = u32>, mark: u64);
}

/// A person at the board.
pub(crate) struct Walker<'s, 'b, const W: usize> {
    sight: &'s Sight<'b, W>,
    dice: fastrand::Rng,
    empty: Mask<W>,
    pins: Mask<W>,
    pockets: Mask<W>,
    /// Pieces in hand, by class, and together.
    left: Vec<usize>,
    in_hand: usize,
    down: Vec<Down>,
    /// Tells what is on the board, whatever the order.
    mark: u64,
    /// Failed moves, the oldest overwritten first.
    memory: Vec<u64>,
    oldest: usize,
    /// The same as `mark`, but told apart by folds, too.
    fold_mark: u64,
    /// Spots, and places at a spot, of boards seen before.
    spots: Vec<Draw>,
    places: Vec<Draw>,
    /// Positions in a row of those that fit.
    fits: Vec<u32>,
    /// Whether at the last spot looked at nothing goes, remembered or not.
    nothing_goes: bool,
}

impl<'s, 'b, const W: usize> Walker<'s, 'b, W> {
    pub fn new(sight: &'s Sight<'b, W>) -> Self {
        let mut walker = Walker {
            sight,
            dice: fastrand::Rng::with_seed(0),
            empty: Mask::NONE,
            pins: Mask::NONE,
            pockets: Mask::NONE,
            left: Vec::new(),
            in_hand: 0,
            down: Vec::new(),
            mark: 0,
            memory: Vec::new(),
            oldest: 0,
            fold_mark: 0,
            spots: vec![Draw::default(); KEPT],
            places: vec![Draw::default(); KEPT],
            fits: Vec::new(),
            nothing_goes: false,
        };
        walker.clear();
        walker
    }

    /// Sits down afresh and tries until the board is full, or `most` times.
    pub fn run(&mut self, seed: u64, most: u32, watch: &mut impl Watch) -> Fared {
        self.dice = fastrand::Rng::with_seed(seed);
        self.memory.clear();
        self.oldest = 0;
        self.clear();
        for tries in 1..=most {
            let spot = self.spot();
            if self.lay_at(spot) {
                let places = &mut self.down.iter().map(|d| d.place);
                watch.laid(places, self.down.len(), self.mark);
                if self.in_hand == 0 {
                    if self.counts() {
                        return Fared { tries, solved: true };
                    }
                    self.lift(&self.sight.board.all.clone());
                } else if let Some(hole) = self.seen_dead_hole() {
                    self.lift(&hole);
                }
            } else {
                let part = self.sight.board.part(spot, &self.empty);
                if self.in_hand == 1 && self.nothing_goes && part == self.empty {
                    watch.last_fails(&mut self.down.iter().map(|d| d.place), self.mark);
                }
                if self.dice.f32() >= self.sight.person.wanders as f32 {
                    self.lift(&part);
                }
            }
        }
        Fared { tries: most, solved: false }
    }

    fn clear(&mut self) {
        let board = self.sight.board;
        self.empty = board.all;
        self.pins = Mask::NONE;
        self.pockets = Mask::NONE;
        self.left.clear();
        self.left.extend(board.kinds.iter().map(|k| k.pieces.len()));
        self.in_hand = self.left.iter().sum();
        self.down.clear();
        self.mark = 0;
        self.fold_mark = 0;
    }

    /// The empty cell that draws the eye.
    fn spot(&mut self) -> usize {
        let part = self.dice.f32();
        let key = key_of(self.fold_mark, usize::MAX);
        let kept = &mut self.spots[key as usize % KEPT];
        if kept.key != key {
            let Sight { board, corner, pocket, .. } = self.sight;
            kept.key = key;
            kept.list.clear();
            let mut sum = 0.0;
            for cell in self.empty.iter() {
                let closed = board.walls[cell] + board.beside[cell].less(&self.empty).count();
                let open = board.at_pocket[cell].less(&self.pockets).count();
                sum += corner[closed] * pocket[open];
                kept.list.push((sum, cell as u32));
            }
        }
        kept.at(part) as usize
    }

    /// Lays what comes to mind at a spot, unless nothing does.
    fn lay_at(&mut self, spot: usize) -> bool {
        let key = key_of(self.fold_mark, spot);
        let at = key as usize % KEPT;
        if self.places[at].key != key {
            self.places[at].key = key;
            self.look(spot, at);
        }
        self.nothing_goes = self.places[at].list.is_empty();
        if self.nothing_goes {
            return false;
        }
        // What is remembered to have failed is passed over, as often as it comes up.
        for _ in 0..=self.memory.len() {
            let place = self.places[at].at(self.dice.f32());
            if !self.memory.contains(&self.moved(place)) {
                self.lay(place);
                return true;
            }
        }
        false
    }

    /// Everything that goes at a spot, by how much it comes to mind.
    fn look(&mut self, spot: usize, into: usize) {
        let Sight { board, lay, snug, scan, .. } = self.sight;
        let list = &mut self.places[into].list;
        list.clear();
        let mut sum = 0.0;
        for row in scan[spot].iter().filter(|row| self.left[row.kind] > 0) {
            // Most do not fit; which ones is settled without a branch that would be guessed wrong.
            self.fits.resize(row.cells.len().max(self.fits.len()), 0);
            let mut fitting = 0;
            for (i, cells) in row.cells.iter().enumerate() {
                self.fits[fitting] = i as u32;
                fitting += usize::from(cells.within(&self.empty));
            }
            for &i in &self.fits[..fitting] {
                let look = &row.looks[i as usize];
                let mut weight = look.weight;
                if look.pins.meets(&self.pins) {
                    let lays = board.places[look.place as usize].lays.clone();
                    weight = lays.filter(|&l| !board.lays[l].pins.meets(&self.pins)).map(|l| lay[l]).sum();
                    if weight == 0.0 {
                        continue;
                    }
                }
                let touching = look.walls + look.beside.less(&self.empty).count() as u32;
                sum += weight * snug[(look.snug + touching.min(look.sides)) as usize];
                list.push((sum, look.place));
            }
        }
    }

    /// What tells "this place, on this board" from other moves.
    fn moved(&self, place: u32) -> u64 {
        self.mark.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ self.sight.marks[place as usize]
    }

    fn lay(&mut self, p: u32) {
        let Sight { board, lay: weights, marks, .. } = self.sight;
        let place = &board.places[p as usize];
        let free = |pins: &Mask<W>, l: usize| !board.lays[l].pins.meets(pins);
        let sum: f32 = place.lays.clone().filter(|&l| free(&self.pins, l)).map(|l| weights[l]).sum();
        let mut aim = self.dice.f32() * sum;
        let mut chosen = place.lays.start;
        for l in place.lays.clone().filter(|&l| free(&self.pins, l)) {
            chosen = l;
            aim -= weights[l];
            if aim < 0.0 {
                break;
            }
        }
        let lay = &board.lays[chosen];
        self.empty = self.empty.less(&place.cells);
        self.pins = self.pins.or(&lay.pins);
        self.pockets = self.pockets.or(&lay.pockets);
        self.left[place.kind] -= 1;
        self.in_hand -= 1;
        self.mark ^= marks[p as usize];
        self.fold_mark ^= fold_mark(marks[p as usize], chosen);
        self.down.push(Down { place: p, lay: chosen });
    }

    /// A dead hole, if there is one and it is seen.
    fn seen_dead_hole(&mut self) -> Option<Mask<W>> {
        let board = self.sight.board;
        let mut left = self.empty;
        let mut sums = None;
        while let Some(cell) = left.first() {
            let part = board.part(cell, &self.empty);
            if part == self.empty {
                return None;
            }
            left = left.less(&part);
            let cells = part.count();
            let sums = *sums.get_or_insert_with(|| board.sums(&self.left));
            if cells < 128 && sums >> cells & 1 == 0 && self.dice.f32() < self.sight.sees(cells) {
                return Some(part);
            }
        }
        None
    }

    /// Lifts a piece beside a hole, late ones first, and keeps the move in mind;
    /// now and then clears the board.
    fn lift(&mut self, hole: &Mask<W>) {
        let Sight { board, person, marks, .. } = self.sight;
        let beside = |d: &Down| {
            let place = &board.places[d.place as usize];
            place.beside.meets(hole) || place.cells.meets(hole)
        };
        let Some(mut at) = self.down.iter().rposition(beside).or(self.down.len().checked_sub(1)) else {
            return;
        };
        while self.dice.f32() >= person.last_first as f32
            && let Some(earlier) = self.down[..at].iter().rposition(beside)
        {
            at = earlier;
        }
        let Down { place: p, lay } = self.down.remove(at);
        self.fold_mark ^= fold_mark(marks[p as usize], lay);
        let (place, lay) = (&board.places[p as usize], &board.lays[lay]);
        self.empty = self.empty.or(&place.cells);
        self.pins = self.pins.less(&lay.pins);
        self.pockets = self.pockets.less(&lay.pockets);
        self.left[place.kind] += 1;
        self.in_hand += 1;
        self.mark ^= marks[p as usize];
        let failed = self.moved(p);
        if self.memory.len() < person.memory {
            self.memory.push(failed);
        } else if person.memory > 0 {
            self.memory[self.oldest] = failed;
            self.oldest = (self.oldest + 1) % person.memory;
        }
        if self.dice.f32() < person.restarts as f32 {
            self.clear();
        }
    }

    /// Whether what is on the board, all pieces down, is a valid filling.
    fn counts(&self) -> bool {
        let pins: Vec<Mask<W>> = self.down.iter().map(|d| self.sight.board.lays[d.lay].pins).collect();
        !self.sight.must_drop_in || drops_in(&pins, self.sight.board.levels)
    }
}

/// What tells a place laid by one of its folds.
fn fold_mark(mark: u64, lay: usize) -> u64 {
    (mark ^ lay as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(29)
}

/// The key of a spot of a board; of all spots, for the largest number. Never 0.
fn key_of(board: u64, spot: usize) -> u64 {
    let x = (board ^ (spot as u64).wrapping_add(1) << 48).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    (x ^ x >> 31) | 1 << 63
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::board::{Board, room};
    use crate::person::Person;
    use fill::sample::small_instance;
    use lattice::{DropIn, Folding, Motion, Placed};

    struct Blind;

    impl Watch for Blind {
        fn laid(&mut self, _: &mut dyn Iterator<Item = u32>, _: usize, _: u64) {}
        fn last_fails(&mut self, _: &mut dyn Iterator<Item = u32>, _: u64) {}
    }

    /// Whoever says "done" has a folding that the lattice's own judge accepts; and
    /// everyone is done in the end where there is a filling.
    #[test]
    fn a_full_board_is_a_folding() {
        let mut seen = 0;
        for seed in 0..300 {
            let (set, outline) = small_instance(seed);
            let classes = set.classes();
            let swings: Vec<Vec<Option<u32>>> =
                classes.iter().map(|c| vec![Some(1); c.folds.len()]).collect();
            let found = fill::fill(&set, &classes, &outline, &fill::Ask::default());
            let drops = found.counts.drop_in_layouts.is_some_and(|n| n > 0u8.into());
            assert!(room(&set, &outline) <= 64);
            let board = Board::<1>::new(&set, &classes, &swings, &outline);
            let person = Person::default();
            let sight = Sight::new(&board, &person, true);
            let mut walker = Walker::new(&sight);
            let fared = walker.run(seed, 20_000, &mut Blind);
            assert_eq!(fared.solved, drops, "seed {seed}");
            if !fared.solved {
                continue;
            }
            seen += 1;
            let mut next = vec![0; classes.len()];
            let mut placed: Vec<Placed> = Vec::new();
            for down in &walker.down {
                let (kind, lay) = (board.places[down.place as usize].kind, &board.lays[down.lay]);
                let piece = board.kinds[kind].pieces[next[kind]];
                next[kind] += 1;
                let own = set.folds(piece);
                let at = own.position(&classes[kind].folds.folds()[lay.fold]).unwrap();
                let pose = own.folds()[at].pose.moved(Motion::STILL.shifted(lay.shift.0, lay.shift.1));
                placed.push(Placed { piece, pose });
            }
            placed.sort_by_key(|p| p.piece);
            let folding = Folding { placed };
            assert_eq!(folding.faults(&set, &outline), [], "seed {seed}");
            assert!(matches!(folding.drop_in(&set), DropIn::Order(_)), "seed {seed}");
        }
        assert!(seen > 60, "{seen}");
    }
}
