//! Catalogues as Parquet, the open column format, so that those who like can
//! query them with the tools they know.
//!
//! A crate of its own because the format's library is heavy. It makes and
//! reads bytes and opens no files. Equal catalogues give equal bytes: nothing
//! in them tells the time or the machine. The text of a catalogue of pieces has
//! the same columns ([`COLUMNS`]); the columns of a catalogue of outlines are
//! [`scout::finds::COLUMNS`].

mod error;
mod outlines;
mod pieces;
mod reading;
mod writing;

pub use error::ColumnsError;
pub use outlines::{about, finds, join, part};
pub use parquet::file::reader::ChunkReader;
pub use pieces::parquet;
pub use scout::table::COLUMNS;
