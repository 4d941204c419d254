//! Counting without listing: one sweep over the cells, states shared.
//!
//! The sweep covers the first empty cell by each shape that starts there. Two
//! ways of getting to the same empty cells, the same pieces left and the same
//! hinges in the way go on alike, so they are one number. Numbers are kept in
//! three steps: by empty cells; there by the hinges in the way; there by the
//! pieces left, in a row with one place for each choice of pieces whose blocks
//! fill the empty cells ([`crate::choices`]). So what depends on the cells alone
//! is done once for all the numbers above it. Empty cells are met again only
//! among those whose first comes later, so they are kept by first empty cell and
//! dropped once swept.
//!
//! What hinges are in the way is the caller's choice ([`Hold`]): sets of pins
//! for foldings, families of such sets for layouts.

use std::hash::Hash;

use rustc_hash::FxHashMap;

use crate::bits::Bits;
use crate::choices::Choices;
use crate::number::Number;
use crate::search::Stop;

/// A place, or several that go together, as the sweep sees it.
pub(crate) struct Step<B> {
    /// The cells it covers.
    pub cells: B,
    /// Its class.
    pub class: usize,
    /// How many pieces of the class it takes.
    pub uses: usize,
    /// Inner pins of its variants, with how many have just these.
    pub pins: Pins<B>,
}

/// Sets of pins, with how many variants have just these.
pub(crate) type Pins<B> = Vec<(B, u64)>;

/// What is remembered of hinges already standing.
pub(crate) trait Hold<B: Bits>: Clone + Eq + Hash {
    /// Nothing stands.
    fn nothing(width: usize) -> Self;
    /// What matters of a step's pins when only some can be run into; `out` is empty before.
    fn sum_up(pins: &Pins<B>, live: &B, out: &mut Pins<B>);
    /// What is held after a step, and in how many ways; `live` are the pins that
    /// a later step can still run into.
    fn after(&self, pins: &Pins<B>, live: &B, out: &mut Vec<(Self, u64)>);
}

/// Foldings: the very pins that stand.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(crate) struct Standing<B>(B);

impl<B: Bits> Hold<B> for Standing<B> {
    fn nothing(width: usize) -> Self {
        Standing(B::none(width))
    }

    fn sum_up(pins: &Pins<B>, live: &B, out: &mut Pins<B>) {
        for (set, ways) in pins {
            let set = set.clone().and(live);
            match out.iter_mut().find(|(s, _)| *s == set) {
                Some((_, n)) => *n += ways,
                None => out.push((set, *ways)),
            }
        }
    }

