//! A box folded up by a group of motions: its cells by orbits, in an order to be
//! decided one after another, with everything that a decision depends on.

use super::form::{MOST_SIDE, Rows};
use super::group::{Group, Kind};
use super::wanted::{Holes, Joined};

/// The most orbits that may be remembered at a time.
pub(crate) const MOST_SLOTS: usize = 16;

/// Stands for the orbit being decided, among places.
pub(crate) const OWN: u8 = u8::MAX;

/// Stands for an orbit yet to be decided, among places.
pub(crate) const OPEN: u8 = u8::MAX - 1;

/// Cells that the motions carry into one another: all in the outline or none.
pub(crate) struct Orbit {
    /// Its cells, as rows of the box.
    pub cells: Rows,
    /// How many.
    pub size: u8,
    /// Which sides of the box it touches: left, right, bottom, top.
    pub sides: u8,
    /// How it is tied to its own images ([`Kind`]).
    pub tie: u8,
    /// Where it is remembered.
    pub slot: u8,
    /// Neighbours decided before, by slot, and turns to the image that is next to it.
    pub joins: Vec<(u8, u8)>,
    /// Squares of four cells whose last this is, in turn round the vertex.
    pub squares: Vec<[u8; 4]>,
    /// Squares of which some are decided and some are not.
    pub open_squares: Vec<[u8; 4]>,
    /// Sides shared by cells, once decided: this many for each slot.
    pub shared: Vec<(u8, i8)>,
    /// Sides that its cells share among themselves.
    pub shared_own: i8,
    /// Vertices of its cells: this many, with cells decided before in these slots.
    pub vertices: Vec<(i8, Vec<u8>)>,
    /// Slots that nobody asks for any more once this is decided.
    pub forgets: Vec<u8>,
    /// After this decision, for each slot: the fewest cells yet to come on a way
    /// to each side of the box, and to each other slot.
    pub ways: Vec<Way>,
}

/// How far a remembered orbit is from others through cells yet to come.
#[derive(Clone)]
pub(crate) struct Way {
    pub slot: u8,
    pub to_side: [u8; 4],
    pub to_slot: [u8; MOST_SLOTS],
}

/// Nothing leads there.
pub(crate) const NO_WAY: u8 = u8::MAX;

/// A box, folded up.
pub(crate) struct Board {
    pub group: Group,
    pub kind: Kind,
    pub holes: Holes,
    pub joined: Joined,
    pub orbits: Vec<Orbit>,
}

impl Board {
    /// None if more would have to be remembered than there are slots.
    pub fn new(width: usize, height: usize, group: Group, joined: Joined, holes: Holes) -> Option<Board> {
        let frame = Frame::new(width, height, group);
        let kind = group.kind();
        let corners = joined == Joined::SidesOrCorners;
        let count = frame.first.len();
        let mut orbits: Vec<Orbit> = (0..count).map(|i| frame.orbit(i, corners)).collect();
        // Orbits that matter to each other, whether for hanging together or for holes.
        let mut near: Vec<Vec<usize>> = vec![vec![]; count];
        for (i, near) in near.iter_mut().enumerate() {
            let reach = if corners || holes != Holes::Allowed { &STEPS[..] } else { &STEPS[..4] };
            let around = reach.iter().filter_map(|&step| frame.next(frame.first[i], step));
            near.extend(around.map(|(x, y)| frame.orbit_of(x, y)).filter(|&j| j != i));
            near.sort_unstable();
            near.dedup();
        }
        let last: Vec<usize> = (0..count).map(|i| near[i].last().copied().unwrap_or(i).max(i)).collect();
        let mut slot_of = vec![0u8; count];
        let mut held: Vec<Option<usize>> = vec![None; MOST_SLOTS];
        for i in 0..count {
            let free = held.iter().position(Option::is_none)?;
            held[free] = Some(i);
            slot_of[i] = free as u8;
            orbits[i].slot = free as u8;
            for (slot, held) in held.iter_mut().enumerate() {
                if held.is_some_and(|j| last[j] <= i) {
                    *held = None;
                    orbits[i].forgets.push(slot as u8);
                }
            }
            let remembered: Vec<usize> = held.iter().flatten().copied().collect();
            let linked = |a: usize| {
                let frame = &frame;
                let reach = if corners { &STEPS[..] } else { &STEPS[..4] };
                reach
                    .iter()
                    .filter_map(move |&s| frame.next(frame.first[a], s))
                    .map(|(x, y)| frame.orbit_of(x, y))
            };
            orbits[i].ways = remembered
                .iter()
                .map(|&from| {
                    let far = distances(from, i, count, &orbits, linked);
                    let mut way =
                        Way { slot: slot_of[from], to_side: [NO_WAY; 4], to_slot: [NO_WAY; MOST_SLOTS] };
                    for (j, &far) in far.iter().enumerate().skip(i + 1) {
                        for (side, to) in way.to_side.iter_mut().enumerate() {
                            if orbits[j].sides >> side & 1 == 1 {
                                *to = far.min(*to);
                            }
                        }
                        for &to in &remembered {
                            if far < NO_WAY && linked(j).any(|k| k == to) {
                                let best = &mut way.to_slot[slot_of[to] as usize];
                                *best = far.min(*best);
                            }
                        }
                    }
                    way
                })
                .collect();
        }
        for i in 0..count {
            frame.relate(i, &slot_of, &mut orbits[i], joined, holes);
        }
        Some(Board { group, kind, holes, joined, orbits })
    }
}

