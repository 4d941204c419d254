//! One outline and what was seen of it.

use fill::Look;
use lattice::{Cell, Outline, Vertex};

use crate::outlines::{Score, Weights};

/// One of the figures that a ranking is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// What it measures, in a word.
    pub name: &'static str,
    /// How much it counts.
    pub weight: f64,
    /// 0 (worst) to 1 (best).
    pub value: f64,
}

/// An outline that was looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Find {
    /// Its place in the order in which outlines came, from 0: with it, equal
    /// ranks have one order.
    pub place: u64,
    /// Its cells, sorted.
    pub cells: Vec<Cell>,
    /// How many of them stay empty in a filling.
    pub spare: usize,
    /// What the survey saw.
    pub look: Look,
    /// How good it looks, 0 to 1.
    pub score: f64,
    /// What the score is made of.
    pub terms: Vec<Term>,
    /// How it was come by, in short sentences.
    pub notes: Vec<String>,
}

impl Find {
    /// An outline, scored by its looks; `likeness` to the maker's own pictures,
    /// 0 to 1, where it is known.
    pub fn new(place: u64, cells: Vec<Cell>, look: Look, likeness: Option<f64>) -> Find {
        let weights = Weights::default();
        let looks = Score::of(&cells, likeness, &weights);
        let mut terms = vec![
            Term { name: "symmetry", weight: weights.symmetry, value: looks.symmetry },
            Term { name: "compactness", weight: weights.compactness, value: looks.compactness },
            Term { name: "protrusions", weight: weights.protrusions, value: looks.protrusions },
        ];
        terms.extend(looks.likeness.map(|value| Term { name: "likeness", weight: weights.likeness, value }));
        Find { place, cells, spare: 0, look, score: looks.total, terms, notes: vec![] }
    }

    /// Whether a survey could see more of it: it was looked at briefly. One with
    /// cells that stay empty was seen without a survey.
    pub fn is_brief(&self) -> bool {
        self.look.drop_in.is_none() && self.spare == 0
    }

    /// Whether all its layouts were listed, and some pockets leave it one.
    pub fn is_good(&self) -> bool {
        self.look.complete && self.look.smallest.is_some()
    }

    /// The pockets to publish it with: the fewest that leave one layout. None
    /// if no set does.
    pub fn pockets(&self) -> Option<&[Vertex]> {
        self.look.smallest.as_ref().map(|alone| &alone.pockets[..])
    }

    /// The outline with those pockets, or with none.
    pub fn outline(&self) -> Outline {
        let pockets = self.pockets().unwrap_or(&[]);
        Outline::new(self.cells.iter().copied(), pockets.iter().copied(), self.spare)
            .expect("an outline that was looked at has cells, and its pockets stand on its edge")
    }

    /// The value of one of the terms.
    pub fn term(&self, name: &str) -> Option<f64> {
        self.terms.iter().find(|t| t.name == name).map(|t| t.value)
    }
}
