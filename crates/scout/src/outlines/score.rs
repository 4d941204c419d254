//! How an outline looks, as a number with every term visible.

use lattice::Cell;

/// What each term counts for; only their proportions matter.
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
    /// The least possible perimeter of so many cells, over its own.
    pub compactness: f64,
    /// 1 less the share of cells that stick out.
    pub protrusions: f64,
    /// Likeness to the maker's own pictures, as handed in.
    pub likeness: Option<f64>,
    /// The weighted mean of the terms that are there.
    pub total: f64,
}

impl Score {
    /// The score of an outline; `likeness` from 0 to 1, if it is known.
    pub fn of(cells: &[Cell], likeness: Option<f64>, weights: &Weights) -> Score {
        let _ = (cells, weights);
        Score { symmetry: 0.0, compactness: 0.0, protrusions: 0.0, likeness, total: 0.0 }
    }
}
