//! Outlines that were looked at: what is known of each, with the proof.
//!
//! What this module promises: a find is made from its cells and its look alone,
//! so it is the same whoever looked, on whichever thread, in whatever order;
//! as a row of a catalogue ([`COLUMNS`]) it loses nothing, and is read back.

mod deal;
mod find;
mod near;
mod row;
mod shape;
mod wish;

pub use deal::{Dealt, LookAsk, deal};
pub use find::{Find, Term};
pub use near::{ALWAYS_ALL, NearAsk, Nearby, near};
pub use row::{COLUMNS, RowError, code, read, row};
pub use shape::{hangs_together, holes};
pub use wish::{Order, Wish};
