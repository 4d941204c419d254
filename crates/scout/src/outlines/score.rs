//! How an outline looks, as a number with every term visible.
//!
//! The terms are a maker's habits put as numbers; none comes from a published
//! source but the least perimeter.

use lattice::Cell;
use rustc_hash::FxHashSet;

use super::symmetry::Symmetry;

/// What each term counts for; only their proportions matter. A weight that is
/// below 0 or no number counts as 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weights {
    /// For [`Score::symmetry`].
    pub symmetry: f64,
    /// For [`Score::compactness`].
    pub compactness: f64,
    /// For [`Score::protrusions`].
    pub protrusions: f64,
    /// For [`Score::likeness`].
    pub likeness: f64,
}

impl Default for Weights {
    fn default() -> Self {
        Weights { symmetry: 1.0, compactness: 1.0, protrusions: 1.0, likeness: 2.0 }
    }
}

/// How an outline looks; every term from 0 to 1, 1 the best.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// 0 without symmetry, a third for each doubling of the motions that keep it.
    pub symmetry: f64,
    /// The least perimeter that so many cells can have, over its own, holes
    /// included: 2 ⌈2 √n⌉ (F. Harary and H. Harborth (1976), "Extremal animals",
    /// J. Combin. Inform. System Sci. 1, 1-8; OEIS A027709).
    pub compactness: f64,
    /// The share of cells that do not stick out. A cell sticks out that is in no
    /// square of four cells of the outline: arms, necks and lone steps do.
    pub protrusions: f64,
    /// Likeness to the maker's own pictures, as handed in.
    pub likeness: Option<f64>,
    /// The weighted mean of the terms that are there; 0 if none of them counts.
    pub total: f64,
}

impl Score {
    /// The score of an outline; `likeness` from 0 to 1, if it is known.
    pub fn of(cells: &[Cell], likeness: Option<f64>, weights: &Weights) -> Score {
        let set: FxHashSet<Cell> = cells.iter().copied().collect();
        let count = set.len();
        let symmetry = Symmetry::of(cells).map_or(0.0, |s| f64::from(s.motions().ilog2()) / 3.0);
        let bare = |cell: &Cell| cell.sides().into_iter().filter(|side| !set.contains(side)).count();
        let perimeter: usize = set.iter().map(bare).sum();
        let (compactness, protrusions) = if count == 0 {
            (0.0, 0.0)
        } else {
            let broad = set.iter().filter(|&&cell| in_a_square(cell, &set)).count();
            (least_perimeter(count) as f64 / perimeter as f64, broad as f64 / count as f64)
        };
        let terms = [
            (Some(symmetry), weights.symmetry),
            (Some(compactness), weights.compactness),
            (Some(protrusions), weights.protrusions),
            (likeness, weights.likeness),
        ];
        let counted = terms.iter().filter(|t| t.1 > 0.0 && t.1.is_finite());
        let (sum, weight) = counted
            .filter_map(|&(term, weight)| Some((term? * weight, weight)))
            .fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1));
        let total = if weight > 0.0 { sum / weight } else { 0.0 };
        Score { symmetry, compactness, protrusions, likeness, total }
    }
}

/// 2 ⌈2 √n⌉ for n above 0, in whole numbers.
fn least_perimeter(cells: usize) -> usize {
    2 * ((4 * cells - 1).isqrt() + 1)
}

fn in_a_square(cell: Cell, set: &FxHashSet<Cell>) -> bool {
    let has = |dx, dy| set.contains(&cell.shifted(dx, dy));
    [(1, 1), (1, -1), (-1, 1), (-1, -1)].iter().any(|&(dx, dy)| has(dx, 0) && has(0, dy) && has(dx, dy))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(rows: &[&str]) -> Vec<Cell> {
        let row = |(y, row): (usize, &&str)| -> Vec<Cell> {
            let filled = row.char_indices().filter(|c| c.1 == '#');
            filled.map(|(x, _)| Cell::new(x as i32, y as i32)).collect()
        };
        rows.iter().enumerate().flat_map(row).collect()
    }

    fn score(text: &[&str]) -> Score {
        Score::of(&rows(text), None, &Weights::default())
    }

    #[test]
    fn a_square_is_the_best_there_is() {
        let square = score(&["###", "###", "###"]);
        assert_eq!(
            square,
            Score { symmetry: 1.0, compactness: 1.0, protrusions: 1.0, likeness: None, total: 1.0 }
        );
    }

    #[test]
    fn arms_stick_out_and_holes_have_edges() {
        let anvil = score(&["####", ".##.", ".##.", "#..."]);
        assert_eq!((anvil.symmetry, anvil.protrusions), (0.0, 6.0 / 9.0));
        let ring = score(&["###", "#.#", "###"]);
        assert_eq!((ring.symmetry, ring.protrusions, ring.compactness), (1.0, 0.0, 12.0 / 16.0));
        let hull = score(&["######", ".####."]);
        assert_eq!(hull.symmetry, 1.0 / 3.0);
    }

    #[test]
    fn likeness_and_weights_are_the_makers() {
        let cells = rows(&["##", "#."]);
        let only = Weights { symmetry: 0.0, compactness: f64::NAN, protrusions: -1.0, likeness: 3.0 };
        assert_eq!(Score::of(&cells, Some(0.25), &only).total, 0.25);
        assert_eq!(Score::of(&cells, None, &only).total, 0.0);
        assert_eq!(Score::of(&[], None, &Weights::default()).total, 0.0);
    }

    /// A027709, as listed in The On-Line Encyclopedia of Integer Sequences.
    #[test]
    fn least_perimeters_are_as_published() {
        let published = [
            4, 6, 8, 8, 10, 10, 12, 12, 12, 14, 14, 14, 16, 16, 16, 16, 18, 18, 18, 18, 20, 20, 20, 20, 20,
            22,
        ];
        for (i, &perimeter) in published.iter().enumerate() {
            assert_eq!(least_perimeter(i + 1), perimeter);
        }
    }
}
