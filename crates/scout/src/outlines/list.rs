//! All outlines that are wanted, in a fixed order of positions.
//!
//! A [part](Part) is a box that its outlines fill from side to side, and a group
//! of motions that keeps them. The outlines of a class up to turning are met in
//! the parts of one group for each way the class can lie: there each stands as
//! often as the motions that keep box and group have images of it, and one of
//! these counts.

use std::ops::Range;

use lattice::Cell;
use rayon::prelude::*;

use super::board::Board;
use super::diagram::{Diagram, Path};
use super::form::{Rows, TURNS};
use super::group::Group;
use super::sample::{Sample, mixed};
use super::symmetry::Symmetry;
use super::wanted::{Joined, Wanted, WantedError};

/// An outline met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Its cells in normal form ([`normal`](super::normal)), sorted.
    pub cells: Vec<Cell>,
    /// Its class.
    pub symmetry: Symmetry,
}

/// How many outlines of a class there are in boxes of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// The class.
    pub symmetry: Symmetry,
    /// The longer side of the box they fill from side to side.
    pub width: usize,
    /// The shorter side.
    pub height: usize,
    /// How many, exactly.
    pub outlines: u128,
}

/// All outlines that are wanted, by position. Some positions hold none: each
/// outline stands at one of the few that its turns would have.
pub struct Outlines {
    parts: Vec<Part>,
    /// Where each part begins, and the end.
    starts: Vec<u128>,
    counts: Vec<Count>,
    mirrors_as_one: bool,
}

struct Part {
    diagram: Diagram,
    symmetry: Symmetry,
    /// Motions besides the still one that keep the box.
    motions: Vec<u8>,
    /// Those of them that make another of the same outlines, as bits.
    alike: u8,
    group: Group,
}

/// The most nodes that a diagram may have while it is made, eight bytes each, and
/// that all together may keep, 28 bytes each.
const MOST_NODES: usize = 1 << 25;

/// A box and all that is to be known of it.
struct Sized {
    width: usize,
    height: usize,
    /// Diagrams by group, in the order of [`Group::ALL`].
    diagrams: Vec<(Group, Diagram)>,
}

impl Outlines {
    /// Prepares to walk and to sample; nothing is listed yet. The work is spread
    /// over the threads there are, and the result does not depend on them. In a
    /// box of 12 × 12 symmetric classes alone take half a second of processor
    /// time for 20 cells and four for 24; all classes seven for 20.
    ///
    /// # Errors
    /// Everything that makes the want impossible, or too much for the memory
    /// (a gigabyte, about, on two threads).
    pub fn of(wanted: &Wanted) -> Result<Outlines, Vec<WantedError>> {
        wanted.check()?;
        let &Wanted { cells, joined, .. } = wanted;
        let (long, short) = (wanted.width.max(wanted.height), wanted.width.min(wanted.height));
        let sizes = (1..=long).flat_map(|w| (1..=w.min(short)).map(move |h| (w, h)));
        let least = |w: usize, h: usize| if joined == Joined::Sides { w + h - 1 } else { w };
        let mut sizes: Vec<(usize, usize)> =
            sizes.filter(|&(w, h)| least(w, h) <= cells && cells <= w * h).collect();
        // The largest take longest, so they come first.
        sizes.sort_by_key(|&(w, h)| std::cmp::Reverse(h * h * w));
        let too_many = || WantedError::TooMany { cells, width: long, height: short, most: MOST_NODES };
        // A state keeps its cells in eight bits.
        let few = u8::try_from(cells).map_err(|_| vec![too_many()])?;
        let sized: Result<Vec<Sized>, WantedError> =
            sizes.par_iter().map(|&(w, h)| Sized::new(w, h, few, wanted)).collect();
        let mut sized = sized.map_err(|error| vec![error])?;
        sized.sort_by_key(|s| (s.width, s.height));
        let nodes: usize = sized.iter().flat_map(|s| &s.diagrams).map(|d| d.1.nodes()).sum();
        if nodes > MOST_NODES {
            return Err(vec![too_many()]);
        }
        let mut counts = Vec::new();
        for symmetry in Symmetry::ALL {
            if wanted.symmetries.contains(&symmetry) {
                counts.extend(sized.iter().filter_map(|s| s.count(symmetry, wanted.mirrors_as_one)));
            }
        }
        let mut parts: Vec<Part> = sized.into_iter().flat_map(|s| s.parts(wanted.mirrors_as_one)).collect();
        parts.retain(|p| p.diagram.count() > 0 && wanted.symmetries.contains(&p.symmetry));
        parts.sort_by_key(|p| p.symmetry);
        let mut starts = vec![0u128];
        for part in &parts {
            let next = starts[starts.len() - 1].checked_add(part.diagram.count());
            // Room is left for weighing them.
            starts.push(next.filter(|n| n >> 120 == 0).ok_or_else(|| vec![too_many()])?);
        }
        Ok(Outlines { parts, starts, counts, mirrors_as_one: wanted.mirrors_as_one })
    }

