//! What is asked of a project, and the answers as records: the one place where
//! commands and pages get their numbers from.
//!
//! What this crate promises:
//! - a command and a page that ask the same thing call the same function here,
//!   and show the same JSON;
//! - project files become questions to the crates that reckon here, and nowhere
//!   else (rules, sizes, parts, names);
//! - no printing, no clock, no threads of its own: the caller says when to stop.
//!   Only [`disk`] touches the disk, to put made parts away.

pub mod disk;
pub mod early;
mod failure;
pub mod filling;
pub mod folds;
pub mod layouts;
pub mod made;
pub mod parts;
pub mod pockets;
pub mod press;
pub mod rules;
pub mod ways;

pub use failure::Failure;
pub use layouts::counted;
