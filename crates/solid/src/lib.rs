//! Printable bodies of pieces, boards and plates; the checks that prove them.

#![allow(dead_code)]
mod area;
mod beds;
mod board;
mod check;
mod estimate;
mod kernel;
mod key;
mod layers;
mod mesh;
mod near;
mod picture;
mod piece;
mod plan;
mod plate;
mod printer;
mod proof;
#[cfg(test)]
mod samples;
mod section;
mod sizes;
mod text;
mod tie;
pub use kernel::KernelError;
pub use mesh::{Mesh, OpenEdges};
pub use plan::BlockPlan;
pub use sizes::{SizeFault, Sizes};
