//! The pages that makers hand out: the play page with outlines to try, and the
//! entry page of a race, each one self-contained HTML file.
//!
//! What this crate promises: a page holds the rules, never an answer; it asks
//! for nothing from anywhere (its content security policy forbids it), except
//! that a page served by the workshop may send its plays back there; equal
//! input gives equal bytes. It touches no disk.
//!
//! The pages themselves are `web/play` and `web/entry`, built by `cargo xtask web`
//! and put into the program as they are; here the set and its outlines are
//! written into them.

mod entry;
mod page;
mod record;

pub use entry::EntryPage;
pub use page::{HAS_PAGES, Page, PlayError, Sending};
pub use record::set_json;
