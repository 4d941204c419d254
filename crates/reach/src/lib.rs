//! Which folds the hand reaches, one swing at a time.
//!
//! A *swing* turns everything on one side of one hinge by a quarter turn about
//! its pin while the rest stands still. The lattice says where it starts and
//! where it ends; whether anything is in the way in between depends on how
//! wide the bodies are printed, so this crate reads millimetres and stands
//! apart from the lattice.
//!
//! What this crate promises: a swing called clear is clear, with air between
//! all bodies at every angle; a swing called blocked has two bodies that
//! overlap or come within a millionth of a pitch of each other ([`plan`] has
//! the bound, `sweep.rs` the proof). Nothing is sampled. What single swings do
//! not reach is listed, and so are the hinges that no single swing turns; how
//! the poses fall into classes that swings join is told too.
//! Equal input gives equal output; no files, clocks or threads.

mod body;
mod home;
mod path;
pub mod plan;
mod poses;
mod reached;
#[cfg(test)]
mod sampled;
#[cfg(test)]
mod specimens;
mod sweep;
mod swing;

pub use home::{Bed, Home};
pub use path::{Path, Step};
pub use plan::{Plan, PlanError, Size, Sizes};
pub use poses::{Classes, Joined, drawn, openings, poses};
pub use reached::Reach;
pub use swing::{Known, Outcome, Swing, Swings};
