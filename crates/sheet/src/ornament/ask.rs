//! What may be asked of an ornament.

use super::plan::Symmetry;

/// What an ornament is made for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Aim {
    /// One loop turned, and as many holes closed as can be.
    Holes,
    /// One loop turned, and as few loops closed as can be.
    Loops,
    /// As many more loops closed than turned as can be.
    Contrast,
}

/// One ornament wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ask {
    /// For what.
    pub aim: Aim,
    /// Equal to itself under what.
    pub symmetry: Symmetry,
    /// Whether parts may lie in holes of others.
    pub islands: bool,
    /// Another gives another, equally good.
    pub seed: u64,
}
