//! Many outlines of one set, looked at one after another: the same answers as
//! [`pockets`](crate::pockets()) gives, hundreds of times faster.
//!
//! Listing layouts is hopeless at thousands of outlines a second: one of twenty
//! cells can have a hundred thousand. But most of a layout matters only to its
//! neighbours. So an outline is taken apart into regions ([`regions`]), and what
//! pieces on a region can do to the rest of the outline is a small table,
//! whatever the number of layouts behind it ([`rows`]). Layouts are counted and
//! the least footprints found where the first pieces meet the rest ([`meet`]).
//!
//! What a set needs for this is made once ([`prepared`]), an outline is laid on a
//! grid that is used again and again ([`board`]), and nothing is allocated anew.
//!
//! Outlines that a turn maps onto themselves, and those beyond the bounds of the
//! tables, are looked at by listing.

mod board;
mod lone;
mod meet;
mod prepared;
mod regions;
mod rows;

use std::borrow::Cow;

use lattice::{Cell, Class, Outline, Set, Vertex};

use crate::filling::{Ask, fill};
use crate::pockets::{PocketAsk, PocketSet, pockets};
use board::Board;
use meet::{Meet, Whole};
use prepared::Prepared;
use regions::Regions;

/// What is asked of each outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SurveyAsk {
    /// The layout that is left need not drop in.
    pub interlocked: bool,
    /// Where layouts must be listed: this many at most. What is asked beyond is left out of
    /// an outline with more.
    pub most_layouts: u64,
    /// Steps that the tables of an outline may take, by which time and memory are bounded:
    /// beyond, it is looked at by listing.
    pub most_joins: usize,
    /// Also look for the largest pocket set, by listing.
    pub largest: bool,
    /// Also count the layouts that drop in, by listing.
    pub drop_in: bool,
}

impl Default for SurveyAsk {
    fn default() -> Self {
        SurveyAsk {
            interlocked: false,
            most_layouts: 200_000,
            most_joins: 3_000_000,
            largest: false,
            drop_in: false,
        }
    }
}

/// A pocket set that leaves one essentially different layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alone {
    /// The pockets, sorted.
    pub pockets: Vec<Vertex>,
    /// How many sets of this size do as well.
    pub same_size: u64,
    /// Whether no better size exists.
    pub proven: bool,
}

/// What was seen of one outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look {
    /// Layouts with a pocket everywhere; at least so many if not complete.
    pub layouts: u64,
    /// Essentially different ones among them.
    pub different: u64,
    /// Layouts among them that drop in, if it was asked for.
    pub drop_in: Option<u64>,
    /// Whether all of them were found. Where not, no pocket set is given.
    pub complete: bool,
    /// The fewest pockets that leave one layout.
    pub smallest: Option<Alone>,
    /// The most pockets that leave one layout, if it was asked for.
    pub largest: Option<Alone>,
}

/// Looks at outlines of one set, keeping its memory from one to the next.
pub struct Survey<'a> {
    set: Cow<'a, Set>,
    classes: Cow<'a, [Class]>,
    prepared: Option<Prepared>,
    board: Board,
    regions: Regions,
    meet: Meet,
}

impl<'a> Survey<'a> {
    /// A survey of outlines for `set`, each piece in the folds of its class.
    pub fn new(set: &'a Set, classes: &'a [Class]) -> Self {
        Survey::of(Cow::Borrowed(set), Cow::Borrowed(classes))
    }

