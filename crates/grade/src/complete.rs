//! Whether pieces laid can be completed to a filling: plain search with a bound.

use crate::board::Board;
use crate::drop::drops_in;
use crate::mask::Mask;

/// A search for any filling that has some places.
pub(crate) struct Completer<'a, const W: usize> {
    board: &'a Board<W>,
    must_drop_in: bool,
    most_nodes: u64,
    nodes: u64,
    left: Vec<usize>,
    pins: Vec<Mask<W>>,
}

impl<'a, const W: usize> Completer<'a, W> {
    /// A search that looks at no more than `most_nodes` positions each time.
    pub fn new(board: &'a Board<W>, must_drop_in: bool, most_nodes: u64) -> Self {
        Completer { board, must_drop_in, most_nodes, nodes: 0, left: Vec::new(), pins: Vec::new() }
    }

    /// Whether a filling has all of `places`; none if the bound was met.
    pub fn can(&mut self, places: &[u32]) -> Option<bool> {
        self.nodes = 0;
        self.left = self.board.kinds.iter().map(|k| k.pieces.len()).collect();
        self.pins.clear();
        self.go(places, self.board.all, Mask::NONE, self.board.spare)
    }

    fn lay(&mut self, p: u32, rest: &[u32], empty: Mask<W>, taken: Mask<W>, spare: usize) -> Option<bool> {
        let board = self.board;
        let place = &board.places[p as usize];
        if !place.cells.within(&empty) || self.left[place.kind] == 0 {
            return Some(false);
        }
        self.left[place.kind] -= 1;
        let mut can = Some(false);
        for lay in board.lays_of(p).iter().filter(|l| !l.pins.meets(&taken)) {
            self.pins.push(lay.pins);
            can = self.go(rest, empty.less(&place.cells), taken.or(&lay.pins), spare);
            self.pins.pop();
            if can != Some(false) {
                break;
            }
        }
        self.left[place.kind] += 1;
        can
    }

    fn go(&mut self, places: &[u32], empty: Mask<W>, taken: Mask<W>, spare: usize) -> Option<bool> {
        self.nodes += 1;
        if self.nodes > self.most_nodes {
            return None;
        }
        if let Some((&first, rest)) = places.split_first() {
            return self.lay(first, rest, empty, taken, spare);
        }
        let board = self.board;
        if empty.count() == spare && self.left.iter().all(|&n| n == 0) {
            return Some(!self.must_drop_in || drops_in(&self.pins, board.levels));
        }
        let Some(cell) = empty.first() else { return Some(false) };
        let part = board.part(cell, &empty).count();
        if part < 128 && board.sums(&self.left) >> part & 1 == 0 {
            return Some(false);
        }
        if spare > 0 {
            match self.go(&[], empty.less(&Mask::one(cell)), taken, spare - 1) {
                Some(false) => {}
                ended => return ended,
            }
        }
        for &p in &board.covering[cell] {
            match self.lay(p, &[], empty, taken, spare) {
                Some(false) => {}
                ended => return ended,
            }
        }
        Some(false)
    }
}