    fn after(&self, pins: &Pins<B>, live: &B, out: &mut Vec<(Self, u64)>) {
        for (set, ways) in pins {
            if !self.0.meets(set) {
                let held = Standing(self.0.clone().or(set).and(live));
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
pub(crate) enum Family<B> {
    /// The empty set, which is less than any other.
    Free,
    /// Several, sorted, none empty.
    Sets(Box<[B]>),
}

impl<B: Bits> Hold<B> for Family<B> {
    fn nothing(_: usize) -> Self {
        Family::Free
    }

    fn sum_up(pins: &Pins<B>, live: &B, out: &mut Pins<B>) {
        if let Some((set, _)) = pins.iter().find(|(set, _)| !set.meets(live)) {
            return out.push((set.clone().and(live), 1));
        }
        let sets = pins.iter().map(|(set, _)| set.clone().and(live)).collect();
        out.extend(crate::hinging::least(sets, B::within).into_iter().map(|set| (set, 1)));
    }

    fn after(&self, pins: &Pins<B>, live: &B, out: &mut Vec<(Self, u64)>) {
        // Most often some way leaves nothing to run into: then nothing needs to be built.
        let free = |held: Option<&B>| {
            pins.iter().any(|(set, _)| {
                let clear = held.is_none_or(|h| !h.meets(set) && !h.meets(live));
                clear && !set.meets(live)
            })
        };
        let sets: Vec<B> = match self {
            Family::Free if free(None) => return out.push((Family::Free, 1)),
            Family::Free => pins.iter().map(|(set, _)| set.clone().and(live)).collect(),
            Family::Sets(held) if held.iter().any(|h| free(Some(h))) => return out.push((Family::Free, 1)),
            Family::Sets(held) => held
                .iter()
                .flat_map(|h| {
                    pins.iter().filter(|(set, _)| !h.meets(set)).map(|(set, _)| h.clone().or(set).and(live))
                })
                .collect(),
        };
        if !sets.is_empty() {
            out.push((Family::Sets(crate::hinging::least(sets, B::within).into()), 1));
        }
    }
}

/// A board and steps on it.
pub(crate) struct Sweep<'a, B> {
    pub width: usize,
    pub cells: usize,
    /// For each inside vertex, its pins and the four cells round it.
    pub round: Vec<(B, B)>,
    pub steps: Vec<Step<B>>,
    pub choices: &'a Choices,
    /// Whether an area of empty cells can be filled at all.
    pub hopeless: &'a (dyn Fn(&B) -> bool + Sync),
}

/// Why a sweep gave no number.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum NoCount {
    /// A number outgrew its type; a wider one will do.
    Overflow,
    /// It was told to stop.
    Stopped,
}

/// The numbers of one set of empty cells.
struct Shelf<H, N> {
    /// Row of each hold.
    rows: FxHashMap<H, usize>,
    /// Rows one after another, each with a number for each choice of pieces.
    numbers: Vec<N>,
}

/// Steps with the same cells.
struct Shape<'s, B> {
    cells: &'s B,
    steps: Vec<&'s Step<B>>,
}

impl<B: Bits> Sweep<'_, B> {
    /// The number of ways to cover every cell with all pieces.
    pub fn count<H: Hold<B>, N: Number>(&self, stop: Stop) -> Result<N, NoCount> {
        let shapes = self.shapes();
        let mut waiting: Vec<FxHashMap<B, Shelf<H, N>>> =
            (0..=self.cells).map(|_| FxHashMap::default()).collect();
        let board = B::of(self.width, 0..self.cells);
        let start = FxHashMap::from_iter([(H::nothing(self.width), 0)]);
        waiting[0].insert(board, Shelf { rows: start, numbers: vec![N::from(1)] });
        let (mut pins, mut after) = (Vec::new(), Vec::new());
        for cell in 0..self.cells {
            for (number, (empty, shelf)) in std::mem::take(&mut waiting[cell]).into_iter().enumerate() {
                if number.is_multiple_of(16) && stop() {
                    return Err(NoCount::Stopped);
                }
                let area = empty.count();
                let row = self.choices.with_area(area);
                let live = self.live(&empty);
                for shape in shapes[cell].iter().filter(|s| s.cells.within(&empty)) {
                    let rest = empty.clone().less(shape.cells);
                    if (self.hopeless)(&rest) {
                        continue;
                    }
                    let live_after = self.live(&rest);
                    let next = rest.first().unwrap_or(self.cells);
                    let next_row = self.choices.with_area(rest.count());
                    let target = waiting[next]
                        .entry(rest)
                        .or_insert_with(|| Shelf { rows: FxHashMap::default(), numbers: Vec::new() });
                    for step in &shape.steps {
                        let moves = self.choices.moves(area, step.class, step.uses);
                        if moves.is_empty() {
                            continue;
                        }
                        pins.clear();
                        H::sum_up(&step.pins, &live, &mut pins);
                        for (held, &from) in &shelf.rows {
                            after.clear();
                            held.after(&pins, &live_after, &mut after);
                            let numbers = &shelf.numbers[from * row..(from + 1) * row];
                            for (held, times) in after.drain(..) {
                                let into = target.row(held, next_row);
                                let mut fits = true;
                                for &(a, b) in moves {
                                    fits &= into[b as usize].add_times(&numbers[a as usize], times);
                                }
                                if !fits {
                                    return Err(NoCount::Overflow);
                                }
                            }
                        }
                    }
                }
            }
        }
        let mut sum = N::from(0);
        for number in waiting[self.cells].values().flat_map(|shelf| &shelf.numbers) {
            if !sum.add_times(number, 1) {
                return Err(NoCount::Overflow);
            }
        }
        Ok(sum)
    }

    /// Steps by first cell and by cells.
    fn shapes(&self) -> Vec<Vec<Shape<'_, B>>> {
        let mut shapes: Vec<Vec<Shape<B>>> = (0..self.cells).map(|_| Vec::new()).collect();
        let mut found: FxHashMap<&B, usize> = FxHashMap::default();
        for step in &self.steps {
            let list = &mut shapes[step.cells.first().expect("a step covers a cell")];
            let at = *found.entry(&step.cells).or_insert(list.len());
            match list.get_mut(at) {
                Some(shape) => shape.steps.push(step),
                None => list.push(Shape { cells: &step.cells, steps: vec![step] }),
            }
        }
        shapes
    }

    /// The pins that a later step can run into: it would need two empty cells there.
    fn live(&self, empty: &B) -> B {
        let mut live = B::none(self.width);
        for (pins, cells) in &self.round {
            if cells.clone().and(empty).count() >= 2 {
                live.add(pins);
            }
        }
        live
    }
}

impl<H: Eq + Hash, N: Number> Shelf<H, N> {
    fn row(&mut self, held: H, width: usize) -> &mut [N] {
        let next = self.rows.len();
        let row = *self.rows.entry(held).or_insert(next);
        if row == next {
            self.numbers.resize((row + 1) * width, N::from(0));
        }
        &mut self.numbers[row * width..(row + 1) * width]
    }
}
