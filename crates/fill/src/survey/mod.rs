//! Many outlines of one set, looked at one after another: the same answers as
//! [`pockets`](crate::pockets()) gives, without what a single outline has no use for.

use lattice::{Cell, Class, Outline, Set, Vertex};

use crate::pockets::{PocketAsk, PocketSet, pockets};

/// What is asked of each outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SurveyAsk {
    /// The layout that is left need not drop in.
    pub interlocked: bool,
    /// Layouts to list at most; with more, the look is not complete.
    pub most_layouts: u64,
    /// Also look for the largest pocket set.
    pub largest: bool,
}

impl Default for SurveyAsk {
    fn default() -> Self {
        SurveyAsk { interlocked: false, most_layouts: 200_000, largest: false }
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
    /// Layouts among them that drop in.
    pub drop_in: u64,
    /// Whether all of them were found. Where not, no pocket set is given.
    pub complete: bool,
    /// The fewest pockets that leave one layout.
    pub smallest: Option<Alone>,
    /// The most pockets that leave one layout, if it was asked for.
    pub largest: Option<Alone>,
}

/// Looks at outlines of one set, keeping from one to the next what they share.
pub struct Survey<'a> {
    set: &'a Set,
    classes: &'a [Class],
}

impl<'a> Survey<'a> {
    /// A survey of outlines for `set`, each piece in the folds of its class.
    pub fn new(set: &'a Set, classes: &'a [Class]) -> Self {
        Survey { set, classes }
    }

    /// Looks at the outline of `cells`, none of which stays empty.
    pub fn look(&mut self, cells: &[Cell], ask: &SurveyAsk) -> Look {
        let outline = Outline::new(cells.iter().copied(), [], 0).expect("an outline has cells");
        let wish = PocketAsk {
            interlocked: ask.interlocked,
            most_layouts: ask.most_layouts,
            ..PocketAsk::default()
        };
        let found = pockets(self.set, self.classes, &outline, &wish);
        let alone = |p: PocketSet| Alone { pockets: p.pockets, same_size: p.same_size, proven: p.proven };
        Look {
            layouts: found.layouts_open,
            different: found.different_open,
            drop_in: 0,
            complete: found.complete,
            smallest: found.smallest.filter(|_| found.complete).map(alone),
            largest: found.largest.filter(|_| found.complete && ask.largest).map(alone),
        }
    }
}
