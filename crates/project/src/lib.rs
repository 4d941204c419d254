//! Project files: `pinfold.toml`, `outlines/*.toml`, `plays.csv`, the maker's own
//! texts and the salts of sealed answers, read, checked, written back.
//!
//! What this crate promises:
//! - It is the only one that knows the file formats.
//! - [`Project::read`] gives a sound project or every mistake of every file,
//!   each with file, line, column, what was found and what would be right.
//! - It never panics on any bytes, and never runs long: sizes are bounded
//!   before anything is reckoned with them (see `limits`).
//! - Nothing is written while a project has mistakes. What is written changes
//!   only the bytes it must, is read back before it reaches the disk, and
//!   replaces the old file in one step.
//!
//! It knows no millimetres beyond the figures in the file: whether a size goes
//! with another is for the solids to say.

mod array_text;
mod board;
mod colour;
mod compose;
mod drawing_text;
mod fault;
mod limits;
mod names;
mod outline_file;
mod own_text;
mod pack;
mod piece;
mod play_add;
mod play_cell;
mod play_column;
mod play_rows;
mod plays;
mod printer;
mod project;
mod reader;
mod refusal;
mod report;
mod rules;
mod salt;
mod set_file;
mod sizes;
mod source;
mod syntax;
mod whole_file;
mod write;
mod write_pack;
mod write_pieces;

pub use board::Board;
pub use colour::Colour;
pub use compose::Compose;
pub use fault::Fault;
pub use names::{nearest, stem_is_good};
pub use outline_file::OutlineRecord;
pub use own_text::OwnText;
pub use pack::{PackParts, PackRecord};
pub use piece::PieceRecord;
pub use play_add::{Added, NewPlay, NotAdded};
pub use play_cell::{minutes, moment, tester_is_good};
pub use plays::{PLAYS_FILE, Play, Plays};
pub use printer::Printer;
pub use project::Project;
pub use refusal::Refusal;
pub use report::{Mistake, Place, Report};
pub use rules::{Reach, Rules};
pub use salt::SaltError;
pub use set_file::Terms;
pub use sizes::Sizes;
pub use whole_file::{write_whole, write_whole_by};
pub use write::{NewOutline, OutlineChange, WriteError};
pub use write_pieces::PieceDraft;