    /// One that keeps its set: for who asks now and then, for as long as the set stays.
    pub fn keeping(set: Set, classes: Vec<Class>) -> Survey<'static> {
        Survey::of(Cow::Owned(set), Cow::Owned(classes))
    }

    fn of(set: Cow<'a, Set>, classes: Cow<'a, [Class]>) -> Self {
        let prepared = Prepared::new(&set, &classes);
        let (board, regions, meet) = (Board::new(), Regions::default(), Meet::default());
        Survey { set, classes, prepared, board, regions, meet }
    }

    /// Looks at the outline of `cells`, none of which stays empty.
    pub fn look(&mut self, cells: &[Cell], ask: &SurveyAsk) -> Look {
        let cells = &*sorted(cells);
        if cells.is_empty() || cells.len() != self.set.blocks() {
            return Look::nothing();
        }
        // Made only where it is listed: most outlines are settled by tables alone.
        let outline = || Outline::new(cells.iter().copied(), [], 0).expect("an outline with cells is sound");
        let Some(mut look) = self.tabled(cells, ask) else {
            return by_listing(&self.set, &self.classes, &outline(), ask);
        };
        // What takes listing is left out where there is too much to list.
        if look.layouts > ask.most_layouts {
            return look;
        }
        if ask.largest && look.smallest.is_some() {
            let ask = SurveyAsk { drop_in: false, ..*ask };
            look.largest = by_listing(&self.set, &self.classes, &outline(), &ask).largest;
        }
        if ask.drop_in {
            look.drop_in = drop_in_layouts(&self.set, &self.classes, &outline());
        }
        look
    }

    /// What the tables alone tell, where they serve: of an outline that no turn maps onto
    /// itself, within [`SurveyAsk::most_joins`]. Nothing is listed, so there is no largest
    /// pocket set and no count of those that drop in.
    pub fn glance(&mut self, cells: &[Cell], ask: &SurveyAsk) -> Option<Look> {
        let cells = &*sorted(cells);
        if cells.is_empty() || cells.len() != self.set.blocks() {
            return Some(Look::nothing());
        }
        self.tabled(cells, ask)
    }

    /// By tables; none where they do not serve.
    fn tabled(&mut self, cells: &[Cell], ask: &SurveyAsk) -> Option<Look> {
        let set = self.prepared.as_ref()?;
        if turns_onto_itself(cells) || !self.board.lay(set, cells) {
            return None;
        }
        self.regions.most = ask.most_joins;
        let layouts = self.meet.layouts(set, &mut self.board, &mut self.regions);
        if self.regions.overfull {
            return None;
        }
        let found = self.meet.smallest(&self.board, &mut self.regions);
        let alone: Vec<u64> = found
            .iter()
            .filter(|(taken, layout)| {
                ask.interlocked || lone::drops_in(set, &self.board, &parts(*layout), *taken)
            })
            .map(|(taken, _)| *taken)
            .collect();
        // Where none of them drops in, a larger set may, which the tables left out.
        if alone.is_empty() && !found.is_empty() {
            return None;
        }
        let smallest = alone.first().map(|&taken| Alone {
            pockets: self.board.vertices(taken),
            same_size: alone.len() as u64,
            proven: true,
        });
        Some(Look { layouts, different: layouts, drop_in: None, complete: true, smallest, largest: None })
    }
}

impl Look {
    /// Nothing fills an outline of another area.
    fn nothing() -> Self {
        Look { layouts: 0, different: 0, drop_in: Some(0), complete: true, smallest: None, largest: None }
    }
}

/// The cells in order, each once; most callers have them so.
fn sorted(cells: &[Cell]) -> Cow<'_, [Cell]> {
    if cells.is_sorted_by(|a, b| a < b) {
        return Cow::Borrowed(cells);
    }
    let mut own = cells.to_vec();
    own.sort_unstable();
    own.dedup();
    Cow::Owned(own)
}

/// The parts of a layout, one to a piece, as in [`board::Choice::part`].
fn parts((front, rest): Whole) -> Vec<u64> {
    let parts = |half: u64| (0..4).map(move |i| half >> (16 * i) & 0xffff);
    parts(front).chain(parts(rest)).filter(|part| *part != 0).collect()
}

/// Whether a half or quarter turn maps the cells, sorted and at least one, onto themselves.
fn turns_onto_itself(cells: &[Cell]) -> bool {
    // A quarter turn done twice is a half turn.
    let (low, high) = (cells[0].x, cells[cells.len() - 1].x);
    let bottom = cells.iter().map(|c| c.y).min().unwrap_or(0);
    let top = cells.iter().map(|c| c.y).max().unwrap_or(0);
    let turned = cells.iter().rev().map(|c| Cell::new(low + high - c.x, bottom + top - c.y));
    turned.eq(cells.iter().copied())
}

fn drop_in_layouts(set: &Set, classes: &[Class], outline: &Outline) -> Option<u64> {
    let counts = fill(set, classes, &outline.open(), &Ask::default()).counts;
    counts.drop_in_layouts.and_then(|n| u64::try_from(n).ok())
}

fn by_listing(set: &Set, classes: &[Class], outline: &Outline, ask: &SurveyAsk) -> Look {
    let wish =
        PocketAsk { interlocked: ask.interlocked, most_layouts: ask.most_layouts, ..PocketAsk::default() };
    let found = pockets(set, classes, outline, &wish);
    let alone = |p: PocketSet| Alone { pockets: p.pockets, same_size: p.same_size, proven: p.proven };
    Look {
        layouts: found.layouts_open,
        different: found.different_open,
        drop_in: (ask.drop_in && found.complete).then(|| drop_in_layouts(set, classes, outline)).flatten(),
        complete: found.complete,
        smallest: found.smallest.filter(|_| found.complete).map(alone),
        largest: found.largest.filter(|_| found.complete && ask.largest).map(alone),
    }
}
