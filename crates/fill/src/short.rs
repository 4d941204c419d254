//! A short list of places for first fit, by the first cell they cover.
//!
//! When the first empty cell is covered next, only places that start there can
//! do it. They are listed by cell and, the first time a pattern of the next
//! [`WINDOW`] cells is met, once more by what fits that pattern: later visits
//! see only those.

use crate::bits::Bits;
use crate::search::Live;

/// Cells after the first one that a pattern looks at.
const WINDOW: usize = 8;
/// Lists shorter than this are read whole.
const WORTH_SPLITTING: usize = 8;
const UNMET: u32 = u32::MAX;

pub(crate) struct ShortList<B> {
    /// Places by first cell; after them, the lists by pattern.
    list: Vec<Live<B>>,
    /// Where each cell's places begin, one more at the end.
    starts: Vec<u32>,
    /// For cell × pattern, the range of its list; `UNMET` if not made yet.
    patterns: Vec<(u32, u32)>,
}

impl<B> Default for ShortList<B> {
    fn default() -> Self {
        ShortList { list: Vec::new(), starts: Vec::new(), patterns: Vec::new() }
    }
}

impl<B: Bits> ShortList<B> {
    pub fn new() -> Self {
        Self::default()
    }

    /// Lists `places` on an outline of `cells` cells.
    pub fn fill(&mut self, places: &[Live<B>], cells: usize) {
        let first = |live: &Live<B>| live.cells.first().expect("a place covers a cell");
        self.starts.clear();
        self.starts.resize(cells + 1, 0);
        for live in places {
            self.starts[first(live) + 1] += 1;
        }
        for c in 0..cells {
            self.starts[c + 1] += self.starts[c];
        }
        self.list.clear();
        self.list.extend_from_slice(places);
        let mut at = self.starts.clone();
        for live in places {
            let slot = &mut at[first(live)];
            self.list[*slot as usize] = live.clone();
            *slot += 1;
        }
        self.patterns.clear();
        self.patterns.resize(cells << WINDOW, (UNMET, UNMET));
    }

    pub fn at(&self, i: usize) -> &Live<B> {
        &self.list[i]
    }

    /// A range that holds every listed place that starts at `cell`, which is the first
    /// empty one, and fits.
    #[inline]
    pub fn fitting(&mut self, cell: usize, empty: &B) -> std::ops::Range<usize> {
        let all = self.starts[cell] as usize..self.starts[cell + 1] as usize;
        if all.len() < WORTH_SPLITTING {
            return all;
        }
        let pattern = window(empty, cell + 1);
        let at = cell << WINDOW | pattern;
        if self.patterns[at].0 == UNMET {
            let start = self.list.len();
            for i in all {
                if window(&self.list[i].cells, cell + 1) & !pattern == 0 {
                    self.list.push(self.list[i].clone());
                }
            }
            self.patterns[at] = (start as u32, self.list.len() as u32);
        }
        let (start, end) = self.patterns[at];
        start as usize..end as usize
    }
}

/// The `WINDOW` bits of a set from `start` on.
#[inline]
fn window<B: Bits>(set: &B, start: usize) -> usize {
    let words = set.words();
    let (word, bit) = (start / 64, start % 64);
    let low = words.get(word).map_or(0, |w| w >> bit);
    let high = if bit > 64 - WINDOW { words.get(word + 1).map_or(0, |w| w << (64 - bit)) } else { 0 };
    ((low | high) & ((1 << WINDOW) - 1)) as usize
}