/// Cells on the cheapest way from an orbit to each undecided one, that one included.
fn distances<I: Iterator<Item = usize>>(
    from: usize,
    decided: usize,
    count: usize,
    orbits: &[Orbit],
    linked: impl Fn(usize) -> I,
) -> Vec<u8> {
    let mut far = vec![NO_WAY; count];
    let mut open = vec![(0u8, from)];
    while let Some(at) = (0..open.len()).min_by_key(|&k| open[k].0) {
        let (cost, a) = open.swap_remove(at);
        for b in linked(a).filter(|&b| b > decided) {
            let reached = cost.saturating_add(orbits[b].size).min(NO_WAY - 1);
            if reached < far[b] {
                far[b] = reached;
                open.push((reached, b));
            }
        }
    }
    far
}

/// Steps to the four side neighbours, then to the four corner neighbours.
const STEPS: [(i32, i32); 8] = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)];

/// Which cell is in which orbit.
struct Frame {
    width: usize,
    height: usize,
    group: Group,
    /// By cell, column after column.
    orbit: Vec<usize>,
    /// By orbit, the first of its cells.
    first: Vec<(usize, usize)>,
}

impl Frame {
    fn new(width: usize, height: usize, group: Group) -> Frame {
        let mut frame =
            Frame { width, height, group, orbit: vec![usize::MAX; width * height], first: vec![] };
        for (x, y) in (0..width).flat_map(|x| (0..height).map(move |y| (x, y))) {
            if frame.orbit_of(x, y) == usize::MAX {
                frame.first.push((x, y));
                for motion in group.motions() {
                    let (x, y) = frame.image((x, y), motion);
                    frame.orbit[x * height + y] = frame.first.len() - 1;
                }
            }
        }
        // From the middle outwards: what is yet to come is then never shut in, so that
        // a hole, once there, stays.
        frame.first.reverse();
        for orbit in &mut frame.orbit {
            *orbit = frame.first.len() - 1 - *orbit;
        }
        frame
    }

    fn orbit_of(&self, x: usize, y: usize) -> usize {
        self.orbit[x * self.height + y]
    }

    fn image(&self, (x, y): (usize, usize), motion: u8) -> (usize, usize) {
        let (x, y) = if motion & 4 == 0 { (x, y) } else { (y, x) };
        (
            if motion & 1 == 0 { x } else { self.width - 1 - x },
            if motion & 2 == 0 { y } else { self.height - 1 - y },
        )
    }

    fn next(&self, (x, y): (usize, usize), (dx, dy): (i32, i32)) -> Option<(usize, usize)> {
        let x = x.checked_add_signed(dx as isize).filter(|&x| x < self.width)?;
        let y = y.checked_add_signed(dy as isize).filter(|&y| y < self.height)?;
        Some((x, y))
    }

    fn cells(&self, orbit: usize) -> Vec<(usize, usize)> {
        let mut cells: Vec<_> = self.group.motions().map(|m| self.image(self.first[orbit], m)).collect();
        cells.sort_unstable();
        cells.dedup();
        cells
    }

    /// What an orbit is by itself.
    fn orbit(&self, i: usize, corners: bool) -> Orbit {
        let cells = self.cells(i);
        let mut rows = [0; MOST_SIDE];
        let mut sides = 0;
        for &(x, y) in &cells {
            rows[y] |= 1 << x;
            sides |= u8::from(x == 0) | u8::from(x + 1 == self.width) << 1;
            sides |= u8::from(y == 0) << 2 | u8::from(y + 1 == self.height) << 3;
        }
        let reach = if corners { &STEPS[..] } else { &STEPS[..4] };
        let touches = |a: (usize, usize), b: (usize, usize)| {
            a == b || reach.iter().any(|&step| self.next(a, step) == Some(b))
        };
        let kind = self.group.kind();
        let tie = match kind {
            Kind::Mirrors { .. } => cells
                .iter()
                .flat_map(|&c| self.group.motions().map(move |m| (c, m)))
                .filter(|&(c, m)| touches(c, self.image(c, m)))
                .fold(0, |tie, (_, m)| tie | self.group.mirror_bit(m)),
            Kind::Turns { order } => (1..order)
                .filter(|&t| touches(self.first[i], self.turned(i, t)))
                .fold(0, |tie, t| kind.joined(tie, kind.met(t))),
        };
        Orbit {
            cells: Rows { rows, width: self.width as u8, height: self.height as u8 },
            size: cells.len() as u8,
            sides,
            tie,
            slot: 0,
            joins: vec![],
            squares: vec![],
            open_squares: vec![],
            shared: vec![],
            shared_own: 0,
            vertices: vec![],
            forgets: vec![],
            ways: vec![],
        }
    }

