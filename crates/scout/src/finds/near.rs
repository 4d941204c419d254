//! Every outline that differs from one by a few moved cells.
//!
//! To move a cell is to take it away and to add another where there was none.
//! What is left must hang together. All such outlines are given, each once:
//! those that are turns of one another, or of the start, are one. The cells
//! that are added are grown from what is left, each set in one way only
//! (D. H. Redelmeier, "Counting polyominoes: yet another attack", 1981), so
//! nothing is found twice by moving in another order.

use lattice::{Cell, Motion, Turn};
use rustc_hash::FxHashSet;

use super::shape::steps;

/// An outline near another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Nearby {
    /// Its cells, sorted, where they lie on the start.
    pub cells: Vec<Cell>,
    /// The cells of the start that are not in it, sorted.
    pub taken: Vec<Cell>,
    /// Its cells that are not in the start, sorted.
    pub added: Vec<Cell>,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NearAsk {
    /// Cells to move at most.
    pub moves: usize,
    /// Cells hang together across corners too, not by whole sides alone.
    pub corners: bool,
    /// Mirror images are one (for sets whose pieces may be turned over).
    pub mirrored: bool,
    /// Of outlines with three or more moved cells, give at most so many. Those
    /// with one and two are always all given.
    pub most_far: usize,
}

/// Up to this many moved cells nothing is left out.
pub const ALWAYS_ALL: usize = 2;

/// The outlines near `start`, fewest moves first; and whether these are all.
/// `stop` is asked now and then whether to end early.
pub fn near(start: &[Cell], ask: &NearAsk, stop: &dyn Fn() -> bool) -> (Vec<Nearby>, bool) {
    let mut moving = Moving::new(start, ask, stop);
    for moves in 1..=ask.moves.min(start.len().saturating_sub(1)) {
        moving.most = if moves > ALWAYS_ALL { moving.found.len() + ask.most_far } else { usize::MAX };
        moving.take(moves, 0, &mut Vec::new());
    }
    (moving.found, moving.all)
}

/// What a square of the ground is to an outline in the making.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Square {
    Free,
    /// A cell of the start that stands, or one that was added.
    Cell,
    /// A cell of the start that was taken away.
    Taken,
}

struct Moving<'a> {
    start: &'a [Cell],
    ask: &'a NearAsk,
    stop: &'a dyn Fn() -> bool,
    /// The start with room for all moves round it, row by row.
    ground: Vec<Square>,
    wide: usize,
    low: Cell,
    /// Index steps to the squares that a cell hangs together with.
    steps: Vec<isize>,
    seen: FxHashSet<Vec<(i32, i32)>>,
    found: Vec<Nearby>,
    most: usize,
    all: bool,
    /// Squares reached so far, while it is seen whether an outline hangs together.
    reached: Vec<u32>,
    round: u32,
}

impl<'a> Moving<'a> {
    fn new(start: &'a [Cell], ask: &'a NearAsk, stop: &'a dyn Fn() -> bool) -> Self {
        let room = ask.moves as i32 + 1;
        let least = |of: fn(&Cell) -> i32| start.iter().map(of).min().unwrap_or(0);
        let most = |of: fn(&Cell) -> i32| start.iter().map(of).max().unwrap_or(0);
        let low = Cell::new(least(|c| c.x) - room, least(|c| c.y) - room);
        let wide = (most(|c| c.x) + room + 1 - low.x) as usize;
        let high = (most(|c| c.y) + room + 1 - low.y) as usize;
        let mut moving = Moving {
            start,
            ask,
            stop,
            ground: vec![Square::Free; wide * high],
            wide,
            low,
            steps: steps(ask.corners)
                .iter()
                .map(|&(dx, dy)| dx as isize + dy as isize * wide as isize)
                .collect(),
            seen: FxHashSet::default(),
            found: Vec::new(),
            most: usize::MAX,
            all: true,
            reached: vec![0; wide * high],
            round: 0,
        };
        for &cell in start {
            let at = moving.at(cell);
            moving.ground[at] = Square::Cell;
        }
        moving.seen.insert(moving.form(start));
        moving
    }

