//! A bound on work that is the same on every machine: how often a search asks
//! whether to go on, not how long it takes.

use std::sync::atomic::{AtomicU64, Ordering};

use fill::Stop;

/// Lets a search on one thread ask so many times.
pub(crate) struct Bound<'a> {
    asked: AtomicU64,
    most: u64,
    stop: Stop<'a>,
}

impl<'a> Bound<'a> {
    pub fn new(most: u64, stop: Stop<'a>) -> Self {
        Bound { asked: AtomicU64::new(0), most, stop }
    }

    /// Whether the bound is met, or the caller wants an end.
    pub fn is_met(&self) -> bool {
        self.asked.fetch_add(1, Ordering::Relaxed) >= self.most || (self.stop)()
    }
}