    /// The first cell of an orbit, turned so many steps.
    fn turned(&self, orbit: usize, steps: u8) -> (usize, usize) {
        (0..steps).fold(self.first[orbit], |cell, _| self.image(cell, self.group.turn()))
    }

    /// What an orbit has to do with those decided before it.
    fn relate(&self, i: usize, slot_of: &[u8], orbit: &mut Orbit, joined: Joined, holes: Holes) {
        let corners = joined == Joined::SidesOrCorners;
        let reach = if corners { &STEPS[..] } else { &STEPS[..4] };
        for cell in reach.iter().filter_map(|&step| self.next(self.first[i], step)) {
            let j = self.orbit_of(cell.0, cell.1);
            if j < i {
                let steps = match self.group.kind() {
                    Kind::Mirrors { .. } => 0,
                    Kind::Turns { order } => {
                        (0..order).find(|&t| self.turned(j, t) == cell).expect("in its orbit")
                    }
                };
                orbit.joins.push((slot_of[j], steps));
            }
        }
        orbit.joins.sort_unstable();
        orbit.joins.dedup();
        if holes == Holes::Allowed {
            return;
        }
        let cells = self.cells(i);
        let place = |(x, y): (usize, usize)| match self.orbit_of(x, y) {
            j if j == i => OWN,
            j if j > i => OPEN,
            j => slot_of[j],
        };
        let mut shared = [0i8; MOST_SLOTS];
        let mut own = 0;
        for &cell in &cells {
            for other in STEPS[..4].iter().filter_map(|&step| self.next(cell, step)) {
                let j = self.orbit_of(other.0, other.1);
                if j < i {
                    shared[slot_of[j] as usize] += 1;
                } else if j == i {
                    own += 1;
                }
            }
        }
        orbit.shared = (0..MOST_SLOTS as u8).zip(shared).filter(|s| s.1 > 0).collect();
        orbit.shared_own = own / 2;
        // Vertices of the orbit's cells, by their lower left cell plus (1, 1).
        let mut vertices: Vec<(usize, usize)> =
            cells.iter().flat_map(|&(x, y)| [(x, y), (x + 1, y), (x, y + 1), (x + 1, y + 1)]).collect();
        vertices.sort_unstable();
        vertices.dedup();
        for vertex in vertices {
            let round = self.round(vertex);
            let mut before: Vec<u8> =
                round.iter().flatten().filter(|c| self.orbit_of(c.0, c.1) < i).map(|&c| place(c)).collect();
            before.sort_unstable();
            before.dedup();
            match orbit.vertices.iter_mut().find(|v| v.1 == before) {
                Some(like) => like.0 += 1,
                None => orbit.vertices.push((1, before)),
            }
            if let [Some(a), Some(b), Some(c), Some(d)] = round
                && round.iter().flatten().all(|c| self.orbit_of(c.0, c.1) <= i)
            {
                orbit.squares.push([a, b, c, d].map(place));
            }
        }
        for vertex in (1..self.width).flat_map(|x| (1..self.height).map(move |y| (x, y))) {
            let square = self.round(vertex).map(|cell| place(cell.expect("within the box")));
            // Its decided orbits are near one yet to be decided, so they are still remembered.
            let decided = |&&p: &&u8| p != OPEN;
            if square.iter().filter(decided).count() >= 2 && square.contains(&OPEN) {
                orbit.open_squares.push(square);
            }
        }
        orbit.open_squares.sort_unstable();
        orbit.open_squares.dedup();
    }

    /// The cells round a vertex, those that are in the box.
    fn round(&self, vertex: (usize, usize)) -> [Option<(usize, usize)>; 4] {
        [(1, 1), (0, 1), (0, 0), (1, 0)].map(|(dx, dy)| {
            let (x, y) = (vertex.0.checked_sub(dx)?, vertex.1.checked_sub(dy)?);
            (x < self.width && y < self.height).then_some((x, y))
        })
    }
}
