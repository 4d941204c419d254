//! Motions of several hinges at once, and which folds a rule allows.
//!
//! [`reach`] tells what single swings reach. Some poses need two hinges or more
//! at once, and a loop moves only as a whole. This crate samples the openings
//! of the hinges and joins them by moves that are certified from end to end.
//!
//! What this crate promises: a fold called reached comes with a course from
//! home that anyone can replay, with air between all bodies all the way (at
//! least a hundredth of the gap or clearance, see `glide.rs`); a fold called
//! never reached comes with a reason that holds for every motion (`order.rs`);
//! all others are "not found within so many looks", which is no verdict. Equal
//! input and seed give equal output; no files, clocks or threads.

mod allowed;
mod apart;
mod closure;
mod course;
mod glide;
mod linkage;
mod order;
mod planned;
mod roadmap;
#[cfg(test)]
mod specimens;

pub use allowed::{Allowed, Rule};
pub use course::Course;
pub use linkage::Placement;
pub use planned::{Answer, Effort, Planned};
