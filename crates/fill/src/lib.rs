//! Every filling of an outline, found and counted by our own search.
//!
//! What this crate promises: exact answers, or ones that say they are not;
//! equal input gives equal results on any number of threads; no files, no
//! clocks, no printing (the caller says when to stop). Every answer shown has
//! passed the lattice's own judge, which shares no code with the search.
//!
//! - [`fill`]: layouts and foldings, listed and counted;
//! - [`count`]: the same numbers where listing is hopeless;
//! - [`pockets`]: which pockets leave one layout;
//! - [`Survey`]: the same for outlines by the thousand.

mod admission;
mod bits;
mod choices;
mod colouring;
mod count;
mod dead;
mod filling;
mod footprints;
mod frontier;
mod hinging;
mod hitting;
mod instance;
mod number;
mod pockets;
mod problem;
pub mod sample;
mod search;
mod short;
mod survey;
mod symmetry;
mod tasks;

pub use count::{Uncounted, count};
pub use filling::{Answer, Ask, Certainty, Counts, Filling, fill};
pub use pockets::{Further, PocketAsk, PocketSet, Pockets, pockets};
pub use search::Stop;
pub use survey::{Alone, Look, Survey, SurveyAsk};
pub use tasks::Progress;
