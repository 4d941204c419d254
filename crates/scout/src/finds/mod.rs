//! Outlines that were looked at: what is known of each, with the proof.

mod find;
mod lookout;

pub use find::{Find, Term};
pub use lookout::{Lookout, OutlineAsk};
