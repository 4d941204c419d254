//! What must be remembered of an outline begun: how the decided orbits that
//! undecided ones can still meet hang together.

use super::board::{Board, MOST_SLOTS, NO_WAY, OPEN, OWN, Orbit};
use super::group::Kind;
use super::wanted::{Holes, Joined};

/// An outline begun.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct State {
    /// By slot: 0 for not in the outline, else the part it is of, from 1.
    part: [u8; MOST_SLOTS],
    /// By slot: turns to the image that its part counts from.
    turns: [u8; MOST_SLOTS],
    /// By part: how it is tied to its own images.
    tie: [u8; MOST_PARTS + 1],
    /// Sides of the box that were touched.
    sides: u8,
    /// Cells used.
    used: u8,
}

/// In 16 slots no more than 8 can be in parts that do not touch.
const MOST_PARTS: usize = 8;

/// What a decision leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Next {
    /// Nothing that is wanted.
    Dead,
    /// The outline is complete.
    Done,
    /// It goes on.
    On(State),
}

impl State {
    /// Nothing decided.
    pub const START: State =
        State { part: [0; MOST_SLOTS], turns: [0; MOST_SLOTS], tie: [0; MOST_PARTS + 1], sides: 0, used: 0 };

    /// 16 times 4 + 2 bits, 8 times 2, 4 and 8: a number of its own for each state.
    pub fn packed(&self) -> u128 {
        let mut packed = 0u128;
        for slot in 0..MOST_SLOTS {
            packed = packed << 6 | u128::from(self.part[slot] << 2 | self.turns[slot]);
        }
        for &tie in &self.tie[1..] {
            packed = packed << 2 | u128::from(tie);
        }
        packed << 12 | u128::from(self.sides) << 8 | u128::from(self.used)
    }

    /// What [`State::packed`] was made of.
    pub fn unpacked(mut packed: u128) -> State {
        let mut take = |bits: u32| {
            let low = (packed & ((1 << bits) - 1)) as u8;
            packed >>= bits;
            low
        };
        let mut state = State { used: take(8), sides: take(4), ..State::START };
        for tie in state.tie[1..].iter_mut().rev() {
            *tie = take(2);
        }
        for slot in (0..MOST_SLOTS).rev() {
            state.turns[slot] = take(2);
            state.part[slot] = take(4);
        }
        state
    }

    fn has(&self, place: u8, own: bool) -> bool {
        match place {
            OWN => own,
            OPEN => false,
            slot => self.part[slot as usize] != 0,
        }
    }

    /// The orbit stays out of the outline.
    pub fn without(mut self, board: &Board, orbit: &Orbit, cells: u8) -> Next {
        if self.hangs_by_corner(board, &orbit.squares, false) {
            return Next::Dead;
        }
        self.part[orbit.slot as usize] = 0;
        self.turns[orbit.slot as usize] = 0;
        self.forget(board, orbit, cells)
    }

    /// The orbit comes into the outline.
    pub fn with(mut self, board: &Board, orbit: &Orbit, cells: u8) -> Next {
        let Some(used) = self.used.checked_add(orbit.size) else { return Next::Dead };
        if used > cells || self.hangs_by_corner(board, &orbit.squares, true) {
            return Next::Dead;
        }
        if used == cells && self.hangs_by_corner(board, &orbit.open_squares, true) {
            return Next::Dead;
        }
        let mut pieces = 0i8;
        // A part that no state has, before parts are numbered anew.
        const NEW: u8 = 15;
        let mut tie = orbit.tie;
        let mut slots = self.part;
        let mut turns = self.turns;
        for &(slot, steps) in &orbit.joins {
            let part = slots[slot as usize];
            if part == 0 {
                continue;
            }
            if part == NEW {
                tie = board.kind.joined(tie, board.kind.met(steps.wrapping_sub(turns[slot as usize]) & 3));
                continue;
            }
            tie = board.kind.joined(tie, self.tie[part as usize]);
            pieces += board.group.pieces(self.tie[part as usize]) as i8;
            let shift = steps.wrapping_sub(turns[slot as usize]) & 3;
            for s in 0..MOST_SLOTS {
                if slots[s] == part {
                    slots[s] = NEW;
                    turns[s] = (turns[s] + shift) & 3;
                }
            }
        }
        if board.holes != Holes::Allowed {
            // A hole more is as many pieces fewer as the outline has lost less of what
            // Euler's number counts; there never are fewer holes than before.
            let pieces = board.group.pieces(tie) as i8 - pieces;
            if pieces != self.euler(board, orbit) {
                return Next::Dead;
            }
        }
        slots[orbit.slot as usize] = NEW;
        turns[orbit.slot as usize] = 0;
        let sides = self.sides | orbit.sides;
        let ties = self.tie;
        self = State { part: slots, turns, tie: [0; MOST_PARTS + 1], sides, used };
        let old = |part: u8| if part == NEW { tie } else { ties[part as usize] };
        let parts = self.renumber(board, old);
        if used == cells {
            let whole = parts == 1 && self.sides == 15 && self.tie[1] == board.kind.whole();
            return if whole { Next::Done } else { Next::Dead };
        }
        self.forget(board, orbit, cells)
    }

    /// Parts numbered by their first slot, which turns are counted from; how many.
    fn renumber(&mut self, board: &Board, tie: impl Fn(u8) -> u8) -> usize {
        let mut number = [0u8; 16];
        let mut base = [0u8; 16];
        let mut parts = 0;
        for slot in 0..MOST_SLOTS {
            let part = self.part[slot];
            if part == 0 {
                self.turns[slot] = 0;
                continue;
            }
            let known = &mut number[part as usize];
            if *known == 0 {
                parts += 1;
                *known = parts;
                base[part as usize] = self.turns[slot];
                self.tie[parts as usize] = tie(part);
            }
            self.part[slot] = *known;
            let modulus = board.kind.modulus(self.tie[*known as usize]);
            self.turns[slot] = (self.turns[slot].wrapping_sub(base[part as usize]) & 3) % modulus;
        }
        parts as usize
    }

