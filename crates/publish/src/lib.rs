//! Packs: what a maker publishes, as named files with their bytes; and pictures
//! for shops and posts.
//!
//! What this crate promises:
//! - a pack is sound by [`verify()`] the moment it is composed, and equal input
//!   gives equal bytes, the archive included;
//! - no answer is in a pack: what is sealed ([`Sealed`]) stands in it as a
//!   commitment alone, which later answers can be held against;
//! - an outline has one number over all packs ([`numbers()`]);
//! - no bytes make [`verify()`] panic, run long or take much memory;
//! - no disk, no clock, no chance: texts of the maker's own, the salt and the
//!   search's answers are handed in.

mod answers;
mod archive;
mod compose;
mod licence;
mod manifest;
mod numbers;
pub mod pages;
mod papers;
pub mod pictures;
mod readme;
mod seal;
pub mod template;
mod tour;
mod verify;

pub use answers::{Answered, MOST_LAYOUTS};
pub use archive::{FileInPack, archive};
pub use compose::{Composed, Order, Refused, check_readme, compose, outlines};
pub use manifest::{Manifest, ManifestFile, NumberedOutline};
pub use numbers::{NumberFault, numbers, unnumbered};
pub use seal::{Sealed, seal};
pub use tour::{Tour, tour};
pub use verify::{Fault, NoPack, Verified, verify};