    /// How many outlines there are, exactly, by class and then by size of box;
    /// sizes that hold none are left out.
    pub fn counts(&self) -> &[Count] {
        &self.counts
    }

    /// How many outlines there are, exactly.
    pub fn outlines(&self) -> u128 {
        self.counts.iter().map(|c| c.outlines).sum()
    }

    /// How many positions there are.
    pub fn positions(&self) -> u128 {
        self.starts[self.parts.len()]
    }

    /// The positions of shard `shard` (from 0) of `of`: together they are all
    /// positions, none twice, and each holds about as many outlines. A shard that
    /// there is not has none.
    pub fn shard(&self, shard: u32, of: u32) -> Range<u128> {
        if shard >= of {
            return self.positions()..self.positions();
        }
        let weights = || self.parts.iter().map(|p| p.diagram.count() * p.weight());
        let total: u128 = weights().sum();
        let start = |shard: u32| {
            let (shard, of) = (u128::from(shard), u128::from(of));
            let mut before = total / of * shard + total % of * shard / of;
            for ((weight, part), start) in weights().zip(&self.parts).zip(&self.starts) {
                if before < weight {
                    return start + before / part.weight();
                }
                before -= weight;
            }
            self.positions()
        };
        start(shard)..start(shard + 1)
    }

    /// The outline at a position, if one stands there.
    pub fn at(&self, position: u128) -> Option<Found> {
        let (part, path) = self.path(position)?;
        self.parts[part].found(&path, self.mirrors_as_one)
    }

    fn path(&self, position: u128) -> Option<(usize, Path)> {
        if position >= self.positions() {
            return None;
        }
        let part = self.starts.partition_point(|&start| start <= position) - 1;
        Some((part, self.parts[part].diagram.path(position - self.starts[part])))
    }

    /// The outlines at a range of positions, in order.
    pub fn walk(&self, positions: Range<u128>) -> Walk<'_> {
        let positions = positions.start..positions.end.min(self.positions());
        Walk { outlines: self, positions, at: None }
    }

    /// The outlines at positions drawn without replacement in an order that
    /// `seed` sets; `draws` are numbers of draws, from 0.
    pub fn sample(&self, seed: u64, draws: Range<u128>) -> Sample<'_> {
        Sample::new(self, seed, draws)
    }
}

impl Sized {
    fn new(width: usize, height: usize, cells: u8, wanted: &Wanted) -> Result<Sized, WantedError> {
        let &Wanted { joined, holes, .. } = wanted;
        let needed = |group: &&Group| {
            let within =
                |g: &Group| group.holds(*g) && wanted.symmetries.contains(&Symmetry::of_motions(g.0));
            group.fits(width, height) && Group::ALL.iter().any(within)
        };
        let diagram = |&group: &Group| {
            Board::new(width, height, group, joined, holes)
                .and_then(|board| Diagram::new(&board, cells, MOST_NODES).ok())
                .map(|diagram| (group, diagram))
                .ok_or(WantedError::TooMany { cells: cells.into(), width, height, most: MOST_NODES })
        };
        let diagrams: Result<Vec<_>, _> = Group::ALL.iter().filter(needed).map(diagram).collect();
        Ok(Sized { width, height, diagrams: diagrams? })
    }

