//! Cards: nine outlines to a sheet, with cut marks, and their backs.
//!
//! Sheets come in pairs, front then back, for printing on both sides with the
//! paper turned over its long edge: the back's columns run the other way, so
//! that each back meets its front. Cards touch, so one cut parts two of them.

use crate::booklet::{Problem, extent, problem};
use crate::error::TypesetError;
use crate::imprint::Imprint;
use crate::picture::pitch_for;
use crate::typesetter::{Document, Typesetter};
use crate::value::{dict, list};

/// Width and height of a card in millimetres: three by three stay 12 mm and
/// more away from the edges of A4 and of US Letter.
pub const CARD: (f64, f64) = (62.0, 84.0);
/// Cards across and down a sheet.
pub const CARDS_A_SHEET: (usize, usize) = (3, 3);

const ROOM: (f64, f64) = (52.0, 52.0);
const MOST: f64 = 9.0;

/// Cards.
#[derive(Clone, Debug)]
pub struct Cards<'a> {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The outlines, in order.
    pub problems: Vec<Problem<'a>>,
}

impl Typesetter {
    /// Sets cards: sheet after sheet, each front followed by its back.
    ///
    /// # Errors
    /// No outlines, a picture that can't be drawn, a character that no font has.
    pub fn cards(&self, cards: &Cards<'_>) -> Result<Document, TypesetError> {
        if cards.problems.is_empty() {
            return Err(TypesetError::Nothing { what: "cards need at least one outline" });
        }
        let words = &self.words;
        // Each at the largest scale that its card has room for.
        let shown = cards.problems.iter().map(|p| {
            let pitch = pitch_for(std::iter::once(extent(p.outline)), ROOM, MOST);
            problem(p, pitch, words).map(Into::into)
        });
        let fields = dict([
            ("problems", list(shown.collect::<Result<Vec<_>, TypesetError>>()?)),
            ("width", CARD.0.into()),
            ("height", CARD.1.into()),
            ("columns", CARDS_A_SHEET.0.into()),
            ("rows", CARDS_A_SHEET.1.into()),
        ]);
        self.set("cards.typ", &words.say("cards-kind", &[]), &cards.imprint, fields)
    }
}
