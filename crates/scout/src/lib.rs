//! What is worth making: catalogues of all pieces, sets composed from them, and
//! outlines from nothing.
//!
//! What this crate promises: a catalogue has every piece once, and no other;
//! a ranking comes with every term it is made of. Equal input and seed give
//! equal output on any number of threads; no files, no clocks.

pub mod catalogue;
pub mod compose;
mod figures;
pub mod finds;
mod linkage;
pub mod outlines;
mod specimen;
pub mod table;
mod traits;

pub use catalogue::{Catalogue, Entry, Wanted, WantedError};
