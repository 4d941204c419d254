//! Why a document was not made.

use paper::PaperError;

/// Why a document was not made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TypesetError {
    /// Characters that no font here has, each with a text that it stands in.
    #[error("no font has {}", .missing.iter().map(told).collect::<Vec<_>>().join("; "))]
    NoGlyph {
        /// The characters, each once, with the first text that has it.
        missing: Vec<(char, String)>,
    },
    /// A control character, or one of private meaning: it can be neither printed nor read aloud.
    #[error("{} cannot be printed: U+{:04X} in {text:?}", what(*.character), u32::from(*.character))]
    Unprintable {
        /// The character.
        character: char,
        /// The text it stands in.
        text: String,
    },
    /// Bytes that are not a font, or one that must not be embedded.
    #[error("font {number} is no font that can be read (TrueType or OpenType, as bytes)")]
    BadFont {
        /// Which of the further fonts, from 1.
        number: usize,
    },
    /// A document without what it is about.
    #[error("there is nothing to set: {what}")]
    Nothing {
        /// What is missing.
        what: &'static str,
    },
    /// A plate with a measure that is no length.
    #[error("{what} is {value} mm; a length above 0 and below 10000 mm is needed")]
    BadLength {
        /// What it measures.
        what: String,
        /// The measure as given.
        value: f64,
    },
    /// A date that no calendar has.
    #[error("{year}-{month:02}-{day:02} is no date")]
    BadDate {
        /// The year.
        year: i32,
        /// The month, 1 to 12.
        month: u8,
        /// The day of the month.
        day: u8,
    },
    /// A picture that could not be drawn.
    #[error("a picture for the page could not be drawn: {0}")]
    Picture(#[from] PaperError),
    /// A picture could not be turned into a page of its own.
    #[error("the picture could not be turned into a page: {reason}")]
    Page {
        /// What the writer said.
        reason: String,
    },
    /// The typesetter itself refused: a mistake of ours in a template.
    #[error("the page could not be set: {reason}")]
    Template {
        /// Its words.
        reason: String,
    },
}

fn told((character, text): &(char, String)) -> String {
    format!("{character:?} (U+{:04X}) in {text:?}", u32::from(*character))
}

fn what(character: char) -> &'static str {
    if character.is_control() { "a control character" } else { "a character without a public meaning" }
}
