//! A set's rules and pieces, and the classes of pieces that fold alike.

use std::sync::Arc;

use crate::fold::FoldSet;
use crate::piece::Piece;

/// The pieces that belong together, with the rules they share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Set {
    /// The pieces; one that comes in copies stands here once for each.
    pub pieces: Vec<Piece>,
    /// Levels in a block's height, at least 1.
    pub levels: u8,
    /// Whether pieces may lie on their face.
    pub turn_over: bool,
}

/// Pieces with the same set of folds: swapping them changes nothing.
#[derive(Clone, Debug)]
pub struct Class {
    /// Their folds.
    pub folds: Arc<FoldSet>,
    /// Their positions in the set, ascending.
    pub pieces: Vec<usize>,
}

impl Set {
    /// Blocks of all pieces together.
    pub fn blocks(&self) -> usize {
        self.pieces.iter().map(|p| p.blocks().len()).sum()
    }

    /// The folds of one piece under the set's rules.
    pub fn folds(&self, piece: usize) -> FoldSet {
        FoldSet::of(&self.pieces[piece], self.levels, self.turn_over)
    }

    /// The pieces by what they can become, classes in order of their first piece.
    pub fn classes(&self) -> Vec<Class> {
        self.classes_by(|p| self.folds(p))
    }

    /// The same, if each piece can become only what `folds` says. Pieces drawn
    /// alike are asked for once.
    pub fn classes_by(&self, folds: impl Fn(usize) -> FoldSet) -> Vec<Class> {
        let mut classes: Vec<Class> = Vec::new();
        for (p, piece) in self.pieces.iter().enumerate() {
            let drawn_alike = classes.iter().position(|c| &self.pieces[c.pieces[0]] == piece);
            if let Some(class) = drawn_alike {
                classes[class].pieces.push(p);
                continue;
            }
            let folds = folds(p);
            match classes.iter_mut().find(|c| c.folds.alike(&folds)) {
                Some(class) => class.pieces.push(p),
                None => classes.push(Class { folds: Arc::new(folds), pieces: vec![p] }),
            }
        }
        classes
    }
}
