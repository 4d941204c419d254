//! Outlines from nothing: every outline of so many cells within a box, each
//! once, by symmetry; how it looks; and which finds are too much alike.
//!
//! What this module promises: an outline is met once and in one normal form
//! ([`normal`]); its place in the catalogue depends on what is wanted and on
//! nothing else, so a catalogue can be cut into shards, stopped and resumed at
//! any place; what has been seen of a class is an exact share.

mod board;
mod diagram;
mod form;
mod frame;
mod group;
mod layouts;
mod list;
mod looks;
mod sample;
mod score;
mod state;
mod symmetry;
mod variety;
mod votes;
mod wanted;

pub use form::{MOST_SIDE, normal};
pub use layouts::{Layout, layouts_apart};
pub use list::{Count, Found, Outlines, Walk};
pub use looks::looks_apart;
pub use sample::Sample;
pub use score::{Score, Weights};
pub use symmetry::{Symmetry, UnknownSymmetry};
pub use variety::{Apart, Find, thin};
pub use wanted::{Holes, Joined, Wanted, WantedError};
