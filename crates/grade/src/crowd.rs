//! Many people at one board, each from a seed of their own, on any number of
//! threads with equal results; and where they go wrong.

use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use crate::sight::Sight;
use crate::walk::{Fared, Walker, Watch};

/// People that one task takes, in order.
const TASK: u32 = 64;
/// Failing last pieces that one task keeps.
const KEPT: usize = 500;

/// How often a start was laid.
#[derive(Clone, Debug)]
pub(crate) struct Start {
    pub places: Vec<u32>,
    /// How often it was laid.
    pub times: u32,
    /// People who laid it at least once.
    pub people: u32,
    last: u32,
}

/// What many people did.
pub(crate) struct Crowd {
    pub fared: Vec<Fared>,
    /// Starts laid, the most common first.
    pub starts: Vec<Start>,
    /// Places of all pieces but the last, where it did not go in; not all that were met.
    pub last_fails: Vec<Vec<u32>>,
}

/// Pieces that make a start: the first third, rounded up.
pub(crate) fn start_size(pieces: usize) -> usize {
    pieces.div_ceil(3)
}

struct Notes {
    person: u32,
    size: usize,
    starts: FxHashMap<u64, Start>,
    met: FxHashSet<u64>,
    last_fails: Vec<(u64, Vec<u32>)>,
}

impl Watch for Notes {
    fn laid(&mut self, places: &mut dyn Iterator<Item = u32>, count: usize, mark: u64) {
        if count != self.size {
            return;
        }
        let person = self.person;
        let start = self.starts.entry(mark).or_insert_with(|| {
            let mut places: Vec<u32> = places.collect();
            places.sort_unstable();
            Start { places, times: 0, people: 0, last: u32::MAX }
        });
        start.times += 1;
        if start.last != person {
            start.last = person;
            start.people += 1;
        }
    }

    fn last_fails(&mut self, places: &mut dyn Iterator<Item = u32>, mark: u64) {
        if self.last_fails.len() < KEPT && self.met.insert(mark) {
            let mut places: Vec<u32> = places.collect();
            places.sort_unstable();
            self.last_fails.push((mark, places));
        }
    }
}

/// The seed of one person.
fn seed_of(seed: u64, person: u32) -> u64 {
    // Two rounds of a 64-bit mix keep neighbouring seeds and people apart.
    let mut x = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (u64::from(person) << 1 | 1);
    for _ in 0..2 {
        x = (x ^ x >> 31).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    }
    x ^ x >> 29
}

/// Lets `runs` people try, each at most `most` times.
pub(crate) fn gather<const W: usize>(sight: &Sight<'_, W>, runs: u32, most: u32, seed: u64) -> Crowd {
    let pieces: usize = sight.board.kinds.iter().map(|k| k.pieces.len()).sum();
    let tasks = runs.div_ceil(TASK);
    let done: Vec<(Vec<Fared>, Notes)> = (0..tasks)
        .into_par_iter()
        .map(|task| {
            let mut notes = Notes {
                person: 0,
                size: start_size(pieces),
                starts: FxHashMap::default(),
                met: FxHashSet::default(),
                last_fails: Vec::new(),
            };
            let mut walker = Walker::new(sight);
            let people = task * TASK..runs.min((task + 1) * TASK);
            let fared = people.map(|person| {
                notes.person = person;
                walker.run(seed_of(seed, person), most, &mut notes)
            });
            (fared.collect(), notes)
        })
        .collect();
    let mut crowd = Crowd { fared: Vec::new(), starts: Vec::new(), last_fails: Vec::new() };
    let (mut starts, mut met) = (FxHashMap::<u64, Start>::default(), FxHashSet::default());
    for (fared, notes) in done {
        crowd.fared.extend(fared);
        for (mark, start) in notes.starts {
            match starts.get_mut(&mark) {
                Some(known) => {
                    known.people += start.people;
                    known.times += start.times;
                }
                None => {
                    starts.insert(mark, start);
                }
            }
        }
        crowd.last_fails.extend(
            notes.last_fails.into_iter().filter_map(|(mark, places)| met.insert(mark).then_some(places)),
        );
    }
    crowd.starts = starts.into_values().collect();
    crowd.starts.sort_unstable_by(|a, b| b.times.cmp(&a.times).then_with(|| a.places.cmp(&b.places)));
    crowd
}