    fn at(&self, cell: Cell) -> usize {
        (cell.x - self.low.x) as usize + (cell.y - self.low.y) as usize * self.wide
    }

    fn cell(&self, at: usize) -> Cell {
        self.low.shifted((at % self.wide) as i32, (at / self.wide) as i32)
    }

    fn beside(&self, at: usize) -> impl Iterator<Item = usize> + use<> {
        let all: Vec<usize> = self.steps.iter().map(|step| at.wrapping_add_signed(*step)).collect();
        all.into_iter()
    }

    /// Takes away `moves` cells from the start's cell `from` on, then adds as many.
    fn take(&mut self, moves: usize, from: usize, taken: &mut Vec<usize>) {
        if taken.len() == moves {
            self.all &= !(self.stop)();
            let mut untried = Vec::new();
            let mut marked = vec![false; self.ground.len()];
            for i in 0..self.start.len() {
                let at = self.at(self.start[i]);
                if self.ground[at] == Square::Cell {
                    self.try_beside(at, &mut untried, &mut marked);
                }
            }
            self.add(moves, &untried, &mut marked, taken, &mut Vec::new());
            return;
        }
        for i in from..self.start.len() {
            let at = self.at(self.start[i]);
            self.ground[at] = Square::Taken;
            taken.push(at);
            self.take(moves, i + 1, taken);
            taken.pop();
            self.ground[at] = Square::Cell;
        }
    }

    /// Puts the free squares beside one on the list, those that never stood on it.
    fn try_beside(&self, at: usize, untried: &mut Vec<usize>, marked: &mut [bool]) {
        for near in self.beside(at) {
            if self.ground[near] == Square::Free && !marked[near] {
                marked[near] = true;
                untried.push(near);
            }
        }
    }

    fn add(
        &mut self,
        moves: usize,
        untried: &[usize],
        marked: &mut [bool],
        taken: &[usize],
        added: &mut Vec<usize>,
    ) {
        for (i, &at) in untried.iter().enumerate() {
            if !self.all {
                return;
            }
            self.ground[at] = Square::Cell;
            added.push(at);
            if added.len() == moves {
                self.keep(taken, added);
            } else {
                let mut more = untried[i + 1..].to_vec();
                let known = more.len();
                self.try_beside(at, &mut more, marked);
                self.add(moves, &more, marked, taken, added);
                more[known..].iter().for_each(|&near| marked[near] = false);
            }
            added.pop();
            self.ground[at] = Square::Free;
        }
    }

    fn keep(&mut self, taken: &[usize], added: &[usize]) {
        if !self.is_whole(added[0]) {
            return;
        }
        let place = |all: &[usize]| {
            let mut cells: Vec<Cell> = all.iter().map(|&at| self.cell(at)).collect();
            cells.sort_unstable();
            cells
        };
        let (taken, added) = (place(taken), place(added));
        let mut cells: Vec<Cell> = self.start.iter().filter(|c| !taken.contains(c)).copied().collect();
        cells.extend(&added);
        cells.sort_unstable();
        if self.seen.insert(self.form(&cells)) {
            if self.found.len() >= self.most {
                self.all = false;
                return;
            }
            self.found.push(Nearby { cells, taken, added });
        }
    }

    /// Whether all cells on the ground hang together, one of them at `first`.
    fn is_whole(&mut self, first: usize) -> bool {
        self.round += 1;
        let mut next = vec![first];
        self.reached[first] = self.round;
        let mut count = 0;
        while let Some(at) = next.pop() {
            count += 1;
            for step in &self.steps {
                let near = at.wrapping_add_signed(*step);
                if self.ground[near] == Square::Cell && self.reached[near] != self.round {
                    self.reached[near] = self.round;
                    next.push(near);
                }
            }
        }
        count == self.start.len()
    }

