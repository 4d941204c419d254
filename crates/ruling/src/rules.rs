//! What a set's entries are judged by.

use std::sync::OnceLock;

use lattice::{Class, FoldSet, Set};

/// Letters and digits: no more pieces can be told apart in writing.
const MOST_PIECES: usize = 62;

/// Why layouts of a set can't be written down.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RulesFault {
    /// Not one letter a piece.
    #[error("there are {letters} letters for {pieces} pieces")]
    Count {
        /// Letters given.
        letters: usize,
        /// Pieces of the set.
        pieces: usize,
    },
    /// More pieces than letters and digits.
    #[error("layouts of {pieces} pieces can't be written in single letters; up to {MOST_PIECES} can")]
    TooMany {
        /// Pieces of the set.
        pieces: usize,
    },
    /// No plain letter or digit.
    #[error("piece {piece} has the mark '{letter}', which is no plain letter or digit")]
    NotPlain {
        /// The piece.
        piece: usize,
        /// Its mark.
        letter: char,
    },
    /// One letter for two pieces.
    #[error("pieces {first} and {second} have the same letter, '{letter}'")]
    Twice {
        /// The earlier piece.
        first: usize,
        /// The later piece.
        second: usize,
        /// Their letter.
        letter: char,
    },
}

/// A set with what its entries are judged by: which folds a filling may use,
/// whether it must drop in, and the letters that stand for the pieces.
#[derive(Debug)]
pub struct Rules {
    pub(crate) set: Set,
    pub(crate) classes: Vec<Class>,
    pub(crate) interlocked: bool,
    pub(crate) letters: Vec<char>,
    /// By piece, its class.
    pub(crate) class: Vec<usize>,
    /// By the first piece drawn so: all its folds, whatever the rule allows.
    all: Vec<OnceLock<FoldSet>>,
}

impl Rules {
    /// Rules by which a filling may use the folds of `classes` ([`Set::classes`], or
    /// fewer by [`Set::classes_by`]) and must drop in unless `interlocked`;
    /// `letters` has the mark of each piece, in the order of the set.
    ///
    /// # Errors
    /// Every fault of the letters: not one each, not plain, not distinct.
    ///
    /// # Panics
    /// If `classes` are not those of the set: a piece is in none of them.
    pub fn new(
        set: Set,
        classes: Vec<Class>,
        interlocked: bool,
        letters: Vec<char>,
    ) -> Result<Self, Vec<RulesFault>> {
        let pieces = set.pieces.len();
        let mut faults = Vec::new();
        if letters.len() != pieces {
            faults.push(RulesFault::Count { letters: letters.len(), pieces });
        }
        if pieces > MOST_PIECES {
            faults.push(RulesFault::TooMany { pieces });
        }
        for (piece, &letter) in letters.iter().enumerate().filter(|_| pieces <= MOST_PIECES) {
            if !letter.is_ascii_alphanumeric() {
                faults.push(RulesFault::NotPlain { piece, letter });
            }
            if let Some(first) = letters[..piece].iter().position(|&l| l == letter) {
                faults.push(RulesFault::Twice { first, second: piece, letter });
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let class =
            |p| classes.iter().position(|c| c.pieces.contains(&p)).expect("every piece is in a class");
        let class = (0..pieces).map(class).collect();
        let all = (0..pieces).map(|_| OnceLock::new()).collect();
        Ok(Rules { set, classes, interlocked, letters, class, all })
    }

    /// The set.
    pub fn set(&self) -> &Set {
        &self.set
    }

    /// The pieces by what they may become in a filling.
    pub fn classes(&self) -> &[Class] {
        &self.classes
    }

    /// Whether layouts that do not drop in count, too.
    pub fn interlocked(&self) -> bool {
        self.interlocked
    }

    /// The letter of each piece, in the order of the set.
    pub fn letters(&self) -> &[char] {
        &self.letters
    }

    /// The folds that a piece may take in a filling.
    pub(crate) fn allowed(&self, piece: usize) -> &FoldSet {
        &self.classes[self.class[piece]].folds
    }

    /// All folds of a piece, its own poses in them; made when first asked for.
    pub(crate) fn all(&self, piece: usize) -> &FoldSet {
        let drawn = &self.set.pieces[piece];
        let first = self.set.pieces.iter().position(|p| p == drawn).unwrap_or(piece);
        self.all[first].get_or_init(|| self.set.folds(first))
    }

    /// The piece whose letter this is; a small letter that no piece has stands for its
    /// capital.
    pub(crate) fn piece_of(&self, letter: char) -> Option<usize> {
        let find = |l: char| self.letters.iter().position(|&own| own == l);
        find(letter).or_else(|| find(letter.to_ascii_uppercase()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::{Cell, Piece};

    #[test]
    fn letters_must_tell_the_pieces_apart() {
        let one = Piece::hinged(vec![Cell::new(0, 0)], vec![]).unwrap();
        let rules = |count: usize, letters: &str| {
            let set = Set { pieces: vec![one.clone(); count], levels: 1, turn_over: false };
            let classes = set.classes();
            Rules::new(set, classes, false, letters.chars().collect()).map(|r| r.piece_of('a'))
        };
        assert_eq!(rules(2, "BA"), Ok(Some(1)));
        assert_eq!(rules(3, "BAa"), Ok(Some(2)));
        assert_eq!(rules(2, "B"), Err(vec![RulesFault::Count { letters: 1, pieces: 2 }]));
        assert_eq!(
            rules(2, "ÄÄ").unwrap_err(),
            [
                RulesFault::NotPlain { piece: 0, letter: 'Ä' },
                RulesFault::NotPlain { piece: 1, letter: 'Ä' },
                RulesFault::Twice { first: 0, second: 1, letter: 'Ä' },
            ]
        );
        assert_eq!(rules(63, &"A".repeat(63)), Err(vec![RulesFault::TooMany { pieces: 63 }]));
    }
}
