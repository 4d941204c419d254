//! Finds told as they are proven, for a program that shows them at once: JSON
//! Lines (one object a line), a find or how far the work is on each.
//!
//! Of many finds those are told that come among the best so far; the answer at
//! the end is the whole one, ranked and thinned.

use std::sync::Mutex;
use std::time::{Duration, Instant};

use ::scout::finds::{Find, Order};
use serde_json::json;

use super::record::find_json;
use crate::answer::say_line;

/// How many are held for the best.
const BEST: usize = 60;
/// How often it is told at most how far the work is.
const PAUSE: Duration = Duration::from_millis(100);

/// What was told, and what it was measured by.
pub(super) struct Arriving(Option<Mutex<Told>>);

struct Told {
    order: Order,
    best: Vec<Find>,
    progress: Option<Instant>,
}

impl Arriving {
    /// Nothing is told unless it is asked for.
    pub(super) fn new(asked: bool, order: Order) -> Self {
        Arriving(asked.then(|| Mutex::new(Told { order, best: Vec::new(), progress: None })))
    }

    /// Tells of a find if it is among the best so far.
    pub(super) fn find(&self, find: &Find) {
        let Some(told) = &self.0 else { return };
        let mut told = told.lock().expect("telling does not panic");
        let (Ok(at) | Err(at)) = told.best.binary_search_by(|known| told.order.compare(known, find));
        if at >= BEST {
            return;
        }
        told.best.insert(at, find.clone());
        told.best.truncate(BEST);
        say_line(&json!({ "find": find_json(at + 1, find) }));
    }

    /// Tells how far the work is, now and then.
    pub(super) fn progress(&self, done: usize, all: usize) {
        let Some(told) = &self.0 else { return };
        let mut told = told.lock().expect("telling does not panic");
        if told.progress.is_none_or(|last| last.elapsed() >= PAUSE) {
            told.progress = Some(Instant::now());
            say_line(&json!({ "done": done, "all": all }));
        }
    }
}
