//! Pages for print: the booklet, cards, answers, the maker's sheet, the plates'
//! plan, and a race's opening and standings; each as one PDF.
//!
//! What this crate promises: equal records give equal bytes; fonts are embedded
//! and text is text, so that it can be searched, copied and read aloud; pages
//! are tagged, pictures carry words; nothing is told by colour alone. What a
//! maker has written reaches the typesetter as a value and is never read as
//! markup. A character that no font has is told before anything is set. It
//! knows no project, no disk, no clock and no environment: whoever calls it
//! hands over records, and a date if one shall be printed.
//!
//! The sentences of all pages stand together in [`Words`].

mod answers;
mod booklet;
mod cards;
mod error;
mod fonts;
mod imprint;
mod lessons;
mod makers_sheet;
mod page;
mod picture;
mod plan;
mod race;
mod typesetter;
mod value;
mod words;

pub use answers::{Answered, Answers, Shown, Way};
pub use booklet::{Booklet, Problem};
pub use cards::{CARD, CARDS_A_SHEET, Cards};
pub use error::TypesetError;
pub use imprint::{Date, Grade, Imprint, PaperSize, Reach, Rules, Table};
pub use makers_sheet::{MakeBed, MakePart, MakersSheet, PartKind, Settings};
pub use page::page;
pub use plan::{Contour, Plan, PlatePlan};
pub use race::{Goal, Opening, Rank, Ranking, Standings};
pub use typesetter::{Document, Typesetter};
pub use words::{UnusableWords, Words};
