//! First halves joined with the rests they leave: layouts counted.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::halves::{Half, Halves, MOST_IN_HALF, Maker, State, join_place, vertices};
use super::prepared::Prepared;

/// First halves and rests whose stocks add up to the set: ranges of
/// [`Joined::fronts`] and of the halves of the rest's number of pieces.
pub(super) struct Pair {
    pub front: (u32, u32),
    pub rest: (u32, u32),
    /// How many edge vertices their layouts' foldings can need, as bits.
    pub sizes: u64,
}

/// All layouts of an outline, as pairs of halves.
#[derive(Default)]
pub(super) struct Joined {
    pub fronts: Halves,
    pub pairs: Vec<Pair>,
    pub layouts: u64,
    pub drop_in: u64,
    pub paths: Vec<(u32, [u16; MOST_IN_HALF])>,
    pub groups: Vec<(u32, u32)>,
    group_of: FxHashMap<u64, u32>,
    scratch: [Halves; 2],
}

/// A layout as its two halves.
pub(super) struct Layout<'a> {
    pub front: &'a Half,
    pub rest: &'a Half,
}

impl Joined {
    fn clear(&mut self) {
        self.fronts.clear();
        self.pairs.clear();
        (self.layouts, self.drop_in) = (0, 0);
        self.paths.clear();
        self.groups.clear();
        self.group_of.clear();
    }

    /// Finds and counts all layouts. `each` is told of every one.
    pub fn run(&mut self, maker: &mut Maker, mut each: impl FnMut(&Board, Layout, &Joined2)) {
        self.clear();
        let pieces = maker.set.pieces;
        let ahead = pieces / 2;
        let all = if maker.set.area == 64 { u64::MAX } else { (1u64 << maker.set.area) - 1 };
        self.walk(maker, all, &mut [u16::MAX; MOST_IN_HALF], 0, ahead);
        self.paths.sort_unstable();
        let mut from = 0;
        while from < self.paths.len() && !maker.overfull {
            let group = self.paths[from].0;
            let to = from + self.paths[from..].iter().take_while(|p| p.0 == group).count();
            self.join_group(maker, from..to, ahead);
            from = to;
        }
        let rests = &maker.made[pieces - ahead - 1];
        let mut count = Counting { board: maker.board, set: maker.set, layouts: 0, drop_in: 0 };
        let both = Joined2 { fronts: &self.fronts, rests };
        for pair in &mut self.pairs {
            pair.sizes = count.pair(&both, pair, &mut each);
        }
        (self.layouts, self.drop_in) = (count.layouts, count.drop_in);
    }

    /// First halves by their places, in the order of first cells.
    fn walk(
        &mut self,
        maker: &mut Maker,
        empty: u64,
        path: &mut [u16; MOST_IN_HALF],
        at: usize,
        ahead: usize,
    ) {
        let left = maker.set.pieces - at;
        if at == ahead {
            let rest = maker.covering(empty, left);
            if rest.0 < rest.1 {
                let next = self.groups.len() as u32;
                let group = *self.group_of.entry(empty).or_insert(next);
                if group == next {
                    self.groups.push(rest);
                }
                self.paths.push((group, *path));
            }
            return;
        }
        if maker.set.areas[left] >> empty.count_ones() & 1 == 0 {
            return;
        }
        for place in maker.board.starting(empty) {
            let own = maker.board.places[place].cells;
            if own & !empty == 0 {
                path[at] = place as u16;
                self.walk(maker, empty & !own, path, at + 1, ahead);
            }
        }
        path[at] = u16::MAX;
    }

    /// Makes the first halves of one group and pairs them with its rests by stock.
    fn join_group(&mut self, maker: &mut Maker, paths: std::ops::Range<usize>, ahead: usize) {
        let start = self.fronts.halves.len();
        for (_, path) in &self.paths[paths.clone()] {
            make_front(maker, &path[..ahead], &mut self.fronts, &mut self.scratch);
        }
        self.fronts.halves[start..].sort_unstable_by_key(|h| h.stock);
        let rest = self.groups[self.paths[paths.start].0 as usize];
        let rests = &maker.made[maker.set.pieces - ahead - 1];
        // Fronts by rising stock meet rests by falling stock.
        let (mut front, mut end) = (start, rest.1);
        while front < self.fronts.halves.len() && end > rest.0 {
            let stock = self.fronts.halves[front].stock;
            let wanted = maker.set.full - stock;
            let have = rests.halves[end as usize - 1].stock;
            if have > wanted {
                end -= 1;
                continue;
            }
            let to = front + self.fronts.halves[front..].iter().take_while(|h| h.stock == stock).count();
            if have == wanted {
                let mut first = end;
                while first > rest.0 && rests.halves[first as usize - 1].stock == wanted {
                    first -= 1;
                }
                self.pairs.push(Pair { front: (front as u32, to as u32), rest: (first, end), sizes: 0 });
                end = first;
            }
            front = to;
        }
    }
}

