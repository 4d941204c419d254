//! The play page: one self-contained HTML file with outlines to try.
//!
//! What this crate promises: the page holds the rules, never an answer; it asks
//! for nothing from anywhere (its content security policy forbids it), except
//! that a page served by the workshop may send its plays back there; equal
//! input gives equal bytes. It touches no disk.
//!
//! The page itself is `web/play`, built by `cargo xtask web` and put into the
//! program as it is; here the set and its outlines are written into it.

mod page;
mod record;

pub use page::{Page, PlayError, Sending};
pub use record::set_json;
