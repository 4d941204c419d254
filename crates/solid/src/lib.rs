//! Printable bodies of pieces, boards and plates; the checks that prove them;
//! files to print and cut.
//!
//! [`make`] is the one way in: it takes a [`Request`] of plain records and gives
//! named files as bytes and a record for every part. What this crate promises:
//! lengths in millimetres, the lattice's integers on the way in; no disk, no
//! clock; nothing is written that has not passed its checks, and the checks
//! look at meshes and layers, never at how they came about; equal requests give
//! equal bytes on any number of threads.
//!
//! - what a hinge is: `section`, as functions of the sizes; its limits: `sizes`
//! - bodies: `piece`, `board`, `plate` with its `key` and `tie`, `coupon`, `backing`
//! - checks: `check`, gathered by `inspect`; `proof` puts foldings into plates,
//!   `without` takes pockets away and must see them collide
//! - `make` calls `assemble`, `inspect`, `proof`, `publish`, in that order
//! - from solid to print: `layers`, `estimate`, `beds`, `file`, `picture`
//! - the libraries for solids and plans are named in `kernel`, `area` and `near` alone

mod area;
mod assemble;
mod backing;
mod beds;
mod board;
mod caution;
mod check;
mod coupon;
mod estimate;
mod file;
mod inspect;
mod kernel;
mod key;
mod layers;
mod make;
mod mesh;
mod near;
mod paint;
mod picture;
mod piece;
mod plan;
mod plate;
mod portrait;
mod printer;
mod proof;
mod publish;
mod record;
mod request;
#[cfg(test)]
mod samples;
mod section;
mod show;
mod sizes;
mod text;
mod tie;
mod without;

pub use check::capture::Capture;
pub use check::gap::HingeGap;
pub use check::overhang::{Overhang, Overhangs};
pub use check::wall::Wall;
pub use estimate::Estimate;
pub use file::NamedFile;
pub use file::manifest::sha256;
pub use file::threemf::About;
pub use kernel::KernelError;
pub use make::{Made, make};
pub use mesh::{Mesh, OpenEdges};
pub use plan::BlockPlan;
pub use plate::{Label, PlateFault, WayUp, plate_plan};
pub use portrait::{Portrait, portraits};
pub use printer::Printer;
pub use proof::{Proof, Touch};
pub use record::{Bed, ColourChange, Failure, Kind, OnBed, Part, PlateProof};
pub use request::{BoardOrder, MakeError, PieceOrder, PlateOrder, Request};
pub use show::{Shown, show};
pub use sizes::{SizeFault, Sizes};
pub use tie::Untied;
pub use without::{WithoutPocket, without_pockets};
