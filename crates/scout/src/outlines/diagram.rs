//! All outlines that a group of motions keeps and that fill a box from side to
//! side, as one diagram: each path from the top is an outline, and every node
//! knows how many paths leave it. So outlines are counted without being listed,
//! and any of them is found by its number.
//!
//! Orbits are decided one after another. Beginnings that go on alike are one
//! node (a frontier method: what is remembered is [`State`]); numbers are exact.

use rustc_hash::FxHashMap;

use super::board::{Board, Orbit};
use super::form::{MOST_SIDE, Rows};
use super::state::{Next, State};

/// No path.
const DEAD: u32 = 0;
/// The end of every path.
const DONE: u32 = 1;

/// A decision, on an orbit that can be in the outline.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Node {
    orbit: u32,
    without: u32,
    with: u32,
}

/// The diagram.
pub(crate) struct Diagram {
    /// The cells of each orbit.
    orbits: Vec<[u16; MOST_SIDE]>,
    width: u8,
    height: u8,
    /// Children before parents; the first two stand for dead and done.
    nodes: Vec<Node>,
    /// Paths from each node.
    paths: Vec<u128>,
    top: u32,
}

/// Why there is no diagram.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TooLarge;

impl Diagram {
    /// The diagram of outlines of so many cells, of at most `most` nodes.
    pub fn new(board: &Board, cells: u8, most: usize) -> Result<Diagram, TooLarge> {
        let layers = layers(board, cells, most)?;
        let mut nodes = vec![Node { orbit: u32::MAX, without: DEAD, with: DEAD }; 2];
        let mut paths = vec![0u128, 1];
        let mut below: Vec<u32> = vec![];
        for (orbit, layer) in layers.iter().enumerate().rev() {
            let mut known: FxHashMap<(u32, u32), u32> = FxHashMap::default();
            let mut here = Vec::with_capacity(layer.len());
            for pair in layer {
                let [without, with] = pair.map(|child| match child {
                    DEAD | DONE => child,
                    // Past the last orbit nothing begun is complete.
                    later => below.get(later as usize - 2).copied().unwrap_or(DEAD),
                });
                here.push(if with == DEAD {
                    without
                } else {
                    match known.entry((without, with)) {
                        std::collections::hash_map::Entry::Occupied(node) => *node.get(),
                        std::collections::hash_map::Entry::Vacant(place) => {
                            let sum = paths[without as usize].checked_add(paths[with as usize]);
                            paths.push(sum.ok_or(TooLarge)?);
                            nodes.push(Node { orbit: orbit as u32, without, with });
                            *place.insert(nodes.len() as u32 - 1)
                        }
                    }
                });
            }
            below = here;
        }
        let top = below.first().copied().unwrap_or(DEAD);
        let orbits = board.orbits.iter().map(|orbit| orbit.cells.rows).collect();
        let (width, height) = board.orbits.first().map_or((0, 0), |o| (o.cells.width, o.cells.height));
        Ok(Diagram { orbits, width, height, nodes, paths, top })
    }

    /// How many outlines.
    pub fn count(&self) -> u128 {
        self.paths[self.top as usize]
    }

    /// How many nodes.
    pub fn nodes(&self) -> usize {
        self.nodes.len()
    }

    /// The path of a number below [`Diagram::count`].
    pub fn path(&self, mut number: u128) -> Path {
        let mut path = Path { steps: Vec::with_capacity(self.orbits.len()) };
        let mut at = self.top;
        while at != DONE {
            let node = self.nodes[at as usize];
            let without = self.paths[node.without as usize];
            let with = number >= without;
            if with {
                number -= without;
            }
            path.steps.push((at, with));
            at = if with { node.with } else { node.without };
        }
        path
    }

    /// The next path; false after the last.
    pub fn advance(&self, path: &mut Path) -> bool {
        while let Some((at, with)) = path.steps.pop() {
            if with {
                continue;
            }
            path.steps.push((at, true));
            let mut at = self.nodes[at as usize].with;
            while at != DONE {
                let node = self.nodes[at as usize];
                let with = node.without == DEAD;
                path.steps.push((at, with));
                at = if with { node.with } else { node.without };
            }
            return true;
        }
        false
    }

    /// The outline of a path.
    pub fn outline(&self, path: &Path) -> Rows {
        let mut rows = [0; MOST_SIDE];
        for &(at, _) in path.steps.iter().filter(|step| step.1) {
            let cells = &self.orbits[self.nodes[at as usize].orbit as usize];
            for (row, cells) in rows.iter_mut().zip(cells) {
                *row |= cells;
            }
        }
        Rows { rows, width: self.width, height: self.height }
    }
}

/// Decisions from the top: the node, and whether its orbit is in the outline.
#[derive(Clone)]
pub(crate) struct Path {
    steps: Vec<(u32, bool)>,
}

/// By orbit, for each beginning where it leads without and with the orbit:
/// dead, done, or a place in the next layer plus two.
fn layers(board: &Board, cells: u8, most: usize) -> Result<Vec<Vec<[u32; 2]>>, TooLarge> {
    let mut layers = Vec::with_capacity(board.orbits.len());
    let mut states = vec![State::START.packed()];
    let mut nodes = 0;
    for orbit in &board.orbits {
        let mut next = NextLayer::default();
        let mut layer = Vec::with_capacity(states.len());
        for &packed in &states {
            let state = State::unpacked(packed);
            layer.push(next.pair(board, orbit, state, cells));
        }
        nodes += layer.len();
        if nodes > most {
            return Err(TooLarge);
        }
        layers.push(layer);
        states = next.states;
    }
    Ok(layers)
}

#[derive(Default)]
struct NextLayer {
    number: FxHashMap<u128, u32>,
    states: Vec<u128>,
}

impl NextLayer {
    fn pair(&mut self, board: &Board, orbit: &Orbit, state: State, cells: u8) -> [u32; 2] {
        [state.without(board, orbit, cells), state.with(board, orbit, cells)].map(|next| match next {
            Next::Dead => DEAD,
            Next::Done => DONE,
            Next::On(state) => {
                let packed = state.packed();
                *self.number.entry(packed).or_insert_with(|| {
                    self.states.push(packed);
                    self.states.len() as u32 + 1
                })
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::group::Group;
    use super::super::wanted::{Holes, Joined};
    use super::*;

    fn diagram(most: usize) -> Result<Diagram, TooLarge> {
        let board = Board::new(5, 4, Group::ALL[0], Joined::Sides, Holes::None).expect("few are remembered");
        Diagram::new(&board, 10, most)
    }

    #[test]
    fn numbers_and_steps_lead_to_the_same_paths() {
        let diagram = diagram(1 << 20).unwrap();
        let mut path = diagram.path(0);
        for number in 0..diagram.count() {
            assert_eq!(diagram.path(number).steps, path.steps);
            assert_eq!(diagram.outline(&path).cells().len(), 10);
            assert_eq!(diagram.advance(&mut path), number + 1 < diagram.count());
        }
    }

    #[test]
    fn a_bound_is_kept_to() {
        assert_eq!(diagram(100).err(), Some(TooLarge));
        assert!(Board::new(16, 16, Group::ALL[0], Joined::Sides, Holes::None).is_none());
    }
}
