//! A layout written down by a person: read, written, and judged.
//!
//! Whoever has filled an outline tells which piece covers which cell, as rows
//! of letters (`CCF/CFF/…`) or as the short code that the entry page makes of
//! them. A [`Sheet`] reads both, tells every mistake of the hand
//! ([`Misread`]), and judges the layout: one that some folding has is accepted,
//! whichever it is; of any other it tells what is wrong ([`Fault`]) without
//! saying what would be right.
//!
//! What this crate promises:
//! - It finds the hinges by itself, shares no code with the search of `fill`,
//!   and accepts nothing that [`lattice::Folding::faults`] finds fault with.
//! - A fault is true of the layout as written: a piece said to run into the
//!   wall does so in every one of its folds.
//! - No text makes it panic or work for long. No files, clocks, printing;
//!   equal input, equal answers.

mod choice;
mod fault;
mod judge;
mod layout;
pub mod mark;
mod misread;
mod rows;
mod rules;
mod sheet;
mod short;
pub mod symbols;

pub use fault::Fault;
pub use judge::Accepted;
pub use layout::Layout;
pub use misread::Misread;
pub use rules::{Rules, RulesFault};
pub use sheet::Sheet;
