//! What the checks against published values share: shapes grown without the
//! lattice's folds, the polyominoes by name, and formulas reckoned exactly.
//!
//! The checks are in `tests/`, each value with its source beside it. Python
//! judges, one file each, stand beside this crate.

pub mod grow;
pub mod hinge_tree;
pub mod kasteleyn;
pub mod named;
