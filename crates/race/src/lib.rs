//! A race: a timed competition on a pack, kept in `race.sqlite` beside the project.
//!
//! What this crate promises:
//! - What is told to be received is on the disk, once: an entry that was answered
//!   survives the program, the machine's power included, and the same entry given
//!   again is told, never doubled. Two programs may work on one file.
//! - Answers and rules are sealed before the first entry: their SHA-256 with a
//!   random salt is published, and shows at the end that nothing was changed.
//! - An entry mark belongs to one name in one race; without the race's key nobody
//!   can make one.
//! - Every act is a line of a log that is only added to. Each line holds the
//!   SHA-256 of the line before, so whoever has the last one has them all.
//! - Personal data stand in a table of their own. They can be taken out whole; the
//!   log holds no more of them than a salted hash, so it stays whole, too.
//! - No text from outside becomes SQL, a path, or markup.
//!
//! It knows no lattice: whether a layout is right is for the caller to say (see
//! [`Store::check`]), and so is what time it is. `docs/race.md` has every format to
//! the byte.

mod check;
mod digest;
mod entrant;
mod entry;
mod error;
mod log;
mod mark;
mod moment;
mod names;
mod opening;
mod page;
mod personal;
mod phases;
mod proof;
mod schema;
mod seal;
mod sheet;
mod standings;
mod store;
mod verify;

pub use check::{Checked, Ruling, Which};
pub use digest::sha256;
pub use entrant::{Entrant, Registered};
pub use entry::{NewEntry, ProofAgain, Receipt};
pub use error::RaceError;
pub use log::LogLine;
pub use mark::{Mark, MarkFault};
pub use moment::{Moment, NotAMoment};
pub use names::TextFault;
pub use opening::{CAUTION, opening_text};
pub use page::standings_page;
pub use personal::Erased;
pub use phases::{Closed, Phase, RaceOutline, RaceState};
pub use proof::{MOST_BYTES, PROOFS, Proof};
pub use seal::{Answers, Goal, GoalKind, Opened, SEAL, SealedOutline, Secrets, Terms, Tie};
pub use sheet::standings_csv;
pub use standings::{EntrantRow, GoalRows, PlaceRow, Standings};
pub use store::{FILE, Store};
pub use verify::{LogFault, Verified};