    /// The same for all turns of an outline, and for its mirror images if these are one.
    fn form(&self, cells: &[Cell]) -> Vec<(i32, i32)> {
        let overs: &[bool] = if self.ask.mirrored { &[false, true] } else { &[false] };
        let forms = overs.iter().flat_map(|&over| Turn::ALL.map(|turn| Motion::about_origin(over, turn)));
        let settled = |motion: Motion| {
            let moved: Vec<Cell> = cells.iter().map(|&c| motion.cell(c)).collect();
            let x = moved.iter().map(|c| c.x).min().unwrap_or(0);
            let y = moved.iter().map(|c| c.y).min().unwrap_or(0);
            let mut form: Vec<(i32, i32)> = moved.iter().map(|c| (c.x - x, c.y - y)).collect();
            form.sort_unstable();
            form
        };
        forms.map(settled).min().expect("there are four turns at least")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finds::hangs_together;

    fn ask(moves: usize, corners: bool) -> NearAsk {
        NearAsk { moves, corners, mirrored: false, most_far: usize::MAX }
    }

    fn row(n: i32) -> Vec<Cell> {
        (0..n).map(|x| Cell::new(x, 0)).collect()
    }

    /// Every set of `size` cells in a box round the start that shares all but
    /// `moves` with it: looked at one by one.
    fn by_trying(start: &[Cell], ask: &NearAsk) -> usize {
        let moving = Moving::new(start, ask, &|| false);
        let squares: Vec<Cell> = (0..moving.ground.len()).map(|at| moving.cell(at)).collect();
        let mut forms = FxHashSet::default();
        fn choose(left: &[Cell], need: usize, got: &mut Vec<Cell>, each: &mut dyn FnMut(&[Cell])) {
            if need == 0 {
                return each(got);
            }
            for i in 0..left.len() {
                got.push(left[i]);
                choose(&left[i + 1..], need - 1, got, each);
                got.pop();
            }
        }
        choose(&squares, start.len(), &mut Vec::new(), &mut |cells| {
            let shared = cells.iter().filter(|c| start.contains(c)).count();
            if shared + ask.moves >= start.len() && hangs_together(cells, ask.corners) {
                forms.insert(moving.form(cells));
            }
        });
        forms.remove(&moving.form(start));
        forms.len()
    }

    #[test]
    fn they_are_all_that_trying_finds_each_once() {
        let tee = vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1), Cell::new(2, 0)];
        for start in [row(3), tee] {
            for (moves, corners) in [(1, false), (1, true), (2, false), (2, true)] {
                let ask = ask(moves, corners);
                let (found, all) = near(&start, &ask, &|| false);
                assert!(all);
                assert_eq!(found.len(), by_trying(&start, &ask), "{} cells, {ask:?}", start.len());
                for one in &found {
                    assert!(hangs_together(&one.cells, corners));
                    assert!(one.taken.len() == one.added.len() && one.added.len() <= moves);
                }
            }
        }
    }

    #[test]
    fn mirror_images_are_two_unless_told() {
        let start = row(4);
        let (both, _) = near(&start, &ask(1, false), &|| false);
        let (one, _) = near(&start, &NearAsk { mirrored: true, ..ask(1, false) }, &|| false);
        // One cell of the straight four moved gives L and J, which mirror, and T.
        assert_eq!((both.len(), one.len()), (3, 2));
    }

    #[test]
    fn the_bound_is_for_three_moves_alone_and_is_told() {
        let start = row(6);
        let (two, _) = near(&start, &ask(2, false), &|| false);
        let (some, all) = near(&start, &NearAsk { most_far: 5, ..ask(3, false) }, &|| false);
        assert_eq!((some.len(), all), (two.len() + 5, false));
        assert_eq!(some[..two.len()], two[..]);
        assert_eq!(near(&start, &ask(2, false), &|| true), (vec![], false));
    }
}
