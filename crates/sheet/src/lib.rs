//! Sheets of turning squares: blocks tied to all their neighbours so that the
//! whole moves as one, and panels on them whose picture changes as they turn.
//!
//! What this crate promises: lengths in block sides, angles in radians; no
//! files, clocks, threads, printing; equal input and seed, equal output. A
//! result carries its certainty: an ornament says whether it is proven to be
//! best, and what no other can pass.
//!
//! - where blocks and hinges are at every angle: `geometry`; how freely they
//!   move: [`rigidity`]
//! - lines that join at both ends: [`ornament`]
//! - what two pictures leave to be wished: [`wish`]
//! - the sheet as a piece, and pieces left of it: [`left`]; drawn: [`preview`]

mod geometry;
pub mod left;
pub mod ornament;
pub mod preview;
pub mod rigidity;
pub mod wish;

pub use geometry::{End, Hand, MOST, Meetings, Point, Sheet, Side, SizeError, Tie};
