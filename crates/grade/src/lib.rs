//! How hard an outline is for a person at the board, and packs in order.
//!
//! What this crate promises: equal input and seed give equal results on any
//! number of threads; no files, no clocks, no printing. Effort is what a model
//! of a person does, not what our own search does, and every number comes with
//! how it is known: counted, estimated, or a bound.

mod board;
mod bound;
mod complete;
mod crowd;
mod drop;
mod evidence;
mod grade;
mod likeness;
mod mask;
mod near;
pub mod order;
mod person;
mod sentences;
mod sight;
mod steps;
mod tries;
mod walk;

pub use evidence::{Count, Evidence, Farthest};
pub use grade::{Ask, Grade, MODEL, Ungraded, WrongStart, grade};
pub use likeness::{likeness, likeness_of_answers};
pub use person::Person;
pub use sentences::sentences;
pub use steps::{Step, effort};
pub use tries::{Figure, Known, Tries};
