//! Ornaments: panels whose lines join over every seam, closed and turned.
//!
//! A side that bounds a void carries two ports, the edges of a band; a panel is
//! one of the joinings of its ports that do not cross. The bands of a panel make
//! the figure, what is between them the ground. Euler's number of the figure is
//! the same at both ends, so loops closed less loops turned is twice the holes
//! closed less the holes turned.
//!
//! [`solve`] is a search along a frontier (`solve`, `track`) that keeps only the
//! best states, and a bound of its own (`bound`, `clean`). Where the two meet,
//! the optimum is proven. `counts` judges what was found from its drawing alone.
//! `docs/sheets.md` says why this way and not another.

mod ask;
mod basis;
mod bound;
mod clean;
pub mod count;
mod joining;
mod plan;
mod solve;
mod track;

pub use ask::{Aim, Ask};
pub use count::{Counts, counts};
pub use joining::Joining;
pub use plan::{Symmetry, SymmetryError};

use crate::geometry::{End, Sheet};
use solve::{Cut, Goal, run};

/// An ornament, with what is known about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ornament {
    /// One joining a block, as it lies closed.
    pub panels: Vec<Joining>,
    /// What it shows closed.
    pub closed: Counts,
    /// What it shows turned.
    pub turned: Counts,
    /// What no ornament passes: the most holes closed, the fewest loops closed, or
    /// the most loops closed, by the aim.
    pub bound: usize,
    /// It reaches the bound: no other is better.
    pub proven: bool,
}

/// Why there is no ornament.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OrnamentError {
    /// The symmetry is not one of this sheet.
    #[error(transparent)]
    Symmetry(#[from] SymmetryError),
    /// The caller said so.
    #[error("stopped before an ornament was found")]
    Stopped,
    /// None was met on the way; a sheet of another size or hand may have one.
    #[error("no ornament was found that is equal to itself under this symmetry")]
    None,
}

/// Finds an ornament, and proves that none is better where that can be done.
///
/// # Errors
/// A symmetry that the sheet has not; the caller's stop.
pub fn solve(sheet: &Sheet, ask: &Ask, stop: &dyn Fn() -> bool) -> Result<Ornament, OrnamentError> {
    let steps = plan::steps(sheet, ask.symmetry)?;
    let mut goal = Goal::of(ask);
    let mut best: Option<Ornament> = None;
    let mut bound = None;
    for width in WIDTHS {
        let cut = Cut { ground: !ask.islands, width, open: false };
        let mut run = run(sheet, &steps, &goal, ask, &cut, stop).ok_or(OrnamentError::Stopped)?;
        if run.value().is_none() && run.complete && goal.one_loop {
            // Two rows or columns have too few seams to a panel for one loop: as few as can be.
            goal.one_loop = false;
            run = solve::run(sheet, &steps, &goal, ask, &cut, stop).ok_or(OrnamentError::Stopped)?;
        }
        if run.value().is_some() {
            let panels = run.panels(sheet, &steps, &goal, ask.seed);
            let [closed, turned] = End::BOTH.map(|end| counts(sheet, &panels, end));
            let known = told(ask.aim, &closed);
            let bound = match bound {
                _ if run.complete => known,
                Some(bound) => bound,
                None => *bound.insert(bound::bound(sheet, ask, &steps, stop).ok_or(OrnamentError::Stopped)?),
            };
            let better = match (&best, ask.aim) {
                (None, _) => true,
                (Some(b), Aim::Loops) => known < told(ask.aim, &b.closed),
                (Some(b), _) => known > told(ask.aim, &b.closed),
            };
            if better {
                best = Some(Ornament { panels, closed, turned, bound, proven: known == bound });
            }
        }
        // A wide sheet has no bound that a wider search would be likely to meet.
        let wide = sheet.columns().min(sheet.rows()) > bound::WHOLE;
        if best.as_ref().is_some_and(|b| b.proven || wide) {
            break;
        }
    }
    best.ok_or(OrnamentError::None)
}

/// How many joint states are kept before a step, one try after the other.
const WIDTHS: [usize; 3] = [3_000, 12_000, 60_000];

