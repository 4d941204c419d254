//! What pages ask of the rules: one core, compiled to WebAssembly.
//!
//! A page opens a set and then asks: what a piece can become, where a swing
//! leads, what is wrong with a placement, whether a folding fills the outline,
//! in what order it drops in, what a written layout is worth, how many fillings
//! there are. Every answer is reckoned by `lattice`, `reach`, `ruling` and
//! `fill`; this crate translates.
//!
//! What it promises:
//! - Questions and answers are JSON, and so are refusals (`{"error": …}`). No
//!   bytes make it panic: everything is checked before it is reckoned with.
//! - The same question gets the same answer from this crate built for the
//!   machine, whose tests hold it to the lattice's own judge.
//! - It reads no clock: whoever asks brings one, and bounds long work by time,
//!   by steps, or both. Answers say whether they are exact.

mod ask;
mod bench;
#[cfg(target_family = "wasm")]
mod boundary;
mod judge;
#[cfg(feature = "search")]
mod live;
#[cfg(feature = "search")]
mod live_set;
mod moves;
mod record;
mod seal;
#[cfg(feature = "search")]
mod search;
#[cfg(feature = "search")]
mod told;
#[cfg(feature = "written")]
mod written;

pub use ask::{Clock, Desk};
#[cfg(feature = "search")]
pub use live::{Advice, Advised, Drawing, Live, LiveAsk};
#[cfg(feature = "search")]
pub use live_set::LiveSet;
pub use seal::{SEAL, seal};
