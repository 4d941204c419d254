//! The workshop: a maker's project on pages, served on the maker's own machine.
//!
//! What this crate promises:
//! - it answers on the loopback interface only, to pages that it gave out itself
//!   (see `guard`); with a share, testers on the local network get the play page
//!   behind a random link and nothing else (see `share`);
//! - files are read and written by `project`, whole or not at all, and never over
//!   a version that the page has not seen (see `outlines`, `pieces`);
//! - every number comes from the functions that the commands use (`desk`);
//! - long work is a job that can be watched and ended (see `jobs`), short work has
//!   a time to be done in (see `live`);
//! - errors are problem details, and the description of the interface
//!   ([`openapi`]) is made from the code.

mod body;
mod guard;
mod jobs;
mod live;
mod outlines;
mod packs;
mod pages;
mod pieces;
mod problem;
mod program;
mod records;
mod serve;
mod shapes;
mod share;
mod shop;
mod start;
mod watch;
mod work;

pub use pages::HAS_PAGES;
pub use serve::{Addresses, Options, ServeError, openapi, serve};
pub use start::{Begin, StartOptions, start};
