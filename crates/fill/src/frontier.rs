//! Counting without listing: one sweep over the cells, states shared.
//!
//! The sweep covers the first empty cell by each place that starts there. Two
//! ways of getting to the same empty cells, the same pieces left and the same
//! hinges in the way go on alike, so they are one state with a number. A state
//! is met again only among those whose first empty cell comes later, so states
//! are kept by first empty cell and dropped once swept.
//!
//! What hinges are in the way is the caller's choice ([`Hold`]): sets of pins
//! for foldings, families of such sets for layouts.

use std::hash::Hash;

use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::number::Number;
use crate::search::Stop;

/// A place, or several that go together, as the sweep sees it.
pub(crate) struct Step<B> {
    /// The cells it covers.
    pub cells: B,
    /// Its class.
    pub class: usize,
    /// How many pieces of the class it takes.
    pub uses: u64,
    /// Inner pins of its variants, with how many have just these.
    pub pins: Vec<(B, u64)>,
}

/// What is remembered of hinges already standing.
pub(crate) trait Hold<B: Bits>: Clone + Eq + Hash {
    /// Nothing stands.
    fn nothing(width: usize) -> Self;
    /// What is held after a step, with in how many ways. `live` keeps those pins
    /// that a later step can still run into.
    fn after(&self, step: &Step<B>, live: &dyn Fn(B) -> B, out: &mut Vec<(Self, u64)>);
}

/// Foldings: the very pins that stand.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Standing<B>(B);

impl<B: Bits> Hold<B> for Standing<B> {
    fn nothing(width: usize) -> Self {
        Standing(B::none(width))
    }
    fn after(&self, step: &Step<B>, live: &dyn Fn(B) -> B, out: &mut Vec<(Self, u64)>) {
        for (pins, ways) in &step.pins {
            if !self.0.meets(pins) {
                let held = Standing(live(self.0.clone().or(pins)));
                match out.iter_mut().find(|(h, _)| *h == held) {
                    Some((_, n)) => *n += ways,
                    None => out.push((held, *ways)),
                }
            }
        }
    }
}

/// Layouts: the least sets of pins that can stand, at least one.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Family<B>(Vec<B>);

impl<B: Bits> Hold<B> for Family<B> {
    fn nothing(width: usize) -> Self {
        Family(vec![B::none(width)])
    }
    fn after(&self, step: &Step<B>, live: &dyn Fn(B) -> B, out: &mut Vec<(Self, u64)>) {
        let mut sets: Vec<B> = Vec::new();
        for held in &self.0 {
            for (pins, _) in &step.pins {
                if held.meets(pins) {
                    continue;
                }
                let set = live(held.clone().or(pins));
                if set.is_none() {
                    out.push((Family(vec![set]), 1));
                    return;
                }
                sets.push(set);
            }
        }
        if !sets.is_empty() {
            out.push((Family(crate::hinging::least(sets, B::within)), 1));
        }
    }
}

/// A board and steps on it.
pub(crate) struct Sweep<'a, B> {
    pub width: usize,
    pub cells: usize,
    /// Pieces of each class.
    pub counts: Vec<u64>,
    /// For each inner pin, the four cells round its vertex.
    pub round: Vec<B>,
    pub steps: Vec<Step<B>>,
    /// Whether an area of empty cells can be filled at all.
    pub hopeless: &'a (dyn Fn(&B) -> bool + Sync),
}

/// Why a sweep gave no number.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum NoCount {
    /// A number outgrew its type; a wider one will do.
    Overflow,
    /// The pieces left do not fit a word: too many classes of too many pieces.
    TooManyPieces,
    /// It was told to stop.
    Stopped,
}

/// Numbers of ways, by pieces left (packed), ascending.
type Ways<N> = Vec<(u64, N)>;

impl<B: Bits> Sweep<'_, B> {
    /// The number of ways to cover every cell with all pieces.
    pub fn count<H: Hold<B>, N: Number>(&self, stop: Stop) -> Result<N, NoCount> {
        let (units, all) = self.units().ok_or(NoCount::TooManyPieces)?;
        let mut by_first: Vec<Vec<&Step<B>>> = (0..self.cells).map(|_| Vec::new()).collect();
        for step in &self.steps {
            by_first[step.cells.first().expect("a step covers a cell")].push(step);
        }
        let mut waiting: Vec<FxHashMap<(B, H), Ways<N>>> =
            (0..=self.cells).map(|_| FxHashMap::default()).collect();
        let board = B::of(self.width, 0..self.cells);
        waiting[0].insert((board, H::nothing(self.width)), vec![(all, N::from(1))]);
        let mut after = Vec::new();
        for cell in 0..self.cells {
            let states = std::mem::take(&mut waiting[cell]);
            for (number, ((empty, held), ways)) in states.into_iter().enumerate() {
                if number.is_multiple_of(256) && stop() {
                    return Err(NoCount::Stopped);
                }
                for step in by_first[cell].iter().filter(|s| s.cells.within(&empty)) {
                    let unit = units[step.class];
                    let takes = |left: u64| left / unit % (self.counts[step.class] + 1) >= step.uses;
                    if !ways.iter().any(|w| takes(w.0)) {
                        continue;
                    }
                    let rest = empty.clone().less(&step.cells);
                    if (self.hopeless)(&rest) {
                        continue;
                    }
                    after.clear();
                    held.after(step, &|pins| self.live(pins, &rest), &mut after);
                    let next = rest.first().unwrap_or(self.cells);
                    for (held, times) in after.drain(..) {
                        let more = ways.iter().filter(|w| takes(w.0)).map(|w| (w.0 - step.uses * unit, &w.1));
                        let into = waiting[next].entry((rest.clone(), held)).or_default();
                        merge(into, more, times).ok_or(NoCount::Overflow)?;
                    }
                }
            }
        }
        let mut sum = N::from(0);
        for (left, n) in waiting[self.cells].values().flatten() {
            if *left == 0 {
                sum.add_times(n, 1).ok_or(NoCount::Overflow)?;
            }
        }
        Ok(sum)
    }

    /// What one piece of each class adds to the packed pieces left, and all of them packed.
    fn units(&self) -> Option<(Vec<u64>, u64)> {
        let (mut units, mut unit, mut all) = (Vec::new(), 1u64, 0u64);
        for &count in &self.counts {
            units.push(unit);
            all += count * unit;
            unit = unit.checked_mul(count + 1)?;
        }
        Some((units, all))
    }

    /// The pins that a later step can run into: it would need two empty cells there.
    fn live(&self, pins: B, empty: &B) -> B {
        let mut live = pins.clone();
        for bit in pins.iter() {
            if self.round[bit].clone().and(empty).count() < 2 {
                live.remove(&B::of(self.width, [bit]));
            }
        }
        live
    }
}

/// Adds `more`, each `times` over, into a list; both ascend.
fn merge<'n, N: Number + 'n>(
    into: &mut Ways<N>,
    more: impl Iterator<Item = (u64, &'n N)>,
    times: u64,
) -> Option<()> {
    let mut at = 0;
    for (left, n) in more {
        while at < into.len() && into[at].0 < left {
            at += 1;
        }
        if at == into.len() || into[at].0 != left {
            into.insert(at, (left, N::from(0)));
        }
        into[at].1.add_times(n, times)?;
        at += 1;
    }
    Some(())
}
