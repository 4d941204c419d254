//! Printable bodies of pieces, boards and plates; the checks that prove them.

#![allow(dead_code)]
mod area;
mod check;
mod kernel;
mod layers;
mod mesh;
mod near;
mod picture;
mod piece;
mod plan;
#[cfg(test)]
mod samples;
mod section;
mod sizes;
mod text;
pub use kernel::KernelError;
pub use mesh::{Mesh, OpenEdges};
pub use plan::BlockPlan;
pub use sizes::{SizeFault, Sizes};