    /// Whether one of these squares has two cells across and no more: then wall
    /// hangs by a corner.
    fn hangs_by_corner(&self, board: &Board, squares: &[[u8; 4]], own: bool) -> bool {
        board.holes == Holes::None
            && board.joined == Joined::Sides
            && squares.iter().any(|square| {
                let [a, b, c, d] = square.map(|place| self.has(place, own));
                a == c && b == d && a != b
            })
    }

    /// What the orbit adds to Euler's number: of its cells and the sides and
    /// squares they share, where cells are joined by sides; of cells, sides and
    /// vertices, where they are joined by corners as well.
    fn euler(&self, board: &Board, orbit: &Orbit) -> i8 {
        let shared: i8 = orbit.shared.iter().filter(|s| self.part[s.0 as usize] != 0).map(|s| s.1).sum();
        let shared = shared + orbit.shared_own;
        let cells = orbit.size as i8;
        match board.joined {
            Joined::Sides => {
                let whole = |square: &&[u8; 4]| square.iter().all(|&place| self.has(place, true));
                cells - shared + orbit.squares.iter().filter(whole).count() as i8
            }
            Joined::SidesOrCorners => {
                let bare = |v: &&(i8, Vec<u8>)| v.1.iter().all(|&slot| self.part[slot as usize] == 0);
                let vertices: i8 = orbit.vertices.iter().filter(bare).map(|v| v.0).sum();
                vertices - (4 * cells - shared) + cells
            }
        }
    }

    /// Forgets what nobody asks for any more.
    fn forget(mut self, board: &Board, orbit: &Orbit, cells: u8) -> Next {
        if u16::from(self.used) + orbit.cells_to_come < cells.into() {
            return Next::Dead;
        }
        let mut gone = 0u16;
        for &slot in &orbit.forgets {
            gone |= 1 << self.part[slot as usize];
            self.part[slot as usize] = 0;
            self.turns[slot as usize] = 0;
        }
        for &part in &self.part {
            gone &= !(1 << part);
        }
        if gone & !1 != 0 {
            return Next::Dead;
        }
        let ties = self.tie;
        self.tie = [0; MOST_PARTS + 1];
        let parts = self.renumber(board, |part| ties[part as usize]);
        let fits = self.used == 0 || self.least_to_come(board, orbit, parts) <= cells - self.used;
        if fits && self.can_be_whole(board, orbit) { Next::On(self) } else { Next::Dead }
    }

    /// Whether the parts and what is yet to come can make one piece of all images.
    fn can_be_whole(&self, board: &Board, orbit: &Orbit) -> bool {
        let whole = board.kind.whole();
        let ties = self.tie.iter().fold(0, |all, &tie| board.kind.joined(all, tie));
        match board.kind {
            Kind::Mirrors { .. } => ties | orbit.ties_to_come == whole,
            // A part is tied by a way from it to its image: through joins that lead to
            // another image, or round through cells that count from different ones.
            Kind::Turns { .. } => ties == whole || orbit.ties_to_come != 0 || self.turns != [0; MOST_SLOTS],
        }
    }

    /// No fewer cells than this are yet to come. Each one next to what is there makes
    /// the box round what is remembered longer by one row or column (or one of both,
    /// if corners join), and that box must reach each side that has not been touched.
    /// There must be a way to each of these sides, too; and the part farthest from
    /// any other must be joined to it.
    fn least_to_come(&self, board: &Board, orbit: &Orbit, parts: usize) -> u8 {
        let (mut gaps, mut to_side) = ([NO_WAY; 4], [NO_WAY; 4]);
        let mut to_part = [NO_WAY; MOST_PARTS + 1];
        for way in &orbit.ways {
            let part = self.part[way.slot as usize] as usize;
            if part == 0 {
                continue;
            }
            for (least, &gap) in gaps.iter_mut().zip(&way.gaps) {
                *least = gap.min(*least);
            }
            for (least, &to) in to_side.iter_mut().zip(&way.to_side) {
                *least = to.min(*least);
            }
            if parts > 1 {
                for other in &orbit.ways {
                    let there = self.part[other.slot as usize] as usize;
                    if there != 0 && there != part {
                        to_part[part] = to_part[part].min(way.to_slot[other.slot as usize]);
                    }
                }
            }
        }
        let gap = |side: usize| if self.sides >> side & 1 == 0 { gaps[side] } else { 0 };
        let (across, up) = (gap(0).saturating_add(gap(1)), gap(2).saturating_add(gap(3)));
        let grown = match board.joined {
            Joined::Sides => across.saturating_add(up),
            Joined::SidesOrCorners => across.max(up),
        };
        let joined = if parts > 1 { to_part[1..=parts].iter().copied().max().unwrap_or(0) } else { 0 };
        let reached = (0..4).filter(|side| self.sides >> side & 1 == 0).map(|side| to_side[side]).max();
        grown.max(joined).max(reached.unwrap_or(0)).max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_state_is_packed_without_loss() {
        let mut state = State { sides: 0b1010, used: 200, ..State::START };
        for slot in 0..MOST_SLOTS {
            state.part[slot] = (slot % 9) as u8;
            state.turns[slot] = (slot % 4) as u8;
        }
        state.tie = [0, 1, 2, 3, 0, 1, 2, 3, 1];
        assert_eq!(State::unpacked(state.packed()), state);
    }
}
