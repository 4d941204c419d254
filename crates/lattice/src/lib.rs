//! What is possible on the lattice, and nothing else.
//!
//! Pieces of square blocks tied by hinges, the folds they can take, outlines
//! with pockets, foldings and the order in which their pieces drop in.
//!
//! What this crate promises: integers only, no millimetres, no files, no
//! clocks, no threads, no printing. Equal input gives equal output in equal
//! order. Lengths are in pitches (one block side); `x` points right, `y` away
//! from the maker, angles run anticlockwise.

pub mod code;
pub mod drawing;
pub mod drop_in;
pub mod fold;
pub mod folding;
pub mod geometry;
pub mod outline;
pub mod piece;
pub mod set;

pub use code::layout_code;
pub use drop_in::DropIn;
pub use fold::{Fold, FoldSet, Pin, Pose};
pub use folding::{Folding, FoldingFault, Placed};
pub use geometry::{Cell, Corner, Level, Motion, Turn, Vertex};
pub use outline::{Outline, OutlineError, VertexKind};
pub use piece::{Hinge, Piece, PieceError};
pub use set::{Class, Set};