    /// Motions that keep the box, and of them those that do not make another outline.
    fn motions(&self, mirrors_as_one: bool) -> (u8, u8) {
        let box_motions = if self.width == self.height { 0b1111_1111 } else { 0b1111 };
        (box_motions, if mirrors_as_one { box_motions } else { box_motions & TURNS })
    }

    /// Outlines of a class: those a group keeps less those a larger one does, once
    /// for all images.
    fn count(&self, symmetry: Symmetry, mirrors_as_one: bool) -> Option<Count> {
        let mut only: Vec<(Group, u128)> = Vec::new();
        for (group, diagram) in self.diagrams.iter().rev() {
            let more: u128 = only.iter().filter(|o| o.0.holds(*group)).map(|o| o.1).sum();
            only.push((*group, diagram.count() - more));
        }
        let (_, alike) = self.motions(mirrors_as_one);
        let images: u128 = only
            .iter()
            .filter(|o| Symmetry::of_motions(o.0.0) == symmetry)
            .map(|o| o.1 * u128::from((o.0.0 & alike).count_ones()))
            .sum();
        let outlines = images / u128::from(alike.count_ones());
        let Sized { width, height, .. } = *self;
        (outlines > 0).then_some(Count { symmetry, width, height, outlines })
    }

    fn parts(self, mirrors_as_one: bool) -> Vec<Part> {
        let (box_motions, images) = self.motions(mirrors_as_one);
        let mut parts: Vec<Part> = Vec::new();
        for (group, diagram) in self.diagrams {
            let symmetry = Symmetry::of_motions(group.0);
            let turned = |p: &Part| (0..8).any(|m| images >> m & 1 == 1 && p.group.seen_after(m) == group);
            if parts.iter().any(turned) {
                continue;
            }
            let alike = (1..8u8).filter(|&m| images >> m & 1 == 1 && group.seen_after(m) == group);
            let alike = alike.fold(0, |bits, m| bits | 1 << m);
            let motions = (1..8).filter(|&m| box_motions >> m & 1 == 1).collect();
            parts.push(Part { diagram, symmetry, motions, alike, group });
        }
        parts
    }
}

impl Part {
    /// Eight times the share of positions where an outline stands.
    fn weight(&self) -> u128 {
        let alike = self.alike | 1;
        u128::from(8 * (self.group.0 & alike).count_ones() / alike.count_ones())
    }

    /// The outline of a path, if its class is the part's and it is the one that
    /// stands for all its images in the part. Which of them that is, is left to
    /// chance, the same every time: so empty positions are spread evenly.
    fn found(&self, path: &Path, mirrors_as_one: bool) -> Option<Found> {
        let rows = self.diagram.outline(path);
        let chance = |rows: &Rows| rows.rows.iter().fold(0, |mix, &row| mixed(mix ^ u64::from(row)));
        let own = chance(&rows);
        let stands = self.motions.iter().all(|&m| {
            let image = rows.image(m);
            if image == rows {
                return self.group.0 >> m & 1 == 1;
            }
            self.alike >> m & 1 == 0 || (own, rows) < (chance(&image), image)
        });
        let cells =
            |rows: Rows| Found { cells: rows.normal(mirrors_as_one).cells(), symmetry: self.symmetry };
        stands.then(|| cells(rows))
    }
}

/// Outlines at a range of positions. To stop and go on later, keep
/// [`Walk::position`] and walk from there.
pub struct Walk<'a> {
    outlines: &'a Outlines,
    positions: Range<u128>,
    /// The part of the first position, and its path.
    at: Option<(usize, Path)>,
}

impl Walk<'_> {
    /// The first position not looked at yet.
    pub fn position(&self) -> u128 {
        self.positions.start
    }
}

impl Iterator for Walk<'_> {
    type Item = Found;

    fn next(&mut self) -> Option<Found> {
        while !self.positions.is_empty() {
            if self.at.is_none() {
                self.at = self.outlines.path(self.positions.start);
            }
            let (part, path) = self.at.as_mut()?;
            let part = &self.outlines.parts[*part];
            let found = part.found(path, self.outlines.mirrors_as_one);
            self.positions.start += 1;
            if !part.diagram.advance(path) {
                self.at = None;
            }
            if found.is_some() {
                return found;
            }
        }
        None
    }
}
