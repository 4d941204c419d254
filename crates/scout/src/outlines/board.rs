//! A box folded up by a group of motions: its cells by orbits, in an order to be
//! decided one after another, with everything that a decision depends on.

use std::collections::VecDeque;

use super::form::Rows;
use super::frame::Frame;
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
    /// After this decision, what is known of each orbit that is remembered.
    pub ways: Vec<Way>,
    /// Ties that orbits yet to come can bring: mirrors they touch; for turns, not 0
    /// if a join yet to come leads to another image.
    pub ties_to_come: u8,
    /// Cells of all orbits yet to come.
    pub cells_to_come: u16,
}

/// How far a remembered orbit is from what is yet to be reached.
#[derive(Clone)]
pub(crate) struct Way {
    pub slot: u8,
    /// Columns and rows between its cells and each side of the box: left, right,
    /// bottom, top.
    pub gaps: [u8; 4],
    /// The fewest cells yet to come on a way to each side of the box.
    pub to_side: [u8; 4],
    /// The fewest cells yet to come that join it to another, by slot.
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
        // Orbits that matter to each other: for hanging together, and for holes too.
        let links: Vec<Vec<usize>> = (0..count).map(|i| frame.near(i, corners)).collect();
        let wide = corners || holes != Holes::Allowed;
        let last = |i: usize| frame.near(i, wide).last().copied().unwrap_or(i).max(i);
        let last: Vec<usize> = (0..count).map(last).collect();
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
            let way = |&from: &usize| {
                let (to_side, to_slot) = ways(from, i, &orbits, &links, &held);
                Way { slot: slot_of[from], gaps: frame.gaps(from), to_side, to_slot }
            };
            orbits[i].ways = remembered.iter().map(way).collect();
        }
        let (mut to_come, mut cells) = (0, 0);
        for (i, orbit) in orbits.iter_mut().enumerate().rev() {
            frame.relate(i, &slot_of, orbit, joined, holes);
            orbit.ties_to_come = to_come;
            orbit.cells_to_come = cells;
            cells += u16::from(orbit.size);
            to_come |= orbit.tie | orbit.joins.iter().fold(0, |steps, join| steps | join.1);
        }
        Some(Board { group, kind, holes, joined, orbits })
    }
}

/// The fewest cells yet to come on a way from an orbit to each side, and to a
/// neighbour of each orbit that is held in a slot.
fn ways(
    from: usize,
    decided: usize,
    orbits: &[Orbit],
    links: &[Vec<usize>],
    held: &[Option<usize>],
) -> ([u8; 4], [u8; MOST_SLOTS]) {
    let mut far = vec![NO_WAY; orbits.len()];
    let (mut to_side, mut to_slot) = ([NO_WAY; 4], [NO_WAY; MOST_SLOTS]);
    let mut open = VecDeque::from([(0u8, from)]);
    while let Some((cost, a)) = open.pop_front() {
        for &b in &links[a] {
            if b <= decided {
                if let Some(slot) = held.iter().position(|&h| h == Some(b)).filter(|_| a != from) {
                    to_slot[slot] = cost.min(to_slot[slot]);
                }
                continue;
            }
            let reached = cost.saturating_add(orbits[b].size).min(NO_WAY - 1);
            if reached < far[b] {
                far[b] = reached;
                open.push_back((reached, b));
                for (side, to) in to_side.iter_mut().enumerate() {
                    if orbits[b].sides >> side & 1 == 1 {
                        *to = reached.min(*to);
                    }
                }
            }
        }
    }
    (to_side, to_slot)
}