/// What an aim is told by.
fn told(aim: Aim, closed: &Counts) -> usize {
    match aim {
        Aim::Holes => closed.holes,
        Aim::Loops | Aim::Contrast => closed.loops,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Hand;

    fn square(n: usize) -> Sheet {
        Sheet::new(n, n, Hand::Right).unwrap()
    }

    fn found(sheet: &Sheet, aim: Aim, symmetry: Symmetry, islands: bool, seed: u64) -> Ornament {
        solve(sheet, &Ask { aim, symmetry, islands, seed }, &|| false).unwrap()
    }

    #[test]
    fn the_known_optima_are_found_and_proven() {
        // Holes closed with one loop turned, by an independent solver.
        for (n, symmetry, holes) in [
            (4, Symmetry::None, 3),
            (5, Symmetry::Quarter, 8),
            (6, Symmetry::None, 10),
            (7, Symmetry::Quarter, 12),
            (8, Symmetry::None, 21),
        ] {
            let best = found(&square(n), Aim::Holes, symmetry, false, 1);
            assert!(best.proven, "{n}");
            assert_eq!(
                (best.closed.holes, best.closed.loops, best.closed.islands),
                (holes, 2 * holes + 1, 0)
            );
            assert_eq!((best.turned.loops, best.turned.holes), (1, 0));
        }
    }

    #[test]
    fn islands_can_only_help_and_loops_can_be_one() {
        for (m, n) in [(2, 2), (2, 3), (3, 4), (5, 4), (6, 6)] {
            let sheet = Sheet::new(m, n, Hand::Left).unwrap();
            let [with, without] = [true, false].map(|i| found(&sheet, Aim::Holes, Symmetry::None, i, 3));
            assert!(with.proven && without.proven && with.closed.holes >= without.closed.holes);
            let one = found(&sheet, Aim::Loops, Symmetry::None, false, 3);
            assert!(one.proven && (m == 2 || (one.closed.loops == 1 && one.turned.loops == 1)));
            let contrast = found(&sheet, Aim::Contrast, Symmetry::None, false, 3);
            assert!(contrast.proven && (m == 2 || contrast.closed.loops == 2 * without.closed.holes + 1));
        }
    }

    #[test]
    fn a_seed_gives_another_equally_good_and_the_same_again() {
        let sheet = square(6);
        let all: Vec<Ornament> =
            (0..6).map(|seed| found(&sheet, Aim::Holes, Symmetry::None, false, seed)).collect();
        assert!(all.iter().all(|o| o.proven && o.closed.holes == 10));
        let different: std::collections::BTreeSet<&Vec<Joining>> = all.iter().map(|o| &o.panels).collect();
        assert!(different.len() >= 5);
        assert_eq!(all[2], found(&sheet, Aim::Holes, Symmetry::None, false, 2));
    }

    #[test]
    fn symmetry_holds_at_both_ends() {
        let sheet = square(5);
        let quarter = found(&sheet, Aim::Contrast, Symmetry::Quarter, true, 1);
        for block in 0..25 {
            let [i, j] = sheet.place(block);
            assert_eq!(quarter.panels[sheet.at(4 - j, i)], quarter.panels[block].turned(1));
        }
        for (m, n) in [(4, 4), (6, 4), (3, 4), (4, 3), (5, 6)] {
            let sheet = Sheet::new(m, n, Hand::Right).unwrap();
            let mirrored = found(&sheet, Aim::Holes, Symmetry::Mirror, false, 1);
            let rows = n.is_multiple_of(2) && (m <= n || !m.is_multiple_of(2));
            for block in 0..sheet.blocks() {
                let [i, j] = sheet.place(block);
                let (there, to) = if rows {
                    (sheet.at(i, n - 1 - j), [0, 3, 2, 1])
                } else {
                    (sheet.at(m - 1 - i, j), [2, 1, 0, 3])
                };
                assert_eq!(mirrored.panels[there], mirrored.panels[block].moved(to), "{m} × {n}");
            }
        }
        let none = |m, n, symmetry| {
            let sheet = Sheet::new(m, n, Hand::Right).unwrap();
            solve(&sheet, &Ask { aim: Aim::Holes, symmetry, islands: true, seed: 0 }, &|| false)
        };
        assert!(matches!(none(4, 4, Symmetry::Quarter), Err(OrnamentError::Symmetry(_))));
        assert!(matches!(none(3, 5, Symmetry::Mirror), Err(OrnamentError::Symmetry(_))));
    }

    #[test]
    fn it_stops_when_told_to() {
        let ask = Ask { aim: Aim::Holes, symmetry: Symmetry::None, islands: false, seed: 1 };
        assert_eq!(solve(&square(12), &ask, &|| true), Err(OrnamentError::Stopped));
    }
}
