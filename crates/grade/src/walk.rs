//! One person at the board, try by try, from a seed.
//!
//! A **try** is one look at one spot with the pieces in hand: a piece is laid
//! there, or nothing is found to go. The eye is drawn to a spot by its closed
//! sides and open pockets; what is laid there is drawn by how few swings its
//! fold takes, the pockets it uses, and how snugly it lies. Dead holes (cells
//! that no pieces left add up to) are seen by chance and late. Then a piece
//! beside the hole is lifted, the move is kept in mind for a while, and now and
//! then the whole board is cleared.

use lattice::DropIn;
use lattice::drop_in::order;

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
    found: Vec<(f32, u32)>,
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
            found: Vec::new(),
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
                if self.in_hand == 1 && self.found.is_empty() && part == self.empty {
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
    }

    /// The empty cell that draws the eye.
    fn spot(&mut self) -> usize {
        let Sight { board, corner, pocket, .. } = self.sight;
        self.found.clear();
        let mut sum = 0.0;
        for cell in self.empty.iter() {
            let closed = board.walls[cell] + board.beside[cell].less(&self.empty).count();
            let open = board.at_pocket[cell].less(&self.pockets).count();
            sum += corner[closed] * pocket[open];
            self.found.push((sum, cell as u32));
        }
        let aim = self.dice.f32() * sum;
        let at = self.found.partition_point(|f| f.0 <= aim).min(self.found.len() - 1);
        self.found[at].1 as usize
    }

    /// Lays what comes to mind at a spot, unless nothing does. Afterwards `found`
    /// is empty only if nothing goes there at all.
    fn lay_at(&mut self, spot: usize) -> bool {
        let Sight { board, lay, snug, scan, .. } = self.sight;
        self.found.clear();
        let mut sum = 0.0;
        for look in &scan[spot] {
            if !look.cells.within(&self.empty) || self.left[usize::from(look.kind)] == 0 {
                continue;
            }
            let mut weight = look.weight;
            if look.pins.meets(&self.pins) {
                let lays = board.places[look.place as usize].lays.clone();
                weight = lays.filter(|&l| !board.lays[l].pins.meets(&self.pins)).map(|l| lay[l]).sum();
                if weight == 0.0 {
                    continue;
                }
            }
            let touching = u32::from(look.walls) + look.beside.less(&self.empty).count() as u32;
            sum += weight * snug[(look.snug + touching.min(look.sides)) as usize];
            self.found.push((sum, look.place));
        }
        // What is remembered to have failed is passed over, as often as it comes up.
        for _ in 0..=self.memory.len() {
            if self.found.is_empty() {
                return false;
            }
            let aim = self.dice.f32() * sum;
            let at = self.found.partition_point(|f| f.0 <= aim).min(self.found.len() - 1);
            let place = self.found[at].1;
            if !self.memory.contains(&self.moved(place)) {
                self.lay(place);
                return true;
            }
        }
        false
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
            let sums = *sums.get_or_insert_with(|| sums_of(board, &self.left));
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

/// Whether pieces with these inner pins drop in.
pub(crate) fn drops_in<const W: usize>(pins: &[Mask<W>], levels: usize) -> bool {
    let mut all: Vec<(usize, usize)> =
        pins.iter().enumerate().flat_map(|(i, pins)| pins.iter().map(move |pin| (pin, i))).collect();
    all.sort_unstable();
    let before: Vec<(usize, usize)> = all
        .chunk_by(|a, b| a.0 / levels == b.0 / levels)
        .flat_map(|stack| stack.windows(2).map(|w| (w[0].1, w[1].1)))
        .filter(|(low, high)| low != high)
        .collect();
    before.is_empty() || matches!(order(pins.len(), &before), DropIn::Order(_))
}

/// The sizes that some of the pieces left, with some of the spare cells, add up
/// to: bit n for n cells.
pub(crate) fn sums_of<const W: usize>(board: &crate::board::Board<W>, left: &[usize]) -> u128 {
    let mut sums: u128 = (1 << (board.spare.min(126) + 1)) - 1;
    for (kind, &count) in board.kinds.iter().zip(left) {
        for _ in 0..count {
            sums |= sums.checked_shl(kind.size as u32).unwrap_or(0);
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::board::{Board, room};
    use crate::person::Person;
    use fill::sample::small_instance;
    use lattice::{Folding, Motion, Placed};

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
