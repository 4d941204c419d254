//! A box under a group of motions: which cells go together, and what those that
//! do have to do with the others.

use super::board::{MOST_SLOTS, OPEN, OWN, Orbit};
use super::form::{MOST_SIDE, Rows};
use super::group::{Group, Kind};
use super::wanted::{Holes, Joined};

/// Steps to the four side neighbours, then to the four corner neighbours.
const STEPS: [(i32, i32); 8] = [(1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (-1, -1), (1, -1)];

/// Which cell is in which orbit.
pub(crate) struct Frame {
    width: usize,
    height: usize,
    group: Group,
    /// By cell, column after column.
    orbit: Vec<usize>,
    /// By orbit, the first of its cells.
    pub first: Vec<(usize, usize)>,
}

impl Frame {
    pub fn new(width: usize, height: usize, group: Group) -> Frame {
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

    /// The orbits next to one, sorted.
    pub fn near(&self, orbit: usize, corners: bool) -> Vec<usize> {
        let reach = if corners { &STEPS[..] } else { &STEPS[..4] };
        let cells = reach.iter().filter_map(|&step| self.next(self.first[orbit], step));
        let mut near: Vec<usize> = cells.map(|(x, y)| self.orbit_of(x, y)).filter(|&j| j != orbit).collect();
        near.sort_unstable();
        near.dedup();
        near
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

    /// Columns and rows between the cells of an orbit and each side of the box.
    pub fn gaps(&self, orbit: usize) -> [u8; 4] {
        let cells = self.cells(orbit);
        let least = |of: &dyn Fn(&(usize, usize)) -> usize| cells.iter().map(of).min().unwrap_or(0) as u8;
        let (right, top) = (self.width - 1, self.height - 1);
        [least(&|c| c.0), least(&|c| right - c.0), least(&|c| c.1), least(&|c| top - c.1)]
    }

    /// What an orbit is by itself.
    pub fn orbit(&self, i: usize, corners: bool) -> Orbit {
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
            ties_to_come: 0,
            cells_to_come: 0,
        }
    }

    /// The first cell of an orbit, turned so many steps.
    fn turned(&self, orbit: usize, steps: u8) -> (usize, usize) {
        (0..steps).fold(self.first[orbit], |cell, _| self.image(cell, self.group.turn()))
    }

    /// What an orbit has to do with those decided before it.
    pub fn relate(&self, i: usize, slot_of: &[u8], orbit: &mut Orbit, joined: Joined, holes: Holes) {
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
