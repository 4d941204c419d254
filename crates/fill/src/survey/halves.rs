//! Layouts of parts of an outline, with what their hinges take and need.
//!
//! The first pieces of a layout, in the order of their first cells, cover one
//! part of the outline and the others the rest. Many first halves leave the same
//! rest, so the layouts of each rest are made once. Which pieces are used is one
//! number, the *stock*; hinges of different pieces never stand on one edge vertex
//! (each needs two of its cells, and the wall has one), so what pieces need of
//! the edge adds up.

use rustc_hash::FxHashMap;

use super::board::Board;
use super::prepared::Prepared;

/// Most pieces in one half.
pub(super) const MOST_IN_HALF: usize = 4;
/// States that one outline may have, by which memory is bounded: about 200 MB.
const MOST_STATES: usize = 4_000_000;

/// One choice of pins for the pieces of a half.
#[derive(Clone, Copy)]
pub(super) struct State {
    pub pins: u64,
    pub edge: u64,
    /// How many edge vertices.
    pub size: u8,
    /// Two of its pieces have pins on one vertex.
    pub tied: bool,
    /// Positions in [`Board::choices`], one a piece; the rest is filled up with `u32::MAX`.
    pub choices: [u32; MOST_IN_HALF],
}

/// The layout of a half: its pieces on their cells.
#[derive(Clone, Copy)]
pub(super) struct Half {
    /// The pieces used.
    pub stock: u32,
    /// Its states, the least ones.
    pub states: (u32, u32),
}

/// Halves of one number of pieces.
#[derive(Default)]
pub(super) struct Halves {
    pub halves: Vec<Half>,
    pub states: Vec<State>,
    /// The halves that cover a set of cells, as a range.
    known: FxHashMap<u64, (u32, u32)>,
}

impl Halves {
    pub fn clear(&mut self) {
        self.halves.clear();
        self.states.clear();
        self.known.clear();
    }

    pub fn states_of(&self, half: &Half) -> &[State] {
        &self.states[half.states.0 as usize..half.states.1 as usize]
    }
}

/// Everything that is made of halves for one outline.
pub(super) struct Maker<'a> {
    pub set: &'a Prepared,
    pub board: &'a mut Board,
    /// By number of pieces less one.
    pub made: &'a mut Vec<Halves>,
    pub overfull: bool,
}

/// Collapses pins to one bit a vertex.
pub(super) fn vertices(pins: u64, levels: usize) -> u64 {
    match levels {
        1 => pins,
        2 => (pins | pins >> 1) & 0x5555_5555_5555_5555,
        _ => {
            let all = (0..levels).fold(0, |all, l| all | pins >> l);
            (0..64).step_by(levels).fold(0, |found, bit| found | all & 1 << bit)
        }
    }
}

impl Maker<'_> {
    /// The halves of `pieces` pieces that cover just `cells`, sorted by stock: a range.
    pub fn covering(&mut self, cells: u64, pieces: usize) -> (u32, u32) {
        if self.set.areas[pieces] >> cells.count_ones() & 1 == 0 {
            return (0, 0);
        }
        if let Some(&known) = self.made[pieces - 1].known.get(&cells) {
            return known;
        }
        let found = if pieces == 1 { self.single(cells) } else { self.several(cells, pieces) };
        self.made[pieces - 1].known.insert(cells, found);
        found
    }

    fn single(&mut self, cells: u64) -> (u32, u32) {
        let start = self.made[0].halves.len() as u32;
        if let Some(place) = self.board.place_of(cells) {
            let options = self.board.options(self.set, place);
            let made = &mut self.made[0];
            let mut class = None;
            for at in options {
                let choice = self.board.choices[at];
                if class != Some(choice.class) {
                    class = Some(choice.class);
                    let from = made.states.len() as u32;
                    let stock = self.set.kinds[usize::from(choice.class)].unit;
                    made.halves.push(Half { stock, states: (from, from) });
                }
                let mut choices = [u32::MAX; MOST_IN_HALF];
                choices[0] = at as u32;
                let size = choice.edge.count_ones() as u8;
                made.states.push(State { pins: choice.pins, edge: choice.edge, size, tied: false, choices });
                made.halves.last_mut().expect("just pushed").states.1 += 1;
            }
            made.halves[start as usize..].sort_unstable_by_key(|h| h.stock);
        }
        (start, self.made[0].halves.len() as u32)
    }

    fn several(&mut self, cells: u64, pieces: usize) -> (u32, u32) {
        let mut parts: Vec<(u16, (u32, u32))> = Vec::new();
        for place in self.board.starting(cells) {
            let own = self.board.places[place].cells;
            if own & !cells == 0 {
                let rest = self.covering(cells & !own, pieces - 1);
                if rest.0 < rest.1 {
                    parts.push((place as u16, rest));
                }
            }
        }
        let start = self.made[pieces - 1].halves.len();
        for (place, rest) in parts {
            let options = self.board.options(self.set, place);
            let (below, above) = self.made.split_at_mut(pieces - 1);
            join_place(self.set, self.board, options, &below[pieces - 2], rest, &mut above[0]);
        }
        let made = &mut self.made[pieces - 1];
        made.halves[start..].sort_unstable_by_key(|h| h.stock);
        self.overfull |= made.states.len() > MOST_STATES;
        (start as u32, made.halves.len() as u32)
    }
}

/// A place put in front of halves.
pub(super) fn join_place(
    set: &Prepared,
    board: &Board,
    options: std::ops::Range<usize>,
    from: &Halves,
    rest: (u32, u32),
    to: &mut Halves,
) {
    for by_class in board.choices[options.clone()].chunk_by(|a, b| a.class == b.class) {
        let class = by_class[0].class;
        let unit = set.kinds[usize::from(class)].unit;
        // Where these choices stand among all.
        let at = (by_class.as_ptr() as usize - board.choices.as_ptr() as usize)
            / std::mem::size_of::<super::board::Choice>();
        for half in &from.halves[rest.0 as usize..rest.1 as usize] {
            if !set.may(half.stock, class) {
                continue;
            }
            let first = to.states.len();
            for (i, choice) in by_class.iter().enumerate() {
                for state in from.states_of(half) {
                    if state.pins & choice.pins != 0 {
                        continue;
                    }
                    let tied = state.tied
                        || vertices(state.pins, set.levels) & vertices(choice.pins, set.levels) != 0;
                    let mut choices = state.choices;
                    choices.rotate_right(1);
                    choices[0] = (at + i) as u32;
                    let new = State {
                        pins: state.pins | choice.pins,
                        edge: state.edge | choice.edge,
                        size: state.size + choice.edge.count_ones() as u8,
                        tied,
                        choices,
                    };
                    add_least(&mut to.states, first, new);
                }
            }
            let last = to.states.len();
            if last > first {
                to.halves.push(Half { stock: half.stock + unit, states: (first as u32, last as u32) });
            }
        }
    }
}

/// Adds a state to those from `first` on unless one of them is under it; those above it go.
#[inline]
fn add_least(states: &mut Vec<State>, first: usize, new: State) {
    let under = |a: &State, b: &State| a.pins & !b.pins == 0 && a.edge & !b.edge == 0;
    if states[first..].iter().any(|old| under(old, &new)) {
        return;
    }
    let mut at = first;
    while at < states.len() {
        if under(&new, &states[at]) {
            states.remove(at);
        } else {
            at += 1;
        }
    }
    states.push(new);
}
