//! What keeps a written layout from being one.

use lattice::{Cell, Vertex};

use crate::sheet::Sheet;

/// One thing that is wrong with a layout, true of it as written. Pieces are
/// positions in the set.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Fault {
    /// A piece covers too few or too many cells.
    Blocks {
        /// The piece.
        piece: usize,
        /// Cells it covers.
        found: usize,
        /// Blocks it has.
        blocks: usize,
    },
    /// More or fewer cells are left empty than the outline says.
    Empty {
        /// How many are.
        found: usize,
        /// How many should be.
        spare: usize,
    },
    /// Cells of a piece touch none of its others, not even at a corner.
    Torn {
        /// The piece.
        piece: usize,
        /// The cells of its smallest loose part, sorted.
        cells: Vec<Cell>,
    },
    /// No fold of the piece has this shape.
    NoFold {
        /// The piece.
        piece: usize,
    },
    /// The piece has this shape only lying on its face, which the set forbids.
    TurnedOver {
        /// The piece.
        piece: usize,
    },
    /// The piece has folds of this shape, but the rule on folds leaves them all out.
    NotReached {
        /// The piece.
        piece: usize,
    },
    /// However the piece is folded into its shape, one of its hinges stands in the wall.
    Walled {
        /// The piece.
        piece: usize,
        /// Vertices without a pocket: every fold has a hinge at one of them.
        at: Vec<Vertex>,
    },
    /// However these pieces are folded into their shapes, two of their hinges stand on
    /// one vertex and level.
    HingesMeet {
        /// The pieces: two, unless only more together run into each other.
        pieces: Vec<usize>,
        /// Where: always at one of these at least.
        at: Vec<Vertex>,
    },
    /// However these pieces are folded into their shapes, each waits for another to be
    /// put in first: they can't be lowered in one at a time.
    Interlocked {
        /// The pieces.
        pieces: Vec<usize>,
        /// Where they have hinges over each other.
        at: Vec<Vertex>,
    },
}

impl Fault {
    /// A word for its kind: `blocks`, `empty`, `torn`, `no fold`, `turned over`,
    /// `not reached`, `walled`, `hinges meet`, `interlocked`.
    pub fn kind(&self) -> &'static str {
        match self {
            Fault::Blocks { .. } => "blocks",
            Fault::Empty { .. } => "empty",
            Fault::Torn { .. } => "torn",
            Fault::NoFold { .. } => "no fold",
            Fault::TurnedOver { .. } => "turned over",
            Fault::NotReached { .. } => "not reached",
            Fault::Walled { .. } => "walled",
            Fault::HingesMeet { .. } => "hinges meet",
            Fault::Interlocked { .. } => "interlocked",
        }
    }

    /// The pieces it is about.
    pub fn pieces(&self) -> &[usize] {
        match self {
            Fault::Empty { .. } => &[],
            Fault::Blocks { piece, .. }
            | Fault::Torn { piece, .. }
            | Fault::NoFold { piece }
            | Fault::TurnedOver { piece }
            | Fault::NotReached { piece }
            | Fault::Walled { piece, .. } => std::slice::from_ref(piece),
            Fault::HingesMeet { pieces, .. } | Fault::Interlocked { pieces, .. } => pieces,
        }
    }

    /// The vertices it is about.
    pub fn at(&self) -> &[Vertex] {
        match self {
            Fault::Walled { at, .. } | Fault::HingesMeet { at, .. } | Fault::Interlocked { at, .. } => at,
            _ => &[],
        }
    }

    /// One sentence for people: which piece, what is wrong, where.
    pub fn says(&self, sheet: &Sheet) -> String {
        let letter = |p: &usize| sheet.rules.letters[*p].to_string();
        let corners = |at: &[Vertex], last: &str| {
            let points: Vec<String> = at.iter().map(|&v| sheet.corner_words(v)).collect();
            listed(&points, last)
        };
        match self {
            Fault::Blocks { piece, found, blocks } => {
                format!(
                    "{} covers {} but has {}",
                    letter(piece),
                    counted(*found, "cell"),
                    counted(*blocks, "block")
                )
            }
            Fault::Empty { found, spare } => {
                format!("{} left empty; this outline leaves {spare} empty", are(*found))
            }
            Fault::Torn { piece, cells } => {
                let cells: Vec<String> = cells.iter().map(|&c| sheet.cell_words(c)).collect();
                let cells = cells.join(" and ");
                format!("{} is torn apart: no other block of it touches {cells}", letter(piece))
            }
            Fault::NoFold { piece } => format!("{} can't be folded into this shape", letter(piece)),
            Fault::TurnedOver { piece } => {
                format!(
                    "{} has this shape only when it is turned over, and pieces of this set are not",
                    letter(piece)
                )
            }
            Fault::NotReached { piece } => {
                format!(
                    "{} can't be brought into this shape by the motions that this set allows",
                    letter(piece)
                )
            }
            Fault::Walled { piece, at } => format!(
                "{} in this shape needs a hinge at {}, where the wall has no pocket",
                letter(piece),
                corners(at, "or")
            ),
            Fault::HingesMeet { pieces, at } => format!(
                "two hinges of {} meet on one level, however they are folded: at {}",
                listed(&pieces.iter().map(letter).collect::<Vec<_>>(), "and"),
                corners(at, "or")
            ),
            Fault::Interlocked { pieces, at } => format!(
                "{} can't be lowered in one at a time, however folded: their hinges stand over each other at {}",
                listed(&pieces.iter().map(letter).collect::<Vec<_>>(), "and"),
                corners(at, "and")
            ),
        }
    }
}

fn counted(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

fn are(n: usize) -> String {
    format!("{} {}", counted(n, "cell"), if n == 1 { "is" } else { "are" })
}

fn listed(words: &[String], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., end] => format!("{} {last} {end}", most.join(", ")),
    }
}
