//! Work that ends before it is done.

/// Why a piece of work ended early.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Early {
    /// The time it was given is over.
    Time,
    /// Somebody wanted no more.
    Interrupted,
}