/// Both sides of the pairs.
pub(super) struct Joined2<'a> {
    pub fronts: &'a Halves,
    pub rests: &'a Halves,
}

fn make_front(maker: &mut Maker, path: &[u16], fronts: &mut Halves, scratch: &mut [Halves; 2]) {
    let Some((&last, before)) = path.split_last() else {
        // A set of one piece: nothing comes before the rest.
        let choices = [u32::MAX; MOST_IN_HALF];
        let at = fronts.states.len() as u32;
        fronts.states.push(State { pins: 0, edge: 0, size: 0, tied: false, choices });
        fronts.halves.push(Half { stock: 0, states: (at, at + 1) });
        return;
    };
    let cells = maker.board.places[usize::from(last)].cells;
    let single = maker.covering(cells, 1);
    let [a, b] = scratch;
    a.clear();
    for half in &maker.made[0].halves[single.0 as usize..single.1 as usize] {
        copy(&maker.made[0], half, if before.is_empty() { fronts } else { a });
    }
    for (n, &place) in before.iter().rev().enumerate() {
        let options = maker.board.options(maker.set, place);
        let all = (0, a.halves.len() as u32);
        if n + 1 == before.len() {
            join_place(maker.set, maker.board, options, a, all, fronts);
        } else {
            b.clear();
            join_place(maker.set, maker.board, options, a, all, b);
            std::mem::swap(a, b);
        }
    }
}

fn copy(from: &Halves, half: &Half, to: &mut Halves) {
    let first = to.states.len() as u32;
    to.states.extend_from_slice(from.states_of(half));
    to.halves.push(Half { stock: half.stock, states: (first, to.states.len() as u32) });
}

struct Counting<'a> {
    board: &'a Board,
    set: &'a Prepared,
    layouts: u64,
    drop_in: u64,
}

impl Counting<'_> {
    /// Counts the layouts of a pair; how many edge vertices they can need, as bits.
    fn pair(&mut self, both: &Joined2, pair: &Pair, each: &mut impl FnMut(&Board, Layout, &Joined2)) -> u64 {
        let mut sizes = 0;
        let rests = &both.rests.halves[pair.rest.0 as usize..pair.rest.1 as usize];
        for front in &both.fronts.halves[pair.front.0 as usize..pair.front.1 as usize] {
            for rest in rests {
                let (mut fits, mut drops) = (false, false);
                for a in both.fronts.states_of(front) {
                    for b in both.rests.states_of(rest) {
                        if a.pins & b.pins == 0 {
                            fits = true;
                            sizes |= 1 << (a.size + b.size);
                            drops = drops || drops_in(self.board, self.set, a, b);
                        }
                    }
                }
                if fits {
                    self.layouts += 1;
                    self.drop_in += u64::from(drops);
                    each(self.board, Layout { front, rest }, both);
                }
            }
        }
        sizes
    }
}

/// Whether two states that fit make a folding that drops in.
#[inline]
pub(super) fn drops_in(board: &Board, set: &Prepared, a: &State, b: &State) -> bool {
    let shared = vertices(a.pins, set.levels) & vertices(b.pins, set.levels);
    let tied = a.tied || b.tied;
    // One vertex alone makes no ring.
    if !tied && shared & shared.wrapping_sub(1) == 0 {
        return true;
    }
    set.levels == 1 || in_order(board, set, a, b)
}

/// Whether the pieces of both states can be lowered one after another.
#[cold]
fn in_order(board: &Board, set: &Prepared, a: &State, b: &State) -> bool {
    let all = a.choices.iter().chain(&b.choices).filter(|&&c| c != u32::MAX);
    let pins: Vec<u64> = all.map(|&c| board.choices[c as usize].pins).collect();
    let mut after = [0u32; 2 * MOST_IN_HALF];
    for i in 0..pins.len() {
        for j in 0..pins.len() {
            if i != j && below(pins[i], pins[j], set.levels) {
                after[i] |= 1 << j;
            }
        }
    }
    let mut waiting = (1u32 << pins.len()) - 1;
    loop {
        let free = (0..pins.len())
            .filter(|&i| waiting >> i & 1 == 1)
            .find(|&i| (0..pins.len()).all(|j| waiting >> j & 1 == 0 || after[j] >> i & 1 == 0));
        match free {
            Some(i) => waiting &= !(1 << i),
            None => return waiting == 0,
        }
    }
}

/// Whether one of the first pins stands below one of the second on the same vertex.
fn below(low: u64, high: u64, levels: usize) -> bool {
    (1..levels).any(|up| {
        let lifted: u64 = (0..64 / levels * levels)
            .filter(|bit| low >> bit & 1 == 1 && bit % levels + up < levels)
            .fold(0, |lifted, bit| lifted | 1 << (bit + up));
        lifted & high != 0
    })
}
